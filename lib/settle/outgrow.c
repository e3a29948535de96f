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

static bool varies(const struct grower *r, size_t measure)
{
    const struct nmk_measure *m = nmk_design_measure(r->c->design, measure);
    return nmk_rat_cmp(&m->from, &m->to) < 0;
}

static bool depends(const struct grower *r, const struct nmk_affine *form, size_t measure)
{
    return varies(r, measure) && nmk_affine_times(form, measure);
}

/* Is it the same at every size? */
static bool is_fixed(const struct grower *r, const struct nmk_affine *form)
{
    for (size_t i = 0; i < form->count; i++)
        if (varies(r, (size_t)form->terms[i].name))
            return false;
    return true;
}

/* limit - form, the measures as in the file, without the part of `measure` (NMK_NONE: with all). */
static void room_left(struct nmk_rat *out, const struct grower *r, const struct nmk_affine *form, size_t measure,
                      const struct nmk_rat *limit)
{
    struct nmk_rat part = {0};
    nmk_rat_sub(out, limit, &form->constant);
    for (size_t i = 0; i < form->count; i++) {
        size_t name = (size_t)form->terms[i].name;
        if (name == measure)
            continue;
        nmk_rat_mul(&part, &form->terms[i].times, &nmk_design_measure(r->c->design, name)->size);
        nmk_rat_sub(out, out, &part);
    }
    nmk_rat_clear(&part);
}

static bool is_within(const struct grower *r, const struct nmk_affine *form, const struct nmk_rat *limit)
{
    struct nmk_rat room = {0};
    room_left(&room, r, form, NMK_NONE, limit);
    bool is = nmk_rat_sign(&room) >= 0;
    nmk_rat_clear(&room);
    return is;
}

/* The largest size of `measure`, on which it depends, with form <= limit, the others as in the file; false: no bound. */
static bool largest_size(struct nmk_rat *out, const struct grower *r, const struct nmk_affine *form, size_t measure,
                         const struct nmk_rat *limit)
{
    const struct nmk_rat *times = nmk_affine_times(form, measure);
    struct nmk_rat rest = {0};
    room_left(&rest, r, form, measure, limit);
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

static struct nmk_outgrow *add(struct grower *r, size_t piece, enum nmk_way way, bool reach, size_t measure)
{
    void *all = r->out->all;
    nmk_memory_reserve(&all, &r->out->space, r->out->count + 1, sizeof *r->out->all);
    r->out->all = all;
    struct nmk_outgrow *o = &r->out->all[r->out->count++];
    *o = (struct nmk_outgrow){.piece = piece, .way = way, .reach = reach, .measure = measure};
    return o;
}

static void add_outgrow(struct grower *r, size_t piece, enum nmk_way way, bool reach, size_t measure,
                        const struct nmk_rat *from)
{
    const struct nmk_measure *m = nmk_design_measure(r->c->design, measure);
    if (nmk_rat_cmp(from, &m->to) < 0)
        nmk_rat_set(&add(r, piece, way, reach, measure)->from, nmk_rat_cmp(from, &m->from) > 0 ? from : &m->from);
}

/* The sheets of a piece, each upright and turned. */
struct places {
    const struct nmk_sheet *sheets;
    size_t count;
};

static struct places places_of(const struct grower *r, size_t piece)
{
    struct places p;
    p.count = 2 * nmk_stock_sheets(&p.sheets, nmk_draft_edition(r->c->draft),
                                   nmk_design_stock(r->c->design, nmk_design_piece(r->c->design, piece)->stock));
    return p;
}

static const struct nmk_rat *limit_of(const struct places *p, size_t at, int way)
{
    const struct nmk_sheet *sheet = &p->sheets[at / 2];
    return (at % 2 != 0) == (way == NMK_DOWN) ? &sheet->width : &sheet->height;
}

/* Do the directions of which `asked` says so fit there, all measures as in the file? */
static bool fits_there(const struct grower *r, const struct places *p, size_t at, const struct nmk_affine forms[2],
                       const bool asked[2])
{
    for (int w = NMK_ACROSS; w <= NMK_DOWN; w++)
        if (asked[w] && !is_within(r, &forms[w], limit_of(p, at, w)))
            return false;
    return true;
}

static bool fits_somewhere(const struct grower *r, const struct places *p, const struct nmk_affine forms[2],
                           const bool asked[2])
{
    for (size_t at = 0; at < p->count; at++)
        if (fits_there(r, p, at, forms, asked))
            return true;
    return !p->count;
}

/* In one place, the largest size with which the directions that depend on the measure fit; *way: which stops it. */
static bool largest_there(struct nmk_rat *out, enum nmk_way *way, const struct grower *r, const struct places *p, size_t at,
                          const struct nmk_affine forms[2], size_t measure)
{
    struct nmk_rat here = {0};
    bool any = false;
    for (int w = NMK_ACROSS; w <= NMK_DOWN; w++) {
        if (!depends(r, &forms[w], measure) || !largest_size(&here, r, &forms[w], measure, limit_of(p, at, w)) ||
            (any && nmk_rat_cmp(&here, out) >= 0))
            continue;
        nmk_rat_swap(out, &here);
        *way = (enum nmk_way)w;
        any = true;
    }
    nmk_rat_clear(&here);
    return any;
}

/* The largest size with which a piece fits one of its sheets one way or the other, where the direction that does not depend on
 * the measure fits, if it does anywhere; *way: what stops it there. */
static bool largest_on_sheets(struct nmk_rat *best, enum nmk_way *way, const struct grower *r, const struct places *p,
                              const struct nmk_affine forms[2], size_t measure)
{
    bool others[2] = {!depends(r, &forms[0], measure), !depends(r, &forms[1], measure)};
    bool somewhere = fits_somewhere(r, p, forms, others), any = false, bounded = true;
    struct nmk_rat here = {0};
    for (size_t at = 0; at < p->count && bounded; at++) {
        enum nmk_way stops = NMK_ACROSS;
        if (somewhere && !fits_there(r, p, at, forms, others))
            continue;
        bounded = largest_there(&here, &stops, r, p, at, forms, measure);
        if (!bounded || (any && nmk_rat_cmp(&here, best) <= 0))
            continue;
        nmk_rat_swap(best, &here);
        *way = stops;
        any = true;
    }
    nmk_rat_clear(&here);
    return bounded && any;
}

static void outgrow_measure(struct grower *r, size_t i, const struct places *places, const struct nmk_affine forms[2],
                            size_t measure)
{
    const struct nmk_rat *reach = &nmk_draft_edition(r->c->draft)->reach;
    struct nmk_rat at = {0};
    enum nmk_way way = NMK_ACROSS;
    if (places && largest_on_sheets(&at, &way, r, places, forms, measure))
        add_outgrow(r, i, way, false, measure, &at);
    for (int w = NMK_ACROSS; w <= NMK_DOWN && nmk_rat_sign(reach) > 0; w++)
        if (depends(r, &forms[w], measure) && largest_size(&at, r, &forms[w], measure, reach))
            add_outgrow(r, i, (enum nmk_way)w, true, measure, &at);
    nmk_rat_clear(&at);
}

/* What no size changes. */
static bool outgrow_fixed(struct grower *r, size_t i, const struct places *places, const struct nmk_affine forms[2])
{
    const struct nmk_rat *reach = &nmk_draft_edition(r->c->draft)->reach;
    bool fixed[2] = {is_fixed(r, &forms[0]), is_fixed(r, &forms[1])};
    bool fits = fits_somewhere(r, places, forms, fixed);
    bool across = fixed[0] && !is_within(r, &forms[0], limit_of(places, 0, NMK_ACROSS));
    if (!fits)
        add(r, i, across || !fixed[1] ? NMK_ACROSS : NMK_DOWN, false, NMK_NONE);
    for (int w = NMK_ACROSS; w <= NMK_DOWN && nmk_rat_sign(reach) > 0; w++)
        if (fixed[w] && !is_within(r, &forms[w], reach))
            add(r, i, (enum nmk_way)w, true, NMK_NONE);
    return fits;
}

static void outgrow_piece(struct grower *r, size_t i, const struct nmk_affine forms[2])
{
    struct places places = places_of(r, i);
    bool fits = outgrow_fixed(r, i, &places, forms);
    for (size_t m = 0; m < nmk_design_measure_count(r->c->design); m++)
        if (depends(r, &forms[0], m) || depends(r, &forms[1], m))
            outgrow_measure(r, i, fits ? &places : NULL, forms, m);
}

void nmk_outgrown_find(struct nmk_outgrown *out, const struct nmk_carding *carding, const int64_t *values)
{
    struct grower g = {.out = out, .c = carding, .values = values}, *r = &g;
    for (size_t i = 0; i < nmk_design_piece_count(r->c->design); i++) {
        struct nmk_affine forms[2] = {{.count = 0}, {.count = 0}};
        bool known = nmk_design_piece(r->c->design, i)->kind != NMK_PIECE_PUNCHED && size_form(&forms[0], r, i, NMK_ACROSS) &&
                     size_form(&forms[1], r, i, NMK_DOWN);
        if (known)
            outgrow_piece(r, i, forms);
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
