#include "load.h"

#include <errno.h>
#include <fcntl.h>
#include <string.h>
#include <unistd.h>

#include "ground/figure.h"
#include "ground/message.h"
#include "ground/store.h"
#include "known_names.h"

enum { MOST_BYTES = 1024 * 1024, MOST_ERRORS = 20 };

/* Reads up to one byte more than a design may have; how much there was, or -1 (errno). */
static ssize_t read_all(int fd, char *text)
{
    size_t size = 0;
    while (size < MOST_BYTES + 1) {
        ssize_t n = read(fd, text + size, MOST_BYTES + 1 - size);
        if (n < 0 && errno == EINTR)
            continue;
        if (n < 0)
            return -1;
        if (!n)
            break;
        size += (size_t)n;
    }
    return (ssize_t)size;
}

void load_note_size(const struct nmk_measure *measure)
{
    if (!measure->has_range ||
        (nmk_rat_cmp(&measure->size, &measure->from) >= 0 && nmk_rat_cmp(&measure->size, &measure->to) <= 0))
        return;
    char *size = figure_length(&measure->size, measure->unit);
    char *from = figure_length(&measure->from, measure->unit), *to = figure_length(&measure->to, measure->unit);
    message_error("note: %s = %s lies outside the sizes that the design is meant for, %s to %s", measure->name, size, from, to);
    store_free(size);
    store_free(from);
    store_free(to);
}

static bool put_sizes(struct nmk_design *design, const struct call *call)
{
    for (size_t i = 0; i < call->set_count; i++) {
        size_t measure;
        if (!known_measure(&measure, design, call->sets[i].name, "--set: "))
            return false;
        if (nmk_design_set_measure(design, measure, &call->sets[i].size)) {
            message_error("--set: %s cannot have this size", call->sets[i].name);
            return false;
        }
        load_note_size(nmk_design_measure(design, measure));
    }
    return true;
}

struct nmk_design *load_text(const char *name, const char *text, size_t size, const struct call *call)
{
    struct nmk_design *design = NULL;
    struct nmk_diagnostics *list;
    if (nmk_diagnostics_new(&list, MOST_ERRORS))
        return NULL;
    enum nmk_status status = nmk_design_read(&design, text, size, list);
    message_diagnostics(name, list);
    if (status && !nmk_diagnostics_errors(list))
        message_error("%s cannot be read: %s", name, nmk_status_name(status));
    nmk_diagnostics_free(list);
    if (design && !put_sizes(design, call)) {
        nmk_design_free(design);
        design = NULL;
    }
    return design;
}

char *load_file(const char *path, size_t *size, enum ending *ending)
{
    bool piped = !strcmp(path, "-");
    int fd = piped ? STDIN_FILENO : open(path, O_RDONLY | O_CLOEXEC);
    char *text = store_new(MOST_BYTES + 1, 1);
    ssize_t got = fd < 0 ? -1 : read_all(fd, text);
    *ending = got < 0 && errno == EIO ? ENDING_FAILED : ENDING_WRONG;
    if (got < 0) {
        message_unreadable(piped ? "standard input" : path, errno);
        store_free(text);
        text = NULL;
    }
    if (fd >= 0 && !piped)
        close(fd);
    *size = got < 0 ? 0 : (size_t)got;
    return text;
}

struct nmk_design *load_design(const char *path, const struct call *call, enum ending *ending)
{
    size_t size;
    char *text = load_file(path, &size, ending);
    const char *name = strcmp(path, "-") ? path : "standard input";
    struct nmk_design *design = text ? load_text(name, text, size, call) : NULL;
    store_free(text);
    return design;
}
