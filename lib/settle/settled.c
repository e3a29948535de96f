#include "settle/settled.h"

#include <assert.h>

const struct nmk_draft *nmk_settled_draft(const struct nmk_settled *s)
{
    return s->draft;
}

const struct nmk_settle_options *nmk_settled_options(const struct nmk_settled *s)
{
    return &s->options;
}

bool nmk_settled_holds_together(const struct nmk_settled *s)
{
    return s->holds_together;
}

enum nmk_state nmk_settled_state(const struct nmk_settled *s)
{
    return s->state;
}

int64_t nmk_settled_marks(const struct nmk_settled *s, size_t length)
{
    assert(length < s->length_count);
    return s->holds_together ? s->marks[length] : 0;
}

int64_t nmk_settled_choice(const struct nmk_settled *s, size_t length)
{
    assert(length < s->length_count);
    return s->holds_together ? (int64_t)s->choices[length] + 1 : 0;
}

bool nmk_settled_unwatched(const struct nmk_settled *s, size_t length)
{
    assert(length < s->length_count);
    return s->unwatched[length];
}

size_t nmk_settled_moved(const struct nmk_settled *s)
{
    return s->moved;
}

const struct nmk_rat *nmk_settled_deviation(const struct nmk_settled *s)
{
    return &s->deviation;
}

const struct nmk_rat *nmk_settled_low(const struct nmk_settled *s, size_t demand)
{
    assert(demand < s->demand_count);
    return s->clearances->all[demand].low;
}

const struct nmk_rat *nmk_settled_high(const struct nmk_settled *s, size_t demand)
{
    assert(demand < s->demand_count);
    return s->clearances->all[demand].high;
}

bool nmk_settled_enclosed(const struct nmk_settled *s, size_t demand)
{
    assert(demand < s->demand_count);
    return s->clearances->all[demand].enclosed;
}

const struct nmk_view *nmk_settled_view(const struct nmk_settled *s, size_t demand, enum nmk_column column)
{
    assert(demand < s->demand_count);
    return s->sizes[column] ? &s->views[demand][column] : NULL;
}

int64_t nmk_settled_line(const struct nmk_settled *s, enum nmk_column column, size_t piece, enum nmk_way way, size_t line)
{
    assert(line < nmk_draft_line_count(s->draft, piece, way));
    return column != NMK_DESIGNED && s->sizes[column] ? s->sizes[column]->lines[piece][way][line] : 0;
}

const struct nmk_rat *nmk_settled_punched(const struct nmk_settled *s, size_t length, enum nmk_way way)
{
    assert(length < s->length_count);
    const struct nmk_design *design = nmk_draft_design(s->draft);
    if (!s->holds_together)
        return NULL;
    return &nmk_design_punches(design, nmk_design_length(design, length)->punches)->sizes[s->choices[length]][way];
}

static const struct nmk_settled_sources *sources_of(const struct nmk_settled *s, size_t demand, enum nmk_column column)
{
    struct nmk_settled_sources *sources = &s->sources[demand];
    if (!sources->known[column] && s->sizes[column]) {
        sources->count[column] =
            nmk_judge_contributions(&sources->all[column], s->judge, demand, s->worst[demand][column], s->sizes[column]);
        sources->known[column] = true;
    }
    return sources;
}

size_t nmk_settled_contribution_count(const struct nmk_settled *s, size_t demand, enum nmk_column column)
{
    assert(demand < s->demand_count);
    return sources_of(s, demand, column)->count[column];
}

const struct nmk_contribution *nmk_settled_contribution(const struct nmk_settled *s, size_t demand, enum nmk_column column,
                                                        size_t i)
{
    assert(i < nmk_settled_contribution_count(s, demand, column));
    return &sources_of(s, demand, column)->all[column][i];
}
