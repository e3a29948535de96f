#include <string.h>

#include "length/length_text.h"

enum { EXACT_PLACES = 6, ABOUT_PLACES = 3, FINEST_NAMED = 64, A_BILLION = 1000000000 };

static void add_word(struct nmk_text *t, const char *word)
{
    if (t->size)
        nmk_text_add_string(t, " ");
    nmk_text_add_string(t, word);
}

static const char *const small_words[] = {"zero",    "one",     "two",       "three",    "four",     "five",    "six",
                                          "seven",   "eight",   "nine",      "ten",      "eleven",   "twelve",  "thirteen",
                                          "fourteen", "fifteen", "sixteen",   "seventeen", "eighteen", "nineteen"};
static const char *const tens_words[] = {"", "", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"};

/* 0 < n < 100; a zero is not said. */
static void add_below_hundred(struct nmk_text *t, unsigned n)
{
    if (n < 20) {
        add_word(t, small_words[n]);
        return;
    }
    add_word(t, tens_words[n / 10]);
    if (n % 10)
        nmk_text_add_format(t, "-%s", small_words[n % 10]);
}

/* 0 < n < 1000. `and` stands before what is below a hundred, in British English, also after thousands alone. */
static void add_below_thousand(struct nmk_text *t, unsigned n, bool joins)
{
    if (n >= 100) {
        add_word(t, small_words[n / 100]);
        add_word(t, "hundred");
    }
    if (n % 100 == 0)
        return;
    if (n >= 100 || joins)
        add_word(t, "and");
    add_below_hundred(t, n % 100);
}

static void add_whole(struct nmk_text *t, unsigned n)
{
    if (n == 0)
        add_word(t, small_words[0]);
    if (n >= 1000000) {
        add_below_thousand(t, n / 1000000, false);
        add_word(t, "million");
    }
    if (n / 1000 % 1000) {
        add_below_thousand(t, n / 1000 % 1000, false);
        add_word(t, "thousand");
    }
    if (n % 1000)
        add_below_thousand(t, n % 1000, n >= 1000);
}

static void add_digits(struct nmk_text *t, const char *digits)
{
    for (; *digits; digits++)
        add_word(t, *digits == '.' ? "point" : small_words[*digits - '0']);
}

/* What stands before a fraction or a point; `digits` is it in figures. */
static void add_whole_rat(struct nmk_text *t, const struct nmk_rat *whole)
{
    int64_t n = 0;
    if (nmk_rat_get_int(&n, whole) == NMK_OK && n < A_BILLION) {
        add_whole(t, (unsigned)n);
        return;
    }
    struct nmk_text digits = {0};
    nmk_length_add_decimal(&digits, whole, 0);
    add_digits(t, nmk_text_get(&digits));
    nmk_text_clear(&digits);
}

static const char *part_name(int64_t den, bool many)
{
    static const struct {
        int64_t den;
        const char *one, *many;
    } names[] = {
        {2, "half", "halves"},         {4, "quarter", "quarters"},           {8, "eighth", "eighths"},
        {16, "sixteenth", "sixteenths"}, {32, "thirty-second", "thirty-seconds"}, {64, "sixty-fourth", "sixty-fourths"},
    };
    for (size_t i = 0; i < sizeof names / sizeof *names; i++)
        if (names[i].den == den)
            return many ? names[i].many : names[i].one;
    return "";
}

static void add_mixed(struct nmk_text *t, const struct nmk_rat *whole, int64_t num, int64_t den)
{
    if (!nmk_rat_is_zero(whole) || !num)
        add_whole_rat(t, whole);
    if (!num)
        return;
    if (!nmk_rat_is_zero(whole))
        add_word(t, "and");
    add_below_hundred(t, (unsigned)num);
    add_word(t, part_name(den, num > 1));
}

/* Whether value * 10^places is whole. */
static bool has_places(const struct nmk_rat *value, unsigned places)
{
    struct nmk_rat power = {0};
    nmk_rat_set_int(&power, 10);
    nmk_rat_pow(&power, &power, places);
    nmk_rat_mul(&power, &power, value);
    bool whole = nmk_rat_is_int(&power);
    nmk_rat_clear(&power);
    return whole;
}

/* digits: "8.4", without a sign. */
static void add_decimal(struct nmk_text *t, const char *digits)
{
    const char *point = strchr(digits, '.');
    struct nmk_rat whole = {0};
    nmk_rat_parse(&whole, digits, point ? (size_t)(point - digits) : strlen(digits));
    add_whole_rat(t, &whole);
    nmk_rat_clear(&whole);
    if (point)
        add_digits(t, point);
}

static void say(struct nmk_text *t, const struct nmk_rat *value, bool fractions)
{
    struct nmk_rat size = {0}, whole = {0};
    int64_t num = 0, den = 1;
    nmk_rat_abs(&size, value);
    bool exact = has_places(&size, EXACT_PLACES);
    if (fractions && nmk_length_is_binary(&whole, &num, &den, &size, FINEST_NAMED)) {
        if (nmk_rat_sign(value) < 0)
            add_word(t, "minus");
        add_mixed(t, &whole, num, den);
    } else {
        struct nmk_text digits = {0};
        nmk_length_add_decimal(&digits, &size, exact ? EXACT_PLACES : ABOUT_PLACES);
        if (!exact)
            add_word(t, "about");
        if (nmk_rat_sign(value) < 0)
            add_word(t, "minus");
        add_decimal(t, nmk_text_get(&digits));
        nmk_text_clear(&digits);
    }
    nmk_rat_clear(&size);
    nmk_rat_clear(&whole);
}

size_t nmk_length_say(char *buffer, size_t size, const struct nmk_rat *mm, enum nmk_unit unit)
{
    struct nmk_text t = {0};
    if (mm) {
        struct nmk_rat value = {0};
        nmk_length_in_unit(&value, mm, unit);
        say(&t, &value, nmk_unit_is_inch(unit));
        nmk_rat_clear(&value);
    }
    return nmk_length_put(buffer, size, &t);
}
