#include "desk/completion.h"

#include <dirent.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#include "ground/sink.h"
#include "ground/store.h"

struct finding {
    struct completion *out;
    const char *begun;
    size_t size;
};

static void take_word(void *target, const char *word)
{
    struct finding *f = target;
    if (strncmp(word, f->begun, f->size))
        return;
    for (size_t i = 0; i < f->out->count; i++)
        if (!strcmp(f->out->found[i], word))
            return;
    f->out->found = store_resize(f->out->found, (f->out->count + 1) * sizeof *f->out->found);
    f->out->found[f->out->count++] = store_copy(word, strlen(word));
}

/* ---- names of files ---- */

static void take_entry(struct finding *f, const char *folder, const char *name)
{
    struct stat at;
    struct sink path = {0};
    sink_format(&path, "%s%s", folder, name);
    if (!stat(path.data, &at) && S_ISDIR(at.st_mode))
        sink_string(&path, "/");
    take_word(f, path.data);
    sink_drop(&path);
}

/* Hidden files only where their point was typed. */
static void take_files(struct finding *f)
{
    char *folder = store_copy(f->begun, f->size), *slash = strrchr(folder, '/');
    bool hidden = (slash ? slash[1] : *folder) == '.';
    if (slash)
        slash[1] = '\0';
    else
        *folder = '\0';
    DIR *entries = opendir(*folder ? folder : ".");
    for (struct dirent *entry; entries && (entry = readdir(entries));)
        if (hidden || entry->d_name[0] != '.')
            take_entry(f, folder, entry->d_name);
    if (entries)
        closedir(entries);
    store_free(folder);
}

/* ---- the whole ---- */

static bool is_word_byte(char c)
{
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '_' || c == '.' || (c & 0x80);
}

static int compare(const void *a, const void *b)
{
    return strcmp(*(char *const *)a, *(char *const *)b);
}

static void finish(struct completion *out)
{
    if (!out->count)
        return;
    qsort(out->found, out->count, sizeof *out->found, compare);
    const char *first = out->found[0], *last = out->found[out->count - 1];
    while (first[out->shared] && first[out->shared] == last[out->shared])
        out->shared++;
}

void completion_find(struct completion *out, const struct completion_words *words, const char *line, size_t size)
{
    size_t first = 0, end;
    *out = (struct completion){.start = size};
    while (first < size && line[first] == ' ')
        first++;
    for (end = first; end < size && line[end] != ' ';)
        end++;
    bool file = end < size && words->takes_file(words->context, line + first, end - first);
    while (out->start > first && (file ? line[out->start - 1] != ' ' : is_word_byte(line[out->start - 1])))
        out->start--;
    char *begun = store_copy(line + out->start, size - out->start);
    struct finding f = {.out = out, .begun = begun, .size = size - out->start};
    if (file)
        take_files(&f);
    else
        words->each(words->context, out->start == first, take_word, &f);
    store_free(begun);
    finish(out);
}

void completion_clear(struct completion *c)
{
    for (size_t i = 0; i < c->count; i++)
        store_free(c->found[i]);
    store_free(c->found);
    *c = (struct completion){0};
}
