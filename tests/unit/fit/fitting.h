/* fitting.h -- designs as text, drawn up and settled, for tests of what becomes of their demands. */
#ifndef TESTS_UNIT_FIT_FITTING_H
#define TESTS_UNIT_FIT_FITTING_H

#include "nearmark/settle.h"

struct fitting {
    struct nmk_diagnostics *list;
    struct nmk_design *design;
    struct nmk_draft *draft;
    struct nmk_settle_options options;
    struct nmk_settled *settled;
};

/* Reads and draws up; the test fails with the diagnostics if that fails. `edition` NULL: the first. */
struct fitting *fitting_draft(const char *text, const char *edition);
/* Settles it, or settles it anew with changed options. */
void fitting_settle(struct fitting *f);
struct fitting *fitting_of(const char *text, const char *edition); /* both */
void fitting_free(struct fitting *f);

size_t fitting_demand(const struct fitting *f, const char *name, size_t nth); /* the nth of that name, from 0 */
size_t fitting_length(const struct fitting *f, const char *name);
int64_t fitting_marks(const struct fitting *f, const char *length); /* settled; of a choice its number */

/* The view of a demand: "holds 1 2 3" is its state, least, nominal and most; a fifth word the chance. */
void fitting_check(const struct fitting *f, size_t demand, enum nmk_column column, const char *expected);
/* The offs of a demand's contributions as designed, the largest first: "1/2 1/5 1/5". */
void fitting_check_errors(const struct fitting *f, size_t demand, const char *expected);
/* Designed size and nearest mark of a length. */
void fitting_check_length(const struct fitting *f, const char *name, const char *designed, int64_t nearest);
/* All settled marks in the order of the lengths: "18 84 1". */
void fitting_check_marks(const struct fitting *f, const char *expected);

#endif
