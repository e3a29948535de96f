/* design_dump.h -- everything in a design as text, for tests and for whoever looks for a fault. */
#ifndef LIB_DESIGN_DESIGN_DUMP_H
#define LIB_DESIGN_DESIGN_DUMP_H

#include "base/text.h"
#include "nearmark/design.h"

/* One thing a line; the spans are left out. A formula is printed with all its parentheses. */
void nmk_design_dump(struct nmk_text *out, const struct nmk_design *design);
void nmk_formula_dump(struct nmk_text *out, const struct nmk_design *design, const struct nmk_formula *formula);

#endif
