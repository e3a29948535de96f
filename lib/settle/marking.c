#include "settle/marking.h"

#include "base/memory.h"
#include "settle/ease.h"
#include "settle/row_forms.h"

static const int64_t MOST_MARKS = (int64_t)1 << 40; /* beyond every size of a design */

struct nmk_marking {
    struct nmk_marking_plan plan;
    const struct nmk_design *design;
    size_t length_count;
    struct nmk_affine (*wholes)[2]; /* by piece and way, over names of lengths */
    struct nmk_whole_problem problem;
    struct nmk_whole_unknown *unknowns;
    struct nmk_whole_demand *demands;
    struct nmk_whole_remainder *remainders;
    size_t unknown_count, demand_count, demand_space, remainder_count, remainder_space, unknown_space;
    bool *watched;  /* by length */
    struct nmk_marking_places places;
    struct odd *odds; /* one for each such unknown, in order */
    size_t odd_count, odd_space;
};

/* (5) The odd mark of what is left in a row with two rests. */
struct odd {
    size_t piece, row;
    int way;
};

/* ---- forms over lengths: (3) ---- */

static uint64_t choice_name(size_t length, size_t way)
{
    return (uint64_t)length | (uint64_t)(1 + way) << 32;
}

static void add_marks(struct nmk_affine *form, const struct nmk_marking *m, size_t length, const struct nmk_rat *times)
{
    struct nmk_rat mm = {0};
    nmk_rat_mul(&mm, times, nmk_draft_step(m->plan.draft));
    nmk_affine_add_term(form, length, &mm);
    nmk_rat_clear(&mm);
}

static void add_scaled(struct nmk_affine *form, const struct nmk_affine *more, const struct nmk_rat *times)
{
    struct nmk_affine scaled = {0};
    nmk_affine_scale(&scaled, more, times);
    nmk_affine_add(form, form, &scaled);
    nmk_affine_clear(&scaled);
}

static void add_atom(struct nmk_affine *form, const struct nmk_marking *m, const struct nmk_atom *a, const struct nmk_rat *times)
{
    struct nmk_rat size = {0};
    const struct nmk_piece *piece;
    switch (a->kind) {
    case NMK_ATOM_PANEL: add_marks(form, m, nmk_design_piece(m->design, a->subject)->panels[a->part].length, times); break;
    case NMK_ATOM_TOTAL:
        piece = nmk_design_piece(m->design, a->subject);
        nmk_rat_set_int(&size, (int64_t)(piece->copies * nmk_piece_stretches(piece, a->part)));
        nmk_rat_mul(&size, &size, times);
        add_marks(form, m, piece->panels[a->part].length, &size);
        break;
    case NMK_ATOM_WHOLE: add_scaled(form, &m->wholes[a->subject][a->part], times); break;
    case NMK_ATOM_LENGTH: add_marks(form, m, a->subject, times); break;
    case NMK_ATOM_CHOICE: nmk_affine_add_term(form, choice_name(a->subject, a->part), times); break;
    case NMK_ATOM_MEASURE:
    case NMK_ATOM_STOCK:
        nmk_rat_mul(&size, times, a->kind == NMK_ATOM_MEASURE ? &nmk_design_measure(m->design, a->subject)->size
                                                              : &nmk_design_stock(m->design, a->subject)->thickness);
        nmk_affine_add_rat(form, &size);
        break;
    case NMK_ATOM_PLACE:
    case NMK_ATOM_PRODUCT: break;
    }
    nmk_rat_clear(&size);
}

void nmk_marking_form(struct nmk_affine *out, const struct nmk_marking *marking, size_t demand)
{
    const struct nmk_affine *atoms = &marking->plan.clearances->all[demand].form;
    struct nmk_affine form = {0};
    nmk_affine_set_rat(&form, &atoms->constant);
    for (size_t i = 0; i < atoms->count; i++) {
        struct nmk_atom a = nmk_atom_of(atoms->terms[i].name);
        add_atom(&form, marking, &a, &atoms->terms[i].times);
    }
    nmk_affine_swap(out, &form);
    nmk_affine_clear(&form);
}

/* What a mat lies on: a panel or a whole size of an earlier piece. */
static void on_form(struct nmk_affine *out, const struct nmk_marking *m, const struct nmk_formula *on, const struct nmk_rat *one)
{
    if (on->kind == NMK_F_PANEL)
        add_marks(out, m, nmk_design_piece(m->design, on->subject)->panels[on->part].length, one);
    else
        nmk_affine_add(out, out, &m->wholes[on->subject][on->part]);
}

/* A sum of lengths in mm. */
static void put_in_mm(struct nmk_affine *form, const struct nmk_marking *m, struct nmk_affine *sum)
{
    add_scaled(form, sum, nmk_draft_step(m->plan.draft));
    nmk_affine_clear(sum);
}

static void add_whole(struct nmk_affine *form, const struct nmk_marking *m, const struct nmk_piece *piece, int way)
{
    struct nmk_affine sum = {0};
    nmk_row_add_whole(&sum, piece, way);
    put_in_mm(form, m, &sum);
}

static void make_wholes(struct nmk_marking *m)
{
    struct nmk_rat one = {0}, minus = {0};
    nmk_rat_set_int(&one, 1);
    nmk_rat_set_int(&minus, -1);
    m->wholes = nmk_memory_new(nmk_design_piece_count(m->design), sizeof *m->wholes);
    for (size_t i = 0; i < nmk_design_piece_count(m->design); i++) {
        const struct nmk_piece *piece = nmk_design_piece(m->design, i);
        for (int way = NMK_ACROSS; way <= NMK_DOWN; way++) {
            struct nmk_affine *whole = &m->wholes[i][way];
            if (piece->kind == NMK_PIECE_PANELS)
                add_whole(whole, m, piece, way);
            if (piece->kind == NMK_PIECE_MAT) {
                on_form(whole, m, way == NMK_ACROSS ? piece->on.across : piece->on.down, &one);
                add_marks(whole, m, piece->smaller_length, &minus);
            }
        }
    }
    nmk_rat_clear(&one);
    nmk_rat_clear(&minus);
}

/* ---- unknowns and their costs ---- */

static void cost_of(int64_t parts[3], void *context, size_t unknown, int64_t x)
{
    const struct nmk_marking *m = context;
    parts[0] = parts[1] = parts[2] = 0;
    if (unknown >= m->length_count || m->unknowns[unknown].is_choice || m->plan.only_feasible)
        return;
    nmk_marks_cost(parts, m->plan.draft, unknown, x, m->plan.options);
}

static void set_number(struct nmk_marking *m, size_t length)
{
    struct nmk_whole_unknown *u = &m->unknowns[length];
    bool by_fineness = m->plan.options->prefer == NMK_EASIEST && !m->plan.only_feasible;
    nmk_marks_aim(u, m->plan.draft, length, by_fineness, m->plan.options->within);
    u->low = 1;
    u->high = 0;
}

/* Ranks of the sizes of a punch by A times B, the best 0; of equal sizes the earlier in the list. */
static int64_t *ranks_of(const struct nmk_punches *punches, bool largest)
{
    int64_t *ranks = nmk_memory_new(punches->count, sizeof *ranks);
    struct nmk_rat *areas = nmk_memory_new(punches->count, sizeof *areas);
    for (size_t i = 0; i < punches->count; i++)
        nmk_rat_mul(&areas[i], &punches->sizes[i][NMK_ACROSS], &punches->sizes[i][NMK_DOWN]);
    for (size_t i = 0; i < punches->count; i++)
        for (size_t k = 0; k < punches->count; k++) {
            int order = nmk_rat_cmp(&areas[k], &areas[i]);
            if (largest)
                order = -order;
            ranks[i] += order < 0 || (order == 0 && k < i);
        }
    for (size_t i = 0; i < punches->count; i++)
        nmk_rat_clear(&areas[i]);
    nmk_memory_free(areas);
    return ranks;
}

static void make_unknowns(struct nmk_marking *m)
{
    void *unknowns = NULL;
    m->length_count = m->unknown_count = nmk_design_length_count(m->design);
    nmk_memory_reserve(&unknowns, &m->unknown_space, m->length_count, sizeof *m->unknowns);
    m->unknowns = unknowns;
    m->watched = nmk_memory_new(m->length_count, sizeof *m->watched);
    for (size_t i = 0; i < m->length_count; i++) {
        const struct nmk_length *length = nmk_design_length(m->design, i);
        if (length->kind != NMK_LENGTH_CHOICE) {
            set_number(m, i);
            continue;
        }
        const struct nmk_punches *punches = nmk_design_punches(m->design, length->punches);
        m->unknowns[i].is_choice = true;
        m->unknowns[i].high = (int64_t)punches->count - 1;
        m->unknowns[i].ranks = ranks_of(punches, length->is_opening);
    }
    const struct nmk_held *held = m->plan.held;
    if (held && !m->unknowns[held->length].is_choice) {
        m->unknowns[held->length].low = held->low > 1 ? held->low : 1;
        m->unknowns[held->length].high = held->high;
    }
}

/* ---- demands ---- */

static struct nmk_whole_demand *new_demand(struct nmk_marking *m)
{
    void *demands = m->demands;
    nmk_memory_reserve(&demands, &m->demand_space, m->demand_count + 1, sizeof *m->demands);
    m->demands = demands;
    return &m->demands[m->demand_count++];
}

/* Puts a choice's share for one way into its table. */
static void add_to_table(const struct nmk_marking *m, struct nmk_whole_term *term, size_t way, const struct nmk_rat *times)
{
    const struct nmk_punches *punches = nmk_design_punches(m->design, nmk_design_length(m->design, term->unknown)->punches);
    struct nmk_rat *table = (struct nmk_rat *)term->table;
    if (!table)
        term->table = table = nmk_memory_new(punches->count, sizeof *table);
    for (size_t i = 0; i < punches->count; i++)
        nmk_rat_addmul(&table[i], times, &punches->sizes[i][way]);
}

/* The terms of a form. Choices stand after the numbers in it, first all across, then all down: one term each. */
static void set_terms(const struct nmk_marking *m, struct nmk_whole_demand *d, const struct nmk_affine *form)
{
    struct nmk_whole_term *terms = nmk_memory_new(form->count, sizeof *terms);
    nmk_rat_set(&d->constant, &form->constant);
    for (size_t i = 0; i < form->count; i++) {
        size_t unknown = (size_t)(form->terms[i].name & UINT32_MAX), way = (size_t)(form->terms[i].name >> 32);
        size_t k = d->count;
        while (way && k > 0 && terms[k - 1].unknown != unknown)
            k--;
        struct nmk_whole_term *term = way && k > 0 ? &terms[k - 1] : &terms[d->count++];
        term->unknown = unknown;
        if (way)
            add_to_table(m, term, way - 1, &form->terms[i].times);
        else
            nmk_rat_set(&term->times, &form->terms[i].times);
    }
    d->terms = terms;
}

static void clear_terms(struct nmk_marking *m, struct nmk_whole_demand *d)
{
    for (size_t i = 0; i < d->count; i++) {
        struct nmk_whole_term *term = (struct nmk_whole_term *)&d->terms[i];
        size_t options = term->table ? (size_t)m->unknowns[term->unknown].high + 1 : 0;
        for (size_t k = 0; k < options; k++)
            nmk_rat_clear((struct nmk_rat *)&term->table[k]);
        nmk_memory_free((struct nmk_rat *)term->table);
        nmk_rat_clear(&term->times);
    }
    nmk_memory_free((struct nmk_whole_term *)d->terms);
    d->terms = NULL;
    d->count = 0;
}

static void set_bounds(struct nmk_whole_demand *d, const struct nmk_rat *low, const struct nmk_rat *high)
{
    d->has_least = low != NULL;
    d->has_most = high != NULL;
    if (low)
        nmk_rat_set(&d->least, low);
    if (high)
        nmk_rat_set(&d->most, high);
}

static void add_design_demand(struct nmk_marking *m, size_t i)
{
    const struct nmk_clearance *clearance = &m->plan.clearances->all[i];
    struct nmk_affine form = {0};
    nmk_marking_form(&form, m, i);
    for (size_t k = 0; k < form.count; k++)
        m->watched[form.terms[k].name & UINT32_MAX] = true;
    struct nmk_whole_demand *d = new_demand(m);
    set_terms(m, d, &form);
    set_bounds(d, clearance->low, clearance->high);
    if (m->plan.judge && !nmk_design_demand(m->design, i)->exact) {
        d->graded = true;
        nmk_judge_sure_range(&d->sure_least, &d->has_sure_least, &d->sure_most, &d->has_sure_most, m->plan.judge, i,
                             &m->plan.options->sure);
    }
    nmk_affine_clear(&form);
}

static void grade_of(struct nmk_rat *out, void *context, size_t demand, const struct nmk_rat *v)
{
    const struct nmk_marking *m = context;
    nmk_judge_grade(out, m->plan.judge, demand, v, &m->plan.options->sure);
}

static bool progress_of(void *context, uint64_t steps)
{
    const struct nmk_settle_options *options = ((const struct nmk_marking *)context)->plan.options;
    return options->progress(options->context, steps);
}

/* By piece and way: does a mat lie on that whole size? Then the mat's one mark sees to its own. */
static bool (*find_covered(const struct nmk_marking *m))[2]
{
    bool(*covered)[2] = nmk_memory_new(nmk_design_piece_count(m->design), sizeof *covered);
    for (size_t i = 0; i < nmk_design_piece_count(m->design); i++) {
        const struct nmk_piece *piece = nmk_design_piece(m->design, i);
        for (int way = NMK_ACROSS; piece->kind == NMK_PIECE_MAT && way <= NMK_DOWN; way++) {
            const struct nmk_formula *on = way == NMK_ACROSS ? piece->on.across : piece->on.down;
            if (on->kind == NMK_F_WHOLE)
                covered[on->subject][on->part] = true;
        }
    }
    return covered;
}

/* (4) */
static void add_mat_demands(struct nmk_marking *m)
{
    bool(*covered)[2] = find_covered(m);
    for (size_t i = 0; i < nmk_design_piece_count(m->design); i++) {
        if (nmk_design_piece(m->design, i)->kind != NMK_PIECE_MAT)
            continue;
        for (int way = NMK_ACROSS; way <= NMK_DOWN; way++) {
            if (covered[i][way])
                continue;
            struct nmk_whole_demand *d = new_demand(m);
            set_terms(m, d, &m->wholes[i][way]);
            set_bounds(d, nmk_draft_step(m->plan.draft), NULL);
        }
    }
    nmk_memory_free(covered);
}

/* ---- rows: (5) ---- */

/* At least so many marks are left; 0: exactly nothing. */
static void add_left(struct nmk_marking *m, const struct nmk_affine *left, int64_t least)
{
    struct nmk_rat low = {0};
    struct nmk_whole_demand *d = new_demand(m);
    nmk_rat_set_int(&low, least);
    nmk_rat_mul(&low, &low, nmk_draft_step(m->plan.draft));
    set_terms(m, d, left);
    set_bounds(d, &low, least ? NULL : &low);
    nmk_rat_clear(&low);
}

/* Lists of the same panels are equally wide by themselves: their form is empty. */
static void add_row_demand(struct nmk_marking *m, size_t piece, int way, size_t row_index, bool rests)
{
    const struct nmk_row *row = &nmk_design_piece(m->design, piece)->lists[way].rows[row_index];
    struct nmk_affine sum = {0}, left = {0};
    int64_t count = (int64_t)(row->rests[0] + row->rests[1]);
    if (rests != (count > 0))
        return;
    nmk_row_add_left(&sum, nmk_design_piece(m->design, piece), way, row);
    put_in_mm(&left, m, &sum);
    if (left.count)
        add_left(m, &left, count);
    nmk_affine_clear(&left);
}

static void add_row_demands(struct nmk_marking *m, bool rests)
{
    for (size_t i = 0; i < nmk_design_piece_count(m->design); i++) {
        const struct nmk_piece *piece = nmk_design_piece(m->design, i);
        for (int way = NMK_ACROSS; piece->kind == NMK_PIECE_PANELS && way <= NMK_DOWN; way++)
            for (size_t row = 0; piece->lists[way].row_count > 1 && row < piece->lists[way].row_count; row++)
                add_row_demand(m, i, way, row, rests);
    }
}

static void add_unknown(struct nmk_marking *m, int64_t low, int64_t high)
{
    void *unknowns = m->unknowns;
    nmk_memory_reserve(&unknowns, &m->unknown_space, m->unknown_count + 1, sizeof *m->unknowns);
    m->unknowns = unknowns;
    struct nmk_whole_unknown *u = &m->unknowns[m->unknown_count++];
    u->low = u->settled_low = low;
    u->high = u->settled_high = high;
}

static void add_odd(struct nmk_marking *m, size_t piece, int way, size_t row)
{
    void *odds = m->odds;
    nmk_memory_reserve(&odds, &m->odd_space, m->odd_count + 1, sizeof *m->odds);
    m->odds = odds;
    m->odds[m->odd_count++] = (struct odd){piece, row, way};
    add_unknown(m, 0, 1);
}

static void add_odds(struct nmk_marking *m)
{
    for (size_t i = 0; i < nmk_design_piece_count(m->design); i++) {
        const struct nmk_piece *piece = nmk_design_piece(m->design, i);
        for (int way = NMK_ACROSS; piece->kind == NMK_PIECE_PANELS && way <= NMK_DOWN; way++)
            for (size_t r = 0; r < piece->lists[way].row_count; r++) {
                const struct nmk_row *row = &piece->lists[way].rows[r];
                if (nmk_row_is_between_rests(row) && nmk_row_has_score(&piece->lists[way], row))
                    add_odd(m, i, way, r);
            }
    }
}

/* ---- scores on score marks: (4) ---- */

static struct nmk_whole_remainder *new_remainder(struct nmk_marking *m, int64_t modulus)
{
    void *remainders = m->remainders;
    nmk_memory_reserve(&remainders, &m->remainder_space, m->remainder_count + 1, sizeof *m->remainders);
    m->remainders = remainders;
    m->remainders[m->remainder_count].modulus = modulus;
    return &m->remainders[m->remainder_count++];
}

static bool stands_before(const struct odd *a, const struct odd *b)
{
    return a->piece != b->piece ? a->piece < b->piece : a->way != b->way ? a->way < b->way : a->row < b->row;
}

/* The row's own unknown for its odd mark: (5). */
static size_t odd_of(const struct nmk_marking *m, size_t piece, int way, size_t row)
{
    struct odd wanted = {piece, row, way};
    size_t low = 0, high = m->odd_count - 1;
    while (low < high) {
        size_t middle = (low + high) / 2;
        if (stands_before(&m->odds[middle], &wanted))
            low = middle + 1;
        else
            high = middle;
    }
    return m->unknown_count - m->odd_count + low;
}

/* The distance of the score before a stretch from its edge: (4), between two rests twice that: (5). */
static void add_score(struct nmk_marking *m, size_t piece_index, int way, size_t stretch, bool last)
{
    const struct nmk_piece *piece = nmk_design_piece(m->design, piece_index);
    size_t row = piece->lists[way].stretches[stretch].row;
    bool between = nmk_row_is_between_rests(&piece->lists[way].rows[row]);
    struct nmk_affine form = {0};
    nmk_row_add_distance(&form, piece, way, stretch, last, between ? odd_of(m, piece_index, way, row) : 0);
    struct nmk_whole_remainder *r = new_remainder(m, nmk_draft_score_marks(m->plan.draft) * (between ? 2 : 1));
    size_t *unknowns = nmk_memory_new(form.count, sizeof *unknowns);
    int64_t *times = nmk_memory_new(form.count, sizeof *times);
    for (size_t i = 0; i < form.count; i++) {
        unknowns[i] = (size_t)form.terms[i].name;
        (void)nmk_rat_get_int(&times[i], &form.terms[i].times); /* whole, and no more than there are stretches */
    }
    r->count = form.count;
    r->unknowns = unknowns;
    r->times = times;
    nmk_affine_clear(&form);
}

static void add_scores(struct nmk_marking *m)
{
    for (size_t i = 0; i < nmk_design_piece_count(m->design); i++) {
        const struct nmk_piece *piece = nmk_design_piece(m->design, i);
        for (int way = NMK_ACROSS; piece->kind == NMK_PIECE_PANELS && way <= NMK_DOWN; way++) {
            const struct nmk_list *list = &piece->lists[way];
            for (size_t k = 0; k < list->count; k++) {
                size_t line = list->stretches[k].lines[0];
                if (!list->lines[line].is_cut)
                    add_score(m, i, way, k, nmk_draft_from_last(m->plan.draft, i, (enum nmk_way)way, line));
            }
        }
    }
}

/* ---- strips of whole marks: (2) ---- */

/* strip = a whole number of marks, in a new unknown that costs nothing. */
static void add_strip(struct nmk_marking *m, size_t border)
{
    struct nmk_affine form = {0}, strip = {0};
    struct nmk_rat minus = {0}, zero = {0};
    size_t unknown = m->unknown_count;
    add_unknown(m, -MOST_MARKS, MOST_MARKS);
    nmk_rat_neg(&minus, nmk_draft_step(m->plan.draft));
    nmk_marking_form(&form, m, border);
    nmk_affine_add_term(&form, unknown, &minus);
    struct nmk_whole_demand *d = new_demand(m);
    set_terms(m, d, &form);
    set_bounds(d, &zero, &zero);
    if (!m->plan.strips_apart) {
        nmk_affine_add_term(&strip, unknown, nmk_draft_step(m->plan.draft));
        clear_terms(m, &m->demands[border]);
        set_terms(m, &m->demands[border], &strip);
    }
    nmk_affine_clear(&form);
    nmk_affine_clear(&strip);
    nmk_rat_clear(&minus);
}

/* The two borders of an `even whole` stand just before it. */
static void add_strips(struct nmk_marking *m)
{
    for (size_t i = 2; i < nmk_design_demand_count(m->design); i++)
        if (nmk_design_demand(m->design, i)->whole) {
            add_strip(m, i - 2);
            add_strip(m, i - 1);
        }
}

/* ---- the whole ---- */

void nmk_marking_new(struct nmk_marking **out, const struct nmk_marking_plan *plan)
{
    struct nmk_marking *m = nmk_memory_new(1, sizeof *m);
    m->plan = *plan;
    m->design = nmk_draft_design(plan->draft);
    make_wholes(m);
    make_unknowns(m);
    for (size_t i = 0; i < nmk_design_demand_count(m->design); i++)
        add_design_demand(m, i);
    bool scored = nmk_draft_score_marks(plan->draft) > 1;
    m->places.mats = m->demand_count;
    if (!plan->mats_unbound)
        add_mat_demands(m);
    m->places.widths = m->demand_count;
    add_row_demands(m, false);
    m->places.rests = m->demand_count;
    add_row_demands(m, true);
    m->places.strips = m->demand_count;
    add_strips(m);
    if (scored) {
        add_odds(m);
        add_scores(m);
    }
    m->problem = (struct nmk_whole_problem){
        .unknown_count = m->unknown_count,
        .demand_count = m->demand_count,
        .remainder_count = m->remainder_count,
        .unknowns = m->unknowns,
        .demands = m->demands,
        .remainders = m->remainders,
        .grade = grade_of,
        .cost = cost_of,
        .context = m,
        .progress = plan->options->progress ? progress_of : NULL,
        .any = plan->only_feasible,
        .most_steps = plan->options->most_steps,
    };
    *out = m;
}

static void free_demand(struct nmk_marking *m, struct nmk_whole_demand *d)
{
    clear_terms(m, d);
    nmk_rat_clear(&d->constant);
    nmk_rat_clear(&d->least);
    nmk_rat_clear(&d->most);
    nmk_rat_clear(&d->sure_least);
    nmk_rat_clear(&d->sure_most);
}

void nmk_marking_free(struct nmk_marking *m)
{
    if (!m)
        return;
    for (size_t i = 0; i < m->demand_count; i++)
        free_demand(m, &m->demands[i]);
    for (size_t i = 0; i < m->unknown_count; i++) {
        nmk_memory_free((int64_t *)m->unknowns[i].ranks);
    }
    for (size_t i = 0; i < m->remainder_count; i++) {
        nmk_memory_free((size_t *)m->remainders[i].unknowns);
        nmk_memory_free((int64_t *)m->remainders[i].times);
    }
    for (size_t i = 0; i < nmk_design_piece_count(m->design); i++) {
        nmk_affine_clear(&m->wholes[i][NMK_ACROSS]);
        nmk_affine_clear(&m->wholes[i][NMK_DOWN]);
    }
    nmk_memory_free(m->wholes);
    nmk_memory_free(m->odds);
    nmk_memory_free(m->unknowns);
    nmk_memory_free(m->demands);
    nmk_memory_free(m->remainders);
    nmk_memory_free(m->watched);
    nmk_memory_free(m);
}

const struct nmk_whole_problem *nmk_marking_problem(const struct nmk_marking *marking)
{
    return &marking->problem;
}

struct nmk_marking_places nmk_marking_places(const struct nmk_marking *marking)
{
    return marking->places;
}

void nmk_marking_value(struct nmk_rat *out, const struct nmk_whole_demand *demand, const int64_t *values)
{
    struct nmk_rat sum = {0}, marks = {0};
    nmk_rat_set(&sum, &demand->constant);
    for (size_t i = 0; i < demand->count; i++) {
        const struct nmk_whole_term *term = &demand->terms[i];
        nmk_rat_set_int(&marks, values[term->unknown]);
        if (term->table)
            nmk_rat_add(&sum, &sum, &term->table[values[term->unknown]]);
        else
            nmk_rat_addmul(&sum, &term->times, &marks);
    }
    nmk_rat_swap(out, &sum);
    nmk_rat_clear(&sum);
    nmk_rat_clear(&marks);
}

const struct nmk_affine *nmk_marking_whole(const struct nmk_marking *marking, size_t piece, enum nmk_way way)
{
    return &marking->wholes[piece][way];
}

bool nmk_marking_unwatched(const struct nmk_marking *marking, size_t length)
{
    return !marking->watched[length];
}

/* A border's strip in marks. */
static int64_t strip_of(const struct nmk_marking *m, size_t border, const int64_t *values)
{
    struct nmk_affine form = {0};
    struct nmk_rat sum = {0}, x = {0};
    int64_t strip = 0;
    nmk_marking_form(&form, m, border);
    nmk_rat_set(&sum, &form.constant);
    for (size_t i = 0; i < form.count; i++) {
        size_t length = (size_t)(form.terms[i].name & UINT32_MAX), way = (size_t)(form.terms[i].name >> 32);
        if (way)
            nmk_rat_set(&x, &nmk_design_punches(m->design, nmk_design_length(m->design, length)->punches)->sizes[values[length]][way - 1]);
        else
            nmk_rat_set_int(&x, values[length]);
        nmk_rat_addmul(&sum, &x, &form.terms[i].times);
    }
    nmk_rat_div(&sum, &sum, nmk_draft_step(m->plan.draft));
    (void)nmk_rat_get_int(&strip, &sum); /* whole where the marks are allowed */
    nmk_affine_clear(&form);
    nmk_rat_clear(&sum);
    nmk_rat_clear(&x);
    return strip;
}

static int64_t odd_value(const struct nmk_marking *m, const struct odd *odd, const int64_t *values)
{
    const struct nmk_piece *piece = nmk_design_piece(m->design, odd->piece);
    struct nmk_affine left = {0};
    int64_t sum = 0, times = 0;
    nmk_row_add_left(&left, piece, odd->way, &piece->lists[odd->way].rows[odd->row]);
    for (size_t i = 0; i < left.count; i++) {
        (void)nmk_rat_get_int(&times, &left.terms[i].times);
        sum += times * values[left.terms[i].name];
    }
    nmk_affine_clear(&left);
    return sum % 2; /* allowed marks leave something */
}

static int64_t *values_of(const struct nmk_marking *m, const int64_t *marks, const size_t *choices)
{
    int64_t *values = nmk_memory_new(m->unknown_count, sizeof *values);
    for (size_t i = 0; i < m->length_count; i++)
        values[i] = m->unknowns[i].is_choice ? (int64_t)choices[i] : marks[i];
    for (size_t i = 2, strip = m->length_count; i < nmk_design_demand_count(m->design); i++)
        if (nmk_design_demand(m->design, i)->whole) {
            values[strip++] = strip_of(m, i - 2, values);
            values[strip++] = strip_of(m, i - 1, values);
        }
    for (size_t i = 0; i < m->odd_count; i++)
        values[m->unknown_count - m->odd_count + i] = odd_value(m, &m->odds[i], values);
    return values;
}

int nmk_marking_compare(const struct nmk_marking *marking, const int64_t *a_marks, const size_t *a_choices, const int64_t *b_marks,
                        const size_t *b_choices)
{
    int64_t *a = values_of(marking, a_marks, a_choices), *b = values_of(marking, b_marks, b_choices);
    int order = nmk_whole_compare(&marking->problem, a, b);
    nmk_memory_free(a);
    nmk_memory_free(b);
    return order;
}
