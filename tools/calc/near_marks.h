/* near_marks.h -- the marks below, nearest and above a length, each with its error (mark less length). */
#ifndef TOOLS_CALC_NEAR_MARKS_H
#define TOOLS_CALC_NEAR_MARKS_H

#include "ground/json.h"
#include "ground/sink.h"
#include "nearmark/length.h"

enum near_place { NEAR_BELOW, NEAR_NEAREST, NEAR_ABOVE, NEAR_COUNT };

struct near_marks {
    struct nmk_rat step;
    enum nmk_unit unit; /* in which the marks are written */
    int64_t number[NEAR_COUNT];
    struct nmk_rat mark[NEAR_COUNT], error[NEAR_COUNT]; /* mm */
};

/* A length half-way between two marks has the larger as its nearest (ISO 80000-1 rule B). false: the marks cannot be
 * counted in 64 bits. In any case near_marks_clear. */
bool near_marks_find(struct near_marks *out, const struct nmk_rat *step, enum nmk_unit unit, const struct nmk_rat *mm);
void near_marks_clear(struct near_marks *m);
void near_marks_show(struct sink *out, const struct near_marks *m);
void near_marks_json(struct json *j, const struct near_marks *m);

#endif
