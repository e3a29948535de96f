/* What a word that is begun may become. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cmocka.h>

#include "desk/completion.h"

static void each(void *context, bool begins_line, completion_take take, void *target)
{
    static const char *const first[] = {"open", "set", "say", "save"};
    static const char *const names[] = {"sleeve.face", "sleeve.side", "step", "sleeve.face"};
    (void)context;
    for (size_t i = 0; begins_line && i < 4; i++)
        take(target, first[i]);
    for (size_t i = 0; i < 4; i++)
        take(target, names[i]);
}

static bool takes_file(void *context, const char *word, size_t size)
{
    (void)context;
    return size == 4 && !memcmp(word, "open", 4);
}

static const struct completion_words words = {each, takes_file, NULL};

static struct completion find(const char *line)
{
    struct completion c;
    completion_find(&c, &words, line, strlen(line));
    return c;
}

static void a_line_begins_with_a_word_or_a_name(void **state)
{
    (void)state;
    struct completion c = find("  s");
    assert_int_equal(c.start, 2);
    assert_int_equal(c.count, 6); /* none twice */
    assert_string_equal(c.found[0], "save");
    assert_int_equal(c.shared, 1);
    completion_clear(&c);
    c = find("op");
    assert_int_equal(c.count, 1);
    assert_int_equal(c.shared, 4);
    completion_clear(&c);
    completion_clear(&c);
}

static void further_on_only_names_stand(void **state)
{
    (void)state;
    struct completion c = find("say sl");
    assert_int_equal(c.start, 4);
    assert_int_equal(c.count, 2);
    assert_int_equal(c.shared, strlen("sleeve."));
    completion_clear(&c);
    c = find("3 mm + 2*ste");
    assert_int_equal(c.start, 9);
    assert_int_equal(c.count, 1);
    assert_string_equal(c.found[0], "step");
    completion_clear(&c);
    c = find("say op");
    assert_int_equal(c.count, 0);
    completion_clear(&c);
}

static void files_stand_behind_open(void **state)
{
    (void)state;
    char folder[] = "/tmp/nearmark-completion-XXXXXX", line[128] = "open ";
    assert_non_null(mkdtemp(folder));
    assert_int_equal(chdir(folder), 0);
    assert_int_equal(mkdir("tins", 0700), 0);
    assert_int_equal(mkdir("tins/.hidden", 0700), 0);
    assert_int_equal(mkdir("tins/tea-box", 0700), 0);
    struct completion c = find("open ti");
    assert_int_equal(c.count, 1);
    assert_string_equal(c.found[0], "tins/");
    completion_clear(&c);
    strcat(line, "tins/");
    c = find(line);
    assert_int_equal(c.count, 1);
    assert_int_equal(c.start, 5);
    assert_string_equal(c.found[0], "tins/tea-box/");
    completion_clear(&c);
    c = find("open tins/.h");
    assert_int_equal(c.count, 1);
    completion_clear(&c);
    c = find("open nowhere/");
    assert_int_equal(c.count, 0);
    completion_clear(&c);
    rmdir("tins/tea-box");
    rmdir("tins/.hidden");
    rmdir("tins");
    assert_int_equal(chdir("/"), 0);
    rmdir(folder);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_line_begins_with_a_word_or_a_name),
        cmocka_unit_test(further_on_only_names_stand),
        cmocka_unit_test(files_stand_behind_open),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
