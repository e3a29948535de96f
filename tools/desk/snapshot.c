#include "desk/snapshot.h"

#include <string.h>

#include "ground/letters.h"
#include "ground/store.h"
#include "report/edition_text.h"

enum { NAME_COLUMN = 24 };

struct edition_marks {
    bool holds;
    int64_t *lengths, (*cuts)[2];
    enum nmk_state *states;
};

struct snapshot {
    size_t count;
    struct edition_marks *editions;
};

static bool has_cuts(const struct nmk_design *design, size_t piece)
{
    return nmk_design_piece(design, piece)->kind != NMK_PIECE_PUNCHED;
}

static void take_lengths(struct edition_marks *e, const struct judged *one, const struct nmk_design *design)
{
    for (size_t i = 0; i < nmk_design_length_count(design); i++)
        e->lengths[i] = nmk_design_length(design, i)->kind == NMK_LENGTH_CHOICE ? nmk_settled_choice(one->settled, i)
                                                                                : nmk_settled_marks(one->settled, i);
    for (size_t p = 0; p < nmk_design_piece_count(design); p++)
        for (int way = 0; way < 2 && has_cuts(design, p); way++)
            e->cuts[p][way] = nmk_settled_line(one->settled, NMK_SETTLED, p, (enum nmk_way)way,
                                               nmk_draft_line_count(one->draft, p, (enum nmk_way)way) - 1);
    for (size_t i = 0; i < nmk_design_demand_count(design); i++)
        e->states[i] = nmk_settled_view(one->settled, i, NMK_SETTLED)->state;
}

static void take_edition(struct edition_marks *e, const struct judged *one, const struct nmk_design *design)
{
    e->holds = nmk_settled_holds_together(one->settled);
    e->lengths = store_new(nmk_design_length_count(design) + 1, sizeof *e->lengths);
    e->cuts = store_new(nmk_design_piece_count(design) + 1, sizeof *e->cuts);
    e->states = store_new(nmk_design_demand_count(design) + 1, sizeof *e->states);
    if (e->holds)
        take_lengths(e, one, design);
}

struct snapshot *snapshot_new(const struct worktop *w)
{
    struct snapshot *s = store_new(1, sizeof *s);
    s->count = w->judgement.count;
    s->editions = store_new(s->count + 1, sizeof *s->editions);
    for (size_t i = 0; i < s->count; i++)
        take_edition(&s->editions[i], &w->judgement.editions[i], w->design);
    return s;
}

void snapshot_free(struct snapshot *s)
{
    if (!s)
        return;
    for (size_t i = 0; i < s->count; i++) {
        store_free(s->editions[i].lengths);
        store_free(s->editions[i].cuts);
        store_free(s->editions[i].states);
    }
    store_free(s->editions);
    store_free(s);
}

static void show_move(struct sink *out, const struct judged *one, const char *name, const char *way, int64_t before,
                      int64_t now)
{
    if (before == now)
        return;
    char *old = edition_mark(one->settled, before), *new = edition_mark(one->settled, now);
    sink_string(out, "    ");
    sink_plain(out, name);
    sink_format(out, "%s%s", *way ? " " : "", way);
    sink_spaces(out, NAME_COLUMN - letters_width(name) - (*way ? 1 : 0) - letters_width(way));
    sink_format(out, " %s -> ", old);
    sink_tint(out, TINT_STRONG, new);
    sink_string(out, "\n");
    store_free(old);
    store_free(new);
}

static void show_moves(struct sink *out, const struct edition_marks *old, const struct edition_marks *new,
                       const struct judged *one, const struct nmk_design *design)
{
    for (size_t i = 0; i < nmk_design_length_count(design); i++) {
        const struct nmk_length *length = nmk_design_length(design, i);
        if (length->kind != NMK_LENGTH_CHOICE)
            show_move(out, one, length->name, "", old->lengths[i], new->lengths[i]);
        else if (old->lengths[i] != new->lengths[i])
            sink_format(out, "    %s: punch %d -> %d\n", length->name, (int)old->lengths[i], (int)new->lengths[i]);
    }
    for (size_t p = 0; p < nmk_design_piece_count(design); p++) {
        const char *name = nmk_design_piece(design, p)->label;
        show_move(out, one, name, "cut across", old->cuts[p][NMK_ACROSS], new->cuts[p][NMK_ACROSS]);
        show_move(out, one, name, "cut down", old->cuts[p][NMK_DOWN], new->cuts[p][NMK_DOWN]);
    }
}

static void show_states(struct sink *out, const struct edition_marks *old, const struct edition_marks *new,
                        const struct nmk_design *design)
{
    for (size_t i = 0; i < nmk_design_demand_count(design); i++) {
        const struct nmk_demand *d = nmk_design_demand(design, i);
        if (old->states[i] == new->states[i])
            continue;
        char *title = demand_title(d);
        sink_string(out, "    ");
        sink_plain(out, title);
        sink_string(out, ": ");
        sink_tint(out, state_tint(new->states[i]), nmk_state_word(new->states[i], d));
        sink_format(out, ", was: %s\n", nmk_state_word(old->states[i], d));
        store_free(title);
    }
}

static void show_end(struct sink *out, const struct edition_marks *new, const struct nmk_design *design)
{
    size_t count = nmk_design_demand_count(design), bad = 0;
    for (size_t i = 0; new->holds && i < count; i++)
        bad += new->states[i] != NMK_HOLDS;
    if (!new->holds)
        sink_tint(out, TINT_BAD, "    No marks meet every demand; check says more.\n");
    else if (!count)
        sink_string(out, "    The design has no demands; nothing watches whether it fits.\n");
    else if (bad)
        sink_format(out, "    %zu of %zu demand%s not hold; check says more.\n", bad, count,
                    count == 1 ? " does"
                    : bad == 1 ? "s does"
                               : "s do");
    else if (count == 1)
        sink_string(out, "    It holds.\n");
    else
        sink_format(out, "    All %zu hold.\n", count);
}

void snapshot_show(struct sink *out, const struct snapshot *before, const struct worktop *now)
{
    struct snapshot *after = snapshot_new(now);
    for (size_t i = 0; i < after->count && i < before->count; i++) {
        const struct judged *one = &now->judgement.editions[i];
        struct edition_marks *old = &before->editions[i], *new = &after->editions[i];
        sink_format(out, "  %s\n", nmk_draft_edition(one->draft)->name);
        if (old->holds && new->holds) {
            show_moves(out, old, new, one, now->design);
            show_states(out, old, new, now->design);
        }
        show_end(out, new, now->design);
    }
    snapshot_free(after);
}
