/* fit.h -- what becomes of each demand: states, worst case, chance, and where a clearance comes from. */
#ifndef NEARMARK_FIT_H
#define NEARMARK_FIT_H

#include "nearmark/draft.h"

enum nmk_state { NMK_HOLDS, NMK_AT_RISK, NMK_UNEVEN, NMK_TOO_LOOSE, NMK_TOO_TIGHT }; /* from best to worst */

const char *nmk_state_name(enum nmk_state state); /* "holds", "at risk", "uneven", "too loose", "too tight" */
/* What is said of it: "too small" of a keep, "too narrow" of a border, "not equal" of `exactly` ... */
const char *nmk_state_word(enum nmk_state state, const struct nmk_demand *demand);

struct nmk_view { /* one demand, judged once */
    struct nmk_rat least, nominal, most, chance;
    enum nmk_state state;
};

/* The sizes of everything in one column of `check`: the lines of each piece, the lengths, the choices of punches. */
enum nmk_column { NMK_DESIGNED, NMK_ROUNDED, NMK_SETTLED };

/* What gives a clearance its spread, and its size. */
enum nmk_source { NMK_FROM_MEASURE, NMK_FROM_STOCK, NMK_FROM_LINE, NMK_FROM_PLACE, NMK_FROM_CONSTANT };
struct nmk_contribution {
    enum nmk_source source;
    size_t subject;       /* measure, stock or piece */
    uint32_t copy;        /* LINE: which copy, from 0 */
    enum nmk_way way;     /* LINE, PLACE */
    size_t line;          /* LINE */
    struct nmk_rat times; /* how often it counts in the clearance */
    struct nmk_rat off;   /* |times| times its own +-, mm */
};

#endif
