/* Lengths in words: the exact words, and that a listener who knows only words hears the value that was said. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <string.h>

#include "unit/exact/biased.h"
#include "unit/length/reading.h"

struct row {
    const char *written;
    enum nmk_unit unit; /* said in */
    const char *said;
};

static const struct row rows[] = {
    {"4 7/16 in", NMK_IN, "four and seven sixteenths"},
    {"8.4 cm", NMK_CM, "eight point four"},
    {"1/8 in", NMK_IN, "one eighth"},
    {"5 in", NMK_IN, "five"},
    {"113 mm", NMK_MM, "one hundred and thirteen"},
    {"1/2 in", NMK_IN, "one half"},
    {"3/4 in", NMK_IN, "three quarters"},
    {"1/4 in", NMK_IN, "one quarter"},
    {"1/32 in", NMK_IN, "one thirty-second"},
    {"31/32 in", NMK_IN, "thirty-one thirty-seconds"},
    {"1/64 in", NMK_IN, "one sixty-fourth"},
    {"63/64 in", NMK_IN, "sixty-three sixty-fourths"},
    {"1/16 in", NMK_IN, "one sixteenth"},
    {"20 21/64 in", NMK_IN, "twenty and twenty-one sixty-fourths"},
    {"-4 7/16 in", NMK_IN, "minus four and seven sixteenths"},
    {"-1/2 in", NMK_IN, "minus one half"},
    {"0 mm", NMK_MM, "zero"},
    {"0 in", NMK_IN, "zero"},
    {"0.3 mm", NMK_MM, "zero point three"},
    {"-0.05 cm", NMK_CM, "minus zero point zero five"},
    {"112.7125 mm", NMK_MM, "one hundred and twelve point seven one two five"},
    {"1/128 in", NMK_IN, "about zero point zero zero eight"}, /* 0.0078125 */
    {"0.012 in", NMK_IN, "zero point zero one two"},
    {"12 mil", NMK_MIL, "twelve"},
    {"84 mm", NMK_IN, "about three point three zero seven"},
    {"-84 mm", NMK_IN, "about minus three point three zero seven"},
    {"100 mm", NMK_MM, "one hundred"},
    {"101 mm", NMK_MM, "one hundred and one"},
    {"110 mm", NMK_MM, "one hundred and ten"},
    {"999 mm", NMK_MM, "nine hundred and ninety-nine"},
    {"1000 mm", NMK_MM, "one thousand"},
    {"1001 mm", NMK_MM, "one thousand and one"},
    {"1189 mm", NMK_MM, "one thousand one hundred and eighty-nine"},
    {"20000 mm", NMK_MM, "twenty thousand"},
    {"100020 mm", NMK_MM, "one hundred thousand and twenty"},
    {"1000000 mm", NMK_MM, "one million"},
    {"1000007 mm", NMK_MM, "one million and seven"},
    {"999999999 mm", NMK_MM,
     "nine hundred and ninety-nine million nine hundred and ninety-nine thousand nine hundred and ninety-nine"},
    {"1000000000 mm", NMK_MM, "one zero zero zero zero zero zero zero zero zero"},
    {"40 mm", NMK_MM, "forty"},
    {"14 mm", NMK_MM, "fourteen"},
    {"18.8 mm", NMK_MM, "eighteen point eight"},
};

static void test_every_row_is_said_so(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct nmk_rat mm = reading_mm(rows[i].written);
        char said[256];
        size_t length = nmk_length_say(said, sizeof said, &mm, rows[i].unit);
        assert_string_equal(said, rows[i].said);
        assert_int_equal(length, strlen(rows[i].said));
        nmk_rat_clear(&mm);
    }
}

static void test_wrong_calls_and_small_buffers(void **state)
{
    (void)state;
    char said[6] = "old";
    struct nmk_rat five = rat_of("127");
    assert_int_equal(nmk_length_say(said, sizeof said, NULL, NMK_IN), 0);
    assert_string_equal(said, "");
    assert_int_equal(nmk_length_say(NULL, 0, &five, NMK_IN), 4);
    assert_int_equal(nmk_length_say(said, 3, &five, NMK_IN), 4);
    assert_string_equal(said, "fi");
    nmk_rat_clear(&five);
}

/* ---- a listener ---- */

static const char *const words[] = {"zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten",
                                    "eleven", "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen",
                                    "nineteen"};
static const char *const tens[] = {"twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"};
static const struct {
    const char *name;
    int64_t den;
} parts[] = {{"half", 2},           {"halves", 2},          {"quarter", 4},       {"quarters", 4},
             {"eighth", 8},         {"eighths", 8},         {"sixteenth", 16},    {"sixteenths", 16},
             {"thirty-second", 32}, {"thirty-seconds", 32}, {"sixty-fourth", 64}, {"sixty-fourths", 64}};

/* `seven`, `forty`, `forty-two`; -1 for another word. */
static int64_t below_hundred(const char *word)
{
    for (size_t i = 0; i < sizeof words / sizeof *words; i++)
        if (strcmp(word, words[i]) == 0)
            return (int64_t)i;
    for (size_t i = 0; i < sizeof tens / sizeof *tens; i++) {
        size_t n = strlen(tens[i]);
        if (strncmp(word, tens[i], n) == 0 && (word[n] == '\0' || word[n] == '-')) {
            int64_t rest = word[n] ? below_hundred(word + n + 1) : 0;
            return rest >= 0 && rest < 10 ? 20 + 10 * (int64_t)i + rest : -1;
        }
    }
    return -1;
}

/* What is heard, word by word. */
struct heard {
    int64_t total, group, pending; /* pending: after `and`, may turn out to be a numerator */
    int64_t num, den;              /* a fraction, or decimals */
    bool point, minus;
};

static int64_t part_den(const char *word)
{
    for (size_t i = 0; i < sizeof parts / sizeof *parts; i++)
        if (strcmp(word, parts[i].name) == 0)
            return parts[i].den;
    return 0;
}

static void hear_word(struct heard *h, const char *word)
{
    int64_t n = below_hundred(word);
    if (strcmp(word, "minus") == 0) {
        h->minus = true;
    } else if (strcmp(word, "point") == 0) {
        h->point = true;
    } else if (h->point && n >= 0) {
        h->num = h->num * 10 + n;
        h->den *= 10;
    } else if (n >= 0) {
        h->pending = n;
    } else if (part_den(word)) {
        h->num = h->pending;
        h->den = part_den(word);
        h->pending = 0;
    } else if (strcmp(word, "hundred") == 0) {
        h->group += h->pending * 100;
        h->pending = 0;
    } else if (strcmp(word, "and") == 0) {
        h->group += h->pending;
        h->pending = 0;
    } else if (strcmp(word, "thousand") == 0 || strcmp(word, "million") == 0) {
        h->total += (h->group + h->pending) * (word[0] == 't' ? 1000 : 1000000);
        h->group = h->pending = 0;
    } else {
        fail_msg("the word `%s` is not known", word);
    }
}

static void hear(struct nmk_rat *out, char *said)
{
    struct heard h = {.den = 1};
    struct nmk_rat part = {0};
    for (char *word = strtok(said, " "); word; word = strtok(NULL, " "))
        hear_word(&h, word);
    nmk_rat_set_int(out, h.total + h.group + h.pending);
    assert_int_equal(nmk_rat_set_frac(&part, h.num, h.den), NMK_OK);
    nmk_rat_add(out, out, &part);
    if (h.minus)
        nmk_rat_neg(out, out);
    nmk_rat_clear(&part);
}

static void check_heard(unsigned long number, int64_t num, int64_t den, enum nmk_unit unit)
{
    struct nmk_rat value = {0}, mm = {0}, back = {0};
    char said[256], copy[256];
    assert_int_equal(nmk_rat_set_frac(&value, num, den), NMK_OK);
    nmk_unit_mm(&mm, unit);
    nmk_rat_mul(&mm, &mm, &value);
    assert_true(nmk_length_say(said, sizeof said, &mm, unit) < sizeof said);
    strcpy(copy, said);
    hear(&back, copy);
    biased_check(nmk_rat_equal(&back, &value), number, said, &value, &back);
    nmk_rat_clear(&value);
    nmk_rat_clear(&mm);
    nmk_rat_clear(&back);
}

/* Up to a million, of every number of bits, either sign. */
static int64_t draw(int64_t parts_of)
{
    uint64_t bits = biased_below(20);
    int64_t n = (int64_t)(biased_bits() & ((UINT64_C(1) << bits) - 1)) * parts_of + (int64_t)biased_below((uint64_t)parts_of);
    return biased_below(2) ? n : -n;
}

static void test_a_listener_hears_fractions(void **state)
{
    (void)state;
    for (unsigned long n = 0, cases = biased_cases(5000); n < cases; n++) {
        int64_t den = (int64_t)1 << biased_below(7);
        check_heard(n, draw(den), den, NMK_IN);
    }
    for (int64_t den = 1; den <= 64; den *= 2)
        for (int64_t num = 0; num < 2 * den; num++)
            check_heard(0, num, den, NMK_IN);
}

static void test_a_listener_hears_decimals(void **state)
{
    (void)state;
    for (unsigned long n = 0, cases = biased_cases(5000); n < cases; n++) {
        int64_t den = 1;
        for (uint64_t places = biased_below(7); places; places--)
            den *= 10;
        check_heard(n, draw(den), den, biased_below(2) ? NMK_MM : NMK_CM);
    }
    for (int64_t n = 0; n < 2100; n++)
        check_heard(0, n, 1, NMK_MM);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_every_row_is_said_so),
        cmocka_unit_test(test_wrong_calls_and_small_buffers),
        cmocka_unit_test(test_a_listener_hears_fractions),
        cmocka_unit_test(test_a_listener_hears_decimals),
    };
    biased_start();
    return cmocka_run_group_tests(tests, NULL, NULL);
}
