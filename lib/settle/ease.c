#include "settle/ease.h"

bool nmk_marks_moved(const struct nmk_draft *draft, size_t length, int64_t marks)
{
    struct nmk_rat off = {0}, two = {0};
    int64_t nearest = nmk_draft_nearest(draft, length); /* the larger of a tie */
    if (marks == nearest || marks != nearest - 1)
        return marks != nearest;
    nmk_rat_set_int(&off, marks);
    nmk_rat_mul(&off, &off, nmk_draft_step(draft));
    nmk_rat_sub(&off, &off, nmk_draft_designed(draft, length));
    nmk_rat_set_int(&two, 2);
    nmk_rat_mul(&off, &off, &two);
    nmk_rat_abs(&off, &off);
    bool moved = nmk_rat_cmp(&off, nmk_draft_step(draft)) > 0;
    nmk_rat_clear(&off);
    nmk_rat_clear(&two);
    return moved;
}

static int64_t inch_fineness(const struct nmk_rat *mm)
{
    struct nmk_rat inch = {0}, den = {0}, two = {0}, half = {0};
    int64_t power = 0;
    nmk_unit_mm(&inch, NMK_IN);
    nmk_rat_div(&den, mm, &inch);
    nmk_rat_den(&den, &den);
    nmk_rat_set_int(&two, 2);
    for (;; power++) {
        nmk_rat_div(&half, &den, &two);
        if (!nmk_rat_is_int(&half))
            break;
        nmk_rat_swap(&den, &half);
    }
    nmk_rat_clear(&inch);
    nmk_rat_clear(&den);
    nmk_rat_clear(&two);
    nmk_rat_clear(&half);
    return power;
}

static int64_t metric_fineness(const struct nmk_rat *mm)
{
    static const int64_t coarse[] = {10, 5, 1};
    struct nmk_rat step = {0}, ratio = {0};
    int64_t fineness = 3;
    for (int64_t i = 2; i >= 0; i--) {
        nmk_rat_set_int(&step, coarse[i]);
        nmk_rat_div(&ratio, mm, &step);
        if (nmk_rat_is_int(&ratio))
            fineness = i;
    }
    nmk_rat_clear(&step);
    nmk_rat_clear(&ratio);
    return fineness;
}

int64_t nmk_marks_fineness(const struct nmk_draft *draft, int64_t marks)
{
    struct nmk_rat mm = {0};
    nmk_rat_set_int(&mm, marks);
    nmk_rat_mul(&mm, &mm, nmk_draft_step(draft));
    int64_t fineness = nmk_unit_is_inch(nmk_draft_step_unit(draft)) ? inch_fineness(&mm) : metric_fineness(&mm);
    nmk_rat_clear(&mm);
    return fineness;
}

int64_t nmk_marks_period(const struct nmk_draft *draft)
{
    struct nmk_rat coarsest = {0};
    int64_t num, period = 0;
    nmk_unit_mm(&coarsest, nmk_unit_is_inch(nmk_draft_step_unit(draft)) ? NMK_IN : NMK_CM);
    nmk_rat_div(&coarsest, nmk_draft_step(draft), &coarsest);
    if (nmk_rat_get_frac(&num, &period, &coarsest) != NMK_OK || period > INT32_MAX)
        period = 0;
    nmk_rat_clear(&coarsest);
    return period;
}

bool nmk_marks_far(const struct nmk_draft *draft, size_t length, int64_t marks, int64_t within)
{
    struct nmk_rat off = {0}, limit = {0};
    nmk_rat_set_int(&off, marks);
    nmk_rat_mul(&off, &off, nmk_draft_step(draft));
    nmk_rat_sub(&off, &off, nmk_draft_designed(draft, length));
    nmk_rat_abs(&off, &off);
    nmk_rat_set_int(&limit, within);
    nmk_rat_mul(&limit, &limit, nmk_draft_step(draft));
    bool far = nmk_rat_cmp(&off, &limit) > 0;
    nmk_rat_clear(&off);
    nmk_rat_clear(&limit);
    return far;
}

void nmk_marks_cost(int64_t parts[3], const struct nmk_draft *draft, size_t length, int64_t marks,
                    const struct nmk_settle_options *options)
{
    bool easiest = options->prefer == NMK_EASIEST;
    bool moved = nmk_marks_moved(draft, length, marks);
    parts[0] = easiest ? nmk_marks_far(draft, length, marks, options->within) : moved;
    parts[1] = easiest ? nmk_marks_fineness(draft, marks) : 0;
    parts[2] = easiest ? moved : 0;
}

void nmk_marks_aim(struct nmk_whole_unknown *unknown, const struct nmk_draft *draft, size_t length, bool by_fineness,
                   int64_t within)
{
    int64_t nearest = nmk_draft_nearest(draft, length), far = by_fineness ? within + 2 : 1;
    unknown->step = *nmk_draft_step(draft);
    unknown->goal = *nmk_draft_designed(draft, length);
    unknown->period = by_fineness ? nmk_marks_period(draft) : 1;
    unknown->settled_low = nearest - far;
    unknown->settled_high = nearest + far;
}
