/* completion.h -- what a word that is begun may become: the desk's words, names of the design, names of files. */
#ifndef TOOLS_DESK_COMPLETION_H
#define TOOLS_DESK_COMPLETION_H

#include <stdbool.h>
#include <stddef.h>

typedef void (*completion_take)(void *target, const char *word);

struct completion_words {
    /* Hands every word to `take`: those that begin a line, or those that stand further on. */
    void (*each)(void *context, bool begins_line, completion_take take, void *target);
    bool (*takes_file)(void *context, const char *word, size_t size); /* is this word followed by a file's name? */
    void *context;
};

struct completion {
    size_t start;  /* bytes of the line: where the word begins */
    size_t count;
    char **found;  /* whole words, in order, none twice; of a folder with `/` */
    size_t shared; /* so many bytes all of them begin with */
};

/* For the word at the end of line[0..size). */
void completion_find(struct completion *out, const struct completion_words *words, const char *line, size_t size);
void completion_clear(struct completion *c);

#endif
