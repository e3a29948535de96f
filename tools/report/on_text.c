#include "report/on_text.h"

/* "face" of a panel; of a whole size nothing. */
static const char *part_name(const struct nmk_design *design, const struct nmk_formula *size)
{
    if (size->kind != NMK_F_PANEL)
        return "";
    return nmk_design_piece(design, size->subject)->panels[size->part].name;
}

/* The label of the piece that a size belongs to; an opening's name. */
static const char *owner_name(const struct nmk_design *design, const struct nmk_formula *size)
{
    if (size->kind == NMK_F_OPENING)
        return nmk_design_opening(design, size->subject)->name;
    return nmk_design_piece(design, size->subject)->label;
}

void on_text_add(struct sink *words, const struct nmk_design *design, const struct nmk_on *on)
{
    if (on->piece != NMK_NONE) {
        sink_string(words, nmk_design_piece(design, on->piece)->label);
        return;
    }
    const char *across = part_name(design, on->across), *down = part_name(design, on->down);
    if (*across && *down && on->across->subject == on->down->subject)
        sink_format(words, "%s x %s of %s", across, down, owner_name(design, on->across));
    else
        sink_format(words, "%s%s%s x %s%s%s", across, *across ? " of " : "", owner_name(design, on->across), down,
                    *down ? " of " : "", owner_name(design, on->down));
}
