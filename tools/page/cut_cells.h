/* cut_cells.h -- the cut lists as a table for spreadsheets (RFC 4180). */
#ifndef TOOLS_PAGE_CUT_CELLS_H
#define TOOLS_PAGE_CUT_CELLS_H

#include "page/publication.h"

void cut_cells_write(struct sink *out, const struct publication *all);

#endif
