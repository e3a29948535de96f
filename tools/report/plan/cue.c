#include "report/plan/cue.h"

#include "ground/figure.h"
#include "ground/hint.h"
#include "ground/store.h"
#include "report/edition_text.h"
#include "report/plan/cue_making.h"
#include "report/plan/cue_name.h"
#include "report/plan/cue_row.h"
#include "report/plan/cue_words.h"

static const char *edge_name(enum nmk_plan_edge edge)
{
    static const char *const names[] = {[NMK_PLAN_LEFT] = "left edge", [NMK_PLAN_UPPER] = "upper edge",
                                        [NMK_PLAN_RIGHT] = "right edge", [NMK_PLAN_LOWER] = "lower edge"};
    return names[edge];
}

/* ---- a cue ---- */

static struct cue *add_cue(const struct cue_teller *t, enum cue_part part, const struct nmk_plan_step *step)
{
    struct cue_list *list = t->list;
    if (list->count == list->space) {
        list->space += list->space / 2 + 16;
        list->all = store_resize(list->all, list->space * sizeof *list->all);
    }
    struct cue *cue = &list->all[list->count++];
    *cue = (struct cue){.part = part, .number = step->number};
    cue->opens = list->count == 1 || list->all[list->count - 2].number != step->number;
    return cue;
}

/* The setting, how to find it, and the same in the other unit. */
static void put_setting(const struct cue_teller *t, struct cue *cue, const struct nmk_plan_step *step)
{
    const struct nmk_draft *draft = nmk_settled_draft(t->settled);
    enum nmk_unit unit = edition_unit(t->settled);
    struct nmk_rat near = {0};
    cue->figure = edition_size(t->settled, &step->at);
    cue->hint = step->marks ? hint_mark(step->marks, nmk_draft_step(draft), nmk_draft_step_unit(draft), unit) : NULL;
    if (!step->marks)
        cue->hint = store_copy("between the marks: measure it", 29);
    else if (step->beyond) {
        store_free(cue->hint);
        cue->hint = store_copy("beyond the arm: use a ruler", 27);
    }
    if (t->both && cue_to_other(&near, &step->at, cue_other_unit(unit)))
        cue->other = figure_length(&near, cue_other_unit(unit));
    nmk_rat_clear(&near);
}

static void add_lie(struct sink *s, const struct nmk_plan_step *step)
{
    sink_format(s, "%s at the mark, %s to the fence", edge_name(step->edge), edge_name(step->fence));
}

/* Which turn brings the card from one lie to the next: "" none, quarter, half. */
static const char *turn_between(const struct nmk_plan_step *from, const struct nmk_plan_step *to)
{
    int quarters = ((int)to->edge - (int)from->edge + 4) % 4;
    return quarters == 0 ? "" : quarters == 2 ? "Half a turn. " : "Turn. ";
}

/* ---- cuts ---- */

static bool is_alike(const struct nmk_plan_part *a, const struct nmk_plan_part *b)
{
    if (a->kind == NMK_PLAN_PIECE && b->kind == NMK_PLAN_PIECE)
        return a->piece == b->piece;
    return a->kind == NMK_PLAN_STRIP && b->kind == NMK_PLAN_STRIP && nmk_rat_equal(&a->size[0], &b->size[0]) &&
           nmk_rat_equal(&a->size[1], &b->size[1]);
}

/* How many steps from i on are one run: the same setting and lie, each taken from what the last one left, all giving the
 * same piece, or strips of the same size. */
static size_t run_length(const struct nmk_plan *plan, size_t i)
{
    const struct nmk_plan_step *first = nmk_plan_step(plan, i);
    const struct nmk_plan_part *made = nmk_plan_part(plan, first->first);
    size_t n = 1;
    for (; i + n < nmk_plan_step_count(plan); n++) {
        const struct nmk_plan_step *step = nmk_plan_step(plan, i + n), *last = nmk_plan_step(plan, i + n - 1);
        if (step->act != NMK_PLAN_CUT || step->number != first->number || step->part != last->second ||
            step->edge != first->edge)
            break;
        const struct nmk_plan_part *next = nmk_plan_part(plan, step->first);
        if (!is_alike(made, next))
            break;
    }
    return n;
}

static void add_given(const struct cue_teller *t, struct sink *s, size_t part, int64_t times)
{
    const struct nmk_plan_part *p = nmk_plan_part(t->plan, part);
    cue_add_part(s, t->plan, part, times);
    if (p->kind == NMK_PLAN_PIECE)
        return;
    sink_string(s, ", ");
    cue_add_owned(s, cue_size(t->plan, p->size));
}

/* "strips E, G, I, each 3/4 in x 6 13/16 in". */
static void add_strips(const struct cue_teller *t, struct sink *s, size_t i, size_t n)
{
    const struct nmk_plan_part *made = nmk_plan_part(t->plan, nmk_plan_step(t->plan, i)->first);
    if (made->count > 1)
        sink_format(s, "%lld times ", (long long)made->count);
    sink_string(s, "strips ");
    for (size_t k = 0; k < n; k++) {
        sink_string(s, k ? ", " : "");
        cue_add_owned(s, cue_letters(nmk_plan_part(t->plan, nmk_plan_step(t->plan, i + k)->first)->number));
    }
    sink_string(s, ", each ");
    cue_add_owned(s, cue_size(t->plan, made->size));
}

/* A last piece that comes out alike is one more of them. */
static char *what_it_gives(const struct cue_teller *t, size_t i, size_t n)
{
    const struct nmk_plan_step *first = nmk_plan_step(t->plan, i), *last = nmk_plan_step(t->plan, i + n - 1);
    const struct nmk_plan_part *made = nmk_plan_part(t->plan, first->first), *rest = nmk_plan_part(t->plan, last->second);
    struct sink s = {0};
    bool alike = made->kind == NMK_PLAN_PIECE && is_alike(made, rest);
    if (made->kind == NMK_PLAN_STRIP && n > 1)
        add_strips(t, &s, i, n);
    else
        add_given(t, &s, first->first, (int64_t)n + alike);
    if (!alike) {
        sink_string(&s, "; left over: ");
        add_given(t, &s, last->second, 1);
    }
    return cue_taken(&s);
}

/* `turn`: it has just come off, and lies otherwise now. */
static void say_part(const struct cue_teller *t, struct sink *s, size_t part, bool turn)
{
    const struct nmk_plan_part *p = nmk_plan_part(t->plan, part);
    if (p->kind == NMK_PLAN_SHEET) {
        const struct nmk_plan_sheet *sheet = nmk_plan_sheet(t->plan, p->sheet);
        sink_string(s, "Take ");
        cue_add_sheets(s, sheet);
    } else {
        sink_format(s, "%s %s ", turn ? "Turn" : "Take", p->count > 1 ? "the strips" : "strip");
        cue_add_owned(s, cue_letters(p->number));
    }
    sink_string(s, ". ");
}

/* "The same again, three times more." */
static void say_again(struct sink *s, size_t times, const char *more)
{
    static const char *const words[] = {"", "", "twice", "three times", "four times", "five times"};
    sink_string(s, "The same again");
    if (times > 1 && times < sizeof words / sizeof *words)
        sink_format(s, ", %s%s", words[times], more);
    else if (times > 1)
        sink_format(s, ", %zu times%s", times, more);
    sink_string(s, ".");
}

static void say_cut(const struct cue_teller *t, struct sink *s, const struct nmk_plan_step *before,
                    const struct nmk_plan_step *step, size_t n)
{
    bool same_setting = before && before->number == step->number;
    bool follows = before && (step->part == before->first || step->part == before->second);
    if (follows && step->part == before->second)
        sink_string(s, turn_between(before, step));
    else
        say_part(t, s, step->part, follows && before->edge != step->edge);
    if (same_setting) {
        say_again(s, n, "");
        return;
    }
    sink_string(s, "Cut at ");
    cue_add_length(t, s, &step->at, true);
    sink_string(s, n > 1 ? ". " : ".");
    if (n > 1)
        say_again(s, n - 1, " more");
}

static size_t tell_cut(const struct cue_teller *t, size_t i)
{
    size_t n = run_length(t->plan, i);
    const struct nmk_plan_step *step = nmk_plan_step(t->plan, i);
    struct cue *cue = add_cue(t, CUE_CUT, step);
    struct sink how = {0}, say = {0};
    put_setting(t, cue, step);
    cue->what = cue_part_name(t->plan, step->part);
    add_lie(&how, step);
    if (n > 1)
        sink_format(&how, "; %zu times", n);
    cue->how = cue_taken(&how);
    cue->gives = what_it_gives(t, i, n);
    say_cut(t, &say, cue_work_before(t, i), step, n);
    cue->say = cue_taken(&say);
    return n;
}

/* ---- scores ---- */

/* The piece is named when it is taken up. */
static void say_piece(const struct cue_teller *t, struct sink *s, const struct nmk_plan_step *before,
                      const struct nmk_plan_step *step)
{
    if (before && before->act == step->act && before->piece == step->piece)
        return;
    cue_say_label(t, s, step);
}

static void say_score(const struct cue_teller *t, struct sink *s, const struct nmk_plan_step *before,
                      const struct nmk_plan_step *step)
{
    bool far_end = step->edge == NMK_PLAN_RIGHT || step->edge == NMK_PLAN_LOWER;
    bool same_piece = before && before->act == NMK_PLAN_SCORE && before->piece == step->piece;
    say_piece(t, s, before, step);
    if (same_piece && before->way != step->way)
        sink_string(s, "Turn. ");
    if (same_piece && before->number == step->number) {
        sink_string(s, "The same again");
    } else {
        sink_string(s, "Score at ");
        cue_add_length(t, s, &step->at, true);
    }
    sink_string(s, far_end ? ", in from the far end" : "");
    cue_row_add_runs(t, s, step, true);
    sink_string(s, ".");
}

static void tell_score(const struct cue_teller *t, size_t i)
{
    const struct nmk_plan_step *step = nmk_plan_step(t->plan, i);
    struct cue *cue = add_cue(t, CUE_SCORE, step);
    struct sink how = {0}, say = {0};
    put_setting(t, cue, step);
    cue->what = cue_piece_name(t, step);
    add_lie(&how, step);
    cue_row_add_runs(t, &how, step, false);
    cue->how = cue_taken(&how);
    say_score(t, &say, cue_work_before(t, i), step);
    cue->say = cue_taken(&say);
}

/* ---- cut within a piece ---- */

static void tell_knife(const struct cue_teller *t, size_t i)
{
    const struct nmk_plan_step *step = nmk_plan_step(t->plan, i), *before = cue_work_before(t, i);
    bool same_piece = before && before->act == NMK_PLAN_KNIFE && before->piece == step->piece;
    struct cue *cue = add_cue(t, CUE_MAKE, step);
    struct sink how = {0}, say = {0};
    put_setting(t, cue, step);
    cue->what = cue_piece_name(t, step);
    sink_format(&how, "with a knife and a ruler, not on the trimmer: from the %s", edge_name(step->edge));
    cue_row_add_runs(t, &how, step, false);
    cue->how = cue_taken(&how);
    if (!same_piece) {
        cue_say_label(t, &say, step);
        sink_string(&say, "With a knife and a ruler, cut ");
    } else {
        sink_string(&say, "Cut ");
    }
    sink_string(&say, "at ");
    cue_add_length(t, &say, &step->at, true);
    sink_format(&say, " from the %s", edge_name(step->edge));
    cue_row_add_runs(t, &say, step, true);
    sink_string(&say, ".");
    cue->say = cue_taken(&say);
}

/* ---- making up ---- */

/* In which part of the work a step stands that is neither a cut nor a score. */
static enum cue_part part_of(const struct cue_teller *t, const struct nmk_plan_step *step)
{
    static const enum cue_part places[] = {
        [NMK_SAY_CUT] = CUE_CUT,   [NMK_SAY_SCORE] = CUE_SCORE, [NMK_SAY_SCORED] = CUE_SCORE,
        [NMK_SAY_SNIP] = CUE_MAKE, [NMK_SAY_MITRE] = CUE_PUNCH, [NMK_SAY_GLUE] = CUE_MAKE,
    };
    if (step->act == NMK_PLAN_SAY)
        return places[cue_piece(t, step)->says[step->say].place];
    return step->act < NMK_PLAN_SCORE ? CUE_PUNCH : CUE_MAKE;
}

/* What is done is said with the piece's name, unless it was named for what was done before; the design's own words stand
 * alone. */
static bool is_named(const struct nmk_plan_step *before, const struct nmk_plan_step *step)
{
    return step->act != NMK_PLAN_SAY && !(before && before->piece == step->piece && before->act > NMK_PLAN_SCORE);
}

static void tell_making(const struct cue_teller *t, size_t i)
{
    const struct nmk_plan_step *step = nmk_plan_step(t->plan, i);
    struct cue *cue = add_cue(t, part_of(t, step), step);
    struct sink how = {0}, say = {0};
    cue->own = step->act == NMK_PLAN_SAY;
    cue->what = cue_piece_name(t, step);
    cue_making_put(t, &how, step, false);
    cue->how = cue_taken(&how);
    if (is_named(cue_work_before(t, i), step))
        cue_say_label(t, &say, step);
    cue_making_put(t, &say, step, true);
    cue->say = cue_taken(&say);
}

/* ---- the whole ---- */

void cue_list_make(struct cue_list *out, const struct nmk_plan *plan, bool both)
{
    const struct nmk_settled *settled = nmk_plan_settled(plan);
    struct cue_teller t = {plan, settled, nmk_draft_design(nmk_settled_draft(settled)), out, both};
    *out = (struct cue_list){0};
    for (size_t i = 0; i < nmk_plan_step_count(plan);) {
        enum nmk_plan_act act = nmk_plan_step(plan, i)->act;
        if (act == NMK_PLAN_CUT) {
            i += tell_cut(&t, i);
            continue;
        }
        if (act == NMK_PLAN_SCORE)
            tell_score(&t, i);
        else if (act == NMK_PLAN_KNIFE)
            tell_knife(&t, i);
        else
            tell_making(&t, i);
        i++;
    }
}

void cue_list_clear(struct cue_list *list)
{
    for (size_t i = 0; i < list->count; i++) {
        struct cue *c = &list->all[i];
        char *texts[] = {c->figure, c->other, c->hint, c->what, c->how, c->gives, c->say};
        for (size_t k = 0; k < sizeof texts / sizeof *texts; k++)
            store_free(texts[k]);
    }
    store_free(list->all);
    *list = (struct cue_list){0};
}
