/* rat_text.c -- rationals read from text and written as text. The same under every locale. */
#include <assert.h>
#include <string.h>

#include "base/memory.h"
#include "exact/rat_view.h"
#include "exact/word.h"
#include "nearmark/rat.h"

enum { most_digits = 4000, word_digits = 18 }; /* 10^18 < 2^63 */

/* ---- reading: sign? digits ( '/' digits | '.' digits )? ---- */

struct scan {
    const char *first, *second; /* second: NULL where there is one number only */
    size_t first_size, second_size;
    bool negative, point;
};

static size_t digits_at(const char *text, const char *end)
{
    const char *p = text;
    while (p < end && *p >= '0' && *p <= '9')
        p++;
    return (size_t)(p - text);
}

static bool scan(struct scan *s, const char *text, const char *end)
{
    *s = (struct scan){0};
    if (text < end && (*text == '-' || *text == '+'))
        s->negative = *text++ == '-';
    s->first = text;
    s->first_size = digits_at(text, end);
    text += s->first_size;
    if (s->first_size == 0 || text == end)
        return s->first_size != 0;
    if (*text != '/' && *text != '.')
        return false;
    s->point = *text++ == '.';
    s->second = text;
    s->second_size = digits_at(text, end);
    return s->second_size != 0 && text + s->second_size == end;
}

static uint64_t word_from(uint64_t before, const char *digits, size_t size)
{
    for (size_t i = 0; i < size; i++)
        before = before * 10 + (uint64_t)(digits[i] - '0');
    return before;
}

/* num and den of what was scanned, not reduced; false if they may not fit a word. */
static bool words_from(uint64_t *num, uint64_t *den, const struct scan *s)
{
    size_t longest = s->point ? s->first_size + s->second_size
                     : s->first_size > s->second_size ? s->first_size : s->second_size;
    if (longest > word_digits)
        return false;
    *num = word_from(0, s->first, s->first_size);
    *den = 1;
    if (s->point) {
        *num = word_from(*num, s->second, s->second_size);
        for (size_t i = 0; i < s->second_size; i++)
            *den *= 10;
    } else if (s->second) {
        *den = word_from(0, s->second, s->second_size);
    }
    return true;
}

static void whole_from(mpz_ptr out, const char *digits, size_t size)
{
    char *copy = nmk_memory_copy_text(digits, size);
    int bad = mpz_set_str(out, copy, 10);
    assert(!bad); /* only digits come here */
    (void)bad;
    nmk_memory_free(copy);
}

static void big_from(mpq_ptr q, const struct scan *s)
{
    whole_from(mpq_numref(q), s->first, s->first_size);
    if (s->point) {
        mpz_t decimals;
        mpz_init(decimals);
        whole_from(decimals, s->second, s->second_size);
        mpz_ui_pow_ui(mpq_denref(q), 10, s->second_size);
        mpz_mul(mpq_numref(q), mpq_numref(q), mpq_denref(q));
        mpz_add(mpq_numref(q), mpq_numref(q), decimals);
        mpz_clear(decimals);
    } else if (s->second) {
        whole_from(mpq_denref(q), s->second, s->second_size);
    }
    if (s->negative)
        mpq_neg(q, q);
}

static bool all_zero(const char *digits, size_t size)
{
    for (size_t i = 0; i < size; i++)
        if (digits[i] != '0')
            return false;
    return true;
}

enum nmk_status nmk_rat_parse(struct nmk_rat *out, const char *text, size_t size)
{
    struct scan s;
    uint64_t num, den;
    if (!text || !scan(&s, text, text + size))
        return NMK_INVALID;
    if (s.first_size + s.second_size > most_digits)
        return NMK_TOO_LARGE;
    if (s.second && !s.point && all_zero(s.second, s.second_size))
        return NMK_DIVISION_BY_ZERO;
    if (words_from(&num, &den, &s)) {
        uint64_t g = nmk_word_gcd(num, den);
        nmk_rat_set_words(out, s.negative, num / g, den / g);
        return NMK_OK;
    }
    mpq_t q;
    mpq_init(q);
    big_from(q, &s);
    mpq_canonicalize(q);
    nmk_rat_take(out, q);
    return NMK_OK;
}

/* ---- writing ---- */

/* Counts all bytes, keeps those that fit with a NUL after them. */
struct sink {
    char *buffer;
    size_t size, length;
};

static void put(struct sink *s, const char *bytes, size_t count)
{
    if (s->length < s->size) {
        size_t room = s->size - s->length;
        memcpy(s->buffer + s->length, bytes, count < room ? count : room);
    }
    s->length += count;
}

static void put_zeros(struct sink *s, size_t count)
{
    for (size_t i = 0; i < count; i++)
        put(s, "0", 1);
}

static size_t finish(struct sink *s)
{
    if (s->size)
        s->buffer[s->length < s->size ? s->length : s->size - 1] = '\0';
    return s->length;
}

/* The digits of |z| at the end of digits[20]; returns where they begin. */
static char *word_digits_of(char *digits, uint64_t word)
{
    char *p = digits + 20;
    do
        *--p = (char)('0' + word % 10);
    while ((word /= 10) != 0);
    return p;
}

static void put_word(struct sink *s, uint64_t word)
{
    char digits[20], *p = word_digits_of(digits, word);
    put(s, p, (size_t)(digits + 20 - p));
}

static void put_whole(struct sink *s, mpz_srcptr z)
{
    char *digits = nmk_memory_new(mpz_sizeinbase(z, 10) + 2, 1);
    mpz_get_str(digits, 10, z);
    put(s, digits, strlen(digits));
    nmk_memory_free(digits);
}

size_t nmk_rat_print(char *buffer, size_t size, const struct nmk_rat *a)
{
    struct sink s = {buffer, buffer ? size : 0, 0};
    bool whole = nmk_rat_is_int(a);
    if (a->big) {
        put_whole(&s, mpq_numref((mpq_srcptr)a->big));
        put(&s, "/", whole ? 0 : 1);
        if (!whole)
            put_whole(&s, mpq_denref((mpq_srcptr)a->big));
        return finish(&s);
    }
    put(&s, "-", a->num < 0);
    put_word(&s, nmk_word_size(a->num));
    put(&s, "/", whole ? 0 : 1);
    if (!whole)
        put_word(&s, (uint64_t)a->less + 1);
    return finish(&s);
}

/* out = |a| * 10^places to the nearest, half up: floor((2 |num| 10^places + den) / (2 den)). */
static void scaled(mpz_ptr out, mpq_srcptr a, unsigned places)
{
    mpz_t twice;
    mpz_init(twice);
    mpz_mul_2exp(twice, mpq_denref(a), 1);
    mpz_ui_pow_ui(out, 10, places);
    mpz_mul(out, out, mpq_numref(a));
    mpz_abs(out, out);
    mpz_mul_2exp(out, out, 1);
    mpz_add(out, out, mpq_denref(a));
    mpz_fdiv_q(out, out, twice);
    mpz_clear(twice);
}

static void put_decimal(struct sink *s, const char *digits, size_t count, size_t places)
{
    assert(count >= 1);
    size_t before = count > places ? count - places : 0;
    if (before)
        put(s, digits, before);
    else
        put(s, "0", 1);
    if (places) {
        put(s, ".", 1);
        put_zeros(s, places - (count - before));
        put(s, digits + before, count - before);
    }
}

/* As scaled(), of a small value where that stays in two words. */
static bool scaled_small(uint64_t *out, const struct nmk_rat *a, unsigned places)
{
    uint64_t power = 1;
    if (a->big || places >= word_digits)
        return false;
    for (unsigned i = 0; i < places; i++)
        power *= 10;
    uint64_t den = (uint64_t)a->less + 1;
    nmk_wide_size quotient = (nmk_wide_size)nmk_word_size(a->num) * power / den,
                  rest = (nmk_wide_size)nmk_word_size(a->num) * power % den;
    quotient += 2 * rest >= den;
    *out = (uint64_t)quotient;
    return quotient <= UINT64_MAX;
}

size_t nmk_rat_print_decimal(char *buffer, size_t size, const struct nmk_rat *a, unsigned places)
{
    struct sink s = {buffer, buffer ? size : 0, 0};
    uint64_t small;
    if (scaled_small(&small, a, places)) {
        char room[20], *p = word_digits_of(room, small);
        put(&s, "-", a->num < 0 && small);
        put_decimal(&s, p, (size_t)(room + sizeof room - p), places);
        return finish(&s);
    }
    struct nmk_rat_view room;
    mpz_t z;
    mpz_init(z);
    scaled(z, nmk_rat_view(&room, a), places);
    char *digits = nmk_memory_new(mpz_sizeinbase(z, 10) + 2, 1);
    mpz_get_str(digits, 10, z);
    put(&s, "-", nmk_rat_sign(a) < 0 && mpz_sgn(z) != 0);
    put_decimal(&s, digits, strlen(digits), places);
    nmk_memory_free(digits);
    mpz_clear(z);
    return finish(&s);
}
