/* The language of designs: every file of tests/unit/design/cases holds programs and what becomes of them, as
 *     === program
 *     ...
 *     === dump            (or: === diagnostics)
 *     ...
 * The program is read as it stands, byte for byte, up to the line end before the next ===. A dump is that of the model (notes
 * are not looked at); diagnostics are printed as a person sees them, notes too. `...` at the end of a dump: the rest is any.
 * With NEARMARK_REWRITE set in the environment the expectations are written anew; read the difference before keeping it. */
#include <dirent.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/memory.h"
#include "base/text.h"
#include "design/design_dump.h"
#include "nearmark/design.h"

#define CASES NEARMARK_TESTS "/unit/design/cases"

static char *read_file(const char *path, size_t *size)
{
    FILE *f = fopen(path, "rb");
    assert_non_null(f);
    struct nmk_text text = {0};
    char buffer[4096];
    for (size_t n; (n = fread(buffer, 1, sizeof buffer, f)) > 0;)
        nmk_text_add(&text, buffer, n);
    fclose(f);
    *size = text.size;
    return nmk_text_release(&text);
}

static void add_diagnostics(struct nmk_text *out, const struct nmk_diagnostics *list)
{
    for (size_t i = 0; i < nmk_diagnostics_count(list); i++) {
        const struct nmk_diagnostic *d = nmk_diagnostics_get(list, i);
        size_t size = nmk_diagnostic_print(NULL, 0, d, NULL);
        char *text = nmk_memory_new(size + 1, 1);
        assert_int_equal(nmk_diagnostic_print(text, size + 1, d, NULL), size);
        nmk_text_add_format(out, "[%s] %s", d->code, text);
        nmk_memory_free(text);
    }
}

/* What becomes of a program, in the form that is asked for. */
static void answer(struct nmk_text *out, const char *program, size_t size, bool dump)
{
    struct nmk_diagnostics *list;
    struct nmk_design *design = NULL;
    nmk_diagnostics_new(&list, 20);
    char *exact = nmk_memory_new(size, 1); /* so that reading past its end is seen */
    memcpy(exact, program, size);
    enum nmk_status status = nmk_design_read(&design, exact, size, list);
    nmk_memory_free(exact);
    assert_int_equal(status == NMK_OK, design != NULL);
    assert_int_equal(status == NMK_OK, nmk_diagnostics_errors(list) == 0);
    if (design)
        assert_true(nmk_design_check(design));
    if (dump && design)
        nmk_design_dump(out, design);
    else
        add_diagnostics(out, list);
    if (!dump && status == NMK_TOO_LARGE)
        nmk_text_add_string(out, "(too large)\n");
    nmk_design_free(design);
    nmk_diagnostics_free(list);
}

static bool is_answered(const struct nmk_text *got, const char *want, size_t size)
{
    bool open = size >= 4 && !memcmp(want + size - 4, "...\n", 4);
    size_t compared = open ? size - 4 : size;
    return got->size >= compared && (open || got->size == size) && !memcmp(nmk_text_get(got), want, compared);
}

/* The end of the section that begins at `at`: where the next line begins with `===`. */
static size_t section_end(const char *text, size_t size, size_t at)
{
    while (at < size && strncmp(text + at, "=== ", 4)) {
        const char *line = memchr(text + at, '\n', size - at);
        at = line ? (size_t)(line - text) + 1 : size;
    }
    return at;
}

/* Takes the heading at *at; false where there is none. */
static bool take_heading(const char *text, size_t size, size_t *at, const char *word)
{
    size_t length = strlen(word);
    if (size - *at < length + 5 || memcmp(text + *at, "=== ", 4) || memcmp(text + *at + 4, word, length) ||
        text[*at + 4 + length] != '\n')
        return false;
    *at += length + 5;
    return true;
}

static size_t run_group(const char *path, const char *text, size_t size, size_t at, struct nmk_text *anew, bool *ok)
{
    size_t begin = at;
    if (!take_heading(text, size, &at, "program"))
        fail_msg("%s: no `=== program` at byte %zu", path, at);
    size_t end = section_end(text, size, at), next = end;
    bool dump = take_heading(text, size, &next, "dump");
    if (!dump && !take_heading(text, size, &next, "diagnostics"))
        fail_msg("%s: no `=== dump` or `=== diagnostics` at byte %zu", path, end);
    size_t stop = section_end(text, size, next);
    struct nmk_text got = {0};
    answer(&got, text + at, end > at ? end - at - 1 : 0, dump);
    if (!is_answered(&got, text + next, stop - next)) {
        *ok = false;
        print_message("%s: the program at byte %zu\n--- expected\n%.*s--- got\n%s", path, at, (int)(stop - next), text + next,
                      nmk_text_get(&got));
    }
    bool open = stop - next >= 4 && !memcmp(text + stop - 4, "...\n", 4);
    nmk_text_add(anew, text + begin, next - begin);
    nmk_text_add_string(anew, open ? "" : nmk_text_get(&got));
    if (open)
        nmk_text_add(anew, text + next, stop - next);
    nmk_text_clear(&got);
    return stop;
}

static void rewrite(const char *path, const struct nmk_text *anew)
{
    FILE *f = fopen(path, "wb");
    assert_non_null(f);
    assert_int_equal(fwrite(nmk_text_get(anew), 1, anew->size, f), anew->size);
    assert_int_equal(fclose(f), 0);
}

static bool run_file(const char *name, size_t *groups)
{
    char path[600];
    snprintf(path, sizeof path, "%s/%s", CASES, name);
    size_t size, at = 0;
    char *text = read_file(path, &size);
    struct nmk_text anew = {0};
    bool ok = true;
    for (; at < size; (*groups)++)
        at = run_group(path, text, size, at, &anew, &ok);
    if (!ok && getenv("NEARMARK_REWRITE"))
        rewrite(path, &anew);
    nmk_text_clear(&anew);
    nmk_memory_free(text);
    return ok;
}

static void every_case(void **state)
{
    (void)state;
    DIR *folder = opendir(CASES);
    size_t files = 0, groups = 0, wrong = 0;
    assert_non_null(folder);
    for (struct dirent *entry; (entry = readdir(folder));) {
        size_t size = strlen(entry->d_name);
        if (size < 5 || strcmp(entry->d_name + size - 4, ".txt"))
            continue;
        files++;
        wrong += !run_file(entry->d_name, &groups);
    }
    closedir(folder);
    print_message("%zu programs in %zu files\n", groups, files);
    assert_int_equal(wrong, 0);
    assert_true(files > 40 && groups >= files);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(every_case)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
