#include "draw/drawer.h"

#include <errno.h>
#include <signal.h>
#include <spawn.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#include "draw/svg.h"
#include "ground/message.h"
#include "ground/store.h"

#ifndef NEARMARK_LIBEXECDIR
#define NEARMARK_LIBEXECDIR "/usr/local/libexec/nearmark"
#endif
#define NAME "nearmark-draw"

extern char **environ;

const char *const format_names[FORMAT_COUNT] = {"svg", "pdf", "png"};

/* ---- where it is ---- */

/* Beside this program, in libexec (as built), else where it was installed. The caller's (store_free). */
static char *find_helper(void)
{
    char self[4096];
    struct sink path = {0};
    ssize_t size = readlink("/proc/self/exe", self, sizeof self - 1);
    while (size > 0 && self[size - 1] != '/')
        size--;
    if (size > 0)
        sink_add(&path, self, (size_t)size);
    sink_string(&path, "libexec/" NAME);
    if (access(path.data, X_OK)) {
        path.size = 0;
        sink_string(&path, NEARMARK_LIBEXECDIR "/" NAME);
    }
    char *found = store_copy(path.data, path.size);
    sink_drop(&path);
    return found;
}

/* ---- talking to it ---- */

struct talk {
    int to[2], from[2]; /* pipes */
    pid_t child;
};

static void close_pipe(int *ends)
{
    for (int i = 0; i < 2; i++)
        if (ends[i] >= 0)
            close(ends[i]);
}

/* The errno, or 0. */
static int start(struct talk *t, const char *path, const char *format)
{
    char *words[] = {(char *)path, (char *)format, NULL};
    posix_spawn_file_actions_t actions;
    posix_spawnattr_t manner;
    sigset_t usual;
    sigemptyset(&usual);
    sigaddset(&usual, SIGPIPE);
    posix_spawn_file_actions_init(&actions);
    posix_spawnattr_init(&manner);
    posix_spawnattr_setsigdefault(&manner, &usual);
    posix_spawnattr_setflags(&manner, POSIX_SPAWN_SETSIGDEF);
    posix_spawn_file_actions_adddup2(&actions, t->to[0], STDIN_FILENO);
    posix_spawn_file_actions_adddup2(&actions, t->from[1], STDOUT_FILENO);
    for (int i = 0; i < 2; i++) {
        posix_spawn_file_actions_addclose(&actions, t->to[i]);
        posix_spawn_file_actions_addclose(&actions, t->from[i]);
    }
    int error = posix_spawn(&t->child, path, &actions, &manner, words, environ);
    posix_spawn_file_actions_destroy(&actions);
    posix_spawnattr_destroy(&manner);
    return error;
}

static void say(int fd, const struct sink *text)
{
    size_t done = 0;
    while (done < text->size) {
        ssize_t n = write(fd, text->data + done, text->size - done);
        if (n < 0 && errno != EINTR)
            return; /* it ended: its status tells */
        done += n > 0 ? (size_t)n : 0;
    }
}

static void hear(int fd, struct sink *out)
{
    char part[1 << 14];
    for (;;) {
        ssize_t n = read(fd, part, sizeof part);
        if (n < 0 && errno == EINTR)
            continue;
        if (n <= 0)
            return;
        sink_add(out, part, (size_t)n);
    }
}

static bool ended_well(pid_t child)
{
    int status = 0;
    while (waitpid(child, &status, 0) < 0 && errno == EINTR)
        ;
    return WIFEXITED(status) && !WEXITSTATUS(status);
}

/* It reads all before it writes, so this cannot wait for that while that waits for this. */
static enum ending ask(struct talk *t, struct sink *out, const char *path, enum format format, const struct sink *text)
{
    int error = start(t, path, format_names[format]);
    if (error) {
        message_error("drawing as %s needs %s, which cannot be started: %s", format_names[format], path, strerror(error));
        return ENDING_FAILED;
    }
    close(t->to[0]);
    close(t->from[1]);
    t->to[0] = t->from[1] = -1;
    say(t->to[1], text);
    close(t->to[1]);
    t->to[1] = -1;
    hear(t->from[0], out);
    if (ended_well(t->child))
        return ENDING_DONE;
    message_error("the drawing could not be made as %s", format_names[format]);
    return ENDING_FAILED;
}

static enum ending write_foreign(struct sink *out, enum format format, const struct scenes *scenes)
{
    struct talk t = {{-1, -1}, {-1, -1}, 0};
    struct sink text = {0};
    char *path = find_helper();
    enum ending ending = ENDING_FAILED;
    for (size_t i = 0; i < scenes->count && (format == FORMAT_PDF || !i); i++)
        scene_write(&text, &scenes->list[i]);
    if (pipe(t.to) || pipe(t.from))
        message_error("the drawing could not be made: %s", strerror(errno));
    else
        ending = ask(&t, out, path, format, &text);
    close_pipe(t.to);
    close_pipe(t.from);
    store_free(path);
    sink_drop(&text);
    return ending;
}

enum ending drawer_write(struct sink *out, enum format format, const struct scenes *scenes)
{
    if (format != FORMAT_SVG)
        return write_foreign(out, format, scenes);
    svg_write(out, &scenes->list[0]);
    return ENDING_DONE;
}
