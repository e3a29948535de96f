/* escape.h -- text of a design is data wherever it goes: made plain (letters.h), then written so that nothing in it means
 * anything to who reads it. */
#ifndef TOOLS_PAGE_ESCAPE_H
#define TOOLS_PAGE_ESCAPE_H

#include "ground/sink.h"

void escape_html(struct sink *out, const char *text);     /* between tags, and in quotes */
void escape_markdown(struct sink *out, const char *text); /* also with HTML switched on */
/* A cell in quotes; one that a spreadsheet would take for a formula gets an apostrophe before it. */
void escape_csv(struct sink *out, const char *text);
/* Plain text with fractions typed, `4 7/16` for the figures of the diagrams. */
void escape_typed(struct sink *out, const char *text);

#endif
