/* Lines from a pipe, however they are cut up on their way. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

#include <cmocka.h>

#include "ground/line_reader.h"
#include "ground/store.h"

static int waits;

static void count_wait(void *context)
{
    (void)context;
    waits++;
}

/* A reader over a file that holds the text. */
static struct line_reader reader_over(const char *text, size_t size, FILE **file)
{
    *file = tmpfile();
    assert_non_null(*file);
    assert_int_equal(fwrite(text, 1, size, *file), size);
    assert_int_equal(fflush(*file), 0);
    assert_int_equal(lseek(fileno(*file), 0, SEEK_SET), 0);
    return (struct line_reader){.fd = fileno(*file), .before_waiting = count_wait};
}

static void next_is(struct line_reader *r, const char *want)
{
    const char *text = NULL;
    size_t size = 0;
    assert_int_equal(line_reader_next(r, &text, &size), LINE_GIVEN);
    assert_int_equal(size, strlen(want));
    assert_memory_equal(text, want, size);
}

static void ends(struct line_reader *r, FILE *file)
{
    const char *text;
    size_t size;
    assert_int_equal(line_reader_next(r, &text, &size), LINE_NONE);
    assert_int_equal(line_reader_next(r, &text, &size), LINE_NONE);
    line_reader_clear(r);
    fclose(file);
}

static void test_ends_of_lines(void **state)
{
    (void)state;
    FILE *file;
    static const char text[] = "\xEF\xBB\xBFone\r\ntwo\n\n\r\n\xEF\xBB\xBFthree\rfour\r";
    struct line_reader r = reader_over(text, sizeof text - 1, &file);
    next_is(&r, "one");
    next_is(&r, "two");
    next_is(&r, "");
    next_is(&r, "");
    assert_int_equal(r.number, 4);
    next_is(&r, "\xEF\xBB\xBFthree\rfour");
    ends(&r, file);
    assert_true(waits > 0);
}

static void test_nothing(void **state)
{
    (void)state;
    FILE *file;
    struct line_reader r = reader_over("", 0, &file);
    ends(&r, file);
}

static void test_longest_line_and_one_longer(void **state)
{
    (void)state;
    FILE *file;
    for (int over = 0; over <= 1; over++) {
        char *text = store_new(LINE_MOST + 16, 1);
        size_t size = LINE_MOST + (over ? 3 : 0);
        memset(text, 'x', size);
        memcpy(text + size, "\r\nend", 5);
        struct line_reader r = reader_over(text, size + 5, &file);
        const char *line;
        size_t line_size;
        assert_int_equal(line_reader_next(&r, &line, &line_size), over ? LINE_TOO_LONG : LINE_GIVEN);
        assert_int_equal(line[0], 'x');
        assert_true(over ? line_size < 100 : line_size == LINE_MOST);
        next_is(&r, "end");
        ends(&r, file);
        store_free(text);
    }
}

static void test_a_descriptor_that_cannot_be_read(void **state)
{
    (void)state;
    struct line_reader r = {.fd = -1};
    const char *text;
    size_t size;
    assert_int_equal(line_reader_next(&r, &text, &size), LINE_NONE);
    assert_int_not_equal(r.error, 0);
    line_reader_clear(&r);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_ends_of_lines),
        cmocka_unit_test(test_nothing),
        cmocka_unit_test(test_longest_line_and_one_longer),
        cmocka_unit_test(test_a_descriptor_that_cannot_be_read),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
