#include "report/explain_text.h"

#include <string.h>

#include "ground/figure.h"
#include "ground/letters.h"
#include "ground/store.h"
#include "report/demand_lengths.h"
#include "report/edition_text.h"
#include "report/source_text.h"

enum { PLACES = 4, LABEL_COLUMN = 12, OFF_COLUMN = 15, FEW = 3 };

struct scene {
    struct sink *out;
    const struct explained *e;
    const struct nmk_settled *settled;
    const struct nmk_draft *draft;
    const struct nmk_design *design;
};

static const struct nmk_view *view_of(const struct scene *s, size_t demand)
{
    return nmk_settled_view(s->settled, demand, s->e->column);
}

static void say(const struct scene *s, int indent, struct sink *words)
{
    if (words->size)
        sink_words(s->out, indent, words->data);
    sink_drop(words);
}

/* ---- a demand ---- */

static void show_title(const struct scene *s, size_t demand)
{
    struct sink line = {0};
    char *title = demand_title(nmk_design_demand(s->design, demand));
    sink_format(&line, "%s: ", title);
    demand_room(&line, s->settled, demand);
    sink_string(s->out, "\n");
    say(s, 0, &line);
    store_free(title);
}

static void show_state(const struct scene *s, size_t demand)
{
    const struct nmk_demand *d = nmk_design_demand(s->design, demand);
    const struct nmk_view *view = view_of(s, demand);
    char *chance = figure_chance(&view->chance);
    bool always = !nmk_rat_cmp_int(&view->chance, 1);
    sink_string(s->out, s->e->column == NMK_ROUNDED ? "  each number rounded by itself: " : "  ");
    sink_tint(s->out, state_tint(view->state), nmk_state_word(view->state, d));
    if (!d->exact)
        sink_format(s->out, always ? ", %s" : ", met in %s of all cases", chance);
    sink_string(s->out, "\n");
    store_free(chance);
}

static void show_figure(const struct scene *s, const char *label, char *figure)
{
    sink_format(s->out, "    %-*s%s mm\n", LABEL_COLUMN, label, figure);
    store_free(figure);
}

static void show_figures(const struct scene *s, size_t demand)
{
    const struct nmk_view *view = view_of(s, demand);
    show_figure(s, "as marked", figure_near(&view->nominal, PLACES));
    if (nmk_design_demand(s->design, demand)->exact)
        return;
    show_figure(s, "tightest", figure_down(&view->least, PLACES));
    show_figure(s, "loosest", figure_up(&view->most, PLACES));
}

static void show_source(const struct scene *s, size_t demand, const struct nmk_contribution *source)
{
    struct sink text = {0}, words = {0};
    char *off = figure_near(&source->off, PLACES);
    int column = 4 + OFF_COLUMN;
    source_text_add(&text, s->settled, s->e->column, demand, source);
    sink_words(&words, column, text.data);
    sink_format(s->out, "    ± %s mm", off);
    sink_spaces(s->out, OFF_COLUMN - 5 - letters_width(off));
    sink_string(s->out, words.data + column);
    sink_drop(&text);
    sink_drop(&words);
    store_free(off);
}

static void show_sources(const struct scene *s, size_t demand)
{
    size_t count = nmk_settled_contribution_count(s->settled, demand, s->e->column);
    if (nmk_design_demand(s->design, demand)->exact) {
        sink_words(s->out, 2, "It is judged as marked: how true it is cut and laid does not come into it.");
        return;
    }
    if (!count) {
        sink_words(s->out, 2, "Nothing in it is uncertain.");
        return;
    }
    sink_string(s->out, "  it varies by, largest first:\n");
    for (size_t i = 0; i < count; i++)
        show_source(s, demand, nmk_settled_contribution(s->settled, demand, s->e->column, i));
}

static void show_demand(const struct scene *s, size_t demand)
{
    show_title(s, demand);
    show_state(s, demand);
    show_figures(s, demand);
    show_sources(s, demand);
}

/* ---- what another choice costs ---- */

static void add_weaker(struct sink *out, const struct scene *s, const struct alternative *other, size_t demand)
{
    char *title = demand_title(nmk_design_demand(s->design, demand));
    char *was = figure_chance(&nmk_settled_view(s->settled, demand, NMK_SETTLED)->chance);
    char *now = figure_chance(&nmk_settled_view(other->settled, demand, NMK_SETTLED)->chance);
    sink_format(out, "%s would be met in %s of all cases instead of %s", title, now, was);
    store_free(title);
    store_free(was);
    store_free(now);
}

/* The few demands that fall lowest; false: none is less sure. */
static bool show_weaker(const struct scene *s, const struct alternative *other)
{
    size_t count = nmk_design_demand_count(s->design), shown = 0;
    bool *told = store_new(count + 1, sizeof *told);
    for (; shown < FEW; shown++) {
        size_t worst = NMK_NONE;
        for (size_t i = 0; i < count; i++)
            if (!told[i] && explained_is_weaker(s->e, other, i) &&
                (worst == NMK_NONE || nmk_rat_cmp(&nmk_settled_view(other->settled, i, NMK_SETTLED)->chance,
                                                  &nmk_settled_view(other->settled, worst, NMK_SETTLED)->chance) < 0))
                worst = i;
        if (worst == NMK_NONE)
            break;
        struct sink words = {0};
        told[worst] = true;
        add_weaker(&words, s, other, worst);
        say(s, 4, &words);
    }
    store_free(told);
    return shown > 0;
}

/* "fit tray.wall: at most 4.2 mm of room instead of 4 mm". */
static void show_member(const struct scene *s, const struct nmk_conflict_member *member)
{
    const struct nmk_rat *bound =
        member->high ? nmk_settled_high(s->settled, member->demand) : nmk_settled_low(s->settled, member->demand);
    char *title = demand_title(nmk_design_demand(s->design, member->demand));
    struct sink words = {0};
    sink_string(&words, title);
    if (member->can_change && bound) {
        struct nmk_rat wider = {0};
        (member->high ? nmk_rat_add : nmk_rat_sub)(&wider, bound, &member->change);
        char *was = figure_near(bound, PLACES), *now = member->high ? figure_up(&wider, PLACES) : figure_down(&wider, PLACES);
        sink_format(&words, ", which would have to allow %s mm of room instead of %s mm", now, was);
        store_free(was);
        store_free(now);
        nmk_rat_clear(&wider);
    }
    say(s, 4, &words);
    store_free(title);
}

static void show_conflict(const struct scene *s, const struct nmk_conflict *conflict)
{
    size_t count = nmk_conflict_count(conflict);
    if (!count) { /* what is in the way is no demand */
        sink_words(s->out, 4, "it cannot be there, even without any demand: scores, strips and mats stay on their marks");
        return;
    }
    sink_words(s->out, 4, count == 1 ? "then this cannot be met:" : "then these cannot be met together:");
    for (size_t i = 0; i < count; i++)
        show_member(s, nmk_conflict_member(conflict, i));
}

/* The first opening or punched piece that gets another size; NMK_NONE: none. */
static size_t other_choice(const struct scene *s, const struct alternative *other)
{
    for (size_t i = 0; i < nmk_design_length_count(s->design); i++)
        if (!nmk_draft_designed(s->draft, i) && nmk_settled_choice(other->settled, i) != nmk_settled_choice(s->settled, i))
            return i;
    return NMK_NONE;
}

/* No demand is less sure: then the aims behind it decide. */
static void add_lesser_cost(struct sink *out, const struct scene *s, const struct alternative *other)
{
    size_t was = nmk_settled_moved(s->settled), now = nmk_settled_moved(other->settled);
    const struct nmk_rat *far = nmk_settled_deviation(s->settled), *farther = nmk_settled_deviation(other->settled);
    size_t choice = other_choice(s, other);
    if (choice != NMK_NONE) {
        sink_format(out, "every demand is as sure, but %s would take another size of its punches",
                    nmk_design_length(s->design, choice)->name);
    } else if (nmk_settled_options(s->settled)->prefer == NMK_EASIEST) {
        sink_string(out, "every demand is as sure, but the marks are no easier to find, or further from the designed sizes");
    } else if (now > was) {
        sink_format(out, "every demand is as sure, but %zu length%s off a nearest mark instead of %zu", now,
                    now == 1 ? " is" : "s are", was);
    } else if (nmk_rat_cmp(farther, far) > 0) {
        char *before = figure_near(far, PLACES), *after = figure_near(farther, PLACES);
        sink_format(out,
                    "every demand is as sure, but all lengths together are %s mm off their designed sizes instead of %s mm",
                    after, before);
        store_free(before);
        store_free(after);
    } else {
        sink_string(out, "every demand is as sure; of equals the smaller marks are taken");
    }
}

static void show_cost(const struct scene *s, const struct alternative *other)
{
    struct sink words = {0};
    if (other->conflict) {
        show_conflict(s, other->conflict);
    } else if (!show_weaker(s, other)) {
        add_lesser_cost(&words, s, other);
        say(s, 4, &words);
    }
}

/* ---- a length ---- */

static void add_designed(struct sink *out, const struct scene *s, size_t length)
{
    char *designed = figure_length(nmk_draft_designed(s->draft, length), draft_unit(s->draft));
    char *mm = figure_near(nmk_draft_designed(s->draft, length), PLACES);
    char *nearest = draft_mark(s->draft, nmk_draft_nearest(s->draft, length));
    if (nmk_unit_is_inch(draft_unit(s->draft)))
        sink_format(out, "as drawn %s mm, the nearest mark is %s", mm, nearest);
    else
        sink_format(out, "as drawn %s, the nearest mark is %s", designed, nearest);
    store_free(designed);
    store_free(mm);
    store_free(nearest);
}

static void show_place(const struct scene *s, const struct explained_length *l)
{
    struct sink words = {0};
    sink_format(&words, "%s: ", nmk_design_length(s->design, l->length)->name);
    if (nmk_draft_designed(s->draft, l->length)) {
        add_designed(&words, s, l->length);
        if (s->e->column == NMK_SETTLED) {
            char *mark = draft_mark(s->draft, nmk_settled_marks(s->settled, l->length));
            sink_format(&words, l->moved ? "; it is settled at %s" : "; it is settled there, at %s", mark);
            store_free(mark);
        }
    } else if (s->e->column == NMK_SETTLED) {
        char *across = draft_size(s->draft, nmk_settled_punched(s->settled, l->length, NMK_ACROSS));
        char *down = draft_size(s->draft, nmk_settled_punched(s->settled, l->length, NMK_DOWN));
        sink_format(&words, "punched, %s x %s", across, down);
        store_free(across);
        store_free(down);
    } else {
        sink_string(&words, "no size of its punches can be chosen");
    }
    sink_string(&words, ".");
    sink_string(s->out, "\n");
    say(s, 0, &words);
}

static void show_watchers(const struct scene *s, size_t length)
{
    struct sink words = {0};
    bool *in = store_new(nmk_design_length_count(s->design) + 1, sizeof *in);
    for (size_t i = 0; i < nmk_design_demand_count(s->design); i++) {
        memset(in, 0, nmk_design_length_count(s->design) * sizeof *in);
        demand_lengths_mark(in, s->design, nmk_design_demand(s->design, i));
        if (!in[length])
            continue;
        char *title = demand_title(nmk_design_demand(s->design, i));
        sink_format(&words, "%s%s (%s)", words.size ? "; " : "It stands in: ", title,
                    nmk_state_word(view_of(s, i)->state, nmk_design_demand(s->design, i)));
        store_free(title);
    }
    if (!words.size)
        sink_string(&words, "It stands in no demand");
    sink_string(&words, ".");
    say(s, 2, &words);
    store_free(in);
}

static void show_alternative(const struct scene *s, const char *what, int64_t marks, const struct alternative *other)
{
    char *mark = draft_mark(s->draft, marks);
    sink_format(s->out, "  %s %s:\n", what, mark);
    show_cost(s, other);
    store_free(mark);
}

static bool is_same_place(const struct scene *s, const struct explained_length *l)
{
    return l->held.settled && !l->held.conflict && l->next.settled && !l->next.conflict &&
           nmk_settled_marks(l->next.settled, l->length) == nmk_draft_nearest(s->draft, l->length);
}

static void show_length(const struct scene *s, const struct explained_length *l, bool asked)
{
    show_place(s, l);
    if (asked)
        show_watchers(s, l->length);
    if (l->held.settled)
        show_alternative(s, "At", nmk_draft_nearest(s->draft, l->length), &l->held);
    if (is_same_place(s, l))
        sink_words(s->out, 2, "That is also the next best.");
    else if (l->next.settled && !l->next.conflict)
        show_alternative(s, "The next best is", nmk_settled_marks(l->next.settled, l->length), &l->next);
    else if (l->next.settled)
        sink_words(s->out, 2, "There is no next best: at every other mark some demand cannot be met.");
}

/* ---- the whole ---- */

void explain_text_show(struct sink *out, const struct explained *e)
{
    const struct nmk_draft *draft = nmk_settled_draft(e->settled);
    struct scene s = {.out = out, .e = e, .settled = e->settled, .draft = draft, .design = nmk_draft_design(draft)};
    draft_heading(out, draft);
    if (e->column == NMK_ROUNDED) {
        sink_string(out, "\n");
        sink_words(out, 0, "Nothing meets every demand on these marks; here it is as each number is rounded by itself.");
    }
    for (size_t i = 0; i < e->demand_count; i++)
        show_demand(&s, e->demands[i]);
    for (size_t i = 0; i < e->length_count; i++)
        show_length(&s, &e->lengths[i], !e->demand_count);
}
