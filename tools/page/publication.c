#include "page/publication.h"

#include <string.h>

#include "report/edition_text.h"

enum { MOST_NAME = 60 };

void published_init(struct published *p, const struct nmk_settled *settled, const struct nmk_rules *rules,
                    const struct nmk_plan *plan)
{
    *p = (struct published){.settled = settled, .rules = rules, .plan = plan, .shown = nmk_settled_holds_together(settled)};
    if (p->shown)
        gallery_init(&p->gallery, settled);
}

void published_clear(struct published *p)
{
    if (p->shown)
        gallery_clear(&p->gallery);
    *p = (struct published){.shown = false};
}

const char *published_name(const struct published *p)
{
    return nmk_draft_edition(nmk_settled_draft(p->settled))->name;
}

const char *published_unit(const struct published *p)
{
    enum nmk_unit unit = edition_unit(p->settled);
    return nmk_unit_name(unit);
}

const char *publication_title(const struct publication *all)
{
    const char *title = nmk_design_title(all->design);
    return *title ? title : "Cut and score measurements";
}

bool publication_has_ranges(const struct publication *all)
{
    for (size_t i = 0; i < nmk_design_measure_count(all->design); i++)
        if (nmk_design_measure(all->design, i)->has_range)
            return true;
    return false;
}

/* A name's beginning, no letter torn. */
static void add_name(struct sink *out, const char *name)
{
    size_t size = strlen(name);
    if (size > MOST_NAME)
        for (size = MOST_NAME; size && ((unsigned char)name[size] & 0xC0) == 0x80;)
            size--;
    sink_add(out, name, size);
}

void published_file(struct sink *out, const struct published *p, size_t piece)
{
    add_name(out, published_name(p));
    if (piece == NMK_NONE)
        return;
    sink_format(out, "-%zu-", piece + 1);
    add_name(out, nmk_design_piece(nmk_draft_design(nmk_settled_draft(p->settled)), piece)->name);
}
