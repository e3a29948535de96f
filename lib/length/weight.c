#include "nearmark/weight.h"

#include <assert.h>

#include "length/spell.h"

/* Basis sizes, in quarters of an inch. Custom of the trade, from memory; published worked examples agree. */
static const struct {
    const char *name;
    unsigned char width, height;
} grades[] = {
    {"bond", 68, 88},    {"writing", 68, 88}, {"ledger", 68, 88},     {"cover", 80, 104},  {"book", 100, 152},
    {"text", 100, 152},  {"offset", 100, 152}, {"index", 102, 122},   {"tag", 96, 144},    {"newsprint", 96, 144},
    {"bristol", 90, 114}, {"blotting", 76, 96}, {"blanks", 88, 112},
};

/* g/m2 of one pound on one square inch of basis: 453.59237 / (500 * 0.00064516), in lowest terms. */
enum { GSM_NUM = 45359237, GSM_DEN = 32258 };

size_t nmk_weight_grade_count(void)
{
    return sizeof grades / sizeof *grades;
}

const char *nmk_weight_grade_name(size_t i)
{
    return i < nmk_weight_grade_count() ? grades[i].name : NULL;
}

/* The grade's index, or the number of grades. */
static size_t find(const char *text, size_t size)
{
    size_t i = 0;
    while (i < nmk_weight_grade_count() && !nmk_spell_is(text, size, grades[i].name))
        i++;
    return i;
}

enum nmk_status nmk_weight_gsm(struct nmk_rat *out, const struct nmk_rat *pounds, const char *grade, size_t size)
{
    if (!out || !pounds || !grade || !size || nmk_rat_sign(pounds) < 0)
        return NMK_INVALID;
    size_t i = find(grade, size);
    if (i == nmk_weight_grade_count())
        return NMK_INVALID;
    struct nmk_rat factor = {0};
    int64_t area = (int64_t)grades[i].width * grades[i].height; /* in sixteenths of a square inch */
    enum nmk_status status = nmk_rat_set_frac(&factor, (int64_t)GSM_NUM * 16, GSM_DEN * area);
    assert(status == NMK_OK);
    nmk_rat_mul(out, &factor, pounds);
    nmk_rat_clear(&factor);
    return status;
}
