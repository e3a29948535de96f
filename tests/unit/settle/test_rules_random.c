/* Rule cards of random designs, held against what they say: at every corner of the ranges and at sizes inside, with the
 * lengths that a reader of the card gets. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "base/memory.h"
#include "nearmark/rules.h"
#include "unit/exact/biased.h"
#include "unit/fit/fitting.h"
#include "unit/settle/guess.h"

struct carded {
    const struct guess *g;
    struct fitting *f;
    struct nmk_rules *rules;
    unsigned long number;
    struct guess_sizes sizes;
    size_t choices[40];
};

static void check(const struct carded *c, bool right, const char *what, size_t i)
{
    if (right)
        return;
    print_message("# %s# at %zu\n", nmk_text_get(&c->g->text), i);
    biased_check(false, c->number, what, NULL, NULL);
}

/* out += times / 2 of `step`. */
static void add_halves(struct nmk_rat *out, const struct nmk_rat *step, int64_t times)
{
    struct nmk_rat half = {0};
    nmk_rat_set_frac(&half, times, 2);
    nmk_rat_addmul(out, step, &half);
    nmk_rat_clear(&half);
}

/* The true size lies, in the middle of the reading's error, at the reading, half a step below it (up) or above (down). */
static int64_t reading_shift(enum nmk_reading read)
{
    return read == NMK_READ_UP ? -1 : read == NMK_READ_DOWN ? 1 : 0;
}

/* The lengths of the card for an object of these true sizes (mm), reading and rounding taken at the middle of their
 * errors. */
static void apply_card(struct carded *c, const struct nmk_rat *sizes)
{
    const struct nmk_rat *step = nmk_draft_step(c->f->draft);
    struct nmk_rat readings[4] = {{0}};
    for (size_t m = 0; m < nmk_design_measure_count(c->f->design); m++) {
        nmk_rat_set(&c->sizes.measures[m], &sizes[m]);
        nmk_rat_set(&readings[m], &sizes[m]);
        add_halves(&readings[m], nmk_rules_reading_step(c->rules), -reading_shift(nmk_rules_measure(c->rules, m)->read));
    }
    for (size_t i = 0; i < nmk_design_length_count(c->f->design); i++) {
        const struct nmk_rule_length *l = nmk_rules_length(c->rules, i);
        c->choices[i] = l->choice;
        if (l->choice || l->chart_only)
            continue;
        struct nmk_rat *mm = &c->sizes.lengths[i];
        nmk_rat_set_int(mm, l->plus);
        nmk_rat_mul(mm, mm, step);
        for (size_t k = 0; k < l->term_count; k++)
            nmk_rat_addmul(mm, &l->terms[k].times, &readings[l->terms[k].measure]);
        add_halves(mm, step, l->round == NMK_ROUND_UP ? 1 : l->round == NMK_ROUND_DOWN ? -1 : 0);
    }
    for (size_t m = 0; m < 4; m++)
        nmk_rat_clear(&readings[m]);
}

static bool in_bounds(const struct nmk_rules *rules, size_t demand, const struct nmk_rat *nominal)
{
    const struct nmk_rat *low = nmk_rules_low(rules, demand), *high = nmk_rules_high(rules, demand);
    return (!low || nmk_rat_cmp(low, nominal) <= 0) && (!high || nmk_rat_cmp(nominal, high) <= 0);
}

/* Readings at a corner (bits of `corner`) or, corner < 0, anywhere in the ranges. */
static void choose_readings(const struct carded *c, struct nmk_rat *readings, int corner)
{
    for (size_t m = 0; m < nmk_design_measure_count(c->f->design); m++) {
        const struct nmk_rule_measure *r = nmk_rules_measure(c->rules, m);
        struct nmk_rat part = {0};
        nmk_rat_sub(&readings[m], &r->to, &r->from);
        nmk_rat_set_frac(&part, corner < 0 ? (int64_t)biased_below(65) : (corner >> m & 1) * 64, 64);
        nmk_rat_mul(&readings[m], &readings[m], &part);
        nmk_rat_add(&readings[m], &readings[m], &r->from);
        nmk_rat_clear(&part);
    }
}

/* At one size the own clearance has that nominal, the errors of its worst case no more than the card's. */
static void check_own(struct carded *c, size_t demand, const struct nmk_rat *nominal)
{
    const struct nmk_rule_demand *d = nmk_rules_demand(c->rules, demand);
    struct nmk_own_clearance own = {0};
    struct nmk_rat sum = {0}, marks = {0}, reach = {0}, range = {0};
    if (!nmk_rules_own_clearance(&own, c->rules, demand))
        return;
    nmk_rat_set(&sum, &own.constant);
    for (size_t i = 0; i < own.length_count; i++) {
        nmk_rat_div(&marks, &c->sizes.lengths[own.lengths[i].index], nmk_draft_step(c->f->draft));
        nmk_rat_addmul(&sum, &own.lengths[i].times, &marks);
    }
    for (size_t i = 0; i < own.measure_count; i++)
        nmk_rat_addmul(&sum, &own.measures[i].times, &c->sizes.measures[own.measures[i].index]);
    check(c, nmk_rat_equal(&sum, nominal), "the own nominal", demand);
    check(c, own.case_count > 0, "a case", demand);
    nmk_rat_sub(&range, &d->view.most, &d->view.least);
    for (size_t i = 0; i < own.case_count; i++) {
        nmk_rat_set_int(&reach, 0);
        for (size_t k = 0; k < own.cases[i].count; k++) {
            check(c, nmk_rat_sign(&own.cases[i].widths[k]) > 0, "a width", demand);
            nmk_rat_add(&reach, &reach, &own.cases[i].widths[k]);
        }
        nmk_rat_add(&reach, &reach, &reach);
        check(c, nmk_rat_cmp(&reach, &range) <= 0, "no more than the card's range", demand);
    }
    nmk_own_clearance_clear(&own);
    nmk_own_clearance_clear(&own);
    nmk_rat_clear(&sum);
    nmk_rat_clear(&marks);
    nmk_rat_clear(&reach);
    nmk_rat_clear(&range);
}

/* At one place in the ranges: what is met is met, and no nominal is below the lowest. */
static void check_place(struct carded *c, int corner, struct nmk_rat *lowest, bool *failed)
{
    struct nmk_rat readings[4] = {{0}}, nominal = {0};
    choose_readings(c, readings, corner);
    apply_card(c, readings);
    for (size_t i = 0; i < nmk_design_demand_count(c->f->design); i++) {
        const struct nmk_rule_demand *d = nmk_rules_demand(c->rules, i);
        if (d->chart_only)
            continue;
        guess_nominal(&nominal, &c->sizes, nmk_design_demand(c->f->design, i));
        check(c, !d->met || in_bounds(c->rules, i, &nominal), "met everywhere", i);
        check(c, nmk_rat_cmp(&d->view.nominal, &nominal) <= 0, "nominal is the lowest", i);
        check(c, nmk_rat_cmp(&d->view.least, &nominal) <= 0 && nmk_rat_cmp(&nominal, &d->view.most) <= 0,
              "within least and most", i);
        check_own(c, i, &nominal);
        failed[i] |= !in_bounds(c->rules, i, &nominal);
        if (corner == 0 || nmk_rat_cmp(&nominal, &lowest[i]) < 0)
            nmk_rat_set(&lowest[i], &nominal);
    }
    for (size_t i = 0; i < 4; i++)
        nmk_rat_clear(&readings[i]);
    nmk_rat_clear(&nominal);
}

/* At the sizes named the demand is not met. */
static void check_fails_at(struct carded *c, size_t demand)
{
    const struct nmk_rule_demand *d = nmk_rules_demand(c->rules, demand);
    struct nmk_rat readings[4] = {{0}}, nominal = {0};
    choose_readings(c, readings, 0);
    for (size_t k = 0; k < d->size_count; k++)
        nmk_rat_set(&readings[d->fails[k].measure], &d->fails[k].mm);
    apply_card(c, readings);
    guess_nominal(&nominal, &c->sizes, nmk_design_demand(c->f->design, demand));
    check(c, !in_bounds(c->rules, demand, &nominal), "fails where it is said to", demand);
    for (size_t i = 0; i < 4; i++)
        nmk_rat_clear(&readings[i]);
    nmk_rat_clear(&nominal);
}

/* Every printed reading has its whole interval in the range. */
static void check_readings(struct carded *c)
{
    const struct nmk_rat *step = nmk_rules_reading_step(c->rules);
    struct nmk_rat end = {0}, k = {0};
    for (size_t m = 0; m < nmk_design_measure_count(c->f->design); m++) {
        const struct nmk_rule_measure *r = nmk_rules_measure(c->rules, m);
        if (r->read == NMK_READ_FIXED)
            continue;
        for (int out = 0; out < 2; out++) { /* first and last lie inside, one before and one behind do not */
            for (int high = 0; high < 2; high++) {
                nmk_rat_set_int(&k, high ? r->last + out : r->first - out);
                nmk_rat_mul(&end, &k, step);
                add_halves(&end, step, reading_shift(r->read) + (high ? 1 : -1));
                bool inside = high ? nmk_rat_cmp(&end, &r->to) <= 0 : nmk_rat_cmp(&end, &r->from) >= 0;
                check(c, inside == !out || r->first > r->last, "readings inside the range", m);
            }
        }
    }
    nmk_rat_clear(&end);
    nmk_rat_clear(&k);
}

/* Whatever can be read at the ends of the ranges keeps each length at least one mark, and each mat. */
static void check_lengths(struct carded *c, int corner)
{
    struct nmk_rat readings[4] = {{0}}, rounded = {0};
    choose_readings(c, readings, corner);
    for (size_t m = 0; m < nmk_design_measure_count(c->f->design); m++) /* with the error of reading outwards */
        if (nmk_rules_measure(c->rules, m)->read != NMK_READ_FIXED)
            add_halves(&readings[m], nmk_rules_reading_step(c->rules), corner >> m & 1 ? 1 : -1);
    apply_card(c, readings);
    for (size_t i = 0; i < nmk_design_length_count(c->f->design); i++) {
        const struct nmk_rule_length *l = nmk_rules_length(c->rules, i);
        if (l->choice || l->chart_only)
            continue;
        if (l->round == NMK_ROUND_EXACT)
            for (size_t k = 0; k < l->term_count; k++)
                check(c, nmk_rat_is_int(&l->terms[k].times), "exact has whole multiples", i);
        nmk_rat_set(&rounded, &c->sizes.lengths[i]); /* at least half a mark less than that is cut off */
        add_halves(&rounded, nmk_draft_step(c->f->draft), l->round == NMK_ROUND_EXACT ? 0 : 1);
        check(c, nmk_rat_cmp(&rounded, nmk_draft_step(c->f->draft)) >= 0, "at least one mark", i);
    }
    for (size_t i = 0; i < 4; i++)
        nmk_rat_clear(&readings[i]);
    nmk_rat_clear(&rounded);
}

/* ---- rows, as somebody makes them who reads whole steps ---- */

/* A length in marks, rounded as the card says; false where it is by the chart only. */
static bool marks_of(int64_t *out, const struct carded *c, size_t length, const int64_t *readings)
{
    const struct nmk_rule_length *l = nmk_rules_length(c->rules, length);
    struct nmk_rat sum = {0}, marks = {0};
    if (l->chart_only)
        return false;
    nmk_rat_set_int(&sum, l->plus);
    for (size_t k = 0; k < l->term_count; k++) {
        nmk_rat_set_int(&marks, readings[l->terms[k].measure] * nmk_draft_score_marks(c->f->draft));
        nmk_rat_addmul(&sum, &l->terms[k].times, &marks);
    }
    if (l->round == NMK_ROUND_UP)
        nmk_rat_ceil(&sum, &sum);
    if (l->round == NMK_ROUND_NEAREST) {
        nmk_rat_set_frac(&marks, 1, 2);
        nmk_rat_add(&sum, &sum, &marks);
    }
    if (l->round != NMK_ROUND_EXACT)
        nmk_rat_floor(&sum, &sum);
    assert_int_equal(nmk_rat_get_int(out, &sum), NMK_OK);
    nmk_rat_clear(&sum);
    nmk_rat_clear(&marks);
    return true;
}

/* The width of a row; false: by the chart only. */
static bool width_of(int64_t *out, const struct carded *c, const struct nmk_piece *piece, int way, size_t row,
                     const int64_t *readings)
{
    const struct nmk_list *list = &piece->lists[way];
    *out = 0;
    for (size_t i = 0; i < list->count; i++) {
        int64_t marks;
        if (list->stretches[i].row != row || list->stretches[i].panel == NMK_NONE)
            continue;
        if (!marks_of(&marks, c, piece->panels[list->stretches[i].panel].length, readings))
            return false;
        *out += marks;
    }
    return true;
}

/* The list fills the width; what is cut away is at least a mark; its scores stand on score marks. */
static void check_row(const struct carded *c, size_t p, int way, size_t index, const int64_t *readings)
{
    const struct nmk_piece *piece = nmk_design_piece(c->f->design, p);
    const struct nmk_list *list = &piece->lists[way];
    const struct nmk_row *row = &list->rows[index];
    int64_t whole, own, rests = (int64_t)(row->rests[0] + row->rests[1]), step = nmk_draft_score_marks(c->f->draft);
    size_t full = 0;
    while (list->rows[full].rests[0] || list->rows[full].rests[1])
        full++;
    if (!width_of(&whole, c, piece, way, full, readings) || !width_of(&own, c, piece, way, index, readings))
        return;
    check(c, rests ? whole - own >= rests : whole == own, "the width of a list", index);
    int64_t at = !row->rests[0] ? 0 : row->rests[1] ? (whole - own) / 2 : whole - own;
    for (size_t i = row->first; i + 1 < row->first + row->count; i++) {
        int64_t marks = 0;
        if (list->stretches[i].panel != NMK_NONE)
            (void)marks_of(&marks, c, piece->panels[list->stretches[i].panel].length, readings);
        at += marks;
        size_t line = list->stretches[i].lines[1];
        if (!list->lines[line].is_cut)
            check(c, (nmk_draft_from_last(c->f->draft, p, (enum nmk_way)way, line) ? whole - at : at) % step == 0,
                  "a score of a list", index);
    }
}

static void check_rows(const struct carded *c)
{
    int64_t readings[4];
    for (size_t m = 0; m < nmk_design_measure_count(c->f->design); m++) {
        const struct nmk_rule_measure *r = nmk_rules_measure(c->rules, m);
        if (r->read != NMK_READ_FIXED && r->last < r->first)
            return;
        readings[m] = r->read == NMK_READ_FIXED ? 0 : r->first + (int64_t)biased_below((uint64_t)(r->last - r->first + 1));
    }
    for (size_t p = 0; p < nmk_design_piece_count(c->f->design); p++)
        for (int way = 0; nmk_design_piece(c->f->design, p)->kind == NMK_PIECE_PANELS && way < 2; way++)
            for (size_t row = 0; row < nmk_design_piece(c->f->design, p)->lists[way].row_count; row++)
                check_row(c, p, way, row, readings);
}

static void check_card(struct carded *c)
{
    size_t demands = nmk_design_demand_count(c->f->design);
    struct nmk_rat *lowest = nmk_memory_new(demands, sizeof *lowest);
    bool failed[16] = {false};
    guess_sizes_init(&c->sizes, c->f->draft);
    c->sizes.choices = c->choices;
    for (int corner = 0; corner < 4; corner++) {
        check_place(c, corner, lowest, failed);
        check_lengths(c, corner);
    }
    for (size_t i = 0; i < demands; i++) {
        const struct nmk_rule_demand *d = nmk_rules_demand(c->rules, i);
        if (d->chart_only)
            continue;
        check(c, nmk_rat_equal(&d->view.nominal, &lowest[i]), "the lowest nominal", i);
        check(c, d->met == !failed[i], "not met is not met at a corner", i);
        check(c, d->met == (d->view.state == NMK_HOLDS || d->view.state == NMK_AT_RISK), "met and state", i);
        if (!d->met)
            check_fails_at(c, i);
    }
    for (int k = 0; k < 6; k++)
        check_place(c, -1, lowest, failed);
    check_readings(c);
    for (int k = 0; k < 8; k++)
        check_rows(c);
    for (size_t i = 0; i < demands; i++)
        nmk_rat_clear(&lowest[i]);
    nmk_memory_free(lowest);
    guess_sizes_clear(&c->sizes);
}

static void check_one(unsigned long number, unsigned long *left_out)
{
    struct guess g;
    struct guess_wish wish = {.ranges = true,
                              .punches = biased_below(4) == 0,
                              .mats = biased_below(2),
                              .tight = biased_below(3) == 0,
                              .scores = true,
                              .halves = biased_below(2),
                              .rows = biased_below(2)};
    guess_make(&g, &wish);
    struct carded c = {.g = &g, .number = number, .f = fitting_draft(nmk_text_get(&g.text), "e")};
    c.f->options.most_steps = 100000;
    enum nmk_status status = nmk_rules_new(&c.rules, c.f->draft, &c.f->options, c.f->list);
    if (status == NMK_OK) {
        check_card(&c);
        bool all = true;
        for (size_t i = 0; i < nmk_design_demand_count(c.f->design); i++)
            all = all && nmk_rules_demand(c.rules, i)->met;
        *left_out += !all;
        nmk_rules_free(c.rules);
    } else {
        check(&c, status == NMK_BUDGET, "a card", 0);
    }
    fitting_free(c.f);
    guess_clear(&g);
}

static void test_cards(void **state)
{
    (void)state;
    unsigned long left_out = 0;
    biased_start();
    unsigned long cases = biased_cases(80);
    for (unsigned long i = 0; i < cases; i++)
        check_one(i, &left_out);
    biased_share("leave a demand out", left_out, cases, 0.2, 1);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_cards)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
