#include "nearmark/fit.h"

const char *nmk_state_name(enum nmk_state state)
{
    switch (state) {
    case NMK_HOLDS: return "holds";
    case NMK_AT_RISK: return "at risk";
    case NMK_UNEVEN: return "uneven";
    case NMK_TOO_LOOSE: return "too loose";
    case NMK_TOO_TIGHT: break;
    }
    return "too tight";
}

const char *nmk_state_word(enum nmk_state state, const struct nmk_demand *demand)
{
    if (demand && state == NMK_UNEVEN && demand->kind == NMK_KEEP)
        return "not equal";
    if (demand && state == NMK_TOO_TIGHT && demand->kind != NMK_FIT)
        return demand->kind == NMK_KEEP ? "too small" : "too narrow";
    if (demand && state == NMK_TOO_LOOSE && demand->kind != NMK_FIT)
        return demand->kind == NMK_KEEP ? "too big" : "too wide";
    return nmk_state_name(state);
}
