#include "report/conflict_text.h"

#include "ground/figure.h"
#include "ground/store.h"
#include "report/edition_text.h"

enum { PLACES = 4 };

/* "it would help to allow at most 4.2 mm of room instead of 4 mm"; turned outward, so that it surely does. */
static void add_change(struct sink *out, const struct nmk_settled *settled, const struct nmk_conflict_member *member)
{
    const struct nmk_rat *bound =
        member->high ? nmk_settled_high(settled, member->demand) : nmk_settled_low(settled, member->demand);
    if (!member->can_change || !bound) {
        sink_string(out, "it asks for equal sizes; no bound of it can be changed");
        return;
    }
    struct nmk_rat wider = {0};
    if (member->high)
        nmk_rat_add(&wider, bound, &member->change);
    else
        nmk_rat_sub(&wider, bound, &member->change);
    char *was = figure_near(bound, PLACES), *now = member->high ? figure_up(&wider, PLACES) : figure_down(&wider, PLACES);
    sink_format(out, "it would help to allow %s %s mm of room instead of %s mm", member->high ? "at most" : "at least", now,
                was);
    store_free(was);
    store_free(now);
    nmk_rat_clear(&wider);
}

static void show_member(struct sink *out, const struct nmk_settled *settled, const struct nmk_conflict_member *member)
{
    const struct nmk_design *design = nmk_draft_design(nmk_settled_draft(settled));
    struct sink change = {0};
    char *title = demand_title(nmk_design_demand(design, member->demand));
    sink_words(out, 2, title);
    add_change(&change, settled, member);
    sink_words(out, 6, change.data);
    sink_drop(&change);
    store_free(title);
}

static void show_finer(struct sink *out, const struct nmk_settled *settled, const struct nmk_rat *finer)
{
    if (!finer) {
        sink_words(out, 0, "No finer marks help, not even a 64th of these.");
        return;
    }
    char *step = figure_length(finer, nmk_draft_step_unit(nmk_settled_draft(settled)));
    sink_format(out, "Finer marks would serve: every %s.\n", step);
    store_free(step);
}

void conflict_text_show(struct sink *out, const struct nmk_settled *settled, const struct nmk_conflict *conflict)
{
    const struct nmk_draft *draft = nmk_settled_draft(settled);
    char *step = figure_length(nmk_draft_step(draft), nmk_draft_step_unit(draft));
    struct sink line = {0};
    size_t count = nmk_conflict_count(conflict);
    sink_format(&line, "On marks of %s nothing meets every demand.", step);
    sink_string(out, "\n");
    sink_tint(out, TINT_BAD, line.data);
    sink_string(out, "\n\n");
    sink_drop(&line);
    sink_words(out, 0, count == 1 ? "This one cannot be met, even alone:"
                                  : "These cannot be met together; without any one of them the others can:");
    for (size_t i = 0; i < count; i++)
        show_member(out, settled, nmk_conflict_member(conflict, i));
    sink_string(out, "\n");
    show_finer(out, settled, nmk_conflict_finer(conflict));
    store_free(step);
}
