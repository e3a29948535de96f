/* clearance.h -- the clearance of a demand as a form over what its sizes are made of.
 *
 * (1) clearance = constant + sum times_i atom_i. An atom is a size whose value a column gives (a stretch of card, a whole
 *     size, a length, a punched size, a total) or a quantity with an error of its own (measure, thickness, laying by
 *     hand).
 * (2) An enclosed constant k times a form f is mid(k) f + one product atom: nominal 0, and an error of (half width of k)
 *     times the largest size of f. */
#ifndef LIB_FIT_CLEARANCE_H
#define LIB_FIT_CLEARANCE_H

#include "nearmark/affine.h"
#include "nearmark/diagnostics.h"
#include "nearmark/draft.h"

enum nmk_atom_kind {
    NMK_ATOM_PANEL,   /* piece, panel: one stretch, of the first copy */
    NMK_ATOM_WHOLE,   /* piece, way */
    NMK_ATOM_TOTAL,   /* piece, panel */
    NMK_ATOM_LENGTH,  /* length, 0 */
    NMK_ATOM_CHOICE,  /* length, way */
    NMK_ATOM_MEASURE, /* measure, 0 */
    NMK_ATOM_STOCK,   /* stock, 0 */
    NMK_ATOM_PLACE,   /* statement, way */
    NMK_ATOM_PRODUCT  /* index of the product, 0 */
};

struct nmk_atom {
    enum nmk_atom_kind kind;
    size_t subject, part;
};

uint64_t nmk_atom_name(enum nmk_atom_kind kind, size_t subject, size_t part);
struct nmk_atom nmk_atom_of(uint64_t name);

struct nmk_product {
    struct nmk_rat half_width;
    struct nmk_affine inner; /* over atoms, products before this one among them */
};

struct nmk_clearance {
    struct nmk_affine form; /* over atoms */
    struct nmk_product *products;
    size_t product_count, product_space;
    const struct nmk_rat *low, *high; /* borrowed; NULL: open */
    bool enclosed;
    bool fixes;       /* a measure without +- stands where only its present size makes the demand affine */
    bool fixes_range; /* and it has a range */
};

struct nmk_clearances {
    const struct nmk_draft *draft;
    size_t count;
    struct nmk_clearance *all; /* by demand */
};

/* The clearances of all demands. NMK_INVALID with a diagnostic for a division by zero or the root of a negative number;
 * that every demand is affine was seen to when the design was read. */
enum nmk_status nmk_clearances_new(struct nmk_clearances **out, const struct nmk_draft *draft, struct nmk_diagnostics *list);
void nmk_clearances_free(struct nmk_clearances *clearances);

#endif
