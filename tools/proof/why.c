/* why.c -- what may have led to a wrong figure. */
#include "proof/finding.h"

#include <string.h>

#include "ground/store.h"

static const struct entry_list *list_of(const struct proof *p, size_t edition)
{
    return &p->editions[edition].list;
}

static bool is_length(enum entry_kind kind)
{
    return kind != ENTRY_COPIES && kind != ENTRY_HINT;
}

/* The same entry of another edition: entries of one design stand in one order, but for punches without a choice. */
static size_t same_entry(const struct entry_list *other, const struct entry *e, size_t at)
{
    if (at >= other->count)
        return NMK_NONE;
    const struct entry *o = &other->entries[at];
    return o->kind == e->kind && o->subject == e->subject && o->way == e->way ? at : NMK_NONE;
}

static bool is_other_edition(struct finding *f, const struct proof *p, const struct claim *c, const struct entry *e)
{
    for (size_t i = 0; i < p->count; i++) {
        size_t at = i == f->edition ? NMK_NONE : same_entry(list_of(p, i), e, f->entry);
        if (at == NMK_NONE || !claim_is(c, &list_of(p, i)->entries[at].mm))
            continue;
        f->other = i;
        return true;
    }
    return false;
}

/* The right number in another unit. */
static bool is_other_unit(const struct claim *c, const struct nmk_rat *right)
{
    struct nmk_rat said = {0}, meant = {0}, one = {0};
    static const enum nmk_unit units[] = {NMK_MM, NMK_CM, NMK_IN};
    bool is = false;
    nmk_unit_mm(&one, c->unit);
    if (!nmk_rat_div(&said, &c->mm, &one))
        for (size_t i = 0; i < 3 && !is; i++) {
            nmk_unit_mm(&one, units[i]);
            nmk_rat_mul(&meant, &said, &one);
            is = units[i] != c->unit && nmk_rat_equal(&meant, right);
        }
    nmk_rat_clear(&said);
    nmk_rat_clear(&meant);
    nmk_rat_clear(&one);
    return is;
}

static size_t digits(char out[32], const char *text)
{
    size_t count = 0;
    for (; *text && count < 31; text++)
        if (*text >= '0' && *text <= '9')
            out[count++] = *text;
    out[count] = '\0';
    return count;
}

/* Two digits beside each other have changed places. */
static bool are_digits_swapped(const struct entry_list *list, const struct entry *e, const struct claim *c)
{
    char said[32], right[32];
    char *figure = entry_figure(list, e);
    size_t count = digits(said, c->written), at = 0;
    bool is = digits(right, figure) == count && strcmp(said, right) != 0;
    while (is && said[at] == right[at])
        at++;
    is = is && at + 1 < count && said[at] == right[at + 1] && said[at + 1] == right[at] &&
         !strcmp(said + at + 2, right + at + 2);
    store_free(figure);
    return is;
}

/* *marks: the whole number of marks that is nearest to a length; false: it does not fit. */
static bool get_nearest(int64_t *marks, const struct entry_list *list, const struct nmk_rat *mm)
{
    struct nmk_rat all = {0}, half = {0};
    (void)nmk_rat_set_frac(&half, 1, 2);
    bool fits = !nmk_rat_div(&all, mm, &list->step);
    nmk_rat_add(&all, &all, &half);
    nmk_rat_floor(&all, &all);
    fits = fits && !nmk_rat_get_int(marks, &all);
    nmk_rat_clear(&all);
    nmk_rat_clear(&half);
    return fits;
}

/* Does it say the length that lies so many marks from another? */
static bool is_marks_from(const struct entry_list *list, const struct claim *c, const struct nmk_rat *from, int64_t marks)
{
    struct nmk_rat there = {0};
    nmk_rat_set_int(&there, marks);
    nmk_rat_mul(&there, &there, &list->step);
    nmk_rat_add(&there, &there, from);
    bool is = claim_is(c, &there);
    nmk_rat_clear(&there);
    return is;
}

/* So many marks more or less: within three. */
static bool is_marks_off(struct finding *f, const struct entry_list *list, const struct claim *c, const struct nmk_rat *right)
{
    struct nmk_rat off = {0};
    int64_t marks = 0;
    nmk_rat_sub(&off, &c->mm, right);
    bool is = get_nearest(&marks, list, &off) && marks && marks >= -3 && marks <= 3 && is_marks_from(list, c, right, marks);
    if (is)
        f->marks = marks;
    nmk_rat_clear(&off);
    return is;
}

static bool is_on_mark(const struct entry_list *list, const struct claim *c)
{
    struct nmk_rat none = {0};
    int64_t marks = 0;
    bool is = get_nearest(&marks, list, &c->mm) && is_marks_from(list, c, &none, marks);
    nmk_rat_clear(&none);
    return is;
}

static size_t other_place(const struct entry_list *list, const struct claim *c, size_t but)
{
    for (size_t i = 0; i < list->count; i++) {
        const struct entry *o = &list->entries[i];
        bool listed = o->kind == ENTRY_CUT || entry_is_line(o->kind) || o->kind == ENTRY_PUNCH || o->kind == ENTRY_PANEL;
        if (i != but && listed && o->subject == c->subject && claim_is(c, &o->mm))
            return i;
    }
    return NMK_NONE;
}

/* What lies between two figures that stand in the text about the piece, or both together. */
static enum reason sum_of_two(const struct proof *p, const struct claim *c)
{
    struct nmk_rat sum = {0};
    enum reason reason = REASON_NONE;
    for (size_t i = 0; i < p->claims.count && !reason; i++)
        for (size_t k = i + 1; k < p->claims.count && k < i + 16 && !reason; k++) {
            const struct claim *a = &p->claims.claims[i], *b = &p->claims.claims[k];
            if (a->subject != c->subject || b->subject != c->subject || a == c || b == c || !is_length(a->kind) ||
                !is_length(b->kind) || a->block != c->block || b->block != c->block)
                continue;
            nmk_rat_sub(&sum, &a->mm, &b->mm);
            nmk_rat_abs(&sum, &sum);
            reason = claim_is(c, &sum) ? REASON_DIFFERENCE : REASON_NONE;
            nmk_rat_add(&sum, &a->mm, &b->mm);
            reason = claim_is(c, &sum) ? REASON_SUM : reason;
        }
    nmk_rat_clear(&sum);
    return reason;
}

static enum reason reason_of(struct finding *f, const struct proof *p, const struct claim *c)
{
    const struct entry_list *list = list_of(p, f->edition);
    const struct entry *e = f->entry == NMK_NONE ? NULL : &list->entries[f->entry];
    bool from_other = e && entry_is_line(e->kind) && c->edge >= 0 && c->edge != (int)e->last;
    const struct nmk_rat *right = !e ? NULL : from_other ? &e->other : &e->mm;
    if (c->unreadable)
        return REASON_UNREADABLE;
    if (!is_length(c->kind))
        return REASON_NONE;
    if (e && is_other_unit(c, right))
        return REASON_UNIT;
    if (e && !nmk_rat_is_zero(&e->rounded) && claim_is(c, &e->rounded))
        return REASON_ROUNDED;
    if (e && is_other_edition(f, p, c, e))
        return REASON_OTHER_EDITION;
    if (e && entry_is_line(e->kind) && claim_is(c, &e->other))
        return REASON_OTHER_EDGE;
    if (e && are_digits_swapped(list, e, c))
        return REASON_DIGITS;
    if (e && is_marks_off(f, list, c, right))
        return REASON_MARKS;
    f->other = other_place(list, c, f->entry);
    if (f->other != NMK_NONE)
        return REASON_OTHER_PLACE;
    enum reason sum = sum_of_two(p, c);
    if (sum)
        return sum;
    bool may_be_off = c->kind == ENTRY_TAPER || c->kind == ENTRY_PUNCH || c->subject == NMK_NONE;
    return may_be_off || is_on_mark(list, c) ? REASON_NONE : REASON_OFF_MARK;
}

void finding_explain(struct finding *f, const struct proof *proof, const struct claim *c)
{
    f->other = NMK_NONE;
    if (f->edition != NMK_NONE)
        f->reason = reason_of(f, proof, c);
}
