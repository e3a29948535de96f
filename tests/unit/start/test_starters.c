/* Every starter, in each of its editions, holds at the sizes it is given, at both ends of its ranges and at many sizes
 * inside them; it watches every length, asks for no clearance narrower to judge than it is cut, and fits its sheets. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "nearmark.h"
#include "start/starter.h"

enum { SIZES = 200, WIDEST_MM = 6, LINES = 34, COLUMNS = 90 };

static uint64_t seed;

static uint64_t draw(uint64_t below)
{
    seed ^= seed << 13;
    seed ^= seed >> 7;
    seed ^= seed << 17;
    return seed % below;
}

static struct sink text_of(const struct starter *s)
{
    const char *const usual[STARTER_QUESTIONS] = {NULL};
    struct sink text = {0};
    starter_write(&text, s, usual);
    return text;
}

static struct nmk_design *read_starter(const struct starter *s)
{
    struct nmk_diagnostics *list;
    struct nmk_design *design = NULL;
    struct sink text = text_of(s);
    assert_int_equal(nmk_diagnostics_new(&list, 0), NMK_OK);
    assert_int_equal(nmk_design_read(&design, text.data, text.size, list), NMK_OK);
    assert_int_equal(nmk_diagnostics_count(list), 0); /* no notes either */
    nmk_diagnostics_free(list);
    sink_drop(&text);
    return design;
}

/* ---- sizes ---- */

/* from + (to - from) * part / parts */
static void set_part(struct nmk_design *design, size_t measure, int64_t part, int64_t parts)
{
    const struct nmk_measure *m = nmk_design_measure(design, measure);
    struct nmk_rat size = {0}, range = {0}, times = {0};
    nmk_rat_sub(&range, &m->to, &m->from);
    nmk_rat_set_frac(&times, part, parts);
    nmk_rat_mul(&size, &range, &times);
    nmk_rat_add(&size, &size, &m->from);
    assert_int_equal(nmk_design_set_measure(design, measure, &size), NMK_OK);
    nmk_rat_clear(&size);
    nmk_rat_clear(&range);
    nmk_rat_clear(&times);
}

/* A size in the range: of 1/1000 of it, a whole millimetre, a sixteenth of an inch or one of its halves. */
static void set_random(struct nmk_design *design, size_t measure)
{
    static const int64_t steps[][2] = {{1, 1}, {127, 80}, {127, 160}, {1, 2}};
    const struct nmk_measure *m = nmk_design_measure(design, measure);
    size_t kind = draw(5);
    if (kind == 4) {
        set_part(design, measure, (int64_t)draw(1001), 1000);
        return;
    }
    struct nmk_rat size = {0}, step = {0}, count = {0};
    nmk_rat_set_frac(&step, steps[kind][0], steps[kind][1]);
    nmk_rat_sub(&size, &m->to, &m->from);
    assert_int_equal(nmk_rat_div(&count, &size, &step), NMK_OK);
    nmk_rat_floor(&count, &count);
    int64_t most, first;
    assert_int_equal(nmk_rat_get_int(&most, &count), NMK_OK);
    assert_int_equal(nmk_rat_div(&count, &m->from, &step), NMK_OK);
    nmk_rat_ceil(&count, &count);
    assert_int_equal(nmk_rat_get_int(&first, &count), NMK_OK);
    nmk_rat_set_int(&count, first + (int64_t)draw((uint64_t)most));
    nmk_rat_mul(&size, &step, &count);
    assert_int_equal(nmk_design_set_measure(design, measure, &size), NMK_OK);
    nmk_rat_clear(&size);
    nmk_rat_clear(&step);
    nmk_rat_clear(&count);
}

static void say_where(const struct nmk_design *design, const struct nmk_edition *edition)
{
    printf("# %s, %s, seed %llu:", nmk_design_title(design), edition->name, (unsigned long long)seed);
    for (size_t i = 0; i < nmk_design_measure_count(design); i++) {
        char size[64];
        nmk_rat_print(size, sizeof size, &nmk_design_measure(design, i)->size);
        printf(" %s=%s", nmk_design_measure(design, i)->name, size);
    }
    printf("\n");
}

/* ---- what must be true at a size ---- */

static void try_row(struct nmk_chart *chart, const struct nmk_design *design, const struct nmk_edition *edition)
{
    struct nmk_chart_row row = {0};
    struct nmk_diagnostics *list;
    assert_int_equal(nmk_diagnostics_new(&list, 0), NMK_OK);
    assert_int_equal(nmk_chart_settle(&row, chart, list), NMK_OK);
    if (!row.holds_together || row.state != NMK_HOLDS)
        say_where(design, edition);
    assert_true(row.holds_together);
    assert_int_equal(row.state, NMK_HOLDS);
    nmk_diagnostics_free(list);
}

static void try_edition(struct nmk_design *design, size_t edition)
{
    const struct nmk_edition *e = nmk_design_edition(design, edition);
    size_t measures = nmk_design_measure_count(design);
    struct nmk_settle_options options;
    struct nmk_chart *chart;
    nmk_settle_options_init(&options);
    assert_int_equal(nmk_chart_new(&chart, design, edition, NULL, NMK_UNIT_NONE, &options), NMK_OK);
    try_row(chart, design, e); /* as given */
    for (size_t corner = 0; corner < (size_t)1 << measures; corner++) {
        for (size_t m = 0; m < measures; m++)
            set_part(design, m, corner >> m & 1, 1);
        try_row(chart, design, e);
    }
    for (size_t i = 0; i < SIZES; i++) {
        for (size_t m = 0; m < measures; m++)
            set_random(design, m);
        try_row(chart, design, e);
    }
    nmk_chart_free(chart);
    nmk_settle_options_clear(&options);
}

static void at_every_size_every_edition_holds(void **state)
{
    (void)state;
    size_t tried = 0;
    for (const struct starter *s = starter_table; s->kind; s++) {
        struct nmk_design *design = read_starter(s);
        assert_int_equal(nmk_design_declared_count(design), 3);
        for (size_t e = 0; e < nmk_design_declared_count(design); e++, tried++) {
            assert_false(nmk_design_edition(design, e)->as_designed);
            try_edition(design, e);
        }
        nmk_design_free(design);
    }
    assert_int_equal(tried, 21);
}

/* ---- what is true of the design ---- */

static void check_settled(const struct nmk_settled *settled)
{
    const struct nmk_design *design = nmk_draft_design(nmk_settled_draft(settled));
    struct nmk_rat width = {0};
    for (size_t i = 0; i < nmk_design_length_count(design); i++)
        assert_false(nmk_settled_unwatched(settled, i));
    for (size_t i = 0; i < nmk_design_demand_count(design); i++) {
        const struct nmk_rat *low = nmk_settled_low(settled, i), *high = nmk_settled_high(settled, i);
        if (nmk_design_demand(design, i)->kind == NMK_KEEP)
            continue; /* a size, not a clearance */
        assert_non_null(low);
        assert_non_null(high);
        nmk_rat_sub(&width, high, low);
        assert_true(nmk_rat_cmp_int(&width, WIDEST_MM) <= 0);
    }
    nmk_rat_clear(&width);
}

/* Upright or turned, it can be cut from each sheet that it may be cut from. */
static void check_sheets(const struct nmk_settled *settled)
{
    const struct nmk_draft *draft = nmk_settled_draft(settled);
    const struct nmk_design *design = nmk_draft_design(draft);
    struct nmk_rat cut[2] = {{0}, {0}};
    for (size_t p = 0; p < nmk_design_piece_count(design); p++) {
        const struct nmk_stock *stock = nmk_design_stock(design, nmk_design_piece(design, p)->stock);
        for (int way = 0; way < 2; way++) {
            size_t last = nmk_draft_line_count(draft, p, (enum nmk_way)way) - 1;
            nmk_rat_set_int(&cut[way], nmk_settled_line(settled, NMK_SETTLED, p, (enum nmk_way)way, last));
            nmk_rat_mul(&cut[way], &cut[way], nmk_draft_step(draft));
        }
        assert_true(stock->sheet_count > 0);
        for (size_t i = 0; i < stock->sheet_count; i++) {
            const struct nmk_rat *a = &stock->sheets[i].width, *d = &stock->sheets[i].height;
            bool upright = nmk_rat_cmp(&cut[0], a) <= 0 && nmk_rat_cmp(&cut[1], d) <= 0;
            bool turned = nmk_rat_cmp(&cut[0], d) <= 0 && nmk_rat_cmp(&cut[1], a) <= 0;
            if (!upright && !turned)
                say_where(design, nmk_draft_edition(draft));
            assert_true(upright || turned);
        }
    }
    nmk_rat_clear(&cut[0]);
    nmk_rat_clear(&cut[1]);
}

static void with_settled(const struct nmk_design *design, size_t edition, void (*check)(const struct nmk_settled *))
{
    struct nmk_diagnostics *list;
    struct nmk_draft *draft;
    struct nmk_settled *settled;
    struct nmk_settle_options options;
    nmk_settle_options_init(&options);
    assert_int_equal(nmk_diagnostics_new(&list, 0), NMK_OK);
    assert_int_equal(nmk_draft_new(&draft, design, edition, NULL, NMK_UNIT_NONE, list), NMK_OK);
    assert_int_equal(nmk_settle(&settled, draft, &options, list), NMK_OK);
    check(settled);
    nmk_settled_free(settled);
    nmk_draft_free(draft);
    nmk_diagnostics_free(list);
    nmk_settle_options_clear(&options);
}

static void nothing_is_unwatched_or_wide(void **state)
{
    (void)state;
    for (const struct starter *s = starter_table; s->kind; s++) {
        struct nmk_design *design = read_starter(s);
        for (size_t e = 0; e < nmk_design_declared_count(design); e++)
            with_settled(design, e, check_settled);
        nmk_design_free(design);
    }
}

static void the_largest_fits_its_sheets(void **state)
{
    (void)state;
    for (const struct starter *s = starter_table; s->kind; s++) {
        struct nmk_design *design = read_starter(s);
        for (size_t m = 0; m < nmk_design_measure_count(design); m++)
            set_part(design, m, 1, 1);
        for (size_t e = 0; e < nmk_design_declared_count(design); e++)
            with_settled(design, e, check_sheets);
        nmk_design_free(design);
    }
}

static void it_is_short_and_asks_for_what_it_measures(void **state)
{
    (void)state;
    for (const struct starter *s = starter_table; s->kind; s++) {
        struct nmk_design *design = read_starter(s);
        struct sink text = text_of(s);
        size_t lines = 0, asked = 0;
        for (const char *at = text.data; *at; at += strcspn(at, "\n") + 1, lines++)
            assert_true(strcspn(at, "\n") <= COLUMNS);
        while (asked < STARTER_QUESTIONS && s->questions[asked].measure)
            assert_true(nmk_design_find_measure(design, s->questions[asked++].measure) != NMK_NONE);
        assert_int_equal(asked, nmk_design_measure_count(design));
        assert_true(lines <= LINES);
        sink_drop(&text);
        nmk_design_free(design);
    }
}

int main(void)
{
    const char *given = getenv("NMK_SEED");
    seed = given ? strtoull(given, NULL, 10) : 0x9E3779B97F4A7C15u;
    printf("# NMK_SEED=%llu\n", (unsigned long long)seed);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(at_every_size_every_edition_holds),
        cmocka_unit_test(nothing_is_unwatched_or_wide),
        cmocka_unit_test(the_largest_fits_its_sheets),
        cmocka_unit_test(it_is_short_and_asks_for_what_it_measures),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
