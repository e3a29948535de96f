#include "solve/whole/whole_cost.h"

#include "base/memory.h"
#include "exact/word.h"

typedef unsigned __int128 natural;

enum { PARTS = 3, LIMB = 64, CHUNK = 62, MOST_ASKED = 64 };

/* |x step - goal| = |x times - less| / below, where that fits. */
struct line {
    int64_t times, less, below;
};

struct packer {
    struct nmk_bench *bench;
    const struct nmk_part *part;
    size_t cell_count;
    int64_t (*parts)[PARTS];  /* of each cell, the part's unknowns one after the other */
    natural *distances;       /* NULL: they do not fit, and stand in `exact` */
    struct nmk_rat *exact;
    unsigned width[PARTS + 1]; /* bits of each field */
};

static bool multiple(int64_t *out, int64_t a, int64_t b)
{
    return !__builtin_mul_overflow(a / nmk_word_divisor(a, b), b, out);
}

static const struct nmk_whole_unknown *unknown_of(const struct packer *p, size_t k)
{
    return &p->bench->model.problem->unknowns[p->part->unknowns[k]];
}

static bool has_distance(const struct packer *p, size_t k)
{
    return !unknown_of(p, k)->is_choice && !p->bench->model.problem->any;
}

/* The number of the cell that is nearest to the goal. */
static int64_t nearest_in(const struct nmk_cells *cells, struct nmk_cell cell)
{
    return cells->goal < cell.low ? cell.low : cells->goal > cell.high ? cell.high : cells->goal;
}

/* ---- the whole parts ---- */

static bool ask(struct packer *p, int64_t parts[PARTS], size_t unknown, int64_t x)
{
    const struct nmk_whole_problem *problem = p->bench->model.problem;
    for (int k = 0; k < PARTS; k++)
        parts[k] = 0;
    if (problem->cost)
        problem->cost(parts, problem->context, unknown, x);
    for (int k = 0; k < PARTS; k++)
        if (parts[k] < 0)
            return nmk_work_fail(&p->bench->work, NMK_INVALID);
    return true;
}

/* The least part 1 of a wide cell: it is the same for all numbers whose stride is of its period; of few numbers each is
 * asked; of more, one may have none. */
static bool set_least_fineness(struct packer *p, int64_t *least, size_t unknown, struct nmk_cell cell, int64_t stride)
{
    int64_t period = p->bench->model.problem->unknowns[unknown].period, parts[PARTS];
    if (period && stride % period == 0)
        return true;
    if (cell.high == NMK_MODEL_OPEN || (cell.high - cell.low) / stride >= MOST_ASKED)
        *least = 0;
    for (int64_t x = cell.low; *least && x <= cell.high; x += stride) {
        if (!ask(p, parts, unknown, x))
            return false;
        *least = parts[1] < *least ? parts[1] : *least;
    }
    return true;
}

/* A wide cell: parts 0 and 2 at its end towards the settled interval. */
static bool set_parts(struct packer *p, int64_t parts[PARTS], size_t unknown, struct nmk_cell cell, int64_t stride)
{
    const struct nmk_whole_unknown *u = &p->bench->model.problem->unknowns[unknown];
    if (p->bench->model.problem->any) {
        parts[0] = !nmk_cell_is_single(cell); /* as few wide ones as can be */
        parts[1] = parts[2] = 0;
        return true;
    }
    if (nmk_cell_is_single(cell))
        return ask(p, parts, unknown, cell.low);
    for (int k = 0; k < PARTS; k++)
        parts[k] = 0;
    bool above = cell.low >= u->settled_high, below = cell.high <= u->settled_low;
    if (!above && !below)
        return true;
    if (!ask(p, parts, unknown, above ? cell.low : cell.high))
        return false;
    return set_least_fineness(p, &parts[1], unknown, cell, stride);
}

static unsigned bits_of(natural n)
{
    unsigned bits = 0;
    for (; n; n >>= 1)
        bits++;
    return bits;
}

static bool set_all_parts(struct packer *p)
{
    natural sums[PARTS] = {0};
    size_t at = 0;
    for (size_t k = 0; k < p->part->unknown_count; k++) {
        const struct nmk_cells *cells = &p->part->cells[k];
        int64_t most[PARTS] = {0};
        for (size_t c = 0; c < cells->count; c++, at++) {
            if (!set_parts(p, p->parts[at], p->part->unknowns[k], cells->items[c], cells->stride))
                return false;
            for (int q = 0; q < PARTS; q++)
                most[q] = p->parts[at][q] > most[q] ? p->parts[at][q] : most[q];
        }
        for (int q = 0; q < PARTS; q++)
            sums[q] = sums[q] + (natural)(uint64_t)most[q];
    }
    for (int q = 0; q < PARTS; q++)
        p->width[q] = bits_of(sums[q]);
    return true;
}

/* ---- distances that fit ---- */

static bool find_line(struct line *line, const struct nmk_whole_unknown *u)
{
    int64_t a, b, c, d;
    return nmk_rat_get_frac(&a, &b, &u->step) == NMK_OK && nmk_rat_get_frac(&c, &d, &u->goal) == NMK_OK &&
           multiple(&line->below, b, d) && !__builtin_mul_overflow(a, line->below / b, &line->times) &&
           !__builtin_mul_overflow(c, line->below / d, &line->less);
}

static bool find_lines(struct line *lines, int64_t *below, const struct packer *p)
{
    *below = 1;
    for (size_t k = 0; k < p->part->unknown_count; k++)
        if (has_distance(p, k) && (!find_line(&lines[k], unknown_of(p, k)) || !multiple(below, *below, lines[k].below)))
            return false;
    return true;
}

static bool distance(natural *out, const struct line *line, int64_t x, int64_t below)
{
    __int128 signed_distance = (__int128)x * line->times - line->less;
    natural size = (natural)(signed_distance < 0 ? -signed_distance : signed_distance);
    return !__builtin_mul_overflow(size, (natural)(below / line->below), out);
}

static bool set_distances_of(struct packer *p, size_t k, size_t at, const struct line *line, int64_t below, natural *most)
{
    const struct nmk_cells *cells = &p->part->cells[k];
    for (size_t c = 0; c < cells->count; c++) {
        if (!distance(&p->distances[at + c], line, nearest_in(cells, cells->items[c]), below))
            return false;
        *most = p->distances[at + c] > *most ? p->distances[at + c] : *most;
    }
    return true;
}

static bool set_distances(struct packer *p, struct line *lines)
{
    int64_t below;
    if (!find_lines(lines, &below, p))
        return false;
    natural sum = 0;
    size_t at = 0;
    for (size_t k = 0; k < p->part->unknown_count; at += p->part->cells[k].count, k++) {
        natural most = 0;
        if (!has_distance(p, k))
            continue;
        if (!set_distances_of(p, k, at, &lines[k], below, &most) || __builtin_add_overflow(sum, most, &sum))
            return false;
    }
    p->width[PARTS] = bits_of(sum);
    return true;
}

/* ---- distances that do not ---- */

static void set_exact_distances(struct packer *p)
{
    struct nmk_rat below = {0}, sum = {0}, den = {0};
    nmk_rat_set_int(&below, 1);
    size_t at = 0;
    for (size_t k = 0; k < p->part->unknown_count; k++) {
        const struct nmk_cells *cells = &p->part->cells[k];
        const struct nmk_whole_unknown *u = unknown_of(p, k);
        for (size_t c = 0; c < cells->count; c++, at++) {
            if (!has_distance(p, k))
                continue;
            nmk_rat_set_int(&p->exact[at], nearest_in(cells, cells->items[c]));
            nmk_rat_mul(&p->exact[at], &p->exact[at], &u->step);
            nmk_rat_sub(&p->exact[at], &p->exact[at], &u->goal);
            nmk_rat_abs(&p->exact[at], &p->exact[at]);
            nmk_rat_den(&den, &p->exact[at]);
            nmk_rat_lcm(&below, &below, &den);
        }
    }
    for (at = 0; at < p->cell_count; at++) {
        nmk_rat_mul(&p->exact[at], &p->exact[at], &below);
        nmk_rat_add(&sum, &sum, &p->exact[at]);
    }
    p->width[PARTS] = (unsigned)nmk_rat_bits(&sum);
    nmk_rat_clear(&below);
    nmk_rat_clear(&sum);
    nmk_rat_clear(&den);
}

/* ---- packing ---- */

/* limbs[limb_count - 1] is the least significant. */
static void put_bits(uint64_t *limbs, unsigned limb_count, unsigned offset, uint64_t n)
{
    if (!n)
        return;
    unsigned limb = limb_count - 1 - offset / LIMB, shift = offset % LIMB;
    limbs[limb] |= n << shift;
    if (shift && n >> (LIMB - shift))
        limbs[limb - 1] |= n >> (LIMB - shift);
}

static void put_exact(uint64_t *limbs, unsigned limb_count, const struct nmk_rat *n)
{
    struct nmk_rat rest = {0}, high = {0}, chunk = {0}, low = {0};
    int64_t bits;
    nmk_rat_set(&rest, n);
    nmk_rat_set_int(&chunk, INT64_C(1) << CHUNK);
    for (unsigned offset = 0; !nmk_rat_is_zero(&rest); offset += CHUNK) {
        (void)nmk_rat_div(&high, &rest, &chunk);
        nmk_rat_floor(&high, &high);
        nmk_rat_mul(&low, &high, &chunk);
        nmk_rat_sub(&low, &rest, &low);
        (void)nmk_rat_get_int(&bits, &low);
        put_bits(limbs, limb_count, offset, (uint64_t)bits);
        nmk_rat_swap(&rest, &high);
    }
    nmk_rat_clear(&rest);
    nmk_rat_clear(&high);
    nmk_rat_clear(&chunk);
    nmk_rat_clear(&low);
}

static void put_cell(uint64_t *limbs, unsigned limb_count, const struct packer *p, size_t at)
{
    if (p->exact) {
        put_exact(limbs, limb_count, &p->exact[at]);
    } else {
        put_bits(limbs, limb_count, 0, (uint64_t)p->distances[at]);
        put_bits(limbs, limb_count, LIMB, (uint64_t)(p->distances[at] >> LIMB));
    }
    unsigned offset = p->width[PARTS];
    for (int q = PARTS - 1; q >= 0; q--) {
        put_bits(limbs, limb_count, offset, (uint64_t)p->parts[at][q]);
        offset += p->width[q];
    }
}

static void pack(struct nmk_net *net, const struct packer *p)
{
    unsigned bits = 0;
    for (int q = 0; q <= PARTS; q++)
        bits += p->width[q];
    net->limbs = bits ? (bits + LIMB - 1) / LIMB : 1;
    uint64_t *limbs = nmk_arena_new(&net->arena, p->cell_count * net->limbs, sizeof *limbs);
    size_t at = 0;
    for (size_t k = 0; k < p->part->unknown_count; k++) {
        net->vars[k].costs = limbs + at * net->limbs;
        for (size_t c = 0; c < p->part->cells[k].count; c++, at++)
            put_cell(limbs + at * net->limbs, net->limbs, p, at);
    }
}

bool nmk_cost_pack(struct nmk_net *net, struct nmk_bench *bench, const struct nmk_part *part)
{
    struct packer p = {.bench = bench, .part = part};
    for (size_t k = 0; k < part->unknown_count; k++)
        p.cell_count += part->cells[k].count;
    p.parts = nmk_memory_new(p.cell_count, sizeof *p.parts);
    p.distances = nmk_memory_new(p.cell_count, sizeof *p.distances);
    struct line *lines = nmk_memory_new(part->unknown_count, sizeof *lines);
    bool ok = set_all_parts(&p);
    if (ok && !set_distances(&p, lines)) {
        p.exact = nmk_memory_new(p.cell_count, sizeof *p.exact);
        set_exact_distances(&p);
    }
    if (ok)
        pack(net, &p);
    for (size_t at = 0; p.exact && at < p.cell_count; at++)
        nmk_rat_clear(&p.exact[at]);
    nmk_memory_free(p.exact);
    nmk_memory_free(p.parts);
    nmk_memory_free(p.distances);
    nmk_memory_free(lines);
    return ok;
}
