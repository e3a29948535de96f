#include "fit/cases.h"

#include <stdlib.h>
#include <string.h>

#include "base/memory.h"

enum { MOST_CASES = 1 << 16 };

/* ---- widths ---- */

static int by_size(const void *a, const void *b)
{
    return nmk_rat_cmp(a, b);
}

size_t nmk_errors_widths(struct nmk_rat **out, const struct nmk_errors *errors, const struct nmk_rat *more, size_t more_count)
{
    size_t count = more_count;
    for (size_t i = 0; i < errors->count; i++)
        count += errors->all[i].times_alike;
    struct nmk_rat *widths = nmk_memory_new(count, sizeof *widths);
    size_t k = 0;
    for (size_t i = 0; i < errors->count; i++)
        for (size_t j = 0; j < errors->all[i].times_alike; j++)
            nmk_rat_set(&widths[k++], &errors->all[i].width);
    for (size_t i = 0; i < more_count; i++)
        nmk_rat_set(&widths[k++], &more[i]);
    qsort(widths, count, sizeof *widths, by_size);
    *out = widths;
    return count;
}

void nmk_widths_free(struct nmk_rat *widths, size_t count)
{
    for (size_t i = 0; i < count; i++)
        nmk_rat_clear(&widths[i]);
    nmk_memory_free(widths);
}

int nmk_widths_cmp(const struct nmk_rat *a, size_t a_count, const struct nmk_rat *b, size_t b_count)
{
    if (a_count != b_count)
        return a_count < b_count ? -1 : 1;
    for (size_t i = 0; i < a_count; i++) {
        int order = nmk_rat_cmp(&a[i], &b[i]);
        if (order)
            return order;
    }
    return 0;
}

/* ---- the panels that are named ---- */

struct panels {
    struct nmk_pick *all; /* piece and panel set, sorted */
    size_t count, space;
};

static int by_panel(const void *left, const void *right)
{
    const struct nmk_pick *a = left, *b = right;
    if (a->piece != b->piece)
        return a->piece < b->piece ? -1 : 1;
    return a->panel < b->panel ? -1 : a->panel > b->panel;
}

static void collect(struct panels *p, const struct nmk_affine *form)
{
    for (size_t i = 0; i < form->count; i++) {
        struct nmk_atom a = nmk_atom_of(form->terms[i].name);
        if (a.kind != NMK_ATOM_PANEL)
            continue;
        void *all = p->all;
        nmk_memory_reserve(&all, &p->space, p->count + 1, sizeof *p->all);
        p->all = all;
        p->all[p->count++] = (struct nmk_pick){.piece = a.subject, .panel = a.part};
    }
}

static void collect_all(struct panels *p, const struct nmk_clearance *clearance)
{
    collect(p, &clearance->form);
    for (size_t i = 0; i < clearance->product_count; i++)
        collect(p, &clearance->products[i].inner);
    if (p->count)
        qsort(p->all, p->count, sizeof *p->all, by_panel);
    size_t kept = 0;
    for (size_t i = 0; i < p->count; i++)
        if (!kept || by_panel(&p->all[kept - 1], &p->all[i]))
            p->all[kept++] = p->all[i];
    p->count = kept;
}

/* ---- combinations ---- */

/* The part of a clearance that belongs to one piece: its panels, totals and whole sizes. Pieces share no errors of
 * lines, so that what cannot be told apart within each cannot be told apart together. */
static void part_of_piece(struct nmk_clearance *out, const struct nmk_clearance *clearance, size_t piece)
{
    for (size_t i = 0; i < clearance->form.count; i++) {
        struct nmk_atom a = nmk_atom_of(clearance->form.terms[i].name);
        bool own = a.kind == NMK_ATOM_PANEL || a.kind == NMK_ATOM_WHOLE || a.kind == NMK_ATOM_TOTAL;
        if (own && a.subject == piece)
            nmk_affine_add_term(&out->form, clearance->form.terms[i].name, &clearance->form.terms[i].times);
    }
}

struct known { /* a combination that stands for all like it */
    struct nmk_rat *widths, nominal;
    size_t count;
};

static bool is_new(struct known **known, size_t *count, size_t *space, const struct nmk_clearance *part,
                   const struct nmk_pick *picks, size_t pick_count, const struct nmk_sizes *rounded)
{
    struct nmk_errors errors;
    struct known k = {0};
    nmk_errors_new(&errors, part, picks, pick_count, rounded);
    nmk_errors_nominal(&k.nominal, &part->form, picks, pick_count, rounded);
    k.count = nmk_errors_widths(&k.widths, &errors, NULL, 0);
    nmk_errors_free(&errors);
    for (size_t i = 0; i < *count; i++) {
        if (!nmk_rat_equal(&(*known)[i].nominal, &k.nominal) ||
            nmk_widths_cmp((*known)[i].widths, (*known)[i].count, k.widths, k.count))
            continue;
        nmk_widths_free(k.widths, k.count);
        nmk_rat_clear(&k.nominal);
        return false;
    }
    void *all = *known;
    nmk_memory_reserve(&all, space, *count + 1, sizeof **known);
    *known = all;
    (*known)[(*count)++] = k;
    return true;
}

static void free_known(struct known *known, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        nmk_widths_free(known[i].widths, known[i].count);
        nmk_rat_clear(&known[i].nominal);
    }
    nmk_memory_free(known);
}

/* The stretches of a panel, across before down, first to last. */
static size_t find_stretches(struct nmk_pick *out, const struct nmk_draft *draft, const struct nmk_pick *panel)
{
    const struct nmk_piece *piece = nmk_design_piece(nmk_draft_design(draft), panel->piece);
    size_t count = 0;
    for (int way = NMK_ACROSS; way <= NMK_DOWN; way++)
        for (size_t i = 0; i < piece->lists[way].count; i++)
            if (piece->lists[way].stretches[i].panel == panel->panel)
                out[count++] = (struct nmk_pick){panel->piece, panel->panel, (enum nmk_way)way, i};
    return count;
}

/* rows: so far `count` rows of `width` picks. Each is joined to each of `more` rows of `more_width` picks. */
static void cross(struct nmk_pick **rows, size_t *count, size_t *width, const struct nmk_pick *more, size_t more_count,
                  size_t more_width)
{
    size_t wide = *width + more_width;
    struct nmk_pick *joined = nmk_memory_new(*count * more_count * wide, sizeof *joined);
    for (size_t i = 0; i < *count; i++)
        for (size_t j = 0; j < more_count; j++) {
            struct nmk_pick *row = &joined[(i * more_count + j) * wide];
            if (*width)
                memcpy(row, &(*rows)[i * *width], *width * sizeof *row);
            memcpy(row + *width, &more[j * more_width], more_width * sizeof *row);
        }
    nmk_memory_free(*rows);
    *rows = joined;
    *count *= more_count;
    *width = wide;
}

/* Drops the rows that cannot be told from an earlier one. */
static void thin(struct nmk_pick *rows, size_t *count, size_t width, const struct nmk_clearance *part,
                 const struct nmk_sizes *rounded)
{
    struct known *known = NULL;
    size_t kept = 0, space = 0;
    for (size_t i = 0; i < *count; i++) {
        const struct nmk_pick *row = &rows[i * width];
        if (is_new(&known, &kept, &space, part, row, width, rounded) && kept - 1 != i)
            memmove(&rows[(kept - 1) * width], row, width * sizeof *row);
    }
    *count = kept;
    free_known(known, kept);
}

/* All combinations of the panels [from, to) of one piece, thinned. */
static enum nmk_status piece_rows(struct nmk_pick **rows, size_t *count, const struct nmk_pick *panels, size_t panel_count,
                                  const struct nmk_clearance *clearance, const struct nmk_sizes *rounded)
{
    const struct nmk_piece *piece = nmk_design_piece(nmk_draft_design(rounded->draft), panels[0].piece);
    struct nmk_pick *stretches = nmk_memory_new(piece->lists[0].count + piece->lists[1].count, sizeof *stretches);
    struct nmk_clearance part = {0};
    size_t width = 0;
    enum nmk_status status = NMK_OK;
    *rows = NULL;
    *count = 1;
    for (size_t i = 0; i < panel_count && status == NMK_OK; i++) {
        size_t found = find_stretches(stretches, rounded->draft, &panels[i]);
        if (*count * found > MOST_CASES)
            status = NMK_TOO_LARGE;
        else
            cross(rows, count, &width, stretches, found, 1);
    }
    if (status == NMK_OK && *count > 1) {
        part_of_piece(&part, clearance, panels[0].piece);
        thin(*rows, count, width, &part, rounded);
    }
    nmk_affine_clear(&part.form);
    nmk_memory_free(stretches);
    return status;
}

enum nmk_status nmk_cases_new(struct nmk_cases *out, const struct nmk_clearance *clearance, const struct nmk_sizes *rounded)
{
    struct panels panels = {0};
    struct nmk_cases cases = {.count = 1};
    enum nmk_status status = NMK_OK;
    collect_all(&panels, clearance);
    for (size_t from = 0, to; from < panels.count && status == NMK_OK; from = to) {
        struct nmk_pick *rows;
        size_t count;
        for (to = from; to < panels.count && panels.all[to].piece == panels.all[from].piece; to++)
            ;
        status = piece_rows(&rows, &count, &panels.all[from], to - from, clearance, rounded);
        if (status == NMK_OK && cases.count * count > MOST_CASES)
            status = NMK_TOO_LARGE;
        if (status == NMK_OK)
            cross(&cases.picks, &cases.count, &cases.pick_count, rows, count, to - from);
        nmk_memory_free(rows);
    }
    nmk_memory_free(panels.all);
    if (status == NMK_OK)
        *out = cases;
    else
        nmk_cases_free(&cases);
    return status;
}

void nmk_cases_free(struct nmk_cases *cases)
{
    nmk_memory_free(cases->picks);
    *cases = (struct nmk_cases){0};
}

const struct nmk_pick *nmk_cases_picks(const struct nmk_cases *cases, size_t i)
{
    return cases->pick_count ? &cases->picks[i * cases->pick_count] : NULL;
}
