/* Memory runs out at each allocation of each operation in turn: nothing crashes, the output keeps what it held, and
 * every object can be used and cleared afterwards.
 *
 * valgrind: no, the handler jumps out of GMP, whose temporaries are then lost; the sanitizer is told so. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <string.h>

#include "base/memory.h"
#include "nearmark/affine.h"
#include "nearmark/enclosure.h"
#include "unit/exact/biased.h"
#include "unit/running_out.h"

/* What the operations work on; static, so that it is the same after a jump. */
static struct nmk_rat a, b, out, kept;
static struct nmk_affine f, g, form, form_kept;
static struct nmk_enclosure e, d, box, box_kept;

static bool untouched(void)
{
    return nmk_rat_equal(&out, &kept) && rat_is_sound(&out) && nmk_affine_equal(&form, &form_kept) &&
           nmk_affine_is_canonical(&form) && nmk_rat_equal(&box.low, &box_kept.low) &&
           nmk_rat_equal(&box.high, &box_kept.high);
}

static void fill(const char *a_text, const char *b_text, const char *out_text)
{
    a = rat_of(a_text);
    b = rat_of(b_text);
    out = rat_of(out_text);
    kept = rat_of(out_text);
    nmk_affine_set_rat(&f, &a);
    nmk_affine_set_rat(&g, &b);
    nmk_affine_set_rat(&form_kept, &kept);
    for (uint64_t i = 0; i < 10; i++) {
        nmk_affine_add_term(&f, i, &a);
        nmk_affine_add_term(&g, 2 * i, &b);
        nmk_affine_add_term(&form_kept, 3 * i, &kept);
    }
    nmk_affine_set(&form, &form_kept);
    nmk_enclosure_set_rat(&e, &a);
    nmk_enclosure_set_rat(&d, &b);
    nmk_enclosure_set_rat(&box, &kept);
    nmk_enclosure_set_rat(&box_kept, &kept);
}

static void empty(void)
{
    struct nmk_rat *rats[] = {&a, &b, &out, &kept};
    for (size_t i = 0; i < 4; i++)
        nmk_rat_clear(rats[i]);
    struct nmk_affine *forms[] = {&f, &g, &form, &form_kept};
    for (size_t i = 0; i < 4; i++)
        nmk_affine_clear(forms[i]);
    struct nmk_enclosure *boxes[] = {&e, &d, &box, &box_kept};
    for (size_t i = 0; i < 4; i++)
        nmk_enclosure_clear(boxes[i]);
}

/* ---- the operations ---- */

static void do_set(void) { nmk_rat_set(&out, &a); }
static void do_set_int(void) { nmk_rat_set_int(&out, INT64_MIN); }
static void do_set_frac(void) { (void)nmk_rat_set_frac(&out, INT64_MIN, 3); }
static void do_add(void) { nmk_rat_add(&out, &a, &b); }
static void do_sub(void) { nmk_rat_sub(&out, &a, &b); }
static void do_mul(void) { nmk_rat_mul(&out, &a, &b); }
static void do_div(void) { (void)nmk_rat_div(&out, &a, &b); }
static void do_addmul(void) { nmk_rat_addmul(&out, &a, &b); }
static void do_neg(void) { nmk_rat_neg(&out, &a); }
static void do_abs(void) { nmk_rat_abs(&out, &a); }
static void do_pow(void) { nmk_rat_pow(&out, &a, 5); }
static void do_floor(void) { nmk_rat_floor(&out, &a); }
static void do_ceil(void) { nmk_rat_ceil(&out, &a); }
static void do_num(void) { nmk_rat_num(&out, &a); }
static void do_den(void) { nmk_rat_den(&out, &a); }
static void do_gcd(void) { nmk_rat_gcd(&out, &a, &b); }
static void do_lcm(void) { nmk_rat_lcm(&out, &a, &b); }
static void do_cmp(void) { (void)nmk_rat_cmp(&a, &b); }
static void do_cmp_int(void) { (void)nmk_rat_cmp_int(&a, INT64_MIN); }

static void do_parse(void)
{
    static const char text[] = "-12345678901234567890123456789.75";
    (void)nmk_rat_parse(&out, text, sizeof text - 1);
}

static void do_parse_fraction(void)
{
    static const char text[] = "12345678901234567890123456789/9876543210987654321098765432";
    (void)nmk_rat_parse(&out, text, sizeof text - 1);
}

static void do_print(void)
{
    char text[64];
    (void)nmk_rat_print(text, sizeof text, &a);
}

static void do_print_decimal(void)
{
    char text[64];
    (void)nmk_rat_print_decimal(text, sizeof text, &a, 40);
}

static void do_form_set(void) { nmk_affine_set(&form, &f); }
static void do_form_set_rat(void) { nmk_affine_set_rat(&form, &a); }
static void do_form_add(void) { nmk_affine_add(&form, &f, &g); }
static void do_form_sub(void) { nmk_affine_sub(&form, &f, &g); }
static void do_form_scale(void) { nmk_affine_scale(&form, &f, &b); }
static void do_form_add_rat(void) { nmk_affine_add_rat(&form, &a); }
static void do_form_add_term(void) { nmk_affine_add_term(&form, 1, &a); }
static void do_form_add_to_term(void) { nmk_affine_add_term(&form, 3, &a); }

static void do_box_set(void) { nmk_enclosure_set(&box, &e); }
static void do_box_set_rat(void) { nmk_enclosure_set_rat(&box, &a); }
static void do_box_pi(void) { nmk_enclosure_pi(&box); }
static void do_box_add(void) { nmk_enclosure_add(&box, &e, &d); }
static void do_box_sub(void) { nmk_enclosure_sub(&box, &e, &d); }
static void do_box_mul(void) { nmk_enclosure_mul(&box, &e, &d); }
static void do_box_div(void) { (void)nmk_enclosure_div(&box, &e, &d); }
static void do_box_neg(void) { nmk_enclosure_neg(&box, &e); }
static void do_box_abs(void) { nmk_enclosure_abs(&box, &e); }
static void do_box_min(void) { nmk_enclosure_min(&box, &e, &d); }
static void do_box_max(void) { nmk_enclosure_max(&box, &e, &d); }
static void do_box_sqrt(void) { (void)nmk_enclosure_sqrt(&box, &d); }
static void do_box_mid(void) { nmk_enclosure_mid(&out, &e); }
static void do_box_half_width(void) { nmk_enclosure_half_width(&out, &e); }

static void (*const operations[])(void) = {
    do_set, do_set_int, do_set_frac, do_add, do_sub, do_mul, do_div, do_addmul, do_neg, do_abs, do_pow, do_floor,
    do_ceil, do_num, do_den, do_gcd, do_lcm, do_cmp, do_cmp_int, do_parse, do_parse_fraction, do_print,
    do_print_decimal, do_form_set, do_form_set_rat, do_form_add, do_form_sub, do_form_scale, do_form_add_rat,
    do_form_add_term, do_form_add_to_term, do_box_set, do_box_set_rat, do_box_pi, do_box_add, do_box_sub, do_box_mul,
    do_box_div, do_box_neg, do_box_abs, do_box_min, do_box_max, do_box_sqrt, do_box_mid, do_box_half_width,
};

static void test_every_allocation_fails_once(void **state)
{
    (void)state;
    static const char *const rows[][3] = {
        /* big with big, small with small that grows, big that shrinks; into a big and a small output */
        {"-100000000000000000000000000000/7", "123456789012345678901234567891/1000", "1/3"},
        {"100000000000000000000000000000/7", "123456789012345678901234567891/1000", "-1/100000000000000000000000001"},
        {"9223372036854775807/4", "9223372036854775805/9223372036854775806", "1"},
        {"9223372036854775808/3", "9223372036854775807/3", "100000000000000000000000000"},
    };
    size_t failures = 0, count = sizeof operations / sizeof *operations;
    for (size_t row = 0; row < sizeof rows / sizeof *rows; row++) {
        for (size_t i = 0; i < count; i++) {
            size_t n = 1;
            for (;; n++) {
                fill(rows[row][0], rows[row][1], rows[row][2]);
                bool through = comes_through(operations[i], n);
                if (!through && !untouched())
                    fail_msg("operation %zu, row %zu, allocation %zu: the output was touched", i, row, n);
                empty();
                if (through)
                    break;
                failures++;
                assert_true(n < 1000);
            }
        }
    }
    assert_true(failures > 4 * count); /* else the failures were not made */
}

static void test_a_power_beyond_all_memory_is_told_before_it_is_tried(void **state)
{
    (void)state;
    a = rat_of("100000000000000000000000000000/7");
    wanted_last = 0;
    nmk_rat_set_int(&out, 5);
    if (setjmp(back) == 0) {
        nmk_rat_pow(&out, &a, 4000000000u);
        fail_msg("a number of 400 thousand million bits was computed");
    }
    assert_true(wanted_last == SIZE_MAX && rat_prints(&out, "5"));
    nmk_rat_clear(&a);
    nmk_rat_clear(&out);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_every_allocation_fails_once),
        cmocka_unit_test(test_a_power_beyond_all_memory_is_told_before_it_is_tried),
    };
    nmk_memory_handler_set(jump_back);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
