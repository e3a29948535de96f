/* A demand must be affine: a constant plus multiples of what is uncertain or still to be chosen.
 *
 * (1) Plain: numbers, written lengths, pi, a measure or thickness without +-, and whatever is made of plain values
 * only. (2) Affine: plain, or a measure or thickness with +-, a panel, an opening, a let that is a length of the
 * design; sums and differences of affine values, and an affine value times or over a plain one. (3) Curved: all else: a
 * product of two values that are not plain, a division by one, min, max, abs and sqrt of one. Whether a let is a length
 * is known at the end of the file only, so this is looked at then. */
#include "base/memory.h"
#include "design/read/reader.h"

enum curve { PLAIN, AFFINE, CURVED };

struct judge {
    struct nmk_reader *r;
    enum curve *lets;
    const struct nmk_formula *culprit; /* the innermost curved node */
};

static enum curve larger(enum curve a, enum curve b)
{
    return a > b ? a : b;
}

static enum curve curved(struct judge *j, const struct nmk_formula *f)
{
    j->culprit = f;
    return CURVED;
}

static enum curve named(const struct judge *j, const struct nmk_formula *f)
{
    const struct nmk_design *d = j->r->design;
    if (f->kind == NMK_F_MEASURE)
        return nmk_rat_is_zero(&nmk_at_measure(d, f->subject)->off) ? PLAIN : AFFINE;
    if (f->kind == NMK_F_STOCK)
        return nmk_rat_is_zero(&nmk_at_stock(d, f->subject)->off) ? PLAIN : AFFINE;
    return AFFINE;
}

/* The depth is bounded by NMK_MOST_OPERATIONS: a let is looked up, not entered. */
static enum curve curve_of(struct judge *j, const struct nmk_formula *f)
{
    enum curve left = f->left ? curve_of(j, f->left) : PLAIN;
    if (left == CURVED)
        return CURVED;
    enum curve right = f->right ? curve_of(j, f->right) : PLAIN;
    if (right == CURVED)
        return CURVED;
    switch (f->kind) {
    case NMK_F_NUMBER:
    case NMK_F_LENGTH:
    case NMK_F_PI: return PLAIN;
    case NMK_F_NEG: return left;
    case NMK_F_ADD:
    case NMK_F_SUB: return larger(left, right);
    case NMK_F_MUL: return left == AFFINE && right == AFFINE ? curved(j, f) : larger(left, right);
    case NMK_F_DIV: return right == AFFINE ? curved(j, f) : left;
    case NMK_F_ABS:
    case NMK_F_SQRT:
    case NMK_F_MIN:
    case NMK_F_MAX: return larger(left, right) == AFFINE ? curved(j, f) : PLAIN;
    case NMK_F_LET: return j->lets[f->subject] == CURVED ? curved(j, f) : j->lets[f->subject];
    default: return named(j, f);
    }
}

static void judge_lets(struct judge *j)
{
    for (size_t i = 0; i < j->r->design->lets.count; i++) {
        const struct nmk_let *let = nmk_at_let(j->r->design, i);
        j->lets[i] = let->length != NMK_NONE ? AFFINE : curve_of(j, let->formula);
    }
}

static const char *word_of(enum nmk_formula_kind kind)
{
    switch (kind) {
    case NMK_F_MUL: return "multiplies two sizes that are not fixed";
    case NMK_F_DIV: return "divides by a size that is not fixed";
    case NMK_F_ABS: return "takes `abs` of a size that is not fixed";
    case NMK_F_SQRT: return "takes the root of a size that is not fixed";
    case NMK_F_MIN: return "takes the smallest of sizes that are not fixed";
    case NMK_F_MAX: return "takes the largest of sizes that are not fixed";
    default: return "holds a product, root or choice of sizes that are not fixed";
    }
}

static void judge_side(struct judge *j, const struct nmk_formula *side)
{
    if (!side || curve_of(j, side) != CURVED)
        return;
    nmk_read_error(
        j->r, j->culprit->span, "not-affine",
        "give it a panel or a mat of its own, and demand something of that; for min and max write two demands",
        "A demand cannot be judged exactly where it %s", word_of(j->culprit->kind));
}

void nmk_check_linear(struct nmk_reader *r)
{
    struct judge j = {.r = r, .lets = nmk_memory_new(r->design->lets.count + 1, sizeof *j.lets)};
    judge_lets(&j);
    for (size_t i = 0; i < r->design->demands.count; i++) {
        const struct nmk_demand *d = nmk_at_demand(r->design, i);
        const struct nmk_formula *const sides[] = {d->outer, d->inner, d->outer2, d->inner2};
        for (size_t s = 0; s < 4; s++)
            judge_side(&j, sides[s]);
    }
    nmk_memory_free(j.lets);
}
