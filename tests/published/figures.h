/* figures.h -- what the tests of published values share: rounding as a published rule words it, and tables as CSV. */
#ifndef TESTS_PUBLISHED_FIGURES_H
#define TESTS_PUBLISHED_FIGURES_H

#include "nearmark/length.h"
#include "nearmark/marks.h"

/* The multiple of `step` nearest to `value` is `result`; all as "12.25" or "127/80". */
bool figures_round(const char *value, const char *step, enum nmk_tie tie, const char *result);
/* The same, with inches rounded to marks and results written: figures_mark("113 mm", "1/16 in", tie, "4 7/16 in"). */
bool figures_mark(const char *length, const char *step, enum nmk_tie tie, const char *result);
/* `length`, as people write it, is `result` when written in `unit`, exactly. */
bool figures_is(const char *length, enum nmk_unit unit, const char *result);
struct nmk_rat figures_value(const char *text); /* "12.25", "127/80" */

/* The rows of tests/published/data/NAME, without the heading; each is cut into fields. Returns how many rows there were. */
enum { FIGURES_FIELDS = 10 };
size_t figures_table(const char *name, void (*row)(char *fields[FIGURES_FIELDS], size_t count));

#endif
