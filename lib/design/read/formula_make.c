#include <stdio.h>

#include "design/read/reader.h"

/* ---- values ---- */

static bool is_small(const struct nmk_enclosure *e)
{
    return nmk_rat_bits(&e->low) + nmk_rat_bits(&e->high) <= 2 * NMK_MOST_BITS;
}

static enum nmk_status combine(enum nmk_formula_kind kind, struct nmk_enclosure *out, const struct nmk_enclosure *a,
                               const struct nmk_enclosure *b)
{
    switch (kind) {
    case NMK_F_NEG: nmk_enclosure_neg(out, a); return NMK_OK;
    case NMK_F_ABS: nmk_enclosure_abs(out, a); return NMK_OK;
    case NMK_F_SQRT: return nmk_enclosure_sqrt(out, a);
    case NMK_F_ADD: nmk_enclosure_add(out, a, b); return NMK_OK;
    case NMK_F_SUB: nmk_enclosure_sub(out, a, b); return NMK_OK;
    case NMK_F_MUL: nmk_enclosure_mul(out, a, b); return NMK_OK;
    case NMK_F_DIV: return nmk_enclosure_div(out, a, b);
    case NMK_F_MIN: nmk_enclosure_min(out, a, b); return NMK_OK;
    case NMK_F_MAX: nmk_enclosure_max(out, a, b); return NMK_OK;
    default: return NMK_INVALID;
    }
}

/* The value in one reading; NMK_TOO_LARGE where it would grow beyond all measure. */
static enum nmk_status value_of(struct nmk_reader *r, struct nmk_enclosure *value, enum nmk_formula_kind kind,
                                const struct nmk_enclosure *a, const struct nmk_enclosure *b)
{
    if (!is_small(a) || (b && !is_small(b)))
        return NMK_TOO_LARGE;
    struct nmk_enclosure made = {0};
    enum nmk_status status = combine(kind, &made, a, b);
    if (!status && !is_small(&made))
        status = NMK_TOO_LARGE;
    if (!status)
        *value = nmk_pool_take_enclosure(&r->pool, &made);
    nmk_enclosure_clear(&made);
    return status;
}

static void complain_of_value(struct nmk_reader *r, enum nmk_status status, struct nmk_span span)
{
    if (status == NMK_DIVISION_BY_ZERO)
        nmk_read_error(r, span, "division-by-zero", NULL, "This divides by zero");
    else if (status == NMK_NEGATIVE_ROOT)
        nmk_read_error(r, span, "negative-root", NULL, "This is the root of a negative number");
    else
        nmk_read_limit(r, span, "number-too-large", "This number grows beyond %d bits, the most a value may have",
                       NMK_MOST_BITS);
}

/* Works *a's values out in both readings. An edition may be spared by the other's reading, so only what fails in both
 * is an error. */
static void work_out(struct nmk_reader *r, struct nmk_made *a, enum nmk_formula_kind kind, const struct nmk_made *b,
                     struct nmk_span span)
{
    enum nmk_status status[2] = {NMK_OK, NMK_OK};
    for (int w = 0; w < 2; w++) {
        if (!a->known[w] || (b && !b->known[w])) {
            a->known[w] = false;
            continue;
        }
        status[w] = value_of(r, &a->value[w], kind, &a->value[w], b ? &b->value[w] : NULL);
        a->known[w] = status[w] == NMK_OK;
    }
    bool limit = status[0] == NMK_TOO_LARGE || status[1] == NMK_TOO_LARGE;
    if (limit || (status[0] && status[1])) {
        complain_of_value(r, limit ? NMK_TOO_LARGE : status[0], span);
        nmk_make_broken(a, span);
    }
}

void nmk_made_sum(struct nmk_reader *r, bool known[2], struct nmk_enclosure value[2], const struct nmk_made *b)
{
    for (int w = 0; w < 2; w++)
        known[w] = known[w] && b->formula && b->known[w] && !value_of(r, &value[w], NMK_F_ADD, &value[w], &b->value[w]);
}

/* ---- nodes ---- */

static struct nmk_formula *node(struct nmk_reader *r, enum nmk_formula_kind kind, int power, struct nmk_span span)
{
    struct nmk_formula *f = nmk_arena_new(&r->design->arena, 1, sizeof *f);
    f->kind = kind;
    f->power = power;
    f->span = span;
    f->subject = f->part = NMK_NONE;
    return f;
}

void nmk_make_broken(struct nmk_made *out, struct nmk_span span)
{
    *out = (struct nmk_made){.span = span};
}

static void set_both(struct nmk_made *out, const struct nmk_rat *metric, const struct nmk_rat *inch)
{
    out->known[0] = out->known[1] = true;
    out->value[0] = (struct nmk_enclosure){*metric, *metric};
    out->value[1] = (struct nmk_enclosure){*inch, *inch};
}

static void begin(struct nmk_reader *r, struct nmk_made *out, enum nmk_formula_kind kind, int power,
                  struct nmk_span span)
{
    *out = (struct nmk_made){.formula = node(r, kind, power, span), .power = power, .depth = 1, .span = span};
}

void nmk_make_number(struct nmk_reader *r, struct nmk_made *out, struct nmk_rat value, struct nmk_span span)
{
    begin(r, out, NMK_F_NUMBER, 0, span);
    out->formula->value = (struct nmk_twin){value, value};
    set_both(out, &value, &value);
}

void nmk_make_length(struct nmk_reader *r, struct nmk_made *out, struct nmk_twin value, struct nmk_span span)
{
    begin(r, out, NMK_F_LENGTH, 1, span);
    out->formula->value = value;
    set_both(out, &value.metric, &value.inch);
}

void nmk_make_pi(struct nmk_reader *r, struct nmk_made *out, struct nmk_span span)
{
    struct nmk_enclosure pi = {0};
    begin(r, out, NMK_F_PI, 0, span);
    nmk_enclosure_pi(&pi);
    out->value[0] = out->value[1] = nmk_pool_take_enclosure(&r->pool, &pi);
    out->known[0] = out->known[1] = true;
}

static const char *power_word(char *buffer, size_t size, int power)
{
    if (power == 0)
        return "a number without a unit";
    if (power == 1)
        return "a length";
    if (power == 2)
        return "an area";
    if (power == 3)
        return "a volume";
    snprintf(buffer, size, "a length to the power of %d", power);
    return buffer;
}

static bool is_deep(struct nmk_reader *r, unsigned depth, struct nmk_span span)
{
    if (depth <= NMK_MOST_OPERATIONS)
        return false;
    nmk_read_limit(r, span, "formula-too-long",
                   "This formula has more than %d operations, the most one may have; put parts of it into lets",
                   NMK_MOST_OPERATIONS);
    return true;
}

void nmk_make_unary(struct nmk_reader *r, struct nmk_made *a, enum nmk_formula_kind kind, struct nmk_span span)
{
    char buffer[60];
    if (!a->formula || is_deep(r, a->depth + 1, span)) {
        nmk_make_broken(a, span);
        return;
    }
    if (kind == NMK_F_SQRT && a->power % 2) {
        nmk_read_error(r, a->span, "dimension", "the root of an area is a length: sqrt(a * b)",
                       "There is no root of %s", power_word(buffer, sizeof buffer, a->power));
        nmk_make_broken(a, span);
        return;
    }
    int power = kind == NMK_F_SQRT ? a->power / 2 : a->power;
    struct nmk_formula *f = node(r, kind, power, span);
    f->left = a->formula;
    *a = (struct nmk_made){f,   power, a->depth + 1, a->punched, {a->known[0], a->known[1]}, {a->value[0], a->value[1]},
                           span};
    work_out(r, a, kind, NULL, span);
}

static bool dimensions_agree(struct nmk_reader *r, const struct nmk_made *a, enum nmk_formula_kind kind,
                             const struct nmk_made *b, struct nmk_span span, int *power)
{
    char one[60], other[60];
    *power = kind == NMK_F_MUL ? a->power + b->power : kind == NMK_F_DIV ? a->power - b->power : a->power;
    if (*power > NMK_MOST_POWER || *power < -NMK_MOST_POWER) {
        nmk_read_error(r, span, "dimension", NULL, "No size is a length to a power beyond %d", NMK_MOST_POWER);
        return false;
    }
    if (kind == NMK_F_MUL || kind == NMK_F_DIV || a->power == b->power)
        return true;
    bool number = (!a->power && b->power == 1) || (!b->power && a->power == 1);
    const char *verb = kind == NMK_F_ADD ? "added" : kind == NMK_F_SUB ? "subtracted" : "compared";
    nmk_read_error(r, span, "dimension", number ? "give the number a unit: 2 mm" : NULL, "Here %s and %s are %s",
                   power_word(one, sizeof one, a->power), power_word(other, sizeof other, b->power), verb);
    return false;
}

void nmk_make_binary(struct nmk_reader *r, struct nmk_made *a, enum nmk_formula_kind kind, const struct nmk_made *b,
                     struct nmk_span span)
{
    int power;
    unsigned depth = (a->depth > b->depth ? a->depth : b->depth) + 1;
    if (!a->formula || !b->formula || is_deep(r, depth, span) || !dimensions_agree(r, a, kind, b, span, &power)) {
        nmk_make_broken(a, span);
        return;
    }
    struct nmk_formula *f = node(r, kind, power, span);
    f->left = a->formula;
    f->right = b->formula;
    a->formula = f;
    a->power = power;
    a->depth = depth;
    a->punched = a->punched || b->punched;
    a->span = span;
    work_out(r, a, kind, b, span);
}

/* ---- names ---- */

static void copy_values(struct nmk_made *out, const struct nmk_made *from)
{
    for (int w = 0; w < 2; w++) {
        out->known[w] = from->known[w];
        out->value[w] = from->value[w];
    }
}

static void multiply(struct nmk_reader *r, struct nmk_made *m, const struct nmk_rat *by, size_t count)
{
    struct nmk_rat n = {0};
    nmk_rat_set_int(&n, (int64_t)count);
    nmk_rat_mul(&n, &n, by);
    struct nmk_enclosure times = {n, n};
    for (int w = 0; w < 2; w++)
        m->known[w] = m->known[w] && !value_of(r, &m->value[w], NMK_F_MUL, &m->value[w], &times);
    nmk_rat_clear(&n);
}

static void set_panel(struct nmk_reader *r, struct nmk_made *out, enum nmk_formula_kind kind, size_t piece, size_t part)
{
    const struct nmk_panel_read *panel = &r->panels[r->pieces[piece].first + part];
    const struct nmk_piece *p = nmk_at_piece(r->design, piece);
    struct nmk_rat one = {0};
    nmk_rat_set_int(&one, 1);
    copy_values(out, &panel->made);
    if (!panel->made.formula)
        out->formula = NULL;
    if (kind == NMK_F_TOTAL) {
        multiply(r, out, &one, panel->stretches * p->copies);
    } else if (kind == NMK_F_OUTSIDE && p->stock != NMK_NONE) {
        const struct nmk_rat *thick = &nmk_at_stock(r->design, p->stock)->thickness;
        struct nmk_made folds = {.formula = out->formula};
        set_both(&folds, thick, thick);
        multiply(r, &folds, &one, panel->folds);
        nmk_made_sum(r, out->known, out->value, &folds);
    }
    nmk_rat_clear(&one);
}

static void set_whole(struct nmk_reader *r, struct nmk_made *out, size_t piece, size_t way)
{
    const struct nmk_piece_read *p = &r->pieces[piece];
    out->punched = nmk_at_piece(r->design, piece)->kind == NMK_PIECE_PUNCHED;
    for (int w = 0; w < 2; w++) {
        out->known[w] = p->known[way][w];
        out->value[w] = p->whole[way][w];
    }
    if (p->broken)
        out->formula = NULL;
}

void nmk_make_subject(struct nmk_reader *r, struct nmk_made *out, enum nmk_formula_kind kind, size_t subject,
                      size_t part, struct nmk_span span)
{
    int power = kind == NMK_F_LET ? r->lets[subject].power : 1;
    begin(r, out, kind, power, span);
    out->formula->subject = subject;
    out->formula->part = part;
    if (kind == NMK_F_MEASURE) {
        set_both(out, &nmk_at_measure(r->design, subject)->size, &nmk_at_measure(r->design, subject)->size);
    } else if (kind == NMK_F_STOCK) {
        set_both(out, &nmk_at_stock(r->design, subject)->thickness, &nmk_at_stock(r->design, subject)->thickness);
    } else if (kind == NMK_F_LET) {
        copy_values(out, &r->lets[subject]);
        out->punched = r->lets[subject].punched;
        if (!r->lets[subject].formula)
            out->formula = NULL;
    } else if (kind == NMK_F_PANEL || kind == NMK_F_TOTAL || kind == NMK_F_OUTSIDE) {
        set_panel(r, out, kind, subject, part);
    } else if (kind == NMK_F_SMALLER) {
        copy_values(out, &r->pieces[subject].smaller);
    } else if (kind == NMK_F_WHOLE) {
        set_whole(r, out, subject, part);
    } else if (kind == NMK_F_OPENING) {
        out->punched = true;
    }
    if (!out->formula)
        nmk_make_broken(out, span);
}

/* ---- what a formula is to be ---- */

bool nmk_made_is_length(struct nmk_reader *r, const struct nmk_made *made, const char *what)
{
    char buffer[60];
    if (!made->formula)
        return false;
    if (made->power == 1)
        return true;
    const char *hint = made->power == 0 ? "give it a unit: 12 mm, 1/2 in" : NULL;
    nmk_read_error(r, made->span, "dimension", hint, "%s is a length, but this is %s", what,
                   power_word(buffer, sizeof buffer, made->power));
    return false;
}

bool nmk_made_is_unpunched(struct nmk_reader *r, const struct nmk_made *made)
{
    if (!made->formula)
        return false;
    if (made->punched)
        nmk_read_error(r, made->span, "punched",
                       "it is chosen only when the design is settled; say it in a fit or a keep",
                       "A punched size cannot stand in what is to be cut");
    return !made->punched;
}

void nmk_made_must_be_positive(struct nmk_reader *r, const struct nmk_made *made, struct nmk_span span,
                               const char *what)
{
    if (!made->formula)
        return;
    for (int w = 0; w < 2; w++)
        if (!made->known[w] || nmk_rat_sign(&made->value[w].high) > 0)
            return;
    char size[64];
    nmk_length_print(size, sizeof size, &made->value[0].high, NMK_MM, 4, NMK_FRACTION_PLAIN);
    nmk_read_error(r, span, "not-positive", "look at the signs, and at the sizes measured",
                   "%s is designed at %s, but it must be more than 0", what, size);
}
