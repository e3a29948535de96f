/* designmake.h -- design files of any size for the benchmarks, as text. */
#ifndef TESTS_BENCH_DESIGNMAKE_H
#define TESTS_BENCH_DESIGNMAKE_H

#include <stddef.h>
#include <stdint.h>

#include "nearmark/settle.h"

/* The edition `imperial` of every one: marks of 1/16 in, cut +- 0.2 mm. Owned by the caller, by free(). */

/* Box k slides into box k + 1 on three axes, each with a lid: 6 lengths and 6 demands a box. `turned`: also turned by a
 * quarter, which closes small cycles: 8 demands a box. */
char *make_nested_design(size_t boxes, bool turned);
/* `lengths` (an even number) with fits among two or three of them round a hidden answer that is sure: each length stands
 * in `degree` of them on average. */
char *make_dense_design(size_t lengths, size_t degree, uint64_t seed);

/* A text read, drawn up and settled for its edition `imperial`; ends the program where that fails. */
struct made_design {
    struct nmk_design *design;
    struct nmk_draft *draft;
    struct nmk_settled *settled;
};
void make_settled(struct made_design *out, const char *text);
void make_settled_free(struct made_design *made);

#endif
