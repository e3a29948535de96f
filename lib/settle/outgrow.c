#include "settle/outgrow.h"

#include "base/memory.h"
#include "nearmark/plan.h"

struct grower {
    struct nmk_outgrown *out;
    const struct nmk_carding *c;
    const int64_t *values; /* of the carding's unknowns */
};

/* A whole size as a form over measures, with the constants of the card; false where it is by the chart only. */
static bool size_form(struct nmk_affine *out, const struct grower *r, size_t piece, enum nmk_way way)
{
    const struct nmk_affine *whole = nmk_marking_whole(r->c->marking, piece, way);
    struct nmk_affine scaled = {0};
    struct nmk_rat times = {0}, plus = {0};
    bool known = true;
    nmk_affine_clear(out);
    for (size_t i = 0; i < whole->count && known; i++) {
        size_t length = (size_t)whole->terms[i].name;
        known = !r->c->chart_only[length];
        nmk_rat_div(&times, &whole->terms[i].times, nmk_draft_step(r->c->draft));
        nmk_affine_scale(&scaled, &r->c->multiples[length], &times);
        nmk_affine_add(out, out, &scaled);
        nmk_rat_set_int(&plus, r->values[length]);
        nmk_rat_mul(&plus, &plus, &whole->terms[i].times);
        nmk_affine_add_rat(out, &plus);
    }
    nmk_affine_clear(&scaled);
    nmk_rat_clear(&times);
    nmk_rat_clear(&plus);
    return known;
}

/* The largest size of `measure` with form <= limit, the other measures as in the file; false: no bound. */
static bool largest_size(struct nmk_rat *out, const struct grower *r, const struct nmk_affine *form, size_t measure,
                         const struct nmk_rat *limit)
{
    const struct nmk_rat *times = nmk_affine_times(form, measure);
    struct nmk_rat rest = {0};
    nmk_rat_sub(&rest, limit, &form->constant);
    for (size_t i = 0; i < form->count; i++) {
        struct nmk_rat part = {0};
        if (form->terms[i].name != measure) {
            nmk_rat_mul(&part, &form->terms[i].times, &nmk_design_measure(r->c->design, (size_t)form->terms[i].name)->size);
            nmk_rat_sub(&rest, &rest, &part);
        }
        nmk_rat_clear(&part);
    }
    bool bounded = true;
    if (times && nmk_rat_sign(times) > 0) {
        nmk_rat_div(out, &rest, times);
    } else if (nmk_rat_sign(&rest) < 0) {
        nmk_rat_set(out, &nmk_design_measure(r->c->design, measure)->from); /* too large at every size */
    } else {
        bounded = false;
    }
    nmk_rat_clear(&rest);
    return bounded;
}

static void add_outgrow(struct grower *r, size_t piece, enum nmk_way way, bool reach, size_t measure,
                        const struct nmk_rat *from)
{
    const struct nmk_measure *m = nmk_design_measure(r->c->design, measure);
    if (nmk_rat_cmp(from, &m->to) >= 0)
        return;
    void *all = r->out->all;
    nmk_memory_reserve(&all, &r->out->space, r->out->count + 1, sizeof *r->out->all);
    r->out->all = all;
    struct nmk_outgrow *o = &r->out->all[r->out->count++];
    *o = (struct nmk_outgrow){.piece = piece, .way = way, .reach = reach, .measure = measure};
    nmk_rat_set(&o->from, nmk_rat_cmp(from, &m->from) > 0 ? from : &m->from);
}

/* The largest size with which a piece fits one of its sheets one way or the other; *way: what stops it there. */
static bool largest_on_sheets(struct nmk_rat *best, enum nmk_way *way, const struct grower *r, const struct nmk_piece *piece,
                              struct nmk_affine forms[2], size_t measure)
{
    const struct nmk_sheet *sheets;
    size_t count = nmk_stock_sheets(&sheets, nmk_draft_edition(r->c->draft), nmk_design_stock(r->c->design, piece->stock));
    struct nmk_rat at[2] = {{0}, {0}};
    bool any = false, bounded = true;
    for (size_t k = 0; k < 2 * count && bounded; k++) {
        const struct nmk_sheet *sheet = &sheets[k / 2];
        const struct nmk_rat *limits[2] = {k % 2 ? &sheet->height : &sheet->width, k % 2 ? &sheet->width : &sheet->height};
        bool has[2];
        for (int w = NMK_ACROSS; w <= NMK_DOWN; w++)
            has[w] = largest_size(&at[w], r, &forms[w], measure, limits[w]);
        bounded = has[0] || has[1];
        int stops = !has[0] || (has[1] && nmk_rat_cmp(&at[1], &at[0]) < 0);
        if (!bounded || (any && nmk_rat_cmp(&at[stops], best) <= 0))
            continue;
        nmk_rat_set(best, &at[stops]);
        *way = (enum nmk_way)stops;
        any = true;
    }
    nmk_rat_clear(&at[0]);
    nmk_rat_clear(&at[1]);
    return bounded && any;
}

static void outgrow_piece(struct grower *r, size_t i, struct nmk_affine forms[2], size_t measure)
{
    const struct nmk_rat *reach = &nmk_draft_edition(r->c->draft)->reach;
    struct nmk_rat at = {0};
    enum nmk_way way = NMK_ACROSS;
    if (largest_on_sheets(&at, &way, r, nmk_design_piece(r->c->design, i), forms, measure))
        add_outgrow(r, i, way, false, measure, &at);
    for (int w = NMK_ACROSS; w <= NMK_DOWN && nmk_rat_sign(reach) > 0; w++)
        if (nmk_affine_times(&forms[w], measure) && largest_size(&at, r, &forms[w], measure, reach))
            add_outgrow(r, i, (enum nmk_way)w, true, measure, &at);
    nmk_rat_clear(&at);
}

void nmk_outgrown_find(struct nmk_outgrown *out, const struct nmk_carding *carding, const int64_t *values)
{
    struct grower g = {.out = out, .c = carding, .values = values}, *r = &g;
    for (size_t i = 0; i < nmk_design_piece_count(r->c->design); i++) {
        struct nmk_affine forms[2] = {{.count = 0}, {.count = 0}};
        bool known = nmk_design_piece(r->c->design, i)->kind != NMK_PIECE_PUNCHED && size_form(&forms[0], r, i, NMK_ACROSS) &&
                     size_form(&forms[1], r, i, NMK_DOWN);
        for (size_t m = 0; known && m < nmk_design_measure_count(r->c->design); m++)
            if (nmk_affine_times(&forms[0], m) || nmk_affine_times(&forms[1], m))
                outgrow_piece(r, i, forms, m);
        nmk_affine_clear(&forms[0]);
        nmk_affine_clear(&forms[1]);
    }
}

void nmk_outgrown_clear(struct nmk_outgrown *outgrown)
{
    for (size_t i = 0; i < outgrown->count; i++)
        nmk_rat_clear(&outgrown->all[i].from);
    nmk_memory_free(outgrown->all);
    *outgrown = (struct nmk_outgrown){0};
}
