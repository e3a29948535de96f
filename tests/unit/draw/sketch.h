/* sketch.h -- random designs to be drawn: 1 to 6 pieces of 10 to 600 mm, 1 to 12 panels each way, names in any script. */
#ifndef TESTS_UNIT_DRAW_SKETCH_H
#define TESTS_UNIT_DRAW_SKETCH_H

#include "draw/page.h"
#include "unit/exact/biased.h"

struct sketch {
    char *text;
    struct nmk_design *design;
    struct nmk_draft *draft;
    struct nmk_settled *settled;
    struct gallery gallery;
};

/* From biased.h's numbers; the test fails if the design cannot be read or settled. */
void sketch_random(struct sketch *sketch);
void sketch_from(struct sketch *sketch, const char *text); /* its first edition */
void sketch_clear(struct sketch *sketch);

#endif
