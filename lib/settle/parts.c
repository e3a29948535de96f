#include "settle/parts.h"

#include "base/memory.h"

/* ---- who belongs together: (1) ---- */

struct joiner {
    size_t *parent;
    size_t count;
};

static size_t root_of(struct joiner *j, size_t i)
{
    while (j->parent[i] != i) {
        j->parent[i] = j->parent[j->parent[i]];
        i = j->parent[i];
    }
    return i;
}

static void join(struct joiner *j, size_t a, size_t b)
{
    a = root_of(j, a);
    b = root_of(j, b);
    if (a < b)
        j->parent[b] = a;
    else
        j->parent[a] = b;
}

static size_t first_length(const struct nmk_piece *piece, int way)
{
    const struct nmk_list *list = &piece->lists[way];
    return piece->panels[list->stretches[list->rows[list->widest].first].panel].length;
}

/* Which lengths a score binds depends on the edge that it is taken from, and that on sizes: all of its list count, and
 * through the rests those of the list that says how wide the piece is. */
static void join_lists(struct joiner *j, const struct nmk_design *design)
{
    for (size_t i = 0; i < nmk_design_piece_count(design); i++) {
        const struct nmk_piece *piece = nmk_design_piece(design, i);
        for (int way = NMK_ACROSS; way <= NMK_DOWN; way++)
            for (size_t k = 0; k < piece->lists[way].count; k++)
                if (piece->lists[way].stretches[k].panel != NMK_NONE)
                    join(j, first_length(piece, way), piece->panels[piece->lists[way].stretches[k].panel].length);
    }
}

/* Unknowns, then demands of the design, as the nodes. */
static void join_all(struct joiner *j, const struct nmk_whole_problem *p, size_t stated)
{
    j->count = p->unknown_count + stated;
    j->parent = nmk_memory_new(j->count, sizeof *j->parent);
    for (size_t i = 0; i < j->count; i++)
        j->parent[i] = i;
    for (size_t i = 0; i < p->demand_count; i++)
        for (size_t k = 0; k < p->demands[i].count; k++) {
            join(j, p->demands[i].terms[0].unknown, p->demands[i].terms[k].unknown);
            if (i < stated)
                join(j, p->unknown_count + i, p->demands[i].terms[k].unknown);
        }
    for (size_t i = 0; i < p->remainder_count; i++)
        for (size_t k = 1; k < p->remainders[i].count; k++)
            join(j, p->remainders[i].unknowns[0], p->remainders[i].unknowns[k]);
}

static void add_to(size_t **list, size_t *count, size_t value)
{
    for (size_t i = 0; i < *count; i++)
        if ((*list)[i] == value)
            return;
    *list = nmk_memory_resize(*list, *count + 1, sizeof **list);
    (*list)[(*count)++] = value;
}

/* What a demand names besides lengths. A measure that only its size makes affine, or that an enclosed constant
 * multiplies, is hidden in numbers: then every measure counts as named. */
static void add_named(struct nmk_part *part, const struct nmk_clearance *clearance, size_t measures)
{
    for (size_t i = 0; i < clearance->form.count; i++) {
        struct nmk_atom a = nmk_atom_of(clearance->form.terms[i].name);
        if (a.kind == NMK_ATOM_MEASURE)
            add_to(&part->measures, &part->measure_count, a.subject);
        if (a.kind == NMK_ATOM_PANEL || a.kind == NMK_ATOM_TOTAL)
            add_to(&part->pieces, &part->piece_count, a.subject);
    }
    for (size_t i = 0; (clearance->fixes || clearance->product_count) && i < measures; i++)
        add_to(&part->measures, &part->measure_count, i);
}

static void push(size_t **list, size_t *count, size_t value)
{
    if ((*count & (*count - 1)) == 0)
        *list = nmk_memory_resize(*list, *count ? 2 * *count : 1, sizeof **list);
    (*list)[(*count)++] = value;
}

/* The pieces with scores that bind lengths of a part. */
static void add_scored(struct nmk_parts *parts, const size_t *place, struct joiner *j, const struct nmk_design *design)
{
    for (size_t i = 0; i < nmk_design_piece_count(design); i++) {
        const struct nmk_piece *piece = nmk_design_piece(design, i);
        for (int way = NMK_ACROSS; way <= NMK_DOWN; way++) {
            if (piece->lists[way].count < 2)
                continue;
            struct nmk_part *part = &parts->all[place[root_of(j, first_length(piece, way))] - 1];
            add_to(&part->pieces, &part->piece_count, i);
        }
    }
}

void nmk_parts_new(struct nmk_parts **out, const struct nmk_clearances *clearances, const struct nmk_marking *marking)
{
    const struct nmk_design *design = nmk_draft_design(clearances->draft);
    const struct nmk_whole_problem *p = nmk_marking_problem(marking);
    size_t lengths = nmk_design_length_count(design);
    struct joiner j;
    bool scored = nmk_draft_score_marks(clearances->draft) > 1;
    join_all(&j, p, clearances->count);
    if (scored)
        join_lists(&j, design);
    struct nmk_parts *parts = nmk_memory_new(1, sizeof *parts);
    size_t *place = nmk_memory_new(j.count, sizeof *place); /* by root: 1 + its part */
    parts->all = nmk_memory_new(j.count, sizeof *parts->all);
    for (size_t i = 0; i < j.count; i++) {
        if (i >= lengths && i < p->unknown_count)
            continue; /* a strip or an odd mark */
        size_t root = root_of(&j, i);
        if (!place[root])
            place[root] = ++parts->count;
        struct nmk_part *part = &parts->all[place[root] - 1];
        if (i < lengths) {
            push(&part->lengths, &part->length_count, i);
        } else {
            push(&part->demands, &part->demand_count, i - p->unknown_count);
            add_named(part, &clearances->all[i - p->unknown_count], nmk_design_measure_count(design));
        }
    }
    if (scored)
        add_scored(parts, place, &j, design);
    nmk_memory_free(place);
    nmk_memory_free(j.parent);
    *out = parts;
}

void nmk_parts_free(struct nmk_parts *parts)
{
    if (!parts)
        return;
    for (size_t i = 0; i < parts->count; i++) {
        nmk_memory_free(parts->all[i].lengths);
        nmk_memory_free(parts->all[i].demands);
        nmk_memory_free(parts->all[i].measures);
        nmk_memory_free(parts->all[i].pieces);
    }
    nmk_memory_free(parts->all);
    nmk_memory_free(parts);
}

/* ---- keys: (2) ---- */

/* Small rationals as their two words; others as text, which cannot be mistaken for them by its first byte. */
static void add_rat(struct nmk_text *key, const struct nmk_rat *r)
{
    int64_t words[2];
    if (nmk_rat_get_frac(&words[0], &words[1], r) == NMK_OK) {
        nmk_text_add(key, "w", 1);
        nmk_text_add(key, (const char *)words, sizeof words);
        return;
    }
    size_t size = nmk_rat_print(NULL, 0, r) + 1;
    char *text = nmk_memory_new(size, 1);
    nmk_rat_print(text, size, r);
    nmk_text_add(key, "t", 1);
    nmk_text_add(key, text, size);
    nmk_memory_free(text);
}

void nmk_edges_key(struct nmk_text *key, const struct nmk_draft *draft, size_t piece)
{
    for (int way = NMK_ACROSS; way <= NMK_DOWN; way++)
        for (size_t i = 1; i + 1 < nmk_draft_line_count(draft, piece, (enum nmk_way)way); i++)
            nmk_text_add(key, nmk_draft_from_last(draft, piece, (enum nmk_way)way, i) ? "l" : "f", 1);
}

void nmk_part_key(struct nmk_text *key, const struct nmk_part *part, const struct nmk_draft *draft)
{
    key->size = 0;
    for (size_t i = 0; i < part->length_count; i++)
        if (nmk_draft_designed(draft, part->lengths[i]))
            add_rat(key, nmk_draft_designed(draft, part->lengths[i]));
    for (size_t i = 0; i < part->measure_count; i++)
        add_rat(key, &nmk_design_measure(nmk_draft_design(draft), part->measures[i])->size);
    for (size_t i = 0; i < part->piece_count; i++)
        nmk_edges_key(key, draft, part->pieces[i]);
}
