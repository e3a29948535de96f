/* sheet.h -- sheets that are known by a name.
 *
 * ISO 216 A0 to A10 and B0 to B10, ISO 217 RA0 to RA4 and SRA0 to SRA4, Letter, Legal, Ledger, Tabloid, ANSI A to ANSI E,
 * and sizes as papercraft shops write them, `12x12` or `8.5x11`, in inches. Nominal sizes, exact, upright as the standards
 * give them. */
#ifndef NEARMARK_SHEET_H
#define NEARMARK_SHEET_H

#include "nearmark/length.h"

struct nmk_sheet {
    const char *name;             /* "A4", "12x12"; NULL where given by its size */
    struct nmk_rat width, height; /* mm, as named or written: width the first */
    enum nmk_unit unit;           /* natural for it: mm or in */
};
void nmk_sheet_clear(struct nmk_sheet *sheet); /* the name is not freed */

/* The sheet that text[0..size) names, in any case, `ANSI A` also as `ANSI-A` or `ansia`; N and M of `NxM` (also `N×M`) are
 * any numbers above 0 without a unit. out->name is the name as the list has it (static), or NULL for an `NxM` that is not
 * in it. *out must be zeroed or found before. INVALID where there is no such sheet. */
enum nmk_status nmk_sheet_find(struct nmk_sheet *out, const char *text, size_t size);

/* The names, "A0" the first, for whoever looks for the nearest one. */
size_t nmk_sheet_count(void);
const char *nmk_sheet_name(size_t i); /* static; NULL beyond the last */

#endif
