#include "unit/length/reading.h"

#include <stdlib.h>
#include <string.h>
/* cmocka wants these first */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

static const char *const codes[] = {"no-number",    "minus",  "bare-point",       "ambiguous-comma", "two-signs",
                                    "digit-groups", "hyphen", "division-by-zero", "too-long",        "pt",
                                    "unknown-unit", "area",   "no-inch-unit",     "two-units"};

static bool is_known(const char *code)
{
    for (size_t i = 0; i < sizeof codes / sizeof *codes; i++)
        if (strcmp(codes[i], code) == 0)
            return true;
    return false;
}

bool reading_is_plain(const char *text)
{
    for (const unsigned char *s = (const unsigned char *)text; *s;) {
        unsigned more = *s < 0x80 ? 0 : *s >= 0xF0 ? 3 : *s >= 0xE0 ? 2 : 1;
        if (*s < 0x20 || *s == 0x7F || (*s >= 0x80 && *s < 0xC2) || *s > 0xF4 || (*s == 0xC2 && s[1] < 0xA0))
            return false;
        for (s++; more; more--, s++)
            if ((*s & 0xC0) != 0x80)
                return false;
    }
    return true;
}

static void check_read(const struct nmk_length_read *r, size_t size)
{
    assert_true(nmk_rat_is_canonical(&r->mm));
    assert_true(r->used > 0 && r->used <= size);
    assert_true(r->slash < r->used);
    assert_true((unsigned)r->unit <= NMK_UNIT_NONE);
    assert_true(r->slash == 0 || r->unit == NMK_UNIT_NONE);
}

static void check_error(const struct nmk_length_error *e, enum nmk_status status, size_t size)
{
    assert_true(status == NMK_INVALID || status == NMK_TOO_LARGE);
    assert_non_null(e->code);
    assert_true(is_known(e->code));
    assert_int_equal(status == NMK_TOO_LARGE, strcmp(e->code, "too-long") == 0);
    assert_true(e->at <= size && e->size <= size - e->at);
    assert_true(e->message[0] && reading_is_plain(e->message) && reading_is_plain(e->hint));
    assert_true(e->message[strlen(e->message) - 1] != '.');
}

enum nmk_status reading_parse(struct nmk_length_read *out, const char *text, size_t size, bool allow_minus,
                              struct nmk_length_error *error)
{
    char *copy = malloc(size ? size : 1);
    struct nmk_length_read before = {.unit = NMK_FT, .used = 12345, .slash = 678, .doubtful = true};
    struct nmk_length_read r = before;
    assert_non_null(copy);
    if (size)
        memcpy(copy, text, size);
    memset(error, 0x5A, sizeof *error);
    enum nmk_status status = nmk_length_parse(&r, copy, size, allow_minus, error);
    free(copy);
    if (status) {
        check_error(error, status, size);
        assert_memory_equal(&r, &before, sizeof r);
        return status;
    }
    check_read(&r, size);
    nmk_length_read_clear(out);
    *out = r;
    return NMK_OK;
}

struct nmk_rat reading_mm(const char *text)
{
    struct nmk_length_read r = {.used = 0};
    struct nmk_length_error e;
    struct nmk_rat mm = {0};
    assert_int_equal(reading_parse(&r, text, strlen(text), true, &e), NMK_OK);
    assert_int_equal(r.used, strlen(text));
    nmk_rat_swap(&mm, &r.mm);
    nmk_length_read_clear(&r);
    return mm;
}
