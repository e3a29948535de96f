#define _XOPEN_SOURCE 700 /* mkdtemp */
#include "page/folder.h"

#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "ground/message.h"
#include "ground/store.h"

/* ---- gathering ---- */

struct sink *folder_add(struct folder *folder, const char *name)
{
    folder->files = store_resize(folder->files, (folder->count + 1) * sizeof *folder->files);
    struct folder_file *file = &folder->files[folder->count++];
    *file = (struct folder_file){.name = store_copy(name, strlen(name)), .bytes = {.fd = -1}};
    return &file->bytes;
}

void folder_clear(struct folder *folder)
{
    for (size_t i = 0; i < folder->count; i++) {
        store_free(folder->files[i].name);
        sink_drop(&folder->files[i].bytes);
    }
    store_free(folder->files);
    *folder = (struct folder){0};
}

/* ---- names ----
 *
 * Once the first file is written nothing is allocated until the folder is whole or gone again: the program ends where memory
 * does, and would leave what it has begun. So paths are put together in buffers. */

enum { LONGEST = 4096 + 2 * 256 }; /* PATH_MAX, and two names in it */

/* Without the slashes at its end. The caller's. */
static char *trimmed(const char *path)
{
    size_t size = strlen(path);
    while (size > 1 && path[size - 1] == '/')
        size--;
    return store_copy(path, size);
}

/* false: it is too long. */
static bool join(char out[LONGEST], const char *folder, const char *name)
{
    return snprintf(out, LONGEST, "%s/%s", folder, name) < LONGEST;
}

/* FOLDER/.NAME.XXXXXX */
static bool beside(char out[LONGEST], const char *path)
{
    const char *slash = strrchr(path, '/'), *name = slash ? slash + 1 : path;
    return snprintf(out, LONGEST, "%.*s.%.200s.XXXXXX", (int)(name - path), path, name) < LONGEST;
}

/* ---- asking ---- */

static enum ending refuse(const char *path, int error)
{
    message_error("the folder %s cannot be written: %s", path, strerror(error));
    return error == ENOSPC || error == EIO || error == EDQUOT || error == EFBIG ? ENDING_FAILED : ENDING_WRONG;
}

static bool has_no_name(const char *path)
{
    const char *slash = strrchr(path, '/'), *name = slash ? slash + 1 : path;
    return !*name || !strcmp(name, ".") || !strcmp(name, "..");
}

static enum ending ask(const char *path, bool force)
{
    struct stat at;
    if (has_no_name(path)) {
        message_error("%s: name a folder that is to be made, -o page", path);
        return ENDING_WRONG;
    }
    if (lstat(path, &at))
        return errno == ENOENT ? ENDING_DONE : refuse(path, errno);
    if (!S_ISDIR(at.st_mode)) {
        message_error("%s is there already, and is no folder", path);
        return ENDING_WRONG;
    }
    if (!force) {
        message_error("the folder %s is there already; --force replaces what was published there", path);
        return ENDING_WRONG;
    }
    return ENDING_DONE;
}

enum ending folder_ask(const char *path, bool force)
{
    char *name = trimmed(path);
    enum ending ending = ask(name, force);
    store_free(name);
    return ending;
}

/* ---- writing; from here on functions answer an errno, 0 for none ---- */

static int write_bytes(int fd, const struct sink *bytes)
{
    size_t done = 0;
    while (done < bytes->size) {
        ssize_t n = write(fd, bytes->data + done, bytes->size - done);
        if (n < 0 && errno != EINTR)
            return errno;
        done += n > 0 ? (size_t)n : 0;
    }
    return 0;
}

static int write_file(const char *path, const struct sink *bytes)
{
    int fd = open(path, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
    if (fd < 0)
        return errno;
    int error = write_bytes(fd, bytes);
    if (!error && fsync(fd) && errno != EINVAL && errno != EROFS)
        error = errno;
    if (close(fd) && !error)
        error = errno;
    return error;
}

static int make_parent(char *path, size_t from)
{
    char *slash = strchr(path + from, '/');
    if (!slash)
        return 0;
    *slash = '\0';
    int error = mkdir(path, 0777) && errno != EEXIST ? errno : 0;
    *slash = '/';
    return error;
}

static int write_all(const struct folder *folder, const char *path)
{
    char name[LONGEST];
    int error = 0;
    for (size_t i = 0; i < folder->count && !error; i++) {
        error = join(name, path, folder->files[i].name) ? make_parent(name, strlen(path) + 1) : ENAMETOOLONG;
        if (!error)
            error = write_file(name, &folder->files[i].bytes);
    }
    return error;
}

/* Takes away these files, and the folders that are then empty. */
static void remove_all(const struct folder *folder, const char *path)
{
    char name[LONGEST];
    for (size_t i = 0; i < folder->count; i++) {
        if (!join(name, path, folder->files[i].name))
            continue;
        char *slash = strchr(name + strlen(path) + 1, '/');
        unlink(name);
        if (slash) {
            *slash = '\0';
            rmdir(name);
        }
    }
    rmdir(path);
}

/* ---- a folder that gives way ---- */

static bool is_dots(const char *name)
{
    return !strcmp(name, ".") || !strcmp(name, "..");
}

/* Moves what `from` holds and `to` does not, one folder deep. */
static void move_rest(const char *from, const char *to, bool deep)
{
    char old[LONGEST], new[LONGEST];
    DIR *list = opendir(from);
    struct dirent *entry;
    while (list && (entry = readdir(list))) {
        if (is_dots(entry->d_name) || !join(old, from, entry->d_name) || !join(new, to, entry->d_name))
            continue;
        struct stat at, there;
        if (lstat(new, &there))
            (void)!rename(old, new);
        else if (deep && !lstat(old, &at) && S_ISDIR(at.st_mode) && S_ISDIR(there.st_mode))
            move_rest(old, new, false);
    }
    if (list)
        closedir(list);
}

/* The old one steps aside, the new one takes its place; if it cannot, the old one comes back. */
static int replace(const struct folder *folder, const char *unfinished, const char *path)
{
    char aside[LONGEST];
    if (!beside(aside, path))
        return ENAMETOOLONG;
    int error = mkdtemp(aside) && !rename(path, aside) ? 0 : errno;
    if (!error && rename(unfinished, path)) {
        error = errno;
        (void)!rename(aside, path);
    }
    if (error) {
        rmdir(aside);
    } else {
        move_rest(aside, path, true);
        remove_all(folder, aside);
        if (!access(aside, F_OK))
            message_error("what else stood in %s is now in %s", path, aside);
    }
    return error;
}

static mode_t usual_mode(void)
{
    mode_t mask = umask(0);
    umask(mask);
    return 0777 & ~mask;
}

static int put(const struct folder *folder, const char *path)
{
    struct stat at;
    char unfinished[LONGEST];
    int error = !beside(unfinished, path) ? ENAMETOOLONG : mkdtemp(unfinished) ? 0 : errno;
    if (error)
        return error;
    error = chmod(unfinished, usual_mode()) ? errno : write_all(folder, unfinished);
    if (!error)
        error = !lstat(path, &at) ? replace(folder, unfinished, path) : rename(unfinished, path) ? errno : 0;
    if (error)
        remove_all(folder, unfinished);
    return error;
}

/* No signal comes between: it waits until the folder is there or is gone. */
enum ending folder_write(const struct folder *folder, const char *path, bool force)
{
    sigset_t all, before;
    char *name = trimmed(path);
    enum ending ending = ask(name, force);
    if (!ending) {
        sigfillset(&all);
        sigprocmask(SIG_BLOCK, &all, &before);
        int error = put(folder, name);
        sigprocmask(SIG_SETMASK, &before, NULL);
        if (error)
            ending = refuse(name, error);
    }
    store_free(name);
    return ending;
}
