/* tree.h -- JSON: what is put into a tree is owned by it. Text of a design is made plain; rationals are strings. */
#ifndef TOOLS_REPORT_TREE_H
#define TOOLS_REPORT_TREE_H

#include <jansson.h>

#include "nearmark/rat.h"
#include "report/sink.h"

void tree_prepare(void); /* once: jansson's memory goes through store.h */
json_t *tree_text(const char *text);              /* NULL: null */
json_t *tree_rat(const struct nmk_rat *r);        /* "127/80"; NULL: null */
void tree_write(struct sink *out, json_t *tree);  /* with a line end; lets go of it */
void tree_write_line(struct sink *out, json_t *tree); /* on one line, without a line end; lets go of it */

#endif
