#include "page/calculator_json.h"

#include <string.h>

#include "draw/shape_rows.h"
#include "ground/figure.h"
#include "ground/store.h"
#include "page/piece_words.h"
#include "report/edition_text.h"
#include "report/row_words.h"

struct card {
    const struct published *p;
    const struct nmk_rules *rules;
    const struct nmk_draft *draft;
    const struct nmk_design *design;
};

/* ---- measures and lengths ---- */

static void put_measure(struct json *j, const struct card *c, size_t i)
{
    static const char *const ways[] = {[NMK_READ_NEAREST] = "nearest", [NMK_READ_UP] = "up", [NMK_READ_DOWN] = "down",
                                       [NMK_READ_FIXED] = "fixed"};
    const struct nmk_rule_measure *rule = nmk_rules_measure(c->rules, i);
    bool any = rule->read != NMK_READ_FIXED && rule->first <= rule->last;
    json_object(j, NULL);
    json_text(j, "read", ways[rule->read]);
    json_rat(j, "from", &rule->from);
    json_rat(j, "to", &rule->to);
    json_whole_if(j, "first", any, rule->first);
    json_whole_if(j, "last", any, rule->last);
    json_close(j);
}

static void put_term(struct json *j, const struct nmk_rule_term *term)
{
    json_list(j, NULL);
    json_count(j, NULL, term->measure);
    json_rat(j, NULL, &term->times);
    json_close(j);
}

static void put_length(struct json *j, const struct card *c, size_t i)
{
    static const char *const rounds[] = {[NMK_ROUND_EXACT] = "exact", [NMK_ROUND_DOWN] = "down", [NMK_ROUND_UP] = "up",
                                         [NMK_ROUND_NEAREST] = "nearest"};
    const struct nmk_rule_length *rule = nmk_rules_length(c->rules, i);
    json_object(j, NULL);
    if (!rule->chart_only && !rule->choice) {
        json_list(j, "terms");
        for (size_t k = 0; k < rule->term_count; k++)
            put_term(j, &rule->terms[k]);
        json_close(j);
        json_text(j, "round", rounds[rule->round]);
        json_whole(j, "plus", rule->plus);
    }
    json_close(j);
}

/* ---- pieces: each direction as a list of lengths, or as a sum ---- */

static void put_part(struct json *j, size_t length, int times)
{
    json_list(j, NULL);
    json_count(j, NULL, length);
    json_whole(j, NULL, times);
    json_close(j);
}

/* A layer's size is that of what it lies on less its own length, and so on down. */
static void put_layers(struct json *j, const struct card *c, size_t piece, enum nmk_way way)
{
    const struct nmk_piece *top = nmk_design_piece(c->design, piece);
    while (top->kind == NMK_PIECE_MAT) {
        const struct nmk_formula *on = way == NMK_ACROSS ? top->on.across : top->on.down;
        const struct nmk_piece *below = nmk_design_piece(c->design, on->subject);
        put_part(j, top->smaller_length, -1);
        if (on->kind == NMK_F_PANEL) {
            put_part(j, below->panels[on->part].length, 1);
            return;
        }
        way = (enum nmk_way)on->part;
        top = below;
    }
    const struct nmk_row *row = &top->lists[way].rows[top->lists[way].widest];
    for (size_t i = row->first; i < row->first + row->count; i++)
        put_part(j, top->panels[top->lists[way].stretches[i].panel].length, 1);
}

/* A list of lists of a direction: where each stretch stands, and what its lines are. */
static void put_rows(struct json *j, const struct nmk_piece *piece, enum nmk_way way)
{
    const struct nmk_list *list = &piece->lists[way];
    json_list(j, "rows");
    for (size_t i = 0; i < list->row_count; i++) {
        const struct nmk_row *row = &list->rows[i];
        struct sink words = {0};
        row_add_panels(&words, piece, row, false);
        json_object(j, NULL);
        json_count(j, "count", row->count);
        json_list(j, "rests");
        json_count(j, NULL, row->rests[0]);
        json_count(j, NULL, row->rests[1]);
        json_close(j);
        if (list->row_count > 1)
            json_text(j, "beside", words.data);
        json_close(j);
        sink_drop(&words);
    }
    json_close(j);
    json_count(j, "widest", list->widest);
    json_list(j, "cuts");
    for (size_t i = 0; i < list->line_count; i++)
        json_truth(j, NULL, list->lines[i].is_cut);
    json_close(j);
    json_list(j, "beside");
    for (size_t i = 0; i < list->count; i++)
        json_count(j, NULL, list->stretches[i].beside);
    json_close(j);
}

static void put_panels(struct json *j, const struct card *c, size_t piece, enum nmk_way way)
{
    const struct nmk_piece *p = nmk_design_piece(c->design, piece);
    const struct nmk_list *list = &p->lists[way];
    json_list(j, "lengths"); /* null: a rest */
    for (size_t i = 0; i < list->count; i++)
        json_whole_if(j, NULL, list->stretches[i].panel != NMK_NONE,
                      list->stretches[i].panel == NMK_NONE ? 0 : (int64_t)p->panels[list->stretches[i].panel].length);
    json_close(j);
    json_list(j, "last");
    for (size_t i = 0; i + 1 < list->line_count; i++)
        json_truth(j, NULL, i && nmk_draft_from_last(c->draft, piece, way, i));
    json_close(j);
    json_list(j, "names");
    for (size_t i = 0; i < list->count; i++)
        json_text(j, NULL, list->stretches[i].panel == NMK_NONE ? "" : p->panels[list->stretches[i].panel].name);
    json_close(j);
    json_list(j, "glue");
    for (size_t i = 0; i < list->count; i++)
        if (list->stretches[i].glue)
            json_count(j, NULL, i);
    json_close(j);
    if (nmk_piece_has_rows(p))
        put_rows(j, p, way);
}

static void put_direction(struct json *j, const char *key, const struct card *c, size_t piece, enum nmk_way way)
{
    json_object(j, key);
    if (nmk_design_piece(c->design, piece)->kind == NMK_PIECE_PANELS) {
        put_panels(j, c, piece, way);
    } else {
        json_list(j, "sum");
        put_layers(j, c, piece, way);
        json_close(j);
        json_list(j, "last");
        json_close(j);
    }
    json_close(j);
}

/* ---- what is punched: the card's choice, not the settled one ---- */

static const struct nmk_rat *chosen_size(const struct card *c, size_t punches, size_t length)
{
    return nmk_design_punches(c->design, punches)->sizes[nmk_rules_length(c->rules, length)->choice - 1];
}

static char *punched_text(const struct card *c, const struct nmk_rat *size)
{
    struct sink text = {0};
    char *across = edition_size(c->p->settled, &size[NMK_ACROSS]), *down = edition_size(c->p->settled, &size[NMK_DOWN]);
    sink_format(&text, "%s \xC3\x97 %s", across, down);
    store_free(across);
    store_free(down);
    return text.data;
}

/* The stretch of the piece in whose middle it is, -1: the whole. */
static int64_t place_of(const struct nmk_piece *piece, size_t index, const struct nmk_opening *opening, enum nmk_way way)
{
    size_t stretch = shape_stretch_on(piece, index, &opening->on, way);
    return stretch == NMK_NONE ? -1 : (int64_t)stretch;
}

static void put_opening(struct json *j, const struct card *c, const struct nmk_opening *opening, size_t piece)
{
    const struct nmk_rat *size = chosen_size(c, opening->punches, opening->length);
    const struct nmk_piece *p = nmk_design_piece(c->design, piece);
    json_object(j, NULL);
    json_rat(j, "across", &size[NMK_ACROSS]);
    json_rat(j, "down", &size[NMK_DOWN]);
    char *text = punched_text(c, size);
    json_text(j, "text", text);
    store_free(text);
    json_list(j, "at");
    json_whole(j, NULL, place_of(p, piece, opening, NMK_ACROSS));
    json_whole(j, NULL, place_of(p, piece, opening, NMK_DOWN));
    json_close(j);
    json_close(j);
}

static bool goes_through(const struct nmk_opening *opening, size_t piece)
{
    for (size_t i = 0; i < opening->through_count; i++)
        if (opening->through[i] == piece)
            return true;
    return false;
}

static void put_openings(struct json *j, const struct card *c, size_t piece)
{
    json_list(j, "openings");
    for (size_t i = 0; i < nmk_design_opening_count(c->design); i++)
        if (goes_through(nmk_design_opening(c->design, i), piece))
            put_opening(j, c, nmk_design_opening(c->design, i), piece);
    json_close(j);
}

static void put_opening_note(struct json *j, const struct card *c, const struct nmk_opening *opening)
{
    struct sink note = {0};
    char *size = punched_text(c, chosen_size(c, opening->punches, opening->length));
    sink_format(&note, "Opening %s: punch %s, in the middle", opening->name, size);
    json_text(j, NULL, note.data);
    sink_drop(&note);
    store_free(size);
}

/* ---- a piece ---- */

static void put_sheets(struct json *j, const struct card *c, const struct nmk_piece *piece)
{
    const struct nmk_sheet *sheets;
    size_t count = piece_sheets(&sheets, c->draft, piece);
    json_list(j, "sheets");
    for (size_t i = 0; i < count; i++) {
        struct sink name = {0};
        piece_sheet_name(&name, &sheets[i]);
        json_object(j, NULL);
        json_text(j, "name", name.data);
        json_rat(j, "width", &sheets[i].width);
        json_rat(j, "height", &sheets[i].height);
        json_close(j);
        sink_drop(&name);
    }
    json_close(j);
}

/* What holds for every size, below the cuts: what is said before the glue is `late`. */
static void put_lasting(struct json *j, const struct piece_words *words, bool late)
{
    for (size_t i = words->above_count; i < words->remark_count; i++) {
        const struct piece_remark *remark = &words->remarks[i];
        bool glue = remark->say && remark->say->place == NMK_SAY_GLUE;
        if (remark->lasting && glue == late)
            json_text(j, NULL, remark->text);
    }
}

static void put_notes(struct json *j, const struct card *c, size_t piece, const struct piece_words *words)
{
    json_list(j, "above");
    for (size_t i = 0; i < words->above_count; i++)
        json_text(j, NULL, words->remarks[i].text);
    json_close(j);
    json_list(j, "notes");
    put_lasting(j, words, false);
    for (size_t i = 0; i < nmk_design_opening_count(c->design); i++)
        if (goes_through(nmk_design_opening(c->design, i), piece))
            put_opening_note(j, c, nmk_design_opening(c->design, i));
    /* What is cut away stands between them, at the viewer's size. */
    if (nmk_piece_has_rows(nmk_design_piece(c->design, piece))) {
        json_close(j);
        json_list(j, "late");
    }
    put_lasting(j, words, true);
    json_close(j);
}

static void put_words(struct json *j, const struct card *c, size_t piece)
{
    struct piece_words words;
    piece_words_init(&words, c->p, piece);
    json_text(j, "label", nmk_design_piece(c->design, piece)->label);
    json_text(j, "task", words.task);
    put_openings(j, c, piece);
    put_notes(j, c, piece, &words);
    piece_words_clear(&words);
}

static void put_form(struct json *j, const struct card *c, const struct nmk_piece *piece)
{
    struct nmk_rat none = {0};
    if (piece->snipped)
        json_text(j, "snipped", piece->snipped_way == NMK_ACROSS ? "across" : "down");
    json_rat(j, "taper", piece->tapered ? nmk_draft_twin(c->draft, &piece->taper) : &none);
    json_truth(j, "mitred", piece->mitred);
    if (piece->has_grain)
        json_text(j, "grain", piece->grain == NMK_ACROSS ? "across" : "down");
}

static void put_piece(struct json *j, const struct card *c, size_t i)
{
    const struct nmk_piece *piece = nmk_design_piece(c->design, i);
    json_object(j, NULL);
    put_words(j, c, i);
    if (piece->kind == NMK_PIECE_PUNCHED) {
        const struct nmk_rat *size = chosen_size(c, piece->punches, piece->length);
        char *text = punched_text(c, size);
        json_text(j, "punched", text);
        store_free(text);
        json_list(j, "punched_mm");
        json_rat(j, NULL, &size[NMK_ACROSS]);
        json_rat(j, NULL, &size[NMK_DOWN]);
        json_close(j);
    } else {
        put_sheets(j, c, piece);
        put_form(j, c, piece);
        put_direction(j, "across", c, i, NMK_ACROSS);
        put_direction(j, "down", c, i, NMK_DOWN);
    }
    json_close(j);
}

/* ---- what the card does not promise ---- */

static void put_own_terms(struct json *j, const char *key, const struct nmk_own_term *terms, size_t count)
{
    json_list(j, key);
    for (size_t i = 0; i < count; i++) {
        json_list(j, NULL);
        json_count(j, NULL, terms[i].index);
        json_rat(j, NULL, &terms[i].times);
        json_close(j);
    }
    json_close(j);
}

static void put_cases(struct json *j, const struct nmk_own_clearance *own)
{
    json_list(j, "cases");
    for (size_t i = 0; i < own->case_count; i++) {
        json_list(j, NULL);
        for (size_t k = 0; k < own->cases[i].count; k++)
            json_rat(j, NULL, &own->cases[i].widths[k]);
        json_close(j);
    }
    json_close(j);
}

static void put_words_of_states(struct json *j, const struct nmk_demand *demand)
{
    static const enum nmk_state states[] = {NMK_TOO_TIGHT, NMK_TOO_LOOSE, NMK_UNEVEN};
    json_list(j, "words");
    for (size_t i = 0; i < 3; i++)
        json_text(j, NULL, nmk_state_word(states[i], demand));
    json_close(j);
}

static bool is_promised(const struct nmk_rule_demand *rule)
{
    return !rule->chart_only && rule->view.state == NMK_HOLDS;
}

/* A demand that is not promised for every size, so that the script can judge it at one. */
static void put_judged(struct json *j, const struct card *c, size_t i)
{
    struct nmk_own_clearance own = {0};
    const struct nmk_demand *demand = nmk_design_demand(c->design, i);
    if (is_promised(nmk_rules_demand(c->rules, i)) || !nmk_rules_own_clearance(&own, c->rules, i))
        return;
    char *title = demand_title(demand);
    json_object(j, NULL);
    json_text(j, "title", title);
    json_truth(j, "exact", demand->exact);
    json_rat(j, "low", nmk_rules_low(c->rules, i));
    json_rat(j, "high", nmk_rules_high(c->rules, i));
    put_words_of_states(j, demand);
    json_rat(j, "constant", &own.constant);
    put_own_terms(j, "lengths", own.lengths, own.length_count);
    put_own_terms(j, "measures", own.measures, own.measure_count);
    put_cases(j, &own);
    json_close(j);
    nmk_own_clearance_clear(&own);
    store_free(title);
}

static void add_sizes(struct sink *out, const struct card *c, const struct nmk_rule_size *sizes, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        char *size = edition_size(c->p->settled, &sizes[i].mm);
        sink_format(out, "%s%s %s", i ? ", " : " when ", nmk_design_measure(c->design, sizes[i].measure)->label, size);
        store_free(size);
    }
}

/* One that cannot be judged by the script is told of in words. */
static void put_warning(struct json *j, const struct card *c, size_t demand)
{
    struct nmk_own_clearance own = {0};
    const struct nmk_rule_demand *rule = nmk_rules_demand(c->rules, demand);
    bool judged = nmk_rules_own_clearance(&own, c->rules, demand);
    nmk_own_clearance_clear(&own);
    if (judged)
        return;
    char *title = demand_title(nmk_design_demand(c->design, demand));
    struct sink text = {0};
    if (rule->chart_only) {
        sink_format(&text, "Not watched for your size: %s hangs on a size that has no rule", title);
    } else if (!rule->met) {
        sink_format(&text, "Not sure for every size: %s is left out of the rules; it fails for example", title);
        add_sizes(&text, c, rule->fails, rule->size_count);
    } else if (rule->view.state != NMK_HOLDS) {
        char *chance = figure_chance(&rule->view.chance);
        sink_format(&text, "At risk: %s comes out right in %s of all cases at the weakest size,", title, chance);
        add_sizes(&text, c, rule->weakest, rule->size_count);
        store_free(chance);
    }
    if (text.size)
        json_text(j, NULL, text.data);
    sink_drop(&text);
    store_free(title);
}

/* ---- an edition ---- */

const char *calculator_none(const struct published *p)
{
    if (!p->shown)
        return "No marks of this edition meet every demand, so it has no cut list for your own size either.";
    return p->rules ? NULL : "This edition has no rules for your own size.";
}

static void put_each(struct json *j, const char *key, const struct card *c, size_t count,
                     void (*put)(struct json *, const struct card *, size_t))
{
    json_list(j, key);
    for (size_t i = 0; i < count; i++)
        put(j, c, i);
    json_close(j);
}

static void put_card(struct json *j, const struct published *p)
{
    struct card c = {p, p->rules, nmk_rules_draft(p->rules), nmk_draft_design(nmk_rules_draft(p->rules))};
    const struct nmk_rat *reach = &nmk_draft_edition(c.draft)->reach;
    json_rat(j, "step", nmk_draft_step(c.draft));
    json_rat(j, "reading", nmk_rules_reading_step(c.rules));
    json_whole(j, "marks", nmk_draft_score_marks(c.draft));
    json_rat(j, "reach", nmk_rat_sign(reach) > 0 ? reach : NULL);
    put_each(j, "measures", &c, nmk_design_measure_count(c.design), put_measure);
    put_each(j, "lengths", &c, nmk_design_length_count(c.design), put_length);
    put_each(j, "pieces", &c, nmk_design_piece_count(c.design), put_piece);
    json_rat(j, "sure", &nmk_rules_options(c.rules)->sure);
    put_each(j, "judged", &c, nmk_design_demand_count(c.design), put_judged);
    put_each(j, "warnings", &c, nmk_design_demand_count(c.design), put_warning);
}

static void put_edition(struct json *j, const struct published *p)
{
    struct sink id = {0};
    sink_format(&id, "edition-%s", published_name(p));
    json_object(j, NULL);
    json_text(j, "id", id.data);
    json_text(j, "unit", published_unit(p));
    if (calculator_none(p))
        json_text(j, "none", calculator_none(p));
    else
        put_card(j, p);
    json_close(j);
    sink_drop(&id);
}

void calculator_json(struct sink *out, const struct publication *all)
{
    struct json j;
    json_begin(&j, out, JSON_SCRIPT);
    json_object(&j, NULL);
    json_list(&j, "editions");
    for (size_t i = 0; i < all->count; i++)
        put_edition(&j, &all->editions[i]);
    json_end(&j);
}
