#include <assert.h>
#include <string.h>

#include "base/memory.h"
#include "length/length_text.h"

enum { FINEST = 1024, MOST_PLACES = 1000, USUAL_DIGITS = 64 };

void nmk_length_in_unit(struct nmk_rat *out, const struct nmk_rat *mm, enum nmk_unit unit)
{
    struct nmk_rat factor = {0};
    nmk_unit_mm(&factor, unit);
    enum nmk_status status = nmk_rat_div(out, mm, &factor);
    assert(status == NMK_OK);
    (void)status;
    nmk_rat_clear(&factor);
}

bool nmk_length_is_binary(struct nmk_rat *whole, int64_t *num, int64_t *den, const struct nmk_rat *value, int64_t most)
{
    struct nmk_rat size = {0}, floor = {0}, part = {0};
    int64_t n = 0, d = 0;
    nmk_rat_abs(&size, value);
    nmk_rat_floor(&floor, &size);
    nmk_rat_sub(&part, &size, &floor);
    bool binary = nmk_rat_get_frac(&n, &d, &part) == NMK_OK && d <= most && (d & (d - 1)) == 0;
    if (binary) {
        nmk_rat_swap(whole, &floor);
        *num = n;
        *den = d;
    }
    nmk_rat_clear(&size);
    nmk_rat_clear(&floor);
    nmk_rat_clear(&part);
    return binary;
}

/* `text`, of `length` bytes, holds a point: without the zeros at its end, and without the point if nothing is left. */
static size_t trimmed(const char *text, size_t length)
{
    while (length && text[length - 1] == '0')
        length--;
    return length && text[length - 1] == '.' ? length - 1 : length;
}

void nmk_length_add_decimal(struct nmk_text *t, const struct nmk_rat *value, unsigned places)
{
    if (places > MOST_PLACES)
        places = MOST_PLACES;
    char room[USUAL_DIGITS], *longer = NULL;
    size_t length = nmk_rat_print_decimal(room, sizeof room, value, places);
    if (length >= sizeof room) {
        longer = nmk_memory_new(length + 1, 1);
        nmk_rat_print_decimal(longer, length + 1, value, places);
    }
    const char *digits = longer ? longer : room;
    nmk_text_add(t, digits, places ? trimmed(digits, length) : length);
    nmk_memory_free(longer);
}

size_t nmk_length_put(char *buffer, size_t size, struct nmk_text *t)
{
    size_t length = t->size, fits = size ? (length < size ? length : size - 1) : 0;
    if (buffer && size) {
        memcpy(buffer, nmk_text_get(t), fits);
        buffer[fits] = '\0';
    }
    nmk_text_clear(t);
    return length;
}

static void add_fraction(struct nmk_text *t, int64_t num, const char *slash, int64_t den)
{
    struct nmk_rat part = {0};
    char room[USUAL_DIGITS];
    (void)nmk_rat_set_frac(&part, num, den);
    nmk_rat_print(room, sizeof room, &part);
    char *at = strchr(room, '/');
    assert(at);
    nmk_text_add(t, room, (size_t)(at - room));
    nmk_text_add_string(t, slash);
    nmk_text_add_string(t, at + 1);
    nmk_rat_clear(&part);
}

static void add_mixed(struct nmk_text *t, const struct nmk_rat *whole, int64_t num, int64_t den, bool minus,
                      enum nmk_fraction_style style)
{
    bool slash = style == NMK_FRACTION_SLASH, has_whole = !nmk_rat_is_zero(whole);
    if (minus)
        nmk_text_add_string(t, "-");
    if (has_whole || !num)
        nmk_length_add_decimal(t, whole, 0);
    if (has_whole && num)
        nmk_text_add_string(t, slash ? "\xE2\x80\x89" : " "); /* U+2009 thin space */
    if (num)
        add_fraction(t, num, slash ? "\xE2\x81\x84" : "/", den); /* U+2044 */
}

static void add_figure(struct nmk_text *t, const struct nmk_rat *mm, enum nmk_unit unit, unsigned places,
                       enum nmk_fraction_style style)
{
    struct nmk_rat value = {0}, whole = {0};
    int64_t num = 0, den = 1;
    nmk_length_in_unit(&value, mm, unit);
    if (nmk_unit_is_inch(unit) && nmk_length_is_binary(&whole, &num, &den, &value, FINEST))
        add_mixed(t, &whole, num, den, nmk_rat_sign(&value) < 0, style);
    else
        nmk_length_add_decimal(t, &value, places);
    nmk_rat_clear(&value);
    nmk_rat_clear(&whole);
}

size_t nmk_length_print_figure(char *buffer, size_t size, const struct nmk_rat *mm, enum nmk_unit unit, unsigned places,
                               enum nmk_fraction_style style)
{
    struct nmk_text t = {0};
    if (mm)
        add_figure(&t, mm, unit, places, style);
    return nmk_length_put(buffer, size, &t);
}

size_t nmk_length_print(char *buffer, size_t size, const struct nmk_rat *mm, enum nmk_unit unit, unsigned places,
                        enum nmk_fraction_style style)
{
    struct nmk_text t = {0};
    if (mm)
        add_figure(&t, mm, unit, places, style);
    if (mm && *nmk_unit_name(unit)) {
        nmk_text_add(&t, " ", 1);
        nmk_text_add_string(&t, nmk_unit_name(unit));
    }
    return nmk_length_put(buffer, size, &t);
}
