#include "desk/editor.h"

#include <dlfcn.h>
#include <string.h>

/* POSIX: a pointer from dlsym is that of the function (dlsym, application usage). */
static bool find(void *library, const char *name, void *out, size_t size)
{
    void *found = dlsym(library, name);
    memcpy(out, &found, size);
    return found != NULL;
}

bool editor_load(struct editor *editor)
{
    void *library = dlopen("libedit.so.2", RTLD_NOW | RTLD_LOCAL);
    bool good = library != NULL;
#define EDITOR_FIND(name) good = good && find(library, #name, &editor->name, sizeof editor->name);
    EDITOR_FUNCTIONS(EDITOR_FIND)
#undef EDITOR_FIND
    return good;
}
