/* calculator_json.h -- what the script of the page goes by: the rule card of each edition, and its pieces. The keys are those
 * that calculator.js reads; lengths, measures and pieces are named by their number in the design. */
#ifndef TOOLS_PAGE_CALCULATOR_JSON_H
#define TOOLS_PAGE_CALCULATOR_JSON_H

#include "ground/json.h"
#include "page/publication.h"

void calculator_json(struct sink *out, const struct publication *all);
/* Why an edition has no calculator; NULL: it has one. */
const char *calculator_none(const struct published *p);

#endif
