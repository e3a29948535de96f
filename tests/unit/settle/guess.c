#include "unit/settle/guess.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/memory.h"
#include "unit/exact/biased.h"

/* ---- a random design ---- */

static long few(long low, long high)
{
    return low + (long)biased_below((uint64_t)(high - low + 1));
}

static void add_bounds(struct nmk_text *t, const struct guess_wish *wish, long around)
{
    long low = around - few(0, wish->tight ? 12 : 60), width = wish->tight ? few(0, 30) : few(20, 90);
    switch (few(0, 5)) {
    case 0: nmk_text_add_format(t, "at least %ld.%ld mm", low > 0 ? low / 10 : 0, low > 0 ? low % 10 : 0); break;
    case 1:
        nmk_text_add_format(t, "at most %ld.%ld mm", (low + width) > 0 ? (low + width) / 10 : 0,
                            (low + width) > 0 ? (low + width) % 10 : 0);
        break;
    default: nmk_text_add_format(t, "%s%ld.%ld to %ld.%ld mm", low < 0 ? "-" : "", labs(low) / 10, labs(low) % 10,
                                 (labs(low) + width) / 10, (labs(low) + width) % 10);
    }
}

static void add_over(struct nmk_text *t, const struct guess_wish *wish, const char *name, const char *formula)
{
    long clear = few(0, 40);
    nmk_text_add_format(t, "%s over %s clear %ld.%ld mm (", name, formula, clear / 10, clear % 10);
    add_bounds(t, wish, clear);
    nmk_text_add_string(t, ")");
}

static const char *multiple(const struct guess_wish *wish, const char *measure)
{
    static const struct {
        const char *of, *formula;
    } all[] = {{"m", "m"}, {"m", "m / 2"}, {"m", "m * 2 / 3"}, {"m", "m + n"},
               {"n", "n"}, {"n", "n / 2"}, {"n", "n / 3"},     {"n", "(m + n) / 2"}};
    size_t first = *measure == 'm' ? 0 : 4;
    return all[first + (wish->halves ? biased_below(4) : 0)].formula;
}

static void add_measures(struct nmk_text *t, const struct guess_wish *wish)
{
    long m = few(20, 40), n = few(21, 36);
    nmk_text_add_format(t, "measure m %ld.%ld mm +- 0.%ld mm", m, few(0, 9), few(0, 9));
    if (wish->ranges)
        nmk_text_add_format(t, " from %ld to %ld mm", m - few(0, 8), m + 1 + few(0, 9));
    nmk_text_add_format(t, "\nmeasure n %ld mm", n);
    if (wish->ranges && biased_below(4))
        nmk_text_add_format(t, " from %ld to %ld mm", n - few(0, 6), n + 1 + few(0, 6));
    nmk_text_add_string(t, "\nstock card thickness 0.3 mm +- 0.02 mm\n");
}

static void add_pieces(struct nmk_text *t, const struct guess_wish *wish)
{
    static const char *const edges[] = {"first edge", "last edge", "both edges"};
    nmk_text_add_format(t, "let rim = %ld mm\npiece p %ld of card\n across ", few(2, 4), few(1, 2));
    if (biased_below(2))
        nmk_text_add_string(t, "rim | ");
    add_over(t, wish, "a", multiple(wish, "m"));
    nmk_text_add_string(t, biased_below(2) ? " | rim\n down " : " | a\n down ");
    add_over(t, wish, "b", multiple(wish, "n"));
    nmk_text_add_format(t, "%s\n score from %s\n", biased_below(2) ? " | b" : "", edges[biased_below(3)]);
    nmk_text_add_string(t, "piece q of card\n across ");
    add_over(t, wish, "c", biased_below(2) ? "outside p.a" : "p.across");
    nmk_text_add_format(t, " | d = %ld mm\n down g = p.b + %ld mm\n", few(4, 9), few(0, 3));
    if (wish->mats) {
        nmk_text_add_format(t, "mat u of card on q.c x q.g, smaller by %s", biased_below(2) ? "rim" : "4 mm");
        nmk_text_add_format(t, "%s\n", biased_below(2) ? " shows 1 to 3.5 mm" : "");
        nmk_text_add_format(t, "mat v of card on u, smaller by %ld mm\n", few(1, 2));
    }
}

/* One list as wide as the piece and one or two beside it: the same panels otherwise, as wide by a formula, or with rests. */
static void add_rows(struct nmk_text *t, const struct guess_wish *wish)
{
    static const char *const edges[] = {"first edge", "last edge", "both edges"};
    static const char *const beside[] = {
        "s | f | t | f", "f || s || f | t", "e = 2 * f + s + t - 3 mm | j = 3 mm", "j = 4 mm | e = f * 2 + s + t - 4 mm",
        "rest | f | s | rest", "rest | s || f | t | rest", "rest | f | s", "f | s | f | rest", "f || s || f || rest", "rest | f | rest"};
    static const char *const bars[] = {" | ", " || "};
    nmk_text_add_format(t, "piece w %ld of card\n", few(1, 2));
    bool down_first = biased_below(2);
    if (down_first)
        nmk_text_add_string(t, " down u = 9 mm | v = n + 2 mm | z = 7 mm\n");
    nmk_text_add_string(t, " across ");
    add_over(t, wish, "f", multiple(wish, "m"));
    nmk_text_add_format(t, "%ss = %s", bars[biased_below(2)], biased_below(2) ? "rim * 3" : multiple(wish, "n"));
    nmk_text_add_format(t, "%sf | t = 5 mm%s beside v%s\n", bars[biased_below(2)], biased_below(2) ? " glue" : "",
                        biased_below(2) ? "" : ", z");
    bool both = strstr(nmk_text_get(t), "beside v, z") != NULL;
    size_t first = biased_below(10), second = biased_below(3);
    nmk_text_add_format(t, " across %s beside %s\n", beside[first], both || second == 0 ? (both ? "u" : "u, z") : "u");
    if (!both && second)
        nmk_text_add_format(t, " across %s beside z\n", beside[second == 1 ? biased_below(2) : 4 + biased_below(6)]);
    if (!down_first)
        nmk_text_add_string(t, " down u = 9 mm | v = n + 2 mm | z = 7 mm\n");
    nmk_text_add_format(t, " score from %s\n", edges[biased_below(3)]);
    if (biased_below(2))
        nmk_text_add_format(t, "fit outside w.f over m clear 0 to %ld mm\n", few(2, 5));
    if (biased_below(2))
        nmk_text_add_format(t, "keep w.across at most m * 2 + n * 2 + %ld mm\n", few(20, 60));
    if (biased_below(3) == 0)
        nmk_text_add_format(t, "keep total w.s at least %ld mm\n", few(20, 30));
}

static void add_demands(struct nmk_text *t, const struct guess_wish *wish)
{
    if (biased_below(2)) {
        nmk_text_add_string(t, "fit p.b over n clear ");
        add_bounds(t, wish, 20);
        nmk_text_add_string(t, "\n");
    }
    if (biased_below(2))
        nmk_text_add_format(t, "keep q.d %s %ld mm\n", biased_below(2) ? "at least" : "at most", few(4, 9));
    if (biased_below(3) == 0)
        nmk_text_add_format(t, "keep total p.a at least p.across + %ld mm\n", 3 * few(0, 1));
    if (wish->tight && biased_below(3) == 0)
        nmk_text_add_string(t, "keep q.d exactly rim * 2\n");
    if (biased_below(3) == 0)
        nmk_text_add_format(t, "border p on q, shows 0 to 40 mm%s\n", wish->tight && biased_below(2) ? " even" : "");
}

void guess_make(struct guess *g, const struct guess_wish *wish)
{
    struct nmk_text *t = &g->text;
    *g = (struct guess){.edition = "e"};
    add_measures(t, wish);
    add_pieces(t, wish);
    if (wish->rows)
        add_rows(t, wish);
    if (wish->punches)
        nmk_text_add_string(
            t,
            "punches tags 9 x 8 mm, 12 x 6 mm, 16 x 11 mm\nopening h from tags through p on p\nkeep h.across at most p.a / 2\n");
    add_demands(t, wish);
    static const char *const marks[] = {"mm marks 1 mm", "in marks 1/16 in", "in marks 1/8 in", "mm marks 2.5 mm"};
    nmk_text_add_format(t, "edition e unit %s cut +- 0.%ld mm place +- 0.%ld mm", marks[biased_below(4)], few(0, 4), few(0, 3));
    if (wish->scores && !biased_below(3))
        nmk_text_add_string(t, biased_below(2) ? " scores 5 mm" : " scores 1/4 in");
    if (!biased_below(4))
        nmk_text_add_string(t, " reach 40 mm");
    nmk_text_add_string(t, "\n");
}

void guess_clear(struct guess *g)
{
    nmk_text_clear(&g->text);
}

/* ---- values ---- */

void guess_sizes_init(struct guess_sizes *s, const struct nmk_draft *draft)
{
    *s = (struct guess_sizes){.draft = draft};
    s->lengths = nmk_memory_new(nmk_design_length_count(nmk_draft_design(draft)), sizeof *s->lengths);
    s->measures = nmk_memory_new(nmk_design_measure_count(nmk_draft_design(draft)), sizeof *s->measures);
}

void guess_sizes_clear(struct guess_sizes *s)
{
    for (size_t i = 0; i < nmk_design_length_count(nmk_draft_design(s->draft)); i++)
        nmk_rat_clear(&s->lengths[i]);
    for (size_t i = 0; i < nmk_design_measure_count(nmk_draft_design(s->draft)); i++)
        nmk_rat_clear(&s->measures[i]);
    nmk_memory_free(s->lengths);
    nmk_memory_free(s->measures);
}

/* out += times the panels of a row. */
static void add_row(struct nmk_rat *out, const struct guess_sizes *s, const struct nmk_piece *piece, size_t way, size_t index,
                    int64_t times)
{
    const struct nmk_list *list = &piece->lists[way];
    struct nmk_rat k = {0};
    nmk_rat_set_int(&k, times);
    for (size_t i = 0; i < list->count; i++)
        if (list->stretches[i].row == index && list->stretches[i].panel != NMK_NONE)
            nmk_rat_addmul(out, &s->lengths[piece->panels[list->stretches[i].panel].length], &k);
    nmk_rat_clear(&k);
}

static void whole_value(struct nmk_rat *out, const struct guess_sizes *s, size_t index, size_t way)
{
    const struct nmk_piece *piece = nmk_design_piece(nmk_draft_design(s->draft), index);
    nmk_rat_set_int(out, 0);
    if (piece->kind == NMK_PIECE_MAT) {
        guess_value(out, s, way == NMK_ACROSS ? piece->on.across : piece->on.down);
        nmk_rat_sub(out, out, &s->lengths[piece->smaller_length]);
    } else if (piece->kind == NMK_PIECE_PUNCHED) {
        const struct nmk_punches *p = nmk_design_punches(nmk_draft_design(s->draft), piece->punches);
        nmk_rat_set(out, &p->sizes[s->choices[piece->length] - 1][way]);
    } else {
        size_t row = 0;
        while (piece->lists[way].rows[row].rests[0] + piece->lists[way].rows[row].rests[1] > 0)
            row++;
        add_row(out, s, piece, way, row, 1);
    }
}

void guess_left(struct nmk_rat *out, const struct guess_sizes *s, size_t piece, enum nmk_way way, size_t row)
{
    whole_value(out, s, piece, way);
    add_row(out, s, nmk_design_piece(nmk_draft_design(s->draft), piece), way, row, -1);
}

/* Does a tab at one end close the ring at the other, where this stretch is? */
static bool closes_ring(const struct nmk_list *list, size_t stretch)
{
    const struct nmk_row *row = &list->rows[list->stretches[stretch].row];
    const struct nmk_stretch *first = &list->stretches[row->first], *last = first + row->count - 1,
                             *own = &list->stretches[stretch];
    first += first->panel == NMK_NONE;
    last -= last->panel == NMK_NONE;
    return first != last && ((own == first && last->glue) || (own == last && first->glue));
}

/* Each stretch of the panel; a fold for each of its lines that is a score, and for a ring that closes there. */
static void count_panel(const struct nmk_piece *piece, size_t panel, int64_t *stretches, int64_t *folds)
{
    *stretches = *folds = 0;
    for (int way = 0; way < 2; way++)
        for (size_t i = 0; i < piece->lists[way].count; i++)
            if (piece->lists[way].stretches[i].panel == panel) {
                const struct nmk_list *list = &piece->lists[way];
                const size_t *lines = list->stretches[i].lines;
                int64_t here = !list->lines[lines[0]].is_cut + !list->lines[lines[1]].is_cut + closes_ring(list, i);
                *folds = here > *folds ? here : *folds;
                ++*stretches;
            }
}

static void panel_value(struct nmk_rat *out, const struct guess_sizes *s, const struct nmk_formula *f)
{
    const struct nmk_piece *piece = nmk_design_piece(nmk_draft_design(s->draft), f->subject);
    struct nmk_rat times = {0};
    int64_t stretches, folds;
    count_panel(piece, f->part, &stretches, &folds);
    nmk_rat_set(out, &s->lengths[piece->panels[f->part].length]);
    nmk_rat_set_int(&times, f->kind == NMK_F_TOTAL ? stretches * piece->copies : folds);
    if (f->kind == NMK_F_TOTAL)
        nmk_rat_mul(out, out, &times);
    if (f->kind == NMK_F_OUTSIDE)
        nmk_rat_addmul(out, &nmk_design_stock(nmk_draft_design(s->draft), piece->stock)->thickness, &times);
    nmk_rat_clear(&times);
}

static void pair_value(struct nmk_rat *out, const struct guess_sizes *s, const struct nmk_formula *f)
{
    struct nmk_rat right = {0};
    guess_value(out, s, f->left);
    guess_value(&right, s, f->right);
    switch (f->kind) {
    case NMK_F_ADD: nmk_rat_add(out, out, &right); break;
    case NMK_F_SUB: nmk_rat_sub(out, out, &right); break;
    case NMK_F_MUL: nmk_rat_mul(out, out, &right); break;
    case NMK_F_DIV: assert_int_equal(nmk_rat_div(out, out, &right), NMK_OK); break;
    default: fail_msg("formula of kind %d", (int)f->kind);
    }
    nmk_rat_clear(&right);
}

void guess_value(struct nmk_rat *out, const struct guess_sizes *s, const struct nmk_formula *f)
{
    const struct nmk_design *design = nmk_draft_design(s->draft);
    switch (f->kind) {
    case NMK_F_NUMBER:
    case NMK_F_LENGTH: nmk_rat_set(out, nmk_draft_twin(s->draft, &f->value)); break;
    case NMK_F_NEG:
        guess_value(out, s, f->left);
        nmk_rat_neg(out, out);
        break;
    case NMK_F_MEASURE: nmk_rat_set(out, &s->measures[f->subject]); break;
    case NMK_F_STOCK: nmk_rat_set(out, &nmk_design_stock(design, f->subject)->thickness); break;
    case NMK_F_LET:
        if (nmk_design_let(design, f->subject)->length != NMK_NONE)
            nmk_rat_set(out, &s->lengths[nmk_design_let(design, f->subject)->length]);
        else
            guess_value(out, s, nmk_design_let(design, f->subject)->formula);
        break;
    case NMK_F_SMALLER: nmk_rat_set(out, &s->lengths[nmk_design_piece(design, f->subject)->smaller_length]); break;
    case NMK_F_WHOLE: whole_value(out, s, f->subject, f->part); break;
    case NMK_F_OPENING:
        nmk_rat_set(out, &nmk_design_punches(design, nmk_design_opening(design, f->subject)->punches)
                              ->sizes[s->choices[nmk_design_opening(design, f->subject)->length] - 1][f->part]);
        break;
    case NMK_F_PANEL:
    case NMK_F_TOTAL:
    case NMK_F_OUTSIDE: panel_value(out, s, f); break;
    default: pair_value(out, s, f);
    }
}

static void add_side(struct nmk_rat *sum, const struct guess_sizes *s, const struct nmk_formula *f, int64_t num, int64_t den)
{
    struct nmk_rat value = {0}, times = {0};
    guess_value(&value, s, f);
    nmk_rat_set_frac(&times, num, den);
    nmk_rat_addmul(sum, &value, &times);
    nmk_rat_clear(&value);
    nmk_rat_clear(&times);
}

void guess_nominal(struct nmk_rat *out, const struct guess_sizes *s, const struct nmk_demand *d)
{
    int64_t den = d->kind == NMK_BORDER || d->kind == NMK_EVEN ? 2 : 1;
    nmk_rat_set_int(out, 0);
    add_side(out, s, d->outer, 1, den);
    add_side(out, s, d->inner, -1, den);
    if (d->kind == NMK_EVEN) {
        add_side(out, s, d->outer2, -1, den);
        add_side(out, s, d->inner2, 1, den);
    }
}
