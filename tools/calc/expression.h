/* expression.h -- reads a sum as people type it, and works it out.
 *
 *   sum    = term { ("+" | " - ") term } [ "in" (unit | fraction) ]
 *   term   = factor { ("*" | "/") factor }                     a written length may not stand behind "/"
 *   factor = ("-" | "−") factor | number | length | "pi" | NAME "(" sum { "," sum } ")" | "(" sum ")"
 *   NAME   = "min" | "max" | "abs" | "sqrt"
 *
 * Numbers and lengths are those of nearmark/length.h. `×` and `÷` are `*` and `/`. */
#ifndef TOOLS_CALC_EXPRESSION_H
#define TOOLS_CALC_EXPRESSION_H

#include "calc/quantity.h"
#include "nearmark/length.h"

/* Something that could be read another way (a decimal comma, 4-7/16), and how it was read. */
struct doubt {
    size_t at, size;
    char meant[80];
};
enum { EXPRESSION_DOUBTS = 4 }; /* the first ones */

struct expression {
    struct quantity value;
    enum nmk_unit unit;      /* asked for, `in cm`; NMK_UNIT_NONE: none */
    struct nmk_rat step;     /* asked for, `in sixteenths`: mm; 0: none */
    size_t doubt_count;
    struct doubt doubts[EXPRESSION_DOUBTS];
};
void expression_clear(struct expression *e);

/* What is wrong; the offsets are bytes of the text. */
struct complaint {
    const char *code; /* static */
    size_t at, size;
    char message[320], hint[240];
};

/* false: it cannot be worked out; *wrong is filled, *out untouched. */
bool expression_read(struct expression *out, const char *text, size_t size, struct complaint *wrong);

#endif
