#include "ground/hint.h"

#include <stdio.h>
#include <string.h>

#include "ground/figure.h"
#include "ground/store.h"

enum { MOST_RATIO = 20, WORDS = 11 };
static const int64_t LONGEST = INT64_C(1) << 50; /* of a step's numerator and denominator */

static const char *const counts[WORDS] = {"no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"};
static const char *const places[WORDS] = {"", "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth",
                                          "ninth", "tenth"};

/* How many steps lie between easy marks; 0: none fits. */
static int64_t easy_ratio(const struct nmk_rat *step, enum nmk_unit step_unit)
{
    static const int64_t inches[] = {127, 254, 508, 1016}, millimetres[] = {40, 200, 400, 2000, 4000}; /* in 1/40 mm */
    bool inch = nmk_unit_is_inch(step_unit);
    const int64_t *easy = inch ? inches : millimetres;
    size_t count = inch ? sizeof inches / sizeof *inches : sizeof millimetres / sizeof *millimetres;
    int64_t num, den;
    if (nmk_rat_get_frac(&num, &den, step) || num < 1 || num > LONGEST || den > LONGEST)
        return 0;
    for (size_t i = 0; i < count; i++) {
        int64_t ratio = easy[i] * den / (40 * num);
        if (easy[i] * den % (40 * num) == 0 && ratio >= 2 && ratio <= MOST_RATIO)
            return ratio;
    }
    return 0;
}

static char *from_mark(int64_t steps, int64_t base, const char *way, const struct nmk_rat *step, enum nmk_unit unit)
{
    struct nmk_rat mm = {0};
    nmk_rat_set_int(&mm, base);
    nmk_rat_mul(&mm, &mm, step);
    char *figure = figure_bare(&mm, unit);
    size_t room = strlen(figure) + 64;
    char *hint = store_new(room, 1);
    snprintf(hint, room, "%s mark%s %s than %s", counts[steps], steps == 1 ? "" : "s", way, figure);
    store_free(figure);
    nmk_rat_clear(&mm);
    return hint;
}

static char *from_edge(int64_t steps)
{
    char *hint = store_new(32, 1);
    snprintf(hint, 32, "the %s mark", places[steps]);
    return hint;
}

char *hint_mark(int64_t marks, const struct nmk_rat *step, enum nmk_unit step_unit, enum nmk_unit unit)
{
    int64_t ratio = marks > 0 ? easy_ratio(step, step_unit) : 0;
    int64_t over = ratio ? marks % ratio : 0;
    if (!over)
        return NULL;
    if (over * 2 > ratio)
        return from_mark(ratio - over, marks - over + ratio, "less", step, unit);
    return marks == over ? from_edge(over) : from_mark(over, marks - over, "more", step, unit);
}
