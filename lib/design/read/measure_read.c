/* What is measured and bought: design, measure, stock, let. */
#include <string.h>

#include "design/read/reader.h"

/* "design" TEXT */
bool nmk_read_title(struct nmk_reader *r, size_t at)
{
    if (r->titled) {
        nmk_read_error(r, nmk_read_span_from(r, at), "title-twice", NULL, "The design has a title already");
        return false;
    }
    r->titled = true;
    if (r->token.kind != NMK_T_TEXT)
        return nmk_read_expected(r, "the title in quotes", "design \"Recipe-card drawer\"");
    r->design->title = nmk_design_text(r->design, r->source.text + r->token.inner_at, r->token.inner_size);
    nmk_read_next(r);
    return nmk_read_expect_end(r);
}

static bool refuse_again(struct nmk_reader *r, size_t at, const char *what)
{
    nmk_read_error(r, nmk_read_span_from(r, at), "part-twice", NULL, "%s stands here twice", what);
    return true;
}

/* One length that is not written twice. */
static bool read_single(struct nmk_reader *r, const char *what, struct nmk_rat *out, enum nmk_unit *unit)
{
    size_t at = r->token.at;
    struct nmk_twin other;
    if (!nmk_read_length(r, NMK_UNSIGNED, what, out, unit))
        return false;
    if (!nmk_read_is_word(r, "or"))
        return true;
    nmk_read_next(r);
    if (!nmk_read_twin(r, NMK_UNSIGNED, what, &other))
        return false;
    nmk_read_error(r, nmk_read_span_from(r, at), "written-twice", "write the one that was measured", "A measure or a stock is not written twice: it has one size");
    return true;
}

static void must_be_positive(struct nmk_reader *r, const struct nmk_rat *size, size_t at, const char *what)
{
    if (nmk_rat_sign(size) <= 0)
        nmk_read_error(r, nmk_read_span_from(r, at), "not-positive", NULL, "%s must be more than 0", what);
}

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
    if (!read_single(r, "the size measured", &m->size, &m->unit))
        return false;
    if (*has_size)
        refuse_again(r, at, "The size");
    *has_size = true;
    must_be_positive(r, &m->size, at, "A measured size");
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
        if ((read_to && !nmk_read_expect_word(r, "to", "read to 1 mm")) || !read_single(r, "how far off it may be", &m->off, &unit))
            return false;
        if (*has_off)
            refuse_again(r, at, "How far off the measure may be");
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
        refuse_again(r, at, "The range");
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
        bool part = r->token.kind == NMK_T_OFF || r->token.kind == NMK_T_TEXT || nmk_read_is_word(r, "read") || nmk_read_is_word(r, "from");
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

/* ---- stocks ---- */

/* "thickness" LENGTH ["±" LENGTH] */
static bool read_thickness(struct nmk_reader *r, struct nmk_stock *s)
{
    enum nmk_unit unit;
    size_t at = r->token.at;
    if (!read_single(r, "the thickness", &s->thickness, &unit))
        return false;
    must_be_positive(r, &s->thickness, at, "A thickness");
    return !nmk_read_take(r, NMK_T_OFF) || read_single(r, "how far off the thickness may be", &s->off, &unit);
}

/* "grain" ("long" | "short") */
static bool read_grain(struct nmk_reader *r, struct nmk_stock *s)
{
    s->grain = nmk_read_is_word(r, "long") ? NMK_GRAIN_LONG : nmk_read_is_word(r, "short") ? NMK_GRAIN_SHORT : NMK_GRAIN_NONE;
    if (!s->grain)
        return nmk_read_expected(r, "`long` or `short`", "the grain runs along the long or the short edge of the sheet");
    nmk_read_next(r);
    return true;
}

/* ("thickness" ... | "weight" ... | "sheet" ... | "grain" ...), each once */
static bool read_stock_part(struct nmk_reader *r, struct nmk_stock *s, unsigned *had)
{
    static const char *const words[] = {"thickness", "weight", "sheet", "grain"};
    size_t at = r->token.at, part = 0;
    if (r->token.kind == NMK_T_TEXT && !s->label) {
        s->label = nmk_read_label(r);
        return true;
    }
    while (part < 4 && !nmk_read_is_word(r, words[part]))
        part++;
    if (part == 4)
        return nmk_read_expected(r, "`thickness`, `weight`, `sheet`, `grain` or the end of the statement", NULL);
    nmk_read_next(r);
    bool ok = part == 0   ? read_thickness(r, s)
              : part == 1 ? nmk_read_weight(r, s)
              : part == 2 ? nmk_read_sheets(r, s->sheets, &s->sheet_count)
                          : read_grain(r, s);
    if (ok && *had & 1u << part)
        refuse_again(r, at, "This part of the stock");
    *had |= 1u << part;
    return ok;
}

/* "stock" NAME [TEXT] {PART}, with a thickness */
bool nmk_read_stock(struct nmk_reader *r, size_t at)
{
    struct nmk_name name;
    struct nmk_stock s = {0};
    unsigned had = 0;
    if (!nmk_read_new_name(r, NMK_SCOPE_DESIGN, "a name for the stock", &name))
        return false;
    s.name = nmk_read_kept_name(r, name);
    s.label = nmk_read_label(r);
    while (r->token.kind != NMK_T_END)
        if (!read_stock_part(r, &s, &had))
            return false;
    if (!(had & 1))
        return nmk_read_expected(r, "`thickness`", "thickness 0.30 mm ± 0.03 mm");
    s.label = s.label ? s.label : s.name;
    s.span = nmk_read_span_from(r, at);
    nmk_read_define(r, name, NMK_NAMED_STOCK, r->design->stocks.count);
    memcpy(nmk_design_add(r->design, &r->design->stocks, sizeof s), &s, sizeof s);
    return true;
}

/* ---- lets ---- */

/* "let" NAME "=" FORMULA */
bool nmk_read_let(struct nmk_reader *r, size_t at)
{
    struct nmk_name name;
    struct nmk_made made;
    if (!nmk_read_new_name(r, NMK_SCOPE_DESIGN, "a name", &name))
        return false;
    if (!nmk_read_take(r, NMK_T_EQUALS))
        return nmk_read_expected(r, "`=`", "let step = 5 mm or 3/16 in");
    if (!nmk_read_formula(r, &made) || !nmk_read_expect_end(r))
        return false;
    if (!made.formula)
        return true; /* the name stays broken */
    size_t index = r->design->lets.count, space = r->let_space;
    void *lets = r->lets;
    nmk_memory_reserve(&lets, &space, index + 1, sizeof *r->lets);
    r->lets = lets;
    r->let_space = space;
    r->lets[index] = made;
    nmk_read_define(r, name, NMK_NAMED_LET, index);
    struct nmk_let *let = nmk_design_add(r->design, &r->design->lets, sizeof *let);
    *let = (struct nmk_let){nmk_read_kept_name(r, name), made.formula, NMK_NONE, nmk_read_span_from(r, at)};
    return true;
}
