#include "nearmark/marks.h"

#include <assert.h>

/* (mm - offset) / step: the place of mm among the marks. */
static enum nmk_status place_of(struct nmk_rat *out, const struct nmk_marks *marks, const struct nmk_rat *mm)
{
    if (!marks || !mm || nmk_rat_sign(&marks->step) <= 0)
        return NMK_INVALID;
    nmk_rat_sub(out, mm, &marks->offset);
    return nmk_rat_div(out, out, &marks->step);
}

/* floor(place + 1/2) is the nearest whole number, and the larger one of a tie. It is a tie exactly where place + 1/2 is
 * whole; then the even one is this or the one below. */
static enum nmk_status nearest_whole(int64_t *out, struct nmk_rat *place, enum nmk_tie tie)
{
    struct nmk_rat half = {0};
    int64_t k = 0;
    enum nmk_status status = nmk_rat_set_frac(&half, 1, 2);
    assert(status == NMK_OK);
    nmk_rat_add(place, place, &half);
    nmk_rat_clear(&half);
    bool tied = nmk_rat_is_int(place);
    nmk_rat_floor(place, place);
    status = nmk_rat_get_int(&k, place);
    if (!status)
        *out = tied && tie == NMK_TIE_EVEN && k % 2 != 0 ? k - 1 : k;
    return status;
}

enum nmk_status nmk_marks_nearest(int64_t *out, const struct nmk_marks *marks, const struct nmk_rat *mm, enum nmk_tie tie)
{
    if (!out || (tie != NMK_TIE_EVEN && tie != NMK_TIE_LARGER))
        return NMK_INVALID;
    struct nmk_rat place = {0};
    enum nmk_status status = place_of(&place, marks, mm);
    if (!status)
        status = nearest_whole(out, &place, tie);
    nmk_rat_clear(&place);
    return status;
}

static enum nmk_status bound(int64_t *out, const struct nmk_marks *marks, const struct nmk_rat *mm,
                             void (*round)(struct nmk_rat *, const struct nmk_rat *))
{
    if (!out)
        return NMK_INVALID;
    struct nmk_rat place = {0};
    enum nmk_status status = place_of(&place, marks, mm);
    if (!status) {
        round(&place, &place);
        status = nmk_rat_get_int(out, &place);
    }
    nmk_rat_clear(&place);
    return status;
}

enum nmk_status nmk_marks_below(int64_t *out, const struct nmk_marks *marks, const struct nmk_rat *mm)
{
    return bound(out, marks, mm, nmk_rat_floor);
}

enum nmk_status nmk_marks_above(int64_t *out, const struct nmk_marks *marks, const struct nmk_rat *mm)
{
    return bound(out, marks, mm, nmk_rat_ceil);
}

void nmk_marks_at(struct nmk_rat *mm, const struct nmk_marks *marks, int64_t k)
{
    if (!mm || !marks)
        return;
    struct nmk_rat at = {0};
    nmk_rat_set_int(&at, k);
    nmk_rat_mul(&at, &at, &marks->step);
    nmk_rat_add(mm, &at, &marks->offset);
    nmk_rat_clear(&at);
}

enum nmk_status nmk_marks_limits(int64_t *low, int64_t *high, bool *fits, const struct nmk_marks *marks,
                                 const struct nmk_rat *from, const struct nmk_rat *to, enum nmk_limits_method method)
{
    if (!low || !high || !fits || !from || !to || nmk_rat_cmp(from, to) > 0 ||
        (method != NMK_METHOD_A && method != NMK_METHOD_B))
        return NMK_INVALID;
    bool inward = method == NMK_METHOD_B;
    int64_t a = 0, b = 0;
    enum nmk_status status = inward ? nmk_marks_above(&a, marks, from) : nmk_marks_nearest(&a, marks, from, NMK_TIE_LARGER);
    if (!status)
        status = inward ? nmk_marks_below(&b, marks, to) : nmk_marks_nearest(&b, marks, to, NMK_TIE_LARGER);
    if (status)
        return status;
    *fits = a <= b;
    if (*fits) {
        *low = a;
        *high = b;
    }
    return NMK_OK;
}
