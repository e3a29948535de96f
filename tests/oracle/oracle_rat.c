/* oracle_rat.c -- does the arithmetic that oracle_rat.py asks for.
 *
 * Each line of standard input is `A B PLACES POWER`; the answer is one line with the results, separated by spaces, in
 * the order of the table `operations` below, an error as its status's number with an `!` before it. Every result is
 * computed thrice, with the output apart from the inputs and the same as each of them; where they differ, or are not
 * in canonical form, the answer is `?`. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "nearmark/rat.h"

struct call {
    unsigned places, power;
};

typedef enum nmk_status operation(struct nmk_rat *out, const struct nmk_rat *a, const struct nmk_rat *b, struct call c);

#define PLAIN(name)                                                                                                    \
    static enum nmk_status do_##name(struct nmk_rat *out, const struct nmk_rat *a, const struct nmk_rat *b,            \
                                     struct call c)                                                                    \
    {                                                                                                                  \
        (void)c;                                                                                                       \
        nmk_rat_##name(out, a, b);                                                                                     \
        return NMK_OK;                                                                                                 \
    }
#define UNARY(name)                                                                                                    \
    static enum nmk_status do_##name(struct nmk_rat *out, const struct nmk_rat *a, const struct nmk_rat *b,            \
                                     struct call c)                                                                    \
    {                                                                                                                  \
        (void)b, (void)c;                                                                                              \
        nmk_rat_##name(out, a);                                                                                        \
        return NMK_OK;                                                                                                 \
    }
UNARY(set)
PLAIN(add)
PLAIN(sub)
PLAIN(mul)
PLAIN(gcd)
PLAIN(lcm)
UNARY(floor)
UNARY(ceil)
UNARY(neg)
UNARY(abs)

static enum nmk_status do_div(struct nmk_rat *out, const struct nmk_rat *a, const struct nmk_rat *b, struct call c)
{
    (void)c;
    return nmk_rat_div(out, a, b);
}

static enum nmk_status do_cmp(struct nmk_rat *out, const struct nmk_rat *a, const struct nmk_rat *b, struct call c)
{
    (void)c;
    int order = nmk_rat_cmp(a, b);
    nmk_rat_set_int(out, order < 0 ? -1 : order > 0);
    return NMK_OK;
}

static enum nmk_status do_pow(struct nmk_rat *out, const struct nmk_rat *a, const struct nmk_rat *b, struct call c)
{
    (void)b;
    nmk_rat_pow(out, a, c.power);
    return NMK_OK;
}

static enum nmk_status do_bits(struct nmk_rat *out, const struct nmk_rat *a, const struct nmk_rat *b, struct call c)
{
    (void)b, (void)c;
    nmk_rat_set_int(out, (int64_t)nmk_rat_bits(a));
    return NMK_OK;
}

static operation *const operations[] = {do_set, do_add, do_sub, do_mul,   do_div,  do_cmp, do_gcd,
                                        do_lcm, do_neg, do_abs, do_floor, do_ceil, do_bits, do_pow};

static void print(const struct nmk_rat *r)
{
    char room[4096];
    size_t size = nmk_rat_print(room, sizeof room, r);
    if (size < sizeof room) {
        fputs(room, stdout);
        return;
    }
    char *text = malloc(size + 1);
    if (!text)
        exit(3);
    nmk_rat_print(text, size + 1, r);
    fputs(text, stdout);
    free(text);
}

static void print_decimal(const struct nmk_rat *r, unsigned places)
{
    size_t size = nmk_rat_print_decimal(NULL, 0, r, places);
    char *text = malloc(size + 1);
    if (!text)
        exit(3);
    nmk_rat_print_decimal(text, size + 1, r, places);
    fputs(text, stdout);
    free(text);
}

static void answer(operation *apply, const struct nmk_rat *a, const struct nmk_rat *b, struct call c)
{
    struct nmk_rat out = {0}, left = {0}, right = {0};
    nmk_rat_set(&left, a);
    nmk_rat_set(&right, b);
    enum nmk_status status = apply(&out, a, b, c);
    bool agree = apply(&left, &left, b, c) == status && apply(&right, a, &right, c) == status;
    if (status == NMK_OK)
        agree = agree && nmk_rat_equal(&out, &left) && nmk_rat_equal(&out, &right) && nmk_rat_is_canonical(&out) &&
                nmk_rat_is_canonical(&left) && nmk_rat_is_canonical(&right);
    else
        agree = agree && nmk_rat_is_zero(&out) && nmk_rat_equal(&left, a) && nmk_rat_equal(&right, b);
    if (!agree)
        fputs("?", stdout);
    else if (status != NMK_OK)
        printf("!%d", (int)status);
    else
        print(&out);
    putchar(' ');
    nmk_rat_clear(&out);
    nmk_rat_clear(&left);
    nmk_rat_clear(&right);
}

static void work(const char *a_text, const char *b_text, struct call c)
{
    struct nmk_rat a = {0}, b = {0};
    enum nmk_status a_status = nmk_rat_parse(&a, a_text, strlen(a_text));
    enum nmk_status b_status = nmk_rat_parse(&b, b_text, strlen(b_text));
    if (a_status != NMK_OK || b_status != NMK_OK) {
        printf("!%d !%d\n", (int)a_status, (int)b_status);
    } else {
        for (size_t i = 0; i < sizeof operations / sizeof *operations; i++)
            answer(operations[i], &a, &b, c);
        print_decimal(&a, c.places);
        putchar('\n');
    }
    nmk_rat_clear(&a);
    nmk_rat_clear(&b);
}

int main(void)
{
    static char line[65536];
    while (fgets(line, sizeof line, stdin)) {
        char *save = NULL, *a = strtok_r(line, " \n", &save), *b = strtok_r(NULL, " \n", &save);
        char *places = strtok_r(NULL, " \n", &save), *power = strtok_r(NULL, " \n", &save);
        if (!power)
            return 2;
        work(a, b, (struct call){(unsigned)strtoul(places, NULL, 10), (unsigned)strtoul(power, NULL, 10)});
    }
    return 0;
}
