/* whole_grade.h -- grades below 1, each asked for once and known by a number from then on. */
#ifndef LIB_SOLVE_WHOLE_GRADE_H
#define LIB_SOLVE_WHOLE_GRADE_H

#include "nearmark/whole.h"

struct nmk_grade_asked {
    size_t shape; /* demands of one shape have the same grade at the same value */
    struct nmk_rat value;
    uint32_t grade;
};

struct nmk_grades {
    const struct nmk_whole_problem *problem;
    struct nmk_rat *grades; /* grades[0] is 1; all others below 1, all different */
    size_t count, space;
    struct nmk_grade_asked *asked;
    size_t asked_count, asked_space;
    uint32_t *grade_slots, *asked_slots; /* hash tables; 0 is free, else index + 1 */
    size_t grade_slot_count, asked_slot_count;
};

void nmk_grades_init(struct nmk_grades *grades, const struct nmk_whole_problem *problem);
void nmk_grades_clear(struct nmk_grades *grades);
/* The number of the grade of a demand at a value. */
uint32_t nmk_grades_ask(struct nmk_grades *grades, size_t demand, const struct nmk_rat *value);

#endif
