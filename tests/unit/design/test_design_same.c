/* Ways of writing that mean the same: the reference designs, each written in another way, are the same designs. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "base/memory.h"
#include "base/text.h"
#include "design/design_dump.h"
#include "unit/design/trial.h"

static void dump(struct nmk_text *out, const char *text, size_t size)
{
    struct nmk_design *design;
    struct nmk_diagnostics *list;
    nmk_diagnostics_new(&list, 20);
    if (trial_read(text, size, &design, list) != NMK_OK)
        fail_msg("%s in line %u of\n%.*s", nmk_diagnostics_get(list, 0)->message, nmk_diagnostics_get(list, 0)->span.line,
                 (int)size, text);
    nmk_design_dump(out, design);
    nmk_design_free(design);
    nmk_diagnostics_free(list);
}

/* `from` by `to` (every second time by `other`, if there is one) wherever it stands outside comments and texts; a quote is
 * no part of the text. */
static void replace(struct nmk_text *out, const char *text, size_t size, const char *from, const char *to, const char *other)
{
    size_t length = strlen(from), count = 0;
    bool comment = false, quoted = false;
    for (size_t at = 0; at < size;) {
        comment = text[at] == '\n' ? false : comment || text[at] == '#';
        bool quote = !comment && text[at] == '"';
        quoted = quoted != quote;
        if (comment || (quoted && !quote) || at + length > size || memcmp(text + at, from, length)) {
            nmk_text_add(out, text + at++, 1);
            continue;
        }
        nmk_text_add_string(out, other && count++ % 2 ? other : to);
        at += length;
    }
}

static void is_the_same(const char *from, const char *to, const char *other)
{
    for (size_t i = 0; i < REFERENCES; i++) {
        size_t size;
        char *text = trial_file(trial_references[i], &size);
        struct nmk_text changed = {0}, want = {0}, got = {0};
        replace(&changed, text, size, from, to, other);
        assert_true(changed.size != size || memcmp(changed.data, text, size));
        dump(&want, text, size);
        dump(&got, changed.data, changed.size);
        if (strcmp(nmk_text_get(&want), nmk_text_get(&got)))
            fail_msg("%s is another design with `%s` for `%s`:\n%s", trial_references[i], to, from, nmk_text_get(&got));
        nmk_text_clear(&changed);
        nmk_text_clear(&want);
        nmk_text_clear(&got);
        nmk_memory_free(text);
    }
}

static void spaces_and_lines(void **state)
{
    (void)state;
    is_the_same(" ", "  ", NULL);
    is_the_same("  ", "\t", NULL);
    is_the_same("  ", " \xC2\xA0", "\xE2\x80\xAF\xE2\x80\x89"); /* no-break, narrow no-break, thin */
    is_the_same("\n", "\r\n", NULL);
    is_the_same("\n", "\r", NULL);
    is_the_same("\n", "   # a comment | \"with\" signs\n", NULL);
    is_the_same("|", "|\n\n   # and on\n", NULL);
    is_the_same("| ", "|", NULL);
    is_the_same("design ", "\n\n   design \t", NULL);
}

static void signs(void **state)
{
    (void)state;
    is_the_same("\xC2\xB1", "+-", "+/-");
    is_the_same("\xC2\xB1 ", "\xC2\xB1", NULL);
    is_the_same("\"", "\xE2\x80\x9C", "\xE2\x80\x9D");
    is_the_same("\"", "\xE2\x80\x9E", "\xE2\x80\x9C");
    is_the_same("1 mm", "1mm", NULL);
}

/* Only the cover has these. */
static void layers(void **state)
{
    (void)state;
    static const char *const ways[][2] = {{" x ", " \xC3\x97 "},
                                          {"  smaller", ", smaller"},
                                          {"  shows", ", shows"},
                                          {" x ", " X "},
                                          {"on lid.top x lid.top_short", "on  lid.top  x  lid.top_short"}};
    size_t size;
    char *text = trial_file("cover.design", &size);
    struct nmk_text want = {0};
    dump(&want, text, size);
    for (size_t i = 0; i < sizeof ways / sizeof *ways; i++) {
        struct nmk_text changed = {0}, got = {0};
        replace(&changed, text, size, ways[i][0], ways[i][1], NULL);
        assert_true(changed.size != size || memcmp(changed.data, text, size));
        dump(&got, changed.data, changed.size);
        assert_string_equal(nmk_text_get(&want), nmk_text_get(&got));
        nmk_text_clear(&changed);
        nmk_text_clear(&got);
    }
    nmk_text_clear(&want);
    nmk_memory_free(text);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(spaces_and_lines),
        cmocka_unit_test(signs),
        cmocka_unit_test(layers),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
