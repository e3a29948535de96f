#include "report/plan/cue_name.h"

#include <string.h>

#include "ground/store.h"
#include "report/edition_text.h"
#include "report/plan/cue_words.h"

char *cue_letters(size_t number)
{
    char text[16];
    size_t at = sizeof text - 1;
    text[at] = '\0';
    for (; number && at; number = (number - 1) / 26)
        text[--at] = (char)('A' + (number - 1) % 26);
    return store_copy(text + at, strlen(text + at));
}

void cue_add_sheets(struct sink *s, const struct nmk_plan_sheet *sheet)
{
    if (sheet->copies == 1)
        sink_format(s, "sheet %zu", sheet->number);
    else
        sink_format(s, "sheets %zu %s %zu", sheet->number, sheet->copies == 2 ? "and" : "to",
                    sheet->number + (size_t)sheet->copies - 1);
}

/* `spoken`: "one strip" needs no figure; of many, "strips A". */
void cue_add_part(struct sink *s, const struct nmk_plan *plan, size_t i, int64_t times)
{
    const struct nmk_plan_part *part = nmk_plan_part(plan, i);
    const struct nmk_design *design = nmk_draft_design(nmk_settled_draft(nmk_plan_settled(plan)));
    int64_t count = part->count * times;
    if (part->kind == NMK_PLAN_SHEET) {
        cue_add_sheets(s, nmk_plan_sheet(plan, part->sheet));
        return;
    }
    if (count > 1)
        sink_format(s, "%lld %s", (long long)count, part->kind == NMK_PLAN_PIECE ? "x " : "");
    if (part->kind == NMK_PLAN_PIECE) {
        sink_string(s, nmk_plan_piece(plan, part->piece)->blank ? "blank for " : "");
        sink_string(s, nmk_design_piece(design, part->piece)->label);
    } else if (part->kind == NMK_PLAN_STRIP) {
        sink_string(s, count > 1 ? "strips " : "strip ");
        cue_add_owned(s, cue_letters(part->number));
    } else {
        sink_format(s, "offcut%s %zu", count > 1 ? "s" : "", part->number);
    }
}

char *cue_part_name(const struct nmk_plan *plan, size_t part)
{
    struct sink s = {0};
    cue_add_part(&s, plan, part, 1);
    return cue_taken(&s);
}

char *cue_size(const struct nmk_plan *plan, const struct nmk_rat size[2])
{
    struct sink s = {0};
    for (int w = 0; w < 2; w++) {
        sink_string(&s, w ? " x " : "");
        cue_add_owned(&s, edition_size(nmk_plan_settled(plan), &size[w]));
    }
    return cue_taken(&s);
}
