#include "report/edition_text.h"

#include <stdio.h>
#include <string.h>

#include "ground/figure.h"
#include "ground/store.h"

enum { ROOM_PLACES = 4 };

enum nmk_unit draft_unit(const struct nmk_draft *draft)
{
    enum nmk_unit unit = nmk_draft_edition(draft)->unit, step_unit = nmk_draft_step_unit(draft);
    return nmk_unit_is_inch(unit) == nmk_unit_is_inch(step_unit) ? unit : step_unit;
}

char *draft_mark(const struct nmk_draft *draft, int64_t marks)
{
    struct nmk_rat mm = {0};
    nmk_rat_set_int(&mm, marks);
    nmk_rat_mul(&mm, &mm, nmk_draft_step(draft));
    char *figure = figure_length(&mm, draft_unit(draft));
    nmk_rat_clear(&mm);
    return figure;
}

/* Is it a whole number of these parts of a millimetre? */
static bool is_multiple(const struct nmk_rat *mm, int64_t num, int64_t den)
{
    struct nmk_rat part = {0}, count = {0};
    bool whole = !nmk_rat_set_frac(&part, num, den) && !nmk_rat_div(&count, mm, &part) && nmk_rat_is_int(&count);
    nmk_rat_clear(&part);
    nmk_rat_clear(&count);
    return whole;
}

char *draft_size(const struct nmk_draft *draft, const struct nmk_rat *mm)
{
    enum nmk_unit unit = draft_unit(draft);
    bool inches = is_multiple(mm, 127, 320), tenths = is_multiple(mm, 1, 10); /* 1/64 in; 0.1 mm */
    if (nmk_unit_is_inch(unit) && !inches && tenths)
        unit = NMK_MM;
    if (!nmk_unit_is_inch(unit) && inches && !tenths)
        unit = NMK_IN;
    return figure_length(mm, unit);
}

static void show_title(struct sink *out, const char *title)
{
    struct sink plain = {0};
    if (!*title)
        return;
    sink_plain(&plain, title);
    sink_tint(out, TINT_STRONG, plain.data);
    sink_string(out, "\n");
    sink_drop(&plain);
}

void draft_marks(struct sink *out, const struct nmk_draft *draft)
{
    int64_t marks = nmk_draft_score_marks(draft);
    char *step = figure_length(nmk_draft_step(draft), nmk_draft_step_unit(draft));
    sink_format(out, "a mark every %s", step);
    store_free(step);
    if (marks <= 1)
        return;
    step = draft_mark(draft, marks);
    sink_format(out, ", scores every %s", step);
    store_free(step);
}

void draft_heading(struct sink *out, const struct nmk_draft *draft)
{
    const struct nmk_edition *edition = nmk_draft_edition(draft);
    char *cut = figure_near(&edition->cut, 4);
    struct sink line = {0};
    show_title(out, nmk_design_title(nmk_draft_design(draft)));
    sink_format(&line, "Edition %s: ", edition->name);
    draft_marks(&line, draft);
    sink_format(&line, ", ± %s mm%s.", cut, edition->as_designed ? ", as designed" : "");
    sink_words(out, 0, line.data);
    sink_drop(&line);
    store_free(cut);
}

enum nmk_unit edition_unit(const struct nmk_settled *settled)
{
    return draft_unit(nmk_settled_draft(settled));
}

char *edition_mark(const struct nmk_settled *settled, int64_t marks)
{
    return draft_mark(nmk_settled_draft(settled), marks);
}

char *edition_size(const struct nmk_settled *settled, const struct nmk_rat *mm)
{
    return draft_size(nmk_settled_draft(settled), mm);
}

void edition_heading(struct sink *out, const struct nmk_settled *settled)
{
    draft_heading(out, nmk_settled_draft(settled));
}

const char *demand_kind(const struct nmk_demand *demand)
{
    static const char *const kinds[] = {[NMK_FIT] = "fit", [NMK_BORDER] = "border", [NMK_EVEN] = "even", [NMK_KEEP] = "keep"};
    return kinds[demand->kind];
}

const char *demand_way(const struct nmk_demand *demand)
{
    if (demand->kind != NMK_BORDER)
        return NULL;
    return demand->way == NMK_ACROSS ? "across" : "down";
}

char *demand_title(const struct nmk_demand *demand)
{
    const char *kind = demand_kind(demand), *way = demand_way(demand);
    size_t room = strlen(kind) + strlen(demand->name) + 16;
    char *title = store_new(room, 1);
    snprintf(title, room, "%s %s%s%s", kind, demand->name, way ? " " : "", way ? way : "");
    return title;
}

void demand_room(struct sink *out, const struct nmk_settled *settled, size_t demand)
{
    const struct nmk_rat *low = nmk_settled_low(settled, demand), *high = nmk_settled_high(settled, demand);
    char *least = low ? figure_near(low, ROOM_PLACES) : NULL, *most = high ? figure_near(high, ROOM_PLACES) : NULL;
    if (nmk_design_demand(nmk_draft_design(nmk_settled_draft(settled)), demand)->exact)
        sink_string(out, "must be equal");
    else if (least && most)
        sink_format(out, "room %s to %s mm", least, most);
    else
        sink_format(out, "room at %s %s mm", least ? "least" : "most", least ? least : most);
    store_free(least);
    store_free(most);
}

enum tint state_tint(enum nmk_state state)
{
    return state == NMK_HOLDS ? TINT_GOOD : state == NMK_AT_RISK ? TINT_RISK : TINT_BAD;
}
