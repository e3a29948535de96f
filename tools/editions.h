/* editions.h -- the editions that a call asks for, and what it asks of each. */
#ifndef TOOLS_EDITIONS_H
#define TOOLS_EDITIONS_H

#include "options.h"

struct edition_range { /* by index of the design */
    size_t first, count;
};

/* One by name, or all that are declared; where none is, the two that exist undeclared. Not DONE: the message was given. */
enum ending editions_pick(struct edition_range *out, const struct nmk_design *design, const struct call *call);

/* --marks, --prefer, --within, --sure. *out: to be cleared by the caller. */
void editions_options(struct nmk_settle_options *out, const struct call *call);
enum nmk_status editions_draft(struct nmk_draft **out, const struct nmk_design *design, size_t edition, const struct call *call,
                               struct nmk_diagnostics *list);

/* Gives what stands in `list`, and says of a status that is not OK that the edition cannot be settled. `name`: of the
 * file. */
enum ending editions_ending(enum nmk_status status, const struct nmk_diagnostics *list, const char *name,
                            const struct nmk_design *design, size_t edition);

#endif
