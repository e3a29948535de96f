#include <string.h>

#include "design/read/reader.h"

/* "thickness" LENGTH ["±" LENGTH] */
static bool read_thickness(struct nmk_reader *r, struct nmk_stock *s)
{
    enum nmk_unit unit;
    size_t at = r->token.at;
    if (!nmk_read_single(r, "the thickness", &s->thickness, &unit))
        return false;
    nmk_read_must_be_positive(r, &s->thickness, at, "A thickness");
    return !nmk_read_take(r, NMK_T_OFF) || nmk_read_single(r, "how far off the thickness may be", &s->off, &unit);
}

/* "grain" ("long" | "short") */
static bool read_grain(struct nmk_reader *r, struct nmk_stock *s)
{
    s->grain = nmk_read_is_word(r, "long")    ? NMK_GRAIN_LONG
               : nmk_read_is_word(r, "short") ? NMK_GRAIN_SHORT
                                              : NMK_GRAIN_NONE;
    if (!s->grain)
        return nmk_read_expected(r, "`long` or `short`",
                                 "the grain runs along the long or the short edge of the sheet");
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
        nmk_read_refuse_again(r, at, "This part of the stock");
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
