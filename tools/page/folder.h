/* folder.h -- files that belong together, gathered in memory and written as a folder that is whole or not there.
 *
 * They are written into a folder beside the wanted one, under a name with a point, and moved into place at the end. */
#ifndef TOOLS_PAGE_FOLDER_H
#define TOOLS_PAGE_FOLDER_H

#include "ground/sink.h"

struct folder_file {
    char *name; /* within the folder; one `/` at the most */
    struct sink bytes;
};

struct folder {
    struct folder_file *files;
    size_t count;
};

/* A new file; the sink is to be filled before the next call. */
struct sink *folder_add(struct folder *folder, const char *name);
void folder_clear(struct folder *folder);

/* May it be written there? Asked before the work is done; the message is given where not. */
enum ending folder_ask(const char *path, bool force);
/* Writes it. `force`: a folder that is there gives way; what it holds beside these files is kept. Not DONE: the message was
 * given, and nothing was left or changed. */
enum ending folder_write(const struct folder *folder, const char *path, bool force);

#endif
