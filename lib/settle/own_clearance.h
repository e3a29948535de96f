/* own_clearance.h -- what a demand of a rule card comes to at one own size. */
#ifndef LIB_SETTLE_OWN_CLEARANCE_H
#define LIB_SETTLE_OWN_CLEARANCE_H

#include "nearmark/rules.h"
#include "settle/carding.h"

/* As nmk_rules_own_clearance; `values`: by unknown of the carding's problem, for the choices. */
bool nmk_own_clearance_make(struct nmk_own_clearance *out, const struct nmk_carding *carding, size_t demand,
                            const int64_t *values);

#endif
