/* model.h -- how a design is kept; the public side is nearmark/design.h.
 *
 * Everything stands in one arena, every big rational in one pool. The things of a design are reached through lists of
 * pointers, so that they may be filled in after they were put there: only the reader does, and only before it hands
 * the design out. */
#ifndef LIB_DESIGN_MODEL_H
#define LIB_DESIGN_MODEL_H

#include "base/arena.h"
#include "design/pool.h"
#include "nearmark/design.h"

struct nmk_items { /* pointers, in file order */
    void **items;
    size_t count, space;
};

struct nmk_design {
    struct nmk_arena arena;
    struct nmk_pool pool;
    const char *title;
    struct nmk_items measures, stocks, lets, punches, pieces, openings, lengths, demands, editions;
    size_t declared; /* editions */
};

struct nmk_design *nmk_design_new(void);
/* A zeroed thing of `size` bytes at the end of a list. */
void *nmk_design_add(struct nmk_design *design, struct nmk_items *list, size_t size);
char *nmk_design_text(struct nmk_design *design, const char *text, size_t size);

static inline struct nmk_measure *nmk_at_measure(const struct nmk_design *d, size_t i) { return d->measures.items[i]; }
static inline struct nmk_stock *nmk_at_stock(const struct nmk_design *d, size_t i) { return d->stocks.items[i]; }
static inline struct nmk_let *nmk_at_let(const struct nmk_design *d, size_t i) { return d->lets.items[i]; }
static inline struct nmk_punches *nmk_at_punches(const struct nmk_design *d, size_t i) { return d->punches.items[i]; }
static inline struct nmk_piece *nmk_at_piece(const struct nmk_design *d, size_t i) { return d->pieces.items[i]; }
static inline struct nmk_opening *nmk_at_opening(const struct nmk_design *d, size_t i) { return d->openings.items[i]; }
static inline struct nmk_length *nmk_at_length(const struct nmk_design *d, size_t i) { return d->lengths.items[i]; }
static inline struct nmk_demand *nmk_at_demand(const struct nmk_design *d, size_t i) { return d->demands.items[i]; }
static inline struct nmk_edition *nmk_at_edition(const struct nmk_design *d, size_t i) { return d->editions.items[i]; }

#endif
