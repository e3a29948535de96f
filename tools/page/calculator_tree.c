#include "page/calculator_tree.h"

#include <string.h>

#include "page/piece_words.h"
#include "report/edition_text.h"
#include "report/figure.h"
#include "report/store.h"

struct card {
    const struct published *p;
    const struct nmk_rules *rules;
    const struct nmk_draft *draft;
    const struct nmk_design *design;
};

static void set(json_t *object, const char *key, json_t *value)
{
    json_object_set_new_nocheck(object, key, value);
}

static void append(json_t *list, json_t *value)
{
    json_array_append_new(list, value);
}

/* ---- measures and lengths ---- */

static json_t *measure_tree(const struct card *c, size_t i)
{
    static const char *const ways[] = {[NMK_READ_NEAREST] = "nearest", [NMK_READ_UP] = "up", [NMK_READ_DOWN] = "down",
                                       [NMK_READ_FIXED] = "fixed"};
    const struct nmk_rule_measure *rule = nmk_rules_measure(c->rules, i);
    bool any = rule->read != NMK_READ_FIXED && rule->first <= rule->last;
    json_t *tree = json_object();
    set(tree, "read", json_string(ways[rule->read]));
    set(tree, "from", tree_rat(&rule->from));
    set(tree, "to", tree_rat(&rule->to));
    set(tree, "first", any ? json_integer(rule->first) : json_null());
    set(tree, "last", any ? json_integer(rule->last) : json_null());
    return tree;
}

static json_t *length_tree(const struct card *c, size_t i)
{
    static const char *const rounds[] = {[NMK_ROUND_EXACT] = "exact", [NMK_ROUND_DOWN] = "down", [NMK_ROUND_UP] = "up",
                                         [NMK_ROUND_NEAREST] = "nearest"};
    const struct nmk_rule_length *rule = nmk_rules_length(c->rules, i);
    json_t *tree = json_object(), *terms = json_array();
    for (size_t k = 0; k < rule->term_count; k++) {
        json_t *term = json_array();
        append(term, json_integer((json_int_t)rule->terms[k].measure));
        append(term, tree_rat(&rule->terms[k].times));
        append(terms, term);
    }
    if (rule->chart_only || rule->choice) {
        json_decref(terms);
        return tree;
    }
    set(tree, "terms", terms);
    set(tree, "round", json_string(rounds[rule->round]));
    set(tree, "plus", json_integer(rule->plus));
    return tree;
}

/* ---- pieces: each direction as a list of lengths, or as a sum ---- */

static void add_part(json_t *sum, size_t length, int times)
{
    json_t *part = json_array();
    append(part, json_integer((json_int_t)length));
    append(part, json_integer(times));
    append(sum, part);
}

/* A layer's size is that of what it lies on less its own length, and so on down. */
static void sum_layers(json_t *sum, const struct card *c, size_t piece, enum nmk_way way)
{
    const struct nmk_piece *top = nmk_design_piece(c->design, piece);
    while (top->kind == NMK_PIECE_MAT) {
        const struct nmk_formula *on = way == NMK_ACROSS ? top->on.across : top->on.down;
        const struct nmk_piece *below = nmk_design_piece(c->design, on->subject);
        add_part(sum, top->smaller_length, -1);
        if (on->kind == NMK_F_PANEL) {
            add_part(sum, below->panels[on->part].length, 1);
            return;
        }
        way = (enum nmk_way)on->part;
        top = below;
    }
    for (size_t i = 0; i < top->lists[way].count; i++)
        add_part(sum, top->panels[top->lists[way].stretches[i].panel].length, 1);
}

static void put_list(json_t *tree, const struct card *c, size_t piece, enum nmk_way way)
{
    const struct nmk_piece *p = nmk_design_piece(c->design, piece);
    json_t *lengths = json_array(), *last = json_array(), *names = json_array(), *glue = json_array();
    for (size_t i = 0; i < p->lists[way].count; i++) {
        const struct nmk_stretch *stretch = &p->lists[way].stretches[i];
        append(lengths, json_integer((json_int_t)p->panels[stretch->panel].length));
        append(names, tree_text(p->panels[stretch->panel].name));
        append(last, json_boolean(i && nmk_draft_from_last(c->draft, piece, way, i)));
        if (stretch->glue)
            append(glue, json_integer((json_int_t)i));
    }
    set(tree, "lengths", lengths);
    set(tree, "last", last);
    set(tree, "names", names);
    set(tree, "glue", glue);
}

static json_t *list_tree(const struct card *c, size_t piece, enum nmk_way way)
{
    json_t *tree = json_object();
    if (nmk_design_piece(c->design, piece)->kind == NMK_PIECE_PANELS) {
        put_list(tree, c, piece, way);
        return tree;
    }
    json_t *sum = json_array();
    sum_layers(sum, c, piece, way);
    set(tree, "sum", sum);
    set(tree, "last", json_array());
    return tree;
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
static json_t *place_tree(const struct nmk_piece *piece, size_t index, const struct nmk_formula *on, enum nmk_way way)
{
    if (on && on->kind == NMK_F_PANEL && on->subject == index && piece->kind == NMK_PIECE_PANELS)
        for (size_t i = 0; i < piece->lists[way].count; i++)
            if (piece->lists[way].stretches[i].panel == on->part)
                return json_integer((json_int_t)i);
    return json_integer(-1);
}

static json_t *opening_tree(const struct card *c, const struct nmk_opening *opening, size_t piece)
{
    const struct nmk_rat *size = chosen_size(c, opening->punches, opening->length);
    const struct nmk_piece *p = nmk_design_piece(c->design, piece);
    json_t *tree = json_object(), *at = json_array();
    append(at, place_tree(p, piece, opening->on.across, NMK_ACROSS));
    append(at, place_tree(p, piece, opening->on.down, NMK_DOWN));
    set(tree, "across", tree_rat(&size[NMK_ACROSS]));
    set(tree, "down", tree_rat(&size[NMK_DOWN]));
    set(tree, "at", at);
    return tree;
}

static bool goes_through(const struct nmk_opening *opening, size_t piece)
{
    for (size_t i = 0; i < opening->through_count; i++)
        if (opening->through[i] == piece)
            return true;
    return false;
}

static void put_openings(json_t *tree, json_t *notes, const struct card *c, size_t piece)
{
    json_t *all = json_array();
    for (size_t i = 0; i < nmk_design_opening_count(c->design); i++) {
        const struct nmk_opening *opening = nmk_design_opening(c->design, i);
        if (!goes_through(opening, piece))
            continue;
        struct sink note = {0};
        char *size = punched_text(c, chosen_size(c, opening->punches, opening->length));
        sink_format(&note, "Opening %s: punch %s, in the middle", opening->name, size);
        append(notes, tree_text(note.data));
        append(all, opening_tree(c, opening, piece));
        sink_drop(&note);
        store_free(size);
    }
    set(tree, "openings", all);
}

/* ---- a piece ---- */

static json_t *sheets_tree(const struct card *c, const struct nmk_piece *piece)
{
    const struct nmk_sheet *sheets;
    json_t *all = json_array();
    size_t count = piece_sheets(&sheets, c->draft, piece);
    for (size_t i = 0; i < count; i++) {
        struct sink name = {0};
        json_t *tree = json_object();
        piece_sheet_name(&name, &sheets[i]);
        set(tree, "name", tree_text(name.data));
        set(tree, "width", tree_rat(&sheets[i].width));
        set(tree, "height", tree_rat(&sheets[i].height));
        append(all, tree);
        sink_drop(&name);
    }
    return all;
}

static void put_words(json_t *tree, json_t *notes, const struct card *c, size_t piece)
{
    struct piece_words words;
    const struct shape *shape = &c->p->gallery.shapes[piece];
    const struct nmk_piece *p = nmk_design_piece(c->design, piece);
    piece_words_init(&words, c->p, piece);
    set(tree, "label", tree_text(p->label));
    set(tree, "task", tree_text(words.task));
    for (size_t i = 0; i < piece_lasting_notes(p) && i < shape->note_count; i++)
        append(notes, tree_text(shape->notes[i]));
    for (size_t i = 0; i < words.say_count; i++)
        append(notes, tree_text(words.says[i]));
    piece_words_clear(&words);
}

static void put_form(json_t *tree, const struct card *c, const struct nmk_piece *piece)
{
    struct nmk_rat none = {0};
    if (piece->snipped)
        set(tree, "snipped", json_string(piece->snipped_way == NMK_ACROSS ? "across" : "down"));
    set(tree, "taper", tree_rat(piece->tapered ? nmk_draft_twin(c->draft, &piece->taper) : &none));
    set(tree, "mitred", json_boolean(piece->mitred));
}

static json_t *piece_tree(const struct card *c, size_t i)
{
    const struct nmk_piece *piece = nmk_design_piece(c->design, i);
    json_t *tree = json_object(), *notes = json_array();
    put_words(tree, notes, c, i);
    put_openings(tree, notes, c, i);
    set(tree, "notes", notes);
    if (piece->kind == NMK_PIECE_PUNCHED) {
        char *size = punched_text(c, chosen_size(c, piece->punches, piece->length));
        set(tree, "punched", tree_text(size));
        store_free(size);
        return tree;
    }
    set(tree, "sheets", sheets_tree(c, piece));
    put_form(tree, c, piece);
    set(tree, "across", list_tree(c, i, NMK_ACROSS));
    set(tree, "down", list_tree(c, i, NMK_DOWN));
    return tree;
}

/* ---- what the card does not promise ---- */

static void add_sizes(struct sink *out, const struct card *c, const struct nmk_rule_size *sizes, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        char *size = edition_size(c->p->settled, &sizes[i].mm);
        sink_format(out, "%s%s %s", i ? ", " : " when ", nmk_design_measure(c->design, sizes[i].measure)->label, size);
        store_free(size);
    }
}

static void add_warning(json_t *all, const struct card *c, size_t demand)
{
    const struct nmk_rule_demand *rule = nmk_rules_demand(c->rules, demand);
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
        append(all, tree_text(text.data));
    sink_drop(&text);
    store_free(title);
}

static json_t *warnings_tree(const struct card *c)
{
    json_t *all = json_array();
    for (size_t i = 0; i < nmk_design_demand_count(c->design); i++)
        add_warning(all, c, i);
    return all;
}

/* ---- an edition ---- */

const char *calculator_none(const struct published *p)
{
    if (!p->shown)
        return "No marks of this edition meet every demand, so it has no cut list for your own size either.";
    return p->rules ? NULL : "This edition has no rules for your own size.";
}

static json_t *each(const struct card *c, size_t count, json_t *(*tree)(const struct card *, size_t))
{
    json_t *all = json_array();
    for (size_t i = 0; i < count; i++)
        append(all, tree(c, i));
    return all;
}

static void put_card(json_t *tree, const struct published *p)
{
    struct card c = {p, p->rules, nmk_rules_draft(p->rules), nmk_draft_design(nmk_rules_draft(p->rules))};
    const struct nmk_rat *reach = &nmk_draft_edition(c.draft)->reach;
    set(tree, "step", tree_rat(nmk_draft_step(c.draft)));
    set(tree, "reading", tree_rat(nmk_rules_reading_step(c.rules)));
    set(tree, "marks", json_integer(nmk_draft_score_marks(c.draft)));
    set(tree, "reach", nmk_rat_sign(reach) > 0 ? tree_rat(reach) : json_null());
    set(tree, "measures", each(&c, nmk_design_measure_count(c.design), measure_tree));
    set(tree, "lengths", each(&c, nmk_design_length_count(c.design), length_tree));
    set(tree, "pieces", each(&c, nmk_design_piece_count(c.design), piece_tree));
    set(tree, "warnings", warnings_tree(&c));
}

static json_t *edition_tree(const struct published *p)
{
    json_t *tree = json_object();
    struct sink id = {0};
    sink_format(&id, "edition-%s", published_name(p));
    set(tree, "id", tree_text(id.data));
    sink_drop(&id);
    set(tree, "unit", json_string(published_unit(p)));
    if (calculator_none(p))
        set(tree, "none", json_string(calculator_none(p)));
    else
        put_card(tree, p);
    return tree;
}

json_t *calculator_tree(const struct publication *all)
{
    json_t *tree = json_object(), *editions = json_array();
    for (size_t i = 0; i < all->count; i++)
        append(editions, edition_tree(&all->editions[i]));
    set(tree, "editions", editions);
    return tree;
}
