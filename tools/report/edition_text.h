/* edition_text.h -- what every screen about a settled design shares: its heading, its figures in the edition's unit, the
 * names of its demands. */
#ifndef TOOLS_REPORT_EDITION_TEXT_H
#define TOOLS_REPORT_EDITION_TEXT_H

#include "ground/sink.h"
#include "nearmark/settle.h"

/* The unit of the figures on the screen: the edition's, or that of the marks where it is of the other kind. */
enum nmk_unit edition_unit(const struct nmk_settled *settled);
/* Of so many marks, "4 7/16 in"; the caller's (store_free). */
__attribute__((returns_nonnull)) char *edition_mark(const struct nmk_settled *settled, int64_t marks);
/* Of any size: in the edition's unit if that is a short figure there, else as it is bought, in mm. */
__attribute__((returns_nonnull)) char *edition_size(const struct nmk_settled *settled, const struct nmk_rat *mm);

void edition_heading(struct sink *out, const struct nmk_settled *settled);

/* The same of a draft that is not settled. */
enum nmk_unit draft_unit(const struct nmk_draft *draft);
__attribute__((returns_nonnull)) char *draft_mark(const struct nmk_draft *draft, int64_t marks);
__attribute__((returns_nonnull)) char *draft_size(const struct nmk_draft *draft, const struct nmk_rat *mm);
void draft_heading(struct sink *out, const struct nmk_draft *draft);
/* "a mark every 1/16 in, scores every 1/8 in" */
void draft_marks(struct sink *out, const struct nmk_draft *draft);

const char *demand_kind(const struct nmk_demand *demand);  /* "fit", "border" ... */
const char *demand_way(const struct nmk_demand *demand);   /* "across", "down"; NULL where it has none */
/* "fit tray.wall", "border label across"; the caller's (store_free). */
__attribute__((returns_nonnull)) char *demand_title(const struct nmk_demand *demand);
/* "room 0 to 3.5 mm", "must be equal" */
void demand_room(struct sink *out, const struct nmk_settled *settled, size_t demand);
enum tint state_tint(enum nmk_state state);

#endif
