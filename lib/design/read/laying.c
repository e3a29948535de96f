#include "design/read/reader.h"

size_t nmk_lay_length(struct nmk_reader *r, enum nmk_length_kind kind, const char *name,
                      const struct nmk_formula *formula, size_t subject, size_t part, struct nmk_span span)
{
    struct nmk_length *length = nmk_design_add(r->design, &r->design->lengths, sizeof *length);
    *length = (struct nmk_length){.name = name,
                                  .kind = kind,
                                  .formula = formula,
                                  .punches = NMK_NONE,
                                  .subject = subject,
                                  .part = part,
                                  .span = span};
    return r->design->lengths.count - 1;
}

size_t nmk_lay_let(struct nmk_reader *r, size_t let)
{
    struct nmk_let *l = nmk_at_let(r->design, let);
    if (l->length == NMK_NONE)
        l->length = nmk_lay_length(r, NMK_LENGTH_LET, l->name, l->formula, let, NMK_NONE, l->span);
    return l->length;
}

struct nmk_demand *nmk_lay_demand(struct nmk_reader *r, enum nmk_demand_kind kind, const char *name,
                                  struct nmk_span span)
{
    struct nmk_demand *demand = nmk_design_add(r->design, &r->design->demands, sizeof *demand);
    demand->kind = kind;
    demand->name = name;
    demand->statement = r->statements;
    demand->piece = NMK_NONE;
    demand->span = span;
    return demand;
}

static void lay_even(struct nmk_reader *r, const struct nmk_on *on, const struct nmk_formula *const tops[2],
                     const char *name, size_t piece, bool whole, struct nmk_span span)
{
    struct nmk_demand *d = nmk_lay_demand(r, NMK_EVEN, name, span);
    d->outer = on->across;
    d->inner = tops[NMK_ACROSS];
    d->outer2 = on->down;
    d->inner2 = tops[NMK_DOWN];
    d->bounds.has_low = d->bounds.has_high = true; /* both 0 */
    d->exact = true;
    d->whole = whole;
    d->piece = piece;
}

void nmk_lay_borders(struct nmk_reader *r, const struct nmk_on *on, const struct nmk_formula *const tops[2],
                     const char *name, size_t piece, const struct nmk_bounds *bounds, bool even, bool whole,
                     struct nmk_span span)
{
    const struct nmk_formula *const sides[2] = {on->across, on->down};
    for (int way = NMK_ACROSS; bounds && way <= NMK_DOWN; way++) {
        if (!sides[way])
            continue;
        struct nmk_demand *d = nmk_lay_demand(r, NMK_BORDER, name, span);
        d->way = (enum nmk_way)way;
        d->outer = sides[way];
        d->inner = tops[way];
        d->bounds = *bounds;
        d->piece = piece;
    }
    if (even)
        lay_even(r, on, tops, name, piece, whole, span);
    r->statements++;
}
