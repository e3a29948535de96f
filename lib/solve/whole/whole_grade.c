#include "solve/whole/whole_grade.h"

#include <string.h>

#include "base/memory.h"

static size_t mix(uint64_t h)
{
    h = (h ^ (h >> 31)) * UINT64_C(0x9E3779B97F4A7C15);
    return (size_t)(h ^ (h >> 32));
}

static size_t hash_asked(size_t shape, const struct nmk_rat *value)
{
    return mix(nmk_rat_hash(value) + (uint64_t)shape * UINT64_C(0xD1B54A32D192ED03));
}

void nmk_grades_init(struct nmk_grades *g, const struct nmk_whole_problem *problem)
{
    *g = (struct nmk_grades){.problem = problem, .grade_slot_count = 16, .asked_slot_count = 16};
    g->grade_slots = nmk_memory_new(g->grade_slot_count, sizeof *g->grade_slots);
    g->asked_slots = nmk_memory_new(g->asked_slot_count, sizeof *g->asked_slots);
    void *grades = NULL;
    nmk_memory_reserve(&grades, &g->space, 1, sizeof *g->grades);
    g->grades = grades;
    nmk_rat_set_int(&g->grades[0], 1);
    g->count = 1;
}

void nmk_grades_clear(struct nmk_grades *g)
{
    for (size_t k = 0; k < g->count; k++)
        nmk_rat_clear(&g->grades[k]);
    for (size_t k = 0; k < g->asked_count; k++)
        nmk_rat_clear(&g->asked[k].value);
    nmk_memory_free(g->grades);
    nmk_memory_free(g->asked);
    nmk_memory_free(g->grade_slots);
    nmk_memory_free(g->asked_slots);
    memset(g, 0, sizeof *g);
}

static void widen_grade_slots(struct nmk_grades *g)
{
    nmk_memory_free(g->grade_slots);
    g->grade_slot_count *= 2;
    g->grade_slots = nmk_memory_new(g->grade_slot_count, sizeof *g->grade_slots);
    for (size_t k = 1; k < g->count; k++) {
        size_t at = mix(nmk_rat_hash(&g->grades[k])) & (g->grade_slot_count - 1);
        while (g->grade_slots[at])
            at = (at + 1) & (g->grade_slot_count - 1);
        g->grade_slots[at] = (uint32_t)k + 1;
    }
}

/* The number of a grade; 1 and above count as 1. */
static uint32_t number_of(struct nmk_grades *g, struct nmk_rat *grade)
{
    if (nmk_rat_cmp_int(grade, 1) >= 0)
        return 0;
    size_t at = mix(nmk_rat_hash(grade)) & (g->grade_slot_count - 1);
    for (; g->grade_slots[at]; at = (at + 1) & (g->grade_slot_count - 1))
        if (nmk_rat_equal(&g->grades[g->grade_slots[at] - 1], grade))
            return g->grade_slots[at] - 1;
    void *grades = g->grades;
    nmk_memory_reserve(&grades, &g->space, g->count + 1, sizeof *g->grades);
    g->grades = grades;
    nmk_rat_swap(&g->grades[g->count], grade);
    g->grade_slots[at] = (uint32_t)++g->count;
    uint32_t number = (uint32_t)g->count - 1;
    if (g->count * 2 > g->grade_slot_count)
        widen_grade_slots(g);
    return number;
}

static void widen_asked_slots(struct nmk_grades *g)
{
    nmk_memory_free(g->asked_slots);
    g->asked_slot_count *= 2;
    g->asked_slots = nmk_memory_new(g->asked_slot_count, sizeof *g->asked_slots);
    for (size_t k = 0; k < g->asked_count; k++) {
        size_t at = hash_asked(g->asked[k].shape, &g->asked[k].value) & (g->asked_slot_count - 1);
        while (g->asked_slots[at])
            at = (at + 1) & (g->asked_slot_count - 1);
        g->asked_slots[at] = (uint32_t)k + 1;
    }
}

static uint32_t ask_caller(struct nmk_grades *g, size_t demand, const struct nmk_rat *value)
{
    struct nmk_rat grade = {0};
    g->problem->grade(&grade, g->problem->context, demand, value);
    uint32_t number = number_of(g, &grade);
    nmk_rat_clear(&grade);
    return number;
}

/* Shapes and demands share the table: a demand without a shape is its own. */
static size_t shape_of(const struct nmk_whole_problem *p, size_t demand)
{
    size_t shape = p->demands[demand].shape;
    return shape ? shape + p->demand_count : demand;
}

uint32_t nmk_grades_ask(struct nmk_grades *g, size_t demand, const struct nmk_rat *value)
{
    size_t shape = shape_of(g->problem, demand);
    size_t at = hash_asked(shape, value) & (g->asked_slot_count - 1);
    for (; g->asked_slots[at]; at = (at + 1) & (g->asked_slot_count - 1)) {
        const struct nmk_grade_asked *a = &g->asked[g->asked_slots[at] - 1];
        if (a->shape == shape && nmk_rat_equal(&a->value, value))
            return a->grade;
    }
    void *asked = g->asked;
    nmk_memory_reserve(&asked, &g->asked_space, g->asked_count + 1, sizeof *g->asked);
    g->asked = asked;
    struct nmk_grade_asked *a = &g->asked[g->asked_count];
    a->shape = shape;
    nmk_rat_set(&a->value, value);
    a->grade = ask_caller(g, demand, value);
    g->asked_slots[at] = (uint32_t)++g->asked_count;
    uint32_t grade = a->grade;
    if (g->asked_count * 2 > g->asked_slot_count)
        widen_asked_slots(g);
    return grade;
}
