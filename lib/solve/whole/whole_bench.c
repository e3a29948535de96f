#include "base/memory.h"
#include "solve/whole/whole_part.h"

static void make_room(struct nmk_bench *b, size_t grades)
{
    size_t space = b->set_space;
    void *used = b->is_used, *sets = b->sets;
    nmk_memory_reserve(&used, &space, grades, sizeof *b->is_used);
    b->is_used = used;
    nmk_memory_reserve(&sets, &b->set_space, grades, sizeof *b->sets);
    b->sets = sets;
}

void nmk_bench_use_grade(struct nmk_bench *b, uint32_t grade)
{
    if (grade >= b->set_space)
        make_room(b, b->grades.count);
    if (b->is_used[grade])
        return;
    b->is_used[grade] = true;
    void *used = b->used;
    nmk_memory_reserve(&used, &b->used_space, b->used_count + 1, sizeof *b->used);
    b->used = used;
    b->used[b->used_count++] = grade;
}

void nmk_bench_init(struct nmk_bench *b, const struct nmk_whole_problem *p)
{
    *b = (struct nmk_bench){0};
    nmk_work_init(&b->work, p);
    nmk_model_init(&b->model, p);
    nmk_grades_init(&b->grades, p);
    nmk_bounds_init(&b->bounds, p);
    b->local = nmk_memory_new(p->unknown_count, sizeof *b->local);
    b->box_low = nmk_memory_new(p->unknown_count, sizeof *b->box_low);
    b->box_high = nmk_memory_new(p->unknown_count, sizeof *b->box_high);
    make_room(b, 1); /* grade 1 is the empty multiset */
}

void nmk_bench_clear(struct nmk_bench *b)
{
    nmk_model_clear(&b->model);
    nmk_grades_clear(&b->grades);
    nmk_bounds_clear(&b->bounds);
    nmk_memory_free(b->local);
    nmk_memory_free(b->sets);
    nmk_memory_free(b->is_used);
    nmk_memory_free(b->used);
    nmk_memory_free(b->box_low);
    nmk_memory_free(b->box_high);
}
