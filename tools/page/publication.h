/* publication.h -- what is published: a design, and of each edition what was settled, its rule card and its diagrams. */
#ifndef TOOLS_PAGE_PUBLICATION_H
#define TOOLS_PAGE_PUBLICATION_H

#include "draw/page.h"
#include "nearmark/plan.h"
#include "nearmark/rules.h"

struct published { /* one edition */
    const struct nmk_settled *settled;
    const struct nmk_rules *rules; /* NULL: there is no rule card */
    const struct nmk_plan *plan;   /* NULL: the sheets are not planned */
    bool shown;                    /* its demands can be met together; only then there is a gallery */
    struct gallery gallery;
};

struct publication {
    const struct nmk_design *design;
    struct published *editions;
    size_t count;
};

void published_init(struct published *p, const struct nmk_settled *settled, const struct nmk_rules *rules,
                    const struct nmk_plan *plan);
void published_clear(struct published *p);
const char *published_name(const struct published *p);
/* "mm", "cm", "in" */
const char *published_unit(const struct published *p);
/* "Recipe-card drawer", or that there is no title. */
const char *publication_title(const struct publication *all);
/* Does a viewer's own size matter: has a measure a range? */
bool publication_has_ranges(const struct publication *all);
/* So that a name can be part of a file's name anywhere: "metric-2-sleeve" of the second piece. */
void published_file(struct sink *out, const struct published *p, size_t piece);

#endif
