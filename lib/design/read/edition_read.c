#include "design/read/reader.h"
#include "nearmark/sheet.h"

enum part { UNIT, MARKS, SCORES, CUT, PLACE, REACH, SHEET, AS_DESIGNED, PARTS };
static const char *const words[PARTS] = {"unit", "marks", "scores", "cut", "place", "reach", "sheet", "as"};

struct edition_read {
    struct nmk_edition edition;
    struct nmk_twin twins[PARTS];
    enum nmk_unit units[PARTS][2]; /* as written: metric, inch */
    size_t at[PARTS];
    unsigned had;
};

static struct nmk_rat fraction(struct nmk_reader *r, int64_t num, int64_t den)
{
    struct nmk_rat value = {0};
    (void)nmk_rat_set_frac(&value, num, den);
    return nmk_pool_take(&r->design->pool, &value);
}

static void add_default_sheet(struct nmk_reader *r, struct nmk_edition *e)
{
    const char *name = nmk_unit_is_inch(e->unit) ? "Letter" : "A4";
    struct nmk_sheet sheet = {0};
    (void)nmk_sheet_find(&sheet, name, nmk_unit_is_inch(e->unit) ? 6 : 2);
    e->sheets[0] = sheet;
    e->sheets[0].width = nmk_pool_take(&r->design->pool, &sheet.width);
    e->sheets[0].height = nmk_pool_take(&r->design->pool, &sheet.height);
    e->sheet_count = 1;
}

static void add_default(struct nmk_reader *r, const char *name, enum nmk_unit unit, struct nmk_rat step)
{
    if (nmk_design_find_edition(r->design, name) != NMK_NONE)
        return;
    struct nmk_edition *e = nmk_design_add(r->design, &r->design->editions, sizeof *e);
    e->name = name;
    e->unit = e->step_unit = unit;
    e->step = step;
    e->cut = fraction(r, 1, 5);
    add_default_sheet(r, e);
}

void nmk_add_default_editions(struct nmk_reader *r)
{
    r->design->declared = r->design->editions.count;
    add_default(r, "metric", NMK_MM, fraction(r, 1, 1));
    add_default(r, "imperial", NMK_IN, fraction(r, 127, 80));
}

/* "mm" | "cm" | "in" */
static bool read_unit(struct nmk_reader *r, struct nmk_edition *e)
{
    e->unit = nmk_read_is_word(r, "mm") ? NMK_MM : nmk_read_is_word(r, "cm") ? NMK_CM : NMK_IN;
    if (e->unit == NMK_IN && !nmk_read_is_word(r, "in"))
        return nmk_read_expected(r, "`mm`, `cm` or `in`", NULL);
    nmk_read_next(r);
    return true;
}

/* The units of the lengths from byte `at` to the current token; one of them stands for both unless there are two. */
static void note_units(struct nmk_reader *r, struct edition_read *e, enum part part, size_t at)
{
    size_t end = r->token.at;
    enum nmk_unit *units = e->units[part];
    nmk_read_go(r, at);
    units[0] = units[1] = r->token.unit;
    for (; r->token.at < end; nmk_read_next(r))
        if (r->token.kind == NMK_T_LENGTH)
            units[nmk_unit_is_inch(r->token.unit)] = r->token.unit;
}

/* TWIN, with the units as written */
static bool read_size(struct nmk_reader *r, struct edition_read *e, enum part part)
{
    static const char *const what[PARTS] = {[MARKS] = "how far the marks are apart",
                                            [SCORES] = "what a score is a multiple of",
                                            [CUT] = "how far off a cut may be",
                                            [PLACE] = "how far off a layer may be laid",
                                            [REACH] = "how far the trimmer reaches"};
    size_t at = r->token.at;
    if (!nmk_read_twin(r, NMK_UNSIGNED, what[part], &e->twins[part]))
        return false;
    note_units(r, e, part, at);
    bool positive = part == MARKS || part == SCORES || part == REACH;
    if (positive && (nmk_rat_sign(&e->twins[part].metric) <= 0 || nmk_rat_sign(&e->twins[part].inch) <= 0))
        nmk_read_error(r, nmk_read_span_from(r, at), "not-positive", NULL, "This must be more than 0: %s", what[part]);
    return true;
}

static bool read_value(struct nmk_reader *r, struct edition_read *e, enum part part)
{
    switch (part) {
    case UNIT: return read_unit(r, &e->edition);
    case SHEET: return nmk_read_sheets(r, e->edition.sheets, &e->edition.sheet_count);
    case AS_DESIGNED: e->edition.as_designed = true; return nmk_read_expect_word(r, "designed", "as designed");
    case CUT:
    case PLACE: nmk_read_take(r, NMK_T_OFF); return read_size(r, e, part);
    default: return read_size(r, e, part);
    }
}

/* One of the options, each once */
static bool read_part(struct nmk_reader *r, struct edition_read *e)
{
    size_t part = 0, at = r->token.at;
    while (part < PARTS && !nmk_read_is_word(r, words[part]))
        part++;
    if (part == PARTS)
        return nmk_read_expected(r, "`unit`, `marks`, `scores`, `cut`, `place`, `reach`, `sheet` or `as designed`",
                                 "edition imperial unit in marks 1/16 in cut ± 0.2 mm");
    nmk_read_next(r);
    if (!read_value(r, e, (enum part)part))
        return false;
    if (e->had & 1u << part)
        nmk_read_error(r, nmk_read_span_from(r, at), "part-twice", NULL, "`%s` stands here twice", words[part]);
    e->had |= 1u << part;
    e->at[part] = at;
    return true;
}

static struct nmk_rat twin(const struct edition_read *e, enum part part)
{
    return nmk_unit_is_inch(e->edition.unit) ? e->twins[part].inch : e->twins[part].metric;
}

static void finish(struct nmk_reader *r, struct edition_read *e)
{
    struct nmk_edition *out = &e->edition;
    out->step = twin(e, MARKS);
    out->step_unit = e->units[MARKS][nmk_unit_is_inch(out->unit)];
    out->score_step = twin(e, SCORES);
    out->cut = e->had & 1u << CUT ? twin(e, CUT) : fraction(r, 1, 5);
    out->place = twin(e, PLACE);
    out->reach = twin(e, REACH);
    out->declared = true;
    if (!out->sheet_count)
        add_default_sheet(r, out);
}

/* "edition" NAME {PART}, with a unit and marks */
bool nmk_read_edition(struct nmk_reader *r, size_t at)
{
    struct nmk_name name;
    struct edition_read e = {0};
    if (!nmk_read_new_name(r, NMK_SCOPE_EDITIONS, "a name for the edition", &name))
        return false;
    while (r->token.kind != NMK_T_END)
        if (!read_part(r, &e))
            return false;
    if (!(e.had & 1u << UNIT) || !(e.had & 1u << MARKS))
        return nmk_read_expected(r, e.had & 1u << UNIT ? "`marks`" : "`unit`",
                                 "edition imperial unit in marks 1/16 in");
    finish(r, &e);
    e.edition.name = nmk_read_kept_name(r, name);
    e.edition.span = nmk_read_span_from(r, at);
    nmk_read_define(r, name, NMK_NAMED_EDITION, r->design->editions.count);
    *(struct nmk_edition *)nmk_design_add(r->design, &r->design->editions, sizeof e.edition) = e.edition;
    return true;
}
