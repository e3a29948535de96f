/* drafting.h -- a draft while it is drawn up: draft.c goes through the design, draft_size.c finds designed sizes,
 * draft_lines.c where the lines of a piece stand. */
#ifndef LIB_DESIGN_DRAFTING_H
#define LIB_DESIGN_DRAFTING_H

#include "nearmark/draft.h"
#include "nearmark/enclosure.h"

struct nmk_layout { /* the lines of one direction of a piece */
    size_t count;
    struct nmk_rat *lines; /* mm from the first edge */
    bool *from_last;
};

struct nmk_draft {
    const struct nmk_design *design;
    const struct nmk_edition *edition;
    struct nmk_rat step;
    enum nmk_unit step_unit;
    int64_t score_marks;
    size_t length_count, let_count, piece_count;
    struct nmk_rat *designed; /* by length */
    int64_t *nearest;
    struct nmk_enclosure *lets;      /* by let */
    struct nmk_layout (*layouts)[2]; /* by piece and way */
};

struct nmk_drafting {
    struct nmk_draft *draft;
    struct nmk_diagnostics *list;
    bool failed; /* something was complained of */
};

void nmk_drafting_complain(struct nmk_drafting *d, struct nmk_span span, const char *code, const char *message,
                           const char *hint);

/* The size of a formula at nominal, enclosed. false: it cannot be computed; then it was complained of. Of a piece of which
 * only one list is laid out so far, the whole size of the other one may be asked for. */
bool nmk_drafting_size(struct nmk_enclosure *out, struct nmk_drafting *d, const struct nmk_formula *f);
/* The one rounding of a designed size: an irrational one is taken to the nearest 10^-9 mm. */
void nmk_drafting_nail(struct nmk_rat *out, const struct nmk_enclosure *e);
/* Sets the designed size and nearest mark of a length from its formula's value. */
void nmk_drafting_set_length(struct nmk_drafting *d, size_t length, const struct nmk_enclosure *value);
/* What a row's panels measure together, without what is cut away. */
void nmk_drafting_sum_row(struct nmk_rat *out, const struct nmk_draft *draft, const struct nmk_piece *piece, int way,
                          size_t row);

void nmk_layout_init(struct nmk_layout *layout, size_t lines);
void nmk_layout_clear(struct nmk_layout *layout);
/* Lays out one direction of a piece whose lengths have their sizes. */
void nmk_drafting_lay_out(struct nmk_drafting *d, size_t piece, enum nmk_way way);
/* Complains of lists that do not fill the whole width, or leave nothing to be cut away. */
void nmk_drafting_check_widths(struct nmk_drafting *d, size_t piece, enum nmk_way way);

#endif
