#include "calc/quantity.h"

enum { MOST_BITS = 16384, MOST_POWER = 64 };

void quantity_clear(struct quantity *q)
{
    nmk_enclosure_clear(&q->value);
    *q = (struct quantity){0};
}

void quantity_swap(struct quantity *a, struct quantity *b)
{
    struct quantity c = *a;
    *a = *b;
    *b = c;
}

static bool too_large(const struct quantity *q)
{
    return nmk_rat_bits(&q->value.low) > MOST_BITS || nmk_rat_bits(&q->value.high) > MOST_BITS;
}

static const char *check_size(const struct quantity *a, const struct quantity *b)
{
    return too_large(a) || too_large(b) ? "The numbers grow beyond 4,900 digits here" : NULL;
}

static const char *check_kinds(const struct quantity *a, const struct quantity *b)
{
    if (a->power == b->power)
        return check_size(a, b);
    if (a->power == 1 && b->power == 0)
        return "A length and a number without a unit do not go together; give the number its unit, mm or in";
    if (a->power == 0 && b->power == 1)
        return "A number without a unit and a length do not go together; give the number its unit, mm or in";
    return "A length and an area do not go together";
}

const char *quantity_add(struct quantity *a, const struct quantity *b)
{
    const char *wrong = check_kinds(a, b);
    if (!wrong)
        nmk_enclosure_add(&a->value, &a->value, &b->value);
    return wrong;
}

const char *quantity_sub(struct quantity *a, const struct quantity *b)
{
    const char *wrong = check_kinds(a, b);
    if (!wrong)
        nmk_enclosure_sub(&a->value, &a->value, &b->value);
    return wrong;
}

const char *quantity_min(struct quantity *a, const struct quantity *b)
{
    const char *wrong = check_kinds(a, b);
    if (!wrong)
        nmk_enclosure_min(&a->value, &a->value, &b->value);
    return wrong;
}

const char *quantity_max(struct quantity *a, const struct quantity *b)
{
    const char *wrong = check_kinds(a, b);
    if (!wrong)
        nmk_enclosure_max(&a->value, &a->value, &b->value);
    return wrong;
}

static const char *check_power(int power)
{
    return power > MOST_POWER || power < -MOST_POWER ? "Too many lengths are multiplied" : NULL;
}

const char *quantity_mul(struct quantity *a, const struct quantity *b)
{
    const char *wrong = check_power(a->power + b->power);
    if (!wrong)
        wrong = check_size(a, b);
    if (wrong)
        return wrong;
    nmk_enclosure_mul(&a->value, &a->value, &b->value);
    a->power += b->power;
    return NULL;
}

const char *quantity_div(struct quantity *a, const struct quantity *b)
{
    const char *wrong = check_power(a->power - b->power);
    if (!wrong)
        wrong = check_size(a, b);
    if (wrong)
        return wrong;
    if (nmk_enclosure_div(&a->value, &a->value, &b->value))
        return "Nothing can be divided by zero";
    a->power -= b->power;
    return NULL;
}

const char *quantity_sqrt(struct quantity *a)
{
    if (a->power % 2)
        return "The root of a length is no length; sqrt takes a number, or a length times a length";
    if (too_large(a))
        return check_size(a, a);
    if (nmk_enclosure_sqrt(&a->value, &a->value))
        return "A number below zero has no root";
    a->power /= 2;
    return NULL;
}

void quantity_neg(struct quantity *a)
{
    nmk_enclosure_neg(&a->value, &a->value);
}

void quantity_abs(struct quantity *a)
{
    nmk_enclosure_abs(&a->value, &a->value);
}

void quantity_settle(struct nmk_rat *out, const struct quantity *q)
{
    struct nmk_rat fine = {0}, half = {0}, value = {0};
    nmk_enclosure_mid(&value, &q->value);
    if (!nmk_enclosure_is_exact(&q->value)) {
        nmk_rat_set_int(&fine, 1000000000);
        nmk_rat_set_frac(&half, 1, 2);
        nmk_rat_mul(&value, &value, &fine);
        nmk_rat_add(&value, &value, &half);
        nmk_rat_floor(&value, &value);
        nmk_rat_div(&value, &value, &fine);
    }
    nmk_rat_swap(out, &value);
    nmk_rat_clear(&fine);
    nmk_rat_clear(&half);
    nmk_rat_clear(&value);
}
