/* instances.h -- the guillotine-cutting instances of tests/data/packing (its README.md says where they come from). */
#ifndef TESTS_UNIT_SOLVE_INSTANCES_H
#define TESTS_UNIT_SOLVE_INSTANCES_H

#include "nearmark/cutting.h"

enum { MOST_INSTANCE_PIECES = 200 };

struct instance {
    struct nmk_cutting_kind sheet;
    size_t count;
    struct nmk_cutting_piece pieces[MOST_INSTANCE_PIECES];
};

struct proven { /* a row of values.csv */
    bool onesheet;  /* else the fewest sheets are asked for */
    char name[40];
    bool turning;
    int64_t value; /* the fewest sheets; or 1 feasible, 0 not */
};

/* `folder`: class20 or onesheet. False if it cannot be read. */
bool instance_read(struct instance *out, const char *folder, const char *name, bool turning);
/* The rows; returns how many, 0 if the table cannot be read. */
size_t proven_read(struct proven *rows, size_t most);
struct nmk_cutting_problem instance_problem(const struct instance *from);

#endif
