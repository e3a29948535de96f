/* expression.h -- reads a sum as people type it, and works it out.
 *
 *   sum    = term { ("+" | " - ") term } [ "in" (unit | fraction) ]
 *   term   = factor { ("*" | "/") factor }                     a written length may not stand behind "/"
 *   factor = ("-" | "−") factor | number | length | "pi" | NAME "(" sum { "," sum } ")" | "(" sum ")" | one of the names
 *   NAME   = "min" | "max" | "abs" | "sqrt"
 *
 * Numbers and lengths are those of nearmark/length.h. `×` and `÷` are `*` and `/`. */
#ifndef TOOLS_CALC_EXPRESSION_H
#define TOOLS_CALC_EXPRESSION_H

#include "calc/quantity.h"
#include "near_name.h"
#include "nearmark/length.h"

/* Something that could be read another way (a decimal comma, 4-7/16), and how it was read. */
struct doubt {
    size_t at, size;
    char meant[80];
};
enum { EXPRESSION_DOUBTS = 4 }; /* the first ones */

struct expression {
    struct quantity value;
    bool has_length;         /* a length stands in the sum: a number then is a ratio, not a length that lacks its unit */
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

/* Names that stand for something: `last`, `wide`, `sleeve.face`. */
struct expression_names {
    bool (*find)(void *context, const char *name, size_t size, struct quantity *out); /* false: no such name */
    void (*offer)(void *context, struct near_name *near);                             /* all names, for a misspelt one */
    void *context;
};

/* `names`: NULL for none. false: it cannot be worked out; *wrong is filled, *out untouched. */
bool expression_read(struct expression *out, const char *text, size_t size, const struct expression_names *names,
                     struct complaint *wrong);

#endif
