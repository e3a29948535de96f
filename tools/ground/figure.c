#include "ground/figure.h"

#include <stdio.h>
#include <string.h>

#include "ground/store.h"

enum { LENGTH_PLACES = 4, EXACT_PLACES = 30, USUAL_ROOM = 48 };

char *figure_rat(const struct nmk_rat *r)
{
    char room[USUAL_ROOM];
    size_t size = nmk_rat_print(room, sizeof room, r);
    if (size < sizeof room)
        return store_copy(room, size);
    char *text = store_new(size + 1, 1);
    nmk_rat_print(text, size + 1, r);
    return text;
}

static char *decimal(const struct nmk_rat *r, unsigned places)
{
    size_t size = nmk_rat_print_decimal(NULL, 0, r, places);
    char *text = store_new(size + 1, 1);
    nmk_rat_print_decimal(text, size + 1, r, places);
    return text;
}

static void trim_zeros(char *text)
{
    size_t size = strlen(text);
    if (!strchr(text, '.'))
        return;
    while (text[size - 1] == '0')
        size--;
    text[text[size - 1] == '.' ? size - 1 : size] = '\0';
}

char *figure_near(const struct nmk_rat *r, unsigned places)
{
    char *text = decimal(r, places);
    trim_zeros(text);
    return text;
}

char *figure_exact(const struct nmk_rat *r)
{
    struct nmk_rat ten = {0}, moved = {0};
    unsigned places = 0;
    nmk_rat_set_int(&ten, 10);
    nmk_rat_set(&moved, r);
    for (; places < EXACT_PLACES && !nmk_rat_is_int(&moved); places++)
        nmk_rat_mul(&moved, &moved, &ten);
    char *text = nmk_rat_is_int(&moved) ? figure_near(r, places) : figure_rat(r);
    nmk_rat_clear(&ten);
    nmk_rat_clear(&moved);
    return text;
}

/* turn(r * 10^places) / 10^places, turn: floor or ceil. */
static void turn_to(struct nmk_rat *out, const struct nmk_rat *r, unsigned places,
                    void (*turn)(struct nmk_rat *, const struct nmk_rat *))
{
    struct nmk_rat ten = {0}, scale = {0};
    nmk_rat_set_int(&ten, 10);
    nmk_rat_pow(&scale, &ten, places);
    nmk_rat_mul(out, r, &scale);
    turn(out, out);
    nmk_rat_div(out, out, &scale);
    nmk_rat_clear(&ten);
    nmk_rat_clear(&scale);
}

static char *toward(const struct nmk_rat *r, unsigned places, void (*turn)(struct nmk_rat *, const struct nmk_rat *))
{
    struct nmk_rat value = {0};
    turn_to(&value, r, places, turn);
    char *text = figure_near(&value, places);
    nmk_rat_clear(&value);
    return text;
}

char *figure_down(const struct nmk_rat *r, unsigned places)
{
    return toward(r, places, nmk_rat_floor);
}

char *figure_up(const struct nmk_rat *r, unsigned places)
{
    return toward(r, places, nmk_rat_ceil);
}

static char *joined(const char *before, char *text, const char *after)
{
    size_t room = strlen(before) + strlen(text) + strlen(after) + 1;
    char *both = store_new(room, 1);
    snprintf(both, room, "%s%s%s", before, text, after);
    store_free(text);
    return both;
}

char *figure_signed(const struct nmk_rat *r, unsigned places)
{
    char *text = figure_near(r, places);
    return joined(*text != '-' && strcmp(text, "0") ? "+" : "", text, "");
}

char *figure_length(const struct nmk_rat *mm, enum nmk_unit unit)
{
    char room[USUAL_ROOM];
    size_t size = nmk_length_print(room, sizeof room, mm, unit, LENGTH_PLACES, NMK_FRACTION_PLAIN);
    if (size < sizeof room)
        return store_copy(room, size);
    char *text = store_new(size + 1, 1);
    nmk_length_print(text, size + 1, mm, unit, LENGTH_PLACES, NMK_FRACTION_PLAIN);
    return text;
}

char *figure_bare(const struct nmk_rat *mm, enum nmk_unit unit)
{
    char room[USUAL_ROOM];
    size_t size = nmk_length_print_figure(room, sizeof room, mm, unit, LENGTH_PLACES, NMK_FRACTION_PLAIN);
    if (size < sizeof room)
        return store_copy(room, size);
    char *text = store_new(size + 1, 1);
    nmk_length_print_figure(text, size + 1, mm, unit, LENGTH_PLACES, NMK_FRACTION_PLAIN);
    return text;
}

char *figure_chance(const struct nmk_rat *chance)
{
    struct nmk_rat percent = {0}, hundred = {0};
    if (nmk_rat_cmp_int(chance, 1) >= 0)
        return store_copy("always", 6);
    nmk_rat_set_int(&hundred, 100);
    nmk_rat_mul(&percent, chance, &hundred);
    turn_to(&percent, &percent, 1, nmk_rat_floor);
    char *text = joined("", decimal(&percent, 1), " %");
    nmk_rat_clear(&percent);
    nmk_rat_clear(&hundred);
    return text;
}
