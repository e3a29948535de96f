#include "base/memory.h"
#include "solve/whole/whole_live.h"

/* The variables of a factor that are run through: of a map the first two, the third follows. */
static uint32_t free_vars(const struct nmk_net_factor *f)
{
    return f->map ? 2 : f->count;
}

/* Its rows one after the other: all cells of the last variable that is run through, after these of the others. */
struct walk {
    const uint32_t *table;
    uint64_t at, size;
    uint32_t outer, width;
    uint32_t *row;
};

static struct walk walk_of(const struct nmk_net *net, const struct nmk_net_factor *f, uint32_t *row)
{
    struct walk w = {.table = f->map ? f->map : f->codes, .size = nmk_net_size(net, f->vars, free_vars(f)), .row = row};
    w.outer = free_vars(f) ? free_vars(f) - 1 : 0;
    w.width = free_vars(f) ? net->vars[f->vars[w.outer]].cells : 1;
    return w;
}

static void advance(struct walk *w, const struct nmk_net *net, const struct nmk_net_factor *f)
{
    w->at += w->width;
    for (uint32_t k = w->outer; k-- > 0;) {
        if (++w->row[k] < net->vars[f->vars[k]].cells)
            return;
        w->row[k] = 0;
    }
}

static void count_rows(struct nmk_live_table *t, const struct nmk_net_factor *f, uint64_t size)
{
    const uint32_t *table = f->map ? f->map : f->codes;
    for (uint64_t at = 0; at < size; at++)
        t->row_count += table[at] != 0;
    for (uint64_t at = 0; f->map && at < size; at++)
        if (f->map[at])
            t->runs[2][f->map[at] - 1].count++;
}

/* Room for all words that the rows of each cell can stand in. */
static void make_runs(struct nmk_live *l, struct nmk_live_table *t, const struct nmk_net_factor *f, uint64_t size)
{
    uint64_t words = (t->row_count + 63) / 64;
    size_t total = 0;
    for (uint32_t k = 0; k < t->arity; k++)
        for (uint32_t c = 0, cells = l->net->vars[t->vars[k]].cells; c < cells; c++) {
            uint32_t *count = &t->runs[k][c].count;
            uint64_t rows = k < free_vars(f) ? size / cells : *count;
            *count = (uint32_t)(rows < words ? rows : words);
            total += *count;
        }
    uint32_t *all_words = nmk_arena_new(&l->arena, total, sizeof *all_words);
    uint64_t *all_masks = nmk_arena_new(&l->arena, total, sizeof *all_masks);
    for (uint32_t k = 0; k < t->arity; k++)
        for (uint32_t c = 0; c < l->net->vars[t->vars[k]].cells; c++) {
            uint32_t room = t->runs[k][c].count;
            t->runs[k][c] = (struct nmk_live_run){.words = all_words, .masks = all_masks};
            all_words += room;
            all_masks += room;
        }
}

static void add_to_run(struct nmk_live_run *r, uint32_t n)
{
    if (!r->count || r->words[r->count - 1] != n / 64)
        r->words[r->count++] = n / 64;
    r->masks[r->count - 1] |= nmk_live_bit(n);
}

static void add_row(struct nmk_live *l, struct nmk_live_table *t, uint32_t n, const uint32_t *row, uint32_t code)
{
    uint32_t *cells = t->rows + (size_t)n * t->arity;
    for (uint32_t k = 0; k < t->arity; k++) {
        cells[k] = (uint32_t)l->first[t->vars[k]] + row[k];
        add_to_run(&t->runs[k][row[k]], n);
    }
    t->codes[n] = code;
    t->has_codes = t->has_codes || code != t->codes[0];
    t->now[n / 64] |= nmk_live_bit(n);
}

static void list_rows(struct nmk_live *l, struct nmk_live_table *t, const struct nmk_net_factor *f)
{
    uint32_t n = 0, *row = nmk_memory_new(f->count, sizeof *row);
    for (struct walk w = walk_of(l->net, f, row); w.at < w.size; advance(&w, l->net, f))
        for (uint32_t c = 0; c < w.width; c++) {
            uint32_t found = w.table[w.at + c];
            if (!found)
                continue;
            if (t->arity)
                row[w.outer] = c;
            if (f->map)
                row[2] = found - 1;
            add_row(l, t, n++, row, f->map ? 1 : found);
        }
    nmk_memory_free(row);
}

void nmk_live_make_table(struct nmk_live_table *t, struct nmk_live *l, const struct nmk_net_factor *f)
{
    uint64_t size = nmk_net_size(l->net, f->vars, free_vars(f));
    *t = (struct nmk_live_table){.arity = f->count, .vars = f->vars};
    t->runs = nmk_arena_new(&l->arena, f->count, sizeof *t->runs);
    t->sorted = nmk_arena_new(&l->arena, f->count, sizeof *t->sorted);
    for (uint32_t k = 0; k < f->count; k++)
        t->runs[k] = nmk_arena_new(&l->arena, l->net->vars[f->vars[k]].cells, sizeof *t->runs[k]);
    count_rows(t, f, size);
    make_runs(l, t, f, size);
    uint32_t words = (t->row_count + 63) / 64;
    t->rows = nmk_arena_new(&l->arena, (size_t)t->row_count * f->count, sizeof *t->rows);
    t->codes = nmk_arena_new(&l->arena, t->row_count, sizeof *t->codes);
    t->now = nmk_arena_new(&l->arena, words, sizeof *t->now);
    t->index = nmk_arena_new(&l->arena, words, sizeof *t->index);
    for (; t->index_count < words; t->index_count++)
        t->index[t->index_count] = t->index_count;
    list_rows(l, t, f);
    t->is_stale = t->row_count > 0;
}
