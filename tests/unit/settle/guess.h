/* guess.h -- random small designs as text, and the value of a formula worked out from its definition alone. */
#ifndef TESTS_UNIT_SETTLE_GUESS_H
#define TESTS_UNIT_SETTLE_GUESS_H

#include "base/text.h"
#include "nearmark/settle.h"

struct guess_wish {
    bool ranges;   /* measures with ranges */
    bool halves;   /* multiples that are not whole, pi among them */
    bool punches;  /* an opening */
    bool mats;
    bool tight;    /* bounds that often cannot be met together */
    bool scores;   /* an edition with `scores` now and then */
    bool rows;     /* a piece with lists beside panels, cut through and cut away */
};

struct guess {
    struct nmk_text text;
    const char *edition;
};

void guess_make(struct guess *g, const struct guess_wish *wish);
void guess_clear(struct guess *g);

/* Everything's size in mm. */
struct guess_sizes {
    const struct nmk_draft *draft;
    struct nmk_rat *lengths;  /* by length */
    struct nmk_rat *measures; /* by measure */
    const size_t *choices;    /* by length, from 1 */
};
void guess_sizes_init(struct guess_sizes *s, const struct nmk_draft *draft);
void guess_sizes_clear(struct guess_sizes *s);
/* The value of a formula; pi and roots are not met. */
void guess_value(struct nmk_rat *out, const struct guess_sizes *s, const struct nmk_formula *f);
/* What is left of the width beside a row, 0 or more where it fills the width or ends in rests. */
void guess_left(struct nmk_rat *out, const struct guess_sizes *s, size_t piece, enum nmk_way way, size_t row);
/* The nominal clearance of a demand. */
void guess_nominal(struct nmk_rat *out, const struct guess_sizes *s, const struct nmk_demand *d);

#endif
