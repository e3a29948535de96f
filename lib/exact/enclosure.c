#include "nearmark/enclosure.h"

#include <assert.h>
#include <string.h>

#include "base/debug.h"
#include "exact/rat_view.h"

enum { digits = 30 }; /* the enclosed constants are known to 10^-30 */

void nmk_enclosure_init(struct nmk_enclosure *e)
{
    *e = (struct nmk_enclosure){0};
}

void nmk_enclosure_clear(struct nmk_enclosure *e)
{
    nmk_rat_clear(&e->low);
    nmk_rat_clear(&e->high);
}

/* out = what was built in `made`. */
static void deliver(struct nmk_enclosure *out, struct nmk_enclosure *made)
{
    NMK_DEBUG_ASSERT(nmk_rat_cmp(&made->low, &made->high) <= 0);
    nmk_rat_swap(&out->low, &made->low);
    nmk_rat_swap(&out->high, &made->high);
    nmk_enclosure_clear(made);
}

void nmk_enclosure_set(struct nmk_enclosure *out, const struct nmk_enclosure *a)
{
    struct nmk_enclosure made = {0};
    nmk_rat_set(&made.low, &a->low);
    nmk_rat_set(&made.high, &a->high);
    deliver(out, &made);
}

void nmk_enclosure_set_rat(struct nmk_enclosure *out, const struct nmk_rat *a)
{
    struct nmk_enclosure made = {0};
    nmk_rat_set(&made.low, a);
    nmk_rat_set(&made.high, a);
    deliver(out, &made);
}

bool nmk_enclosure_is_exact(const struct nmk_enclosure *a)
{
    return nmk_rat_equal(&a->low, &a->high);
}

/* The digits of pi are checked by Machin's formula in tests/unit/exact/test_enclosure.c. */
void nmk_enclosure_pi(struct nmk_enclosure *out)
{
    static const char low[] = "3.141592653589793238462643383279", high[] = "3.141592653589793238462643383280";
    struct nmk_enclosure made = {0};
    enum nmk_status low_status = nmk_rat_parse(&made.low, low, strlen(low));
    enum nmk_status high_status = nmk_rat_parse(&made.high, high, strlen(high));
    assert(low_status == NMK_OK && high_status == NMK_OK);
    (void)low_status, (void)high_status;
    deliver(out, &made);
}

/* Most are: then one number is reckoned with, not two. */
static bool are_exact(const struct nmk_enclosure *a, const struct nmk_enclosure *b)
{
    return nmk_enclosure_is_exact(a) && nmk_enclosure_is_exact(b);
}

void nmk_enclosure_add(struct nmk_enclosure *out, const struct nmk_enclosure *a, const struct nmk_enclosure *b)
{
    struct nmk_enclosure made = {0};
    nmk_rat_add(&made.low, &a->low, &b->low);
    if (are_exact(a, b))
        nmk_rat_set(&made.high, &made.low);
    else
        nmk_rat_add(&made.high, &a->high, &b->high);
    deliver(out, &made);
}

void nmk_enclosure_sub(struct nmk_enclosure *out, const struct nmk_enclosure *a, const struct nmk_enclosure *b)
{
    struct nmk_enclosure made = {0};
    nmk_rat_sub(&made.low, &a->low, &b->high);
    nmk_rat_sub(&made.high, &a->high, &b->low);
    deliver(out, &made);
}

/* Widens e so that it holds x. */
static void hold(struct nmk_enclosure *e, const struct nmk_rat *x)
{
    if (nmk_rat_cmp(x, &e->low) < 0)
        nmk_rat_set(&e->low, x);
    if (nmk_rat_cmp(x, &e->high) > 0)
        nmk_rat_set(&e->high, x);
}

/* A product is linear in each factor, so it is least and greatest at two of the four pairs of ends. */
void nmk_enclosure_mul(struct nmk_enclosure *out, const struct nmk_enclosure *a, const struct nmk_enclosure *b)
{
    struct nmk_enclosure made = {0};
    struct nmk_rat product = {0};
    nmk_rat_mul(&product, &a->low, &b->low);
    nmk_enclosure_set_rat(&made, &product);
    if (!are_exact(a, b)) {
        nmk_rat_mul(&product, &a->low, &b->high);
        hold(&made, &product);
        nmk_rat_mul(&product, &a->high, &b->low);
        hold(&made, &product);
        nmk_rat_mul(&product, &a->high, &b->high);
        hold(&made, &product);
    }
    nmk_rat_clear(&product);
    deliver(out, &made);
}

/* b does not hold 0, so 1/x falls over all of it: 1/b = [1/high, 1/low]. */
enum nmk_status nmk_enclosure_div(struct nmk_enclosure *out, const struct nmk_enclosure *a, const struct nmk_enclosure *b)
{
    if (nmk_rat_sign(&b->low) <= 0 && nmk_rat_sign(&b->high) >= 0)
        return NMK_DIVISION_BY_ZERO;
    struct nmk_enclosure inverse = {0};
    struct nmk_rat one = {.num = 1};
    enum nmk_status low_status = nmk_rat_div(&inverse.low, &one, &b->high);
    enum nmk_status high_status = nmk_rat_div(&inverse.high, &one, &b->low);
    assert(low_status == NMK_OK && high_status == NMK_OK);
    (void)low_status, (void)high_status;
    nmk_enclosure_mul(out, a, &inverse);
    nmk_enclosure_clear(&inverse);
    return NMK_OK;
}

void nmk_enclosure_neg(struct nmk_enclosure *out, const struct nmk_enclosure *a)
{
    struct nmk_enclosure made = {0};
    nmk_rat_neg(&made.low, &a->high);
    nmk_rat_neg(&made.high, &a->low);
    deliver(out, &made);
}

/* Of numbers on both sides of 0 the smallest size is 0, the greatest that of one end. */
void nmk_enclosure_abs(struct nmk_enclosure *out, const struct nmk_enclosure *a)
{
    if (nmk_rat_sign(&a->low) >= 0) {
        nmk_enclosure_set(out, a);
        return;
    }
    struct nmk_enclosure made = {0};
    nmk_enclosure_neg(&made, a);
    if (nmk_rat_sign(&a->high) > 0) {
        nmk_rat_set_int(&made.low, 0);
        hold(&made, &a->high);
    }
    deliver(out, &made);
}

static const struct nmk_rat *lesser(const struct nmk_rat *a, const struct nmk_rat *b)
{
    return nmk_rat_cmp(a, b) <= 0 ? a : b;
}

static const struct nmk_rat *greater(const struct nmk_rat *a, const struct nmk_rat *b)
{
    return nmk_rat_cmp(a, b) >= 0 ? a : b;
}

void nmk_enclosure_min(struct nmk_enclosure *out, const struct nmk_enclosure *a, const struct nmk_enclosure *b)
{
    struct nmk_enclosure made = {0};
    nmk_rat_set(&made.low, lesser(&a->low, &b->low));
    nmk_rat_set(&made.high, lesser(&a->high, &b->high));
    deliver(out, &made);
}

void nmk_enclosure_max(struct nmk_enclosure *out, const struct nmk_enclosure *a, const struct nmk_enclosure *b)
{
    struct nmk_enclosure made = {0};
    nmk_rat_set(&made.low, greater(&a->low, &b->low));
    nmk_rat_set(&made.high, greater(&a->high, &b->high));
    deliver(out, &made);
}

/* A fraction in lowest terms is a square exactly when both its parts are. */
static bool root_exactly(mpq_ptr root, mpq_srcptr x)
{
    if (!mpz_perfect_square_p(mpq_numref(x)) || !mpz_perfect_square_p(mpq_denref(x)))
        return false;
    mpz_sqrt(mpq_numref(root), mpq_numref(x));
    mpz_sqrt(mpq_denref(root), mpq_denref(x));
    return true;
}

/* root = (k + up) / 10^30, k = floor(10^30 sqrt(x)) = floor(sqrt(floor(10^60 x))): a whole number is at most sqrt(y)
 * exactly when its square is at most floor(y). */
static void root_near(mpq_ptr root, mpq_srcptr x, unsigned up)
{
    mpz_ptr k = mpq_numref(root), unit = mpq_denref(root);
    mpz_ui_pow_ui(unit, 10, digits);
    mpz_mul(k, mpq_numref(x), unit);
    mpz_mul(k, k, unit);
    mpz_fdiv_q(k, k, mpq_denref(x));
    mpz_sqrt(k, k);
    mpz_add_ui(k, k, up);
    mpq_canonicalize(root);
}

static void root_end(struct nmk_rat *out, const struct nmk_rat *a, unsigned up)
{
    struct nmk_rat_view room;
    mpq_srcptr x = nmk_rat_view(&room, a);
    assert(mpq_sgn(x) >= 0);
    mpq_t root;
    mpq_init(root);
    if (!root_exactly(root, x))
        root_near(root, x, up);
    nmk_rat_take(out, root);
}

enum nmk_status nmk_enclosure_sqrt(struct nmk_enclosure *out, const struct nmk_enclosure *a)
{
    if (nmk_rat_sign(&a->low) < 0)
        return NMK_NEGATIVE_ROOT;
    struct nmk_enclosure made = {0};
    root_end(&made.low, &a->low, 0);
    root_end(&made.high, &a->high, 1);
    deliver(out, &made);
    return NMK_OK;
}

static void halve(struct nmk_rat *r)
{
    struct nmk_rat half = {0};
    enum nmk_status status = nmk_rat_set_frac(&half, 1, 2);
    assert(status == NMK_OK);
    (void)status;
    nmk_rat_mul(r, r, &half);
    nmk_rat_clear(&half);
}

void nmk_enclosure_mid(struct nmk_rat *out, const struct nmk_enclosure *a)
{
    struct nmk_rat sum = {0};
    nmk_rat_add(&sum, &a->low, &a->high);
    halve(&sum);
    nmk_rat_swap(out, &sum);
    nmk_rat_clear(&sum);
}

void nmk_enclosure_half_width(struct nmk_rat *out, const struct nmk_enclosure *a)
{
    struct nmk_rat width = {0};
    nmk_rat_sub(&width, &a->high, &a->low);
    halve(&width);
    nmk_rat_swap(out, &width);
    nmk_rat_clear(&width);
}
