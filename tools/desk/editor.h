/* editor.h -- the line editor, libedit, loaded when a terminal asks for it: everything else the program does starts without
 * it and the four libraries that it needs. */
#ifndef TOOLS_DESK_EDITOR_H
#define TOOLS_DESK_EDITOR_H

#include <histedit.h>
#include <stdbool.h>

#define EDITOR_FUNCTIONS(EACH) \
    EACH(el_init) EACH(el_end) EACH(el_set) EACH(el_gets) EACH(el_line) EACH(el_insertstr) \
    EACH(history_init) EACH(history_end) EACH(history)

struct editor { /* each function by its own name */
#define EDITOR_POINTER(name) __typeof__(&name) name;
    EDITOR_FUNCTIONS(EDITOR_POINTER)
#undef EDITOR_POINTER
};

/* false: it is not there. */
bool editor_load(struct editor *editor);

#endif
