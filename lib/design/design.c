#include "design/model.h"

#include <string.h>

#include "base/memory.h"

struct nmk_design *nmk_design_new(void)
{
    struct nmk_design *design = nmk_memory_new(1, sizeof *design);
    design->title = "";
    return design;
}

void nmk_design_free(struct nmk_design *design)
{
    if (!design)
        return;
    struct nmk_items *lists[] = {&design->measures, &design->stocks,  &design->lets,    &design->punches, &design->pieces,
                              &design->openings, &design->lengths, &design->demands, &design->editions};
    for (size_t i = 0; i < sizeof lists / sizeof *lists; i++)
        nmk_memory_free(lists[i]->items);
    nmk_pool_clear(&design->pool);
    nmk_arena_clear(&design->arena);
    nmk_memory_free(design);
}

void *nmk_design_add(struct nmk_design *design, struct nmk_items *list, size_t size)
{
    void *items = list->items;
    nmk_memory_reserve(&items, &list->space, list->count + 1, sizeof *list->items);
    list->items = items;
    return list->items[list->count++] = nmk_arena_new(&design->arena, 1, size);
}

char *nmk_design_text(struct nmk_design *design, const char *text, size_t size)
{
    return nmk_arena_copy_text(&design->arena, text, size);
}

/* ---- what is asked of a design ---- */

static const void *at(const struct nmk_items *list, size_t i)
{
    return i < list->count ? list->items[i] : NULL;
}

const char *nmk_design_title(const struct nmk_design *design)
{
    return design ? design->title : "";
}

size_t nmk_design_measure_count(const struct nmk_design *design) { return design ? design->measures.count : 0; }
size_t nmk_design_stock_count(const struct nmk_design *design) { return design ? design->stocks.count : 0; }
size_t nmk_design_let_count(const struct nmk_design *design) { return design ? design->lets.count : 0; }
size_t nmk_design_punches_count(const struct nmk_design *design) { return design ? design->punches.count : 0; }
size_t nmk_design_piece_count(const struct nmk_design *design) { return design ? design->pieces.count : 0; }
size_t nmk_design_opening_count(const struct nmk_design *design) { return design ? design->openings.count : 0; }
size_t nmk_design_length_count(const struct nmk_design *design) { return design ? design->lengths.count : 0; }
size_t nmk_design_demand_count(const struct nmk_design *design) { return design ? design->demands.count : 0; }
size_t nmk_design_edition_count(const struct nmk_design *design) { return design ? design->editions.count : 0; }
size_t nmk_design_declared_count(const struct nmk_design *design) { return design ? design->declared : 0; }

const struct nmk_measure *nmk_design_measure(const struct nmk_design *design, size_t i)
{
    return design ? at(&design->measures, i) : NULL;
}

const struct nmk_stock *nmk_design_stock(const struct nmk_design *design, size_t i)
{
    return design ? at(&design->stocks, i) : NULL;
}

const struct nmk_let *nmk_design_let(const struct nmk_design *design, size_t i)
{
    return design ? at(&design->lets, i) : NULL;
}

const struct nmk_punches *nmk_design_punches(const struct nmk_design *design, size_t i)
{
    return design ? at(&design->punches, i) : NULL;
}

const struct nmk_piece *nmk_design_piece(const struct nmk_design *design, size_t i)
{
    return design ? at(&design->pieces, i) : NULL;
}

const struct nmk_opening *nmk_design_opening(const struct nmk_design *design, size_t i)
{
    return design ? at(&design->openings, i) : NULL;
}

const struct nmk_length *nmk_design_length(const struct nmk_design *design, size_t i)
{
    return design ? at(&design->lengths, i) : NULL;
}

const struct nmk_demand *nmk_design_demand(const struct nmk_design *design, size_t i)
{
    return design ? at(&design->demands, i) : NULL;
}

const struct nmk_edition *nmk_design_edition(const struct nmk_design *design, size_t i)
{
    return design ? at(&design->editions, i) : NULL;
}

size_t nmk_design_find_measure(const struct nmk_design *design, const char *name)
{
    for (size_t i = 0; name && i < nmk_design_measure_count(design); i++)
        if (!strcmp(nmk_at_measure(design, i)->name, name))
            return i;
    return NMK_NONE;
}

size_t nmk_design_find_edition(const struct nmk_design *design, const char *name)
{
    for (size_t i = 0; name && i < nmk_design_edition_count(design); i++)
        if (!strcmp(nmk_at_edition(design, i)->name, name))
            return i;
    return NMK_NONE;
}

size_t nmk_piece_stretches(const struct nmk_piece *piece, size_t panel)
{
    size_t count = 0;
    for (int way = NMK_ACROSS; way <= NMK_DOWN; way++)
        for (size_t i = 0; i < piece->lists[way].count; i++)
            count += piece->lists[way].stretches[i].panel == panel;
    return count;
}

/* The scores of a stretch; where glue closes the ring of its row, the edge at its own end counts as one. */
static size_t folds_beside(const struct nmk_list *list, size_t stretch)
{
    const struct nmk_stretch *s = &list->stretches[stretch];
    const struct nmk_row *row = &list->rows[s->row];
    size_t first = row->first + row->rests[0], last = row->first + row->count - row->rests[1] - 1;
    size_t folds = (size_t)!list->lines[s->lines[0]].is_cut + (size_t)!list->lines[s->lines[1]].is_cut;
    if (last > first) {
        folds += stretch == first && list->stretches[last].glue;
        folds += stretch == last && list->stretches[first].glue;
    }
    return folds;
}

size_t nmk_piece_folds(const struct nmk_piece *piece, size_t panel)
{
    size_t most = 0;
    for (int way = NMK_ACROSS; way <= NMK_DOWN; way++) {
        const struct nmk_list *list = &piece->lists[way];
        for (size_t i = 0; i < list->count; i++) {
            size_t folds = list->stretches[i].panel == panel ? folds_beside(list, i) : 0;
            most = folds > most ? folds : most;
        }
    }
    return most;
}

bool nmk_piece_has_rows(const struct nmk_piece *piece)
{
    for (int way = NMK_ACROSS; piece->kind == NMK_PIECE_PANELS && way <= NMK_DOWN; way++) {
        const struct nmk_list *list = &piece->lists[way];
        if (list->row_count > 1 || list->rows[0].beside_count)
            return true;
        for (size_t i = 1; i + 1 < list->line_count; i++)
            if (list->lines[i].is_cut)
                return true;
    }
    return false;
}

enum nmk_status nmk_design_set_measure(struct nmk_design *design, size_t measure, const struct nmk_rat *size)
{
    if (!size || measure >= nmk_design_measure_count(design) || nmk_rat_sign(size) <= 0)
        return NMK_INVALID;
    nmk_at_measure(design, measure)->size = nmk_pool_copy(&design->pool, size);
    return NMK_OK;
}
