#include <string.h>

#include "design/read/reader.h"

static void halve(struct nmk_reader *r, struct nmk_rat *a)
{
    struct nmk_rat half = {0};
    (void)nmk_rat_set_frac(&half, 1, 2);
    nmk_rat_mul(&half, &half, a);
    *a = nmk_pool_take(&r->design->pool, &half);
}

/* LENGTH */
static bool read_measured(struct nmk_reader *r, struct nmk_measure *m, bool *has_size)
{
    size_t at = r->token.at;
    if (!nmk_read_single(r, "the size measured", &m->size, &m->unit))
        return false;
    if (*has_size)
        nmk_read_refuse_again(r, at, "The size");
    *has_size = true;
    nmk_read_must_be_positive(r, &m->size, at, "A measured size");
    return true;
}

/* PART = "±" LENGTH | "read" "to" LENGTH | "from" RANGE | TEXT. */
static bool read_measure_part(struct nmk_reader *r, struct nmk_measure *m, bool *has_off)
{
    size_t at = r->token.at;
    enum nmk_unit unit;
    bool read_to = nmk_read_is_word(r, "read");
    if (r->token.kind == NMK_T_TEXT && !m->label) {
        m->label = nmk_read_label(r);
        return true;
    }
    if (read_to || r->token.kind == NMK_T_OFF) {
        nmk_read_next(r);
        if ((read_to && !nmk_read_expect_word(r, "to", "read to 1 mm")) ||
            !nmk_read_single(r, "how far off it may be", &m->off, &unit))
            return false;
        if (*has_off)
            nmk_read_refuse_again(r, at, "How far off the measure may be");
        *has_off = true;
        if (read_to)
            halve(r, &m->off);
        m->read_to = read_to;
        return true;
    }
    if (!nmk_read_take_word(r, "from"))
        return nmk_read_expected(r, "`±`, `read to`, `from` or the end of the statement", NULL);
    if (!nmk_read_range(r, &m->from, &m->to))
        return false;
    if (m->has_range)
        nmk_read_refuse_again(r, at, "The range");
    m->has_range = true;
    return true;
}

/* "measure" NAME [TEXT] LENGTH {PART}; the size may stand among the parts */
bool nmk_read_measure(struct nmk_reader *r, size_t at)
{
    struct nmk_name name;
    struct nmk_measure m = {0};
    bool has_off = false, has_size = false;
    if (!nmk_read_new_name(r, NMK_SCOPE_DESIGN, "a name for the measure", &name))
        return false;
    m.name = nmk_read_kept_name(r, name);
    m.label = nmk_read_label(r);
    while (r->token.kind != NMK_T_END || !has_size) {
        bool part = r->token.kind == NMK_T_OFF || r->token.kind == NMK_T_TEXT || nmk_read_is_word(r, "read") ||
                    nmk_read_is_word(r, "from");
        bool size = !has_size ? !part : r->token.kind == NMK_T_LENGTH;
        if (size ? !read_measured(r, &m, &has_size) : !read_measure_part(r, &m, &has_off))
            return false;
    }
    m.label = m.label ? m.label : m.name;
    m.span = nmk_read_span_from(r, at);
    nmk_read_define(r, name, NMK_NAMED_MEASURE, r->design->measures.count);
    memcpy(nmk_design_add(r->design, &r->design->measures, sizeof m), &m, sizeof m);
    return true;
}
