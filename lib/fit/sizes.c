#include "fit/sizes.h"

#include <string.h>

#include "base/memory.h"
#include "nearmark/marks.h"

void nmk_sizes_choose(struct nmk_sizes *sizes, const size_t *choices)
{
    memcpy(sizes->choices, choices, nmk_design_length_count(nmk_draft_design(sizes->draft)) * sizeof *choices);
}

static struct nmk_sizes *new_sizes(const struct nmk_draft *draft, enum nmk_column column, const size_t *choices)
{
    struct nmk_sizes *s = nmk_memory_new(1, sizeof *s);
    size_t count = nmk_design_length_count(nmk_draft_design(draft));
    s->draft = draft;
    s->column = column;
    s->choices = nmk_memory_new(count, sizeof *s->choices);
    if (choices)
        nmk_sizes_choose(s, choices);
    if (column != NMK_DESIGNED) {
        s->lengths = nmk_memory_new(count, sizeof *s->lengths);
        s->lines = nmk_memory_new(nmk_design_piece_count(nmk_draft_design(draft)), sizeof *s->lines);
    }
    return s;
}

void nmk_sizes_new_designed(struct nmk_sizes **out, const struct nmk_draft *draft, const size_t *choices)
{
    *out = new_sizes(draft, NMK_DESIGNED, choices);
}

/* ---- each number rounded by itself ---- */

/* The draft made sure that every size is a number of marks that fits. */
static int64_t nearest(const struct nmk_draft *draft, const struct nmk_rat *mm)
{
    struct nmk_marks marks = {.step = *nmk_draft_step(draft)};
    int64_t k = 0;
    if (nmk_marks_nearest(&k, &marks, mm, NMK_TIE_LARGER) != NMK_OK)
        return 0;
    return k;
}

/* The cut size and each score's distance from its own edge, each to its nearest mark. */
static int64_t *round_lines(const struct nmk_draft *draft, size_t piece, enum nmk_way way)
{
    size_t count = nmk_draft_line_count(draft, piece, way);
    if (!count)
        return NULL;
    int64_t *lines = nmk_memory_new(count, sizeof *lines);
    const struct nmk_rat *whole = nmk_draft_line(draft, piece, way, count - 1);
    struct nmk_rat distance = {0};
    lines[count - 1] = nearest(draft, whole);
    for (size_t i = 1; i + 1 < count; i++) {
        const struct nmk_rat *at = nmk_draft_line(draft, piece, way, i);
        if (nmk_draft_from_last(draft, piece, way, i)) {
            nmk_rat_sub(&distance, whole, at);
            lines[i] = lines[count - 1] - nearest(draft, &distance);
        } else {
            lines[i] = nearest(draft, at);
        }
    }
    nmk_rat_clear(&distance);
    return lines;
}

void nmk_sizes_new_rounded(struct nmk_sizes **out, const struct nmk_draft *draft, const size_t *choices)
{
    struct nmk_sizes *s = new_sizes(draft, NMK_ROUNDED, choices);
    const struct nmk_design *design = nmk_draft_design(draft);
    for (size_t i = 0; i < nmk_design_length_count(design); i++)
        s->lengths[i] = nmk_draft_designed(draft, i) ? nearest(draft, nmk_draft_designed(draft, i)) : 0;
    for (size_t i = 0; i < nmk_design_piece_count(design); i++)
        for (int way = NMK_ACROSS; way <= NMK_DOWN; way++)
            s->lines[i][way] = round_lines(draft, i, (enum nmk_way)way);
    *out = s;
}

/* ---- settled ---- */

static int64_t sum_row(const struct nmk_piece *piece, int way, size_t row_index, const int64_t *marks)
{
    const struct nmk_list *list = &piece->lists[way];
    const struct nmk_row *row = &list->rows[row_index];
    int64_t sum = 0;
    for (size_t i = row->first; i < row->first + row->count; i++)
        sum += list->stretches[i].panel == NMK_NONE ? 0 : marks[piece->panels[list->stretches[i].panel].length];
    return sum;
}

/* What is cut away before the first panel: of two rests the odd mark goes to the last. */
static int64_t first_rest(const struct nmk_row *row, int64_t left)
{
    if (!row->rests[0] || left < 0) /* below 0 only where marks are not chosen but taken as they come */
        return 0;
    return row->rests[1] ? left / 2 : left;
}

static int64_t *panel_lines(const struct nmk_piece *piece, int way, const int64_t *marks)
{
    const struct nmk_list *list = &piece->lists[way];
    int64_t *lines = nmk_memory_new(list->line_count, sizeof *lines), whole = sum_row(piece, way, list->widest, marks);
    lines[list->line_count - 1] = whole;
    for (size_t r = 0; r < list->row_count; r++) {
        const struct nmk_row *row = &list->rows[r];
        int64_t at = first_rest(row, whole - sum_row(piece, way, r, marks));
        for (size_t i = row->first; i + 1 < row->first + row->count; i++) {
            const struct nmk_stretch *s = &list->stretches[i];
            at += s->panel == NMK_NONE ? 0 : marks[piece->panels[s->panel].length];
            lines[s->lines[1]] = at < whole ? at : whole;
        }
    }
    return lines;
}

/* What a mat lies on is a panel or a whole size of an earlier piece, in marks. */
static int64_t marks_of(const struct nmk_sizes *s, const struct nmk_formula *on)
{
    const struct nmk_piece *piece = nmk_design_piece(nmk_draft_design(s->draft), on->subject);
    if (on->kind == NMK_F_PANEL)
        return s->lengths[piece->panels[on->part].length];
    return s->lines[on->subject][on->part][nmk_draft_line_count(s->draft, on->subject, (enum nmk_way)on->part) - 1];
}

static int64_t *mat_lines(const struct nmk_sizes *s, const struct nmk_piece *piece, const struct nmk_formula *on)
{
    int64_t *lines = nmk_memory_new(2, sizeof *lines);
    int64_t size = marks_of(s, on) - s->lengths[piece->smaller_length];
    lines[1] = size < 1 ? 1 : size; /* only where marks are not chosen but taken as they come */
    return lines;
}

void nmk_sizes_new_settled(struct nmk_sizes **out, const struct nmk_draft *draft, const int64_t *marks, const size_t *choices)
{
    struct nmk_sizes *s = new_sizes(draft, NMK_SETTLED, choices);
    const struct nmk_design *design = nmk_draft_design(draft);
    memcpy(s->lengths, marks, nmk_design_length_count(design) * sizeof *marks);
    for (size_t i = 0; i < nmk_design_piece_count(design); i++) {
        const struct nmk_piece *piece = nmk_design_piece(design, i);
        if (piece->kind == NMK_PIECE_PUNCHED)
            continue;
        for (int way = NMK_ACROSS; way <= NMK_DOWN; way++)
            s->lines[i][way] = piece->kind == NMK_PIECE_PANELS
                                   ? panel_lines(piece, way, s->lengths)
                                   : mat_lines(s, piece, way == NMK_ACROSS ? piece->on.across : piece->on.down);
    }
    *out = s;
}

void nmk_sizes_free(struct nmk_sizes *sizes)
{
    if (!sizes)
        return;
    for (size_t i = 0; sizes->lines && i < nmk_design_piece_count(nmk_draft_design(sizes->draft)); i++) {
        nmk_memory_free(sizes->lines[i][NMK_ACROSS]);
        nmk_memory_free(sizes->lines[i][NMK_DOWN]);
    }
    nmk_memory_free(sizes->lines);
    nmk_memory_free(sizes->lengths);
    nmk_memory_free(sizes->choices);
    nmk_memory_free(sizes);
}

static void in_mm(struct nmk_rat *out, const struct nmk_sizes *s, int64_t marks)
{
    nmk_rat_set_int(out, marks);
    nmk_rat_mul(out, out, nmk_draft_step(s->draft));
}

void nmk_sizes_line(struct nmk_rat *out, const struct nmk_sizes *sizes, size_t piece, size_t way, size_t line)
{
    if (sizes->column == NMK_DESIGNED)
        nmk_rat_set(out, nmk_draft_line(sizes->draft, piece, (enum nmk_way)way, line));
    else
        in_mm(out, sizes, sizes->lines[piece][way][line]);
}

void nmk_sizes_stretch(struct nmk_rat *out, const struct nmk_sizes *sizes, size_t piece, size_t way, size_t stretch)
{
    const size_t *lines = nmk_design_piece(nmk_draft_design(sizes->draft), piece)->lists[way].stretches[stretch].lines;
    if (sizes->column == NMK_DESIGNED)
        nmk_rat_sub(out, nmk_draft_line(sizes->draft, piece, (enum nmk_way)way, lines[1]),
                    nmk_draft_line(sizes->draft, piece, (enum nmk_way)way, lines[0]));
    else
        in_mm(out, sizes, sizes->lines[piece][way][lines[1]] - sizes->lines[piece][way][lines[0]]);
}

void nmk_sizes_length(struct nmk_rat *out, const struct nmk_sizes *sizes, size_t length)
{
    if (sizes->column == NMK_DESIGNED)
        nmk_rat_set(out, nmk_draft_designed(sizes->draft, length));
    else
        in_mm(out, sizes, sizes->lengths[length]);
}

void nmk_sizes_choice(struct nmk_rat *out, const struct nmk_sizes *sizes, size_t length, size_t way)
{
    const struct nmk_design *design = nmk_draft_design(sizes->draft);
    const struct nmk_punches *punches = nmk_design_punches(design, nmk_design_length(design, length)->punches);
    nmk_rat_set(out, &punches->sizes[sizes->choices[length]][way]);
}
