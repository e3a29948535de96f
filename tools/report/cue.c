#include "report/cue.h"

#include <string.h>

#include "nearmark/marks.h"
#include "report/edition_text.h"
#include "report/figure.h"
#include "report/hint.h"
#include "report/letters.h"
#include "report/on_text.h"
#include "report/store.h"

struct teller {
    const struct nmk_plan *plan;
    const struct nmk_settled *settled;
    const struct nmk_design *design;
    struct cue_list *list;
    bool both;
};

/* ---- texts ---- */

static char *taken(struct sink *s)
{
    char *text = letters_plain(s->data ? s->data : "", s->size);
    sink_drop(s);
    *s = (struct sink){0};
    return text;
}

static void add_owned(struct sink *s, char *text)
{
    sink_string(s, text);
    store_free(text);
}

char *cue_letters(size_t number)
{
    char text[16];
    size_t at = sizeof text - 1;
    text[at] = '\0';
    for (; number && at; number = (number - 1) / 26)
        text[--at] = (char)('A' + (number - 1) % 26);
    return store_copy(text + at, strlen(text + at));
}

static void add_sheets(struct sink *s, const struct nmk_plan_sheet *sheet)
{
    if (sheet->copies == 1)
        sink_format(s, "sheet %zu", sheet->number);
    else
        sink_format(s, "sheets %zu %s %zu", sheet->number, sheet->copies == 2 ? "and" : "to",
                    sheet->number + (size_t)sheet->copies - 1);
}

/* `spoken`: "one strip" needs no figure; of many, "strips A". */
static void add_part(struct sink *s, const struct nmk_plan *plan, size_t i, int64_t times)
{
    const struct nmk_plan_part *part = nmk_plan_part(plan, i);
    const struct nmk_design *design = nmk_draft_design(nmk_settled_draft(nmk_plan_settled(plan)));
    int64_t count = part->count * times;
    if (part->kind == NMK_PLAN_SHEET) {
        add_sheets(s, nmk_plan_sheet(plan, part->sheet));
        return;
    }
    if (count > 1)
        sink_format(s, "%lld %s", (long long)count, part->kind == NMK_PLAN_PIECE ? "x " : "");
    if (part->kind == NMK_PLAN_PIECE) {
        sink_string(s, nmk_plan_piece(plan, part->piece)->blank ? "blank for " : "");
        sink_string(s, nmk_design_piece(design, part->piece)->label);
    } else if (part->kind == NMK_PLAN_STRIP) {
        sink_string(s, count > 1 ? "strips " : "strip ");
        add_owned(s, cue_letters(part->number));
    } else {
        sink_format(s, "offcut%s %zu", count > 1 ? "s" : "", part->number);
    }
}

char *cue_part_name(const struct nmk_plan *plan, size_t part)
{
    struct sink s = {0};
    add_part(&s, plan, part, 1);
    return taken(&s);
}

char *cue_size(const struct nmk_plan *plan, const struct nmk_rat size[2])
{
    struct sink s = {0};
    for (int w = 0; w < 2; w++) {
        sink_string(&s, w ? " x " : "");
        add_owned(&s, edition_size(nmk_plan_settled(plan), &size[w]));
    }
    return taken(&s);
}

/* ---- figures and words ---- */

static enum nmk_unit other_unit(enum nmk_unit unit)
{
    return nmk_unit_is_inch(unit) ? NMK_CM : NMK_IN;
}

/* In the other unit as one would read it there: to the nearest half millimetre or 1/32 in. */
static bool to_other(struct nmk_rat *out, const struct nmk_rat *mm, enum nmk_unit other)
{
    struct nmk_marks marks = {.step = {0}};
    int64_t k = 0;
    nmk_rat_set_frac(&marks.step, other == NMK_CM ? 1 : 127, other == NMK_CM ? 2 : 160);
    bool good = !nmk_marks_nearest(&k, &marks, mm, NMK_TIE_LARGER);
    if (good)
        nmk_marks_at(out, &marks, k);
    nmk_rat_clear(&marks.step);
    return good;
}

static void add_words(struct sink *s, const struct nmk_rat *mm, enum nmk_unit unit)
{
    char text[512];
    nmk_length_say(text, sizeof text, mm, unit);
    bool one = nmk_rat_cmp_int(mm, unit == NMK_CM ? 10 : 1) == 0;
    sink_string(s, text);
    if (unit == NMK_CM)
        sink_string(s, one ? " centimetre" : " centimetres");
    else if (unit == NMK_MM)
        sink_string(s, one ? " millimetre" : " millimetres");
}

/* A length in a sentence: its figure, or in words; in both units where that was asked. */
static void add_length(const struct teller *t, struct sink *s, const struct nmk_rat *mm, bool spoken)
{
    enum nmk_unit unit = edition_unit(t->settled), other = other_unit(unit);
    struct nmk_rat near = {0};
    if (spoken)
        add_words(s, mm, unit);
    else
        add_owned(s, edition_size(t->settled, mm));
    if (t->both && to_other(&near, mm, other)) {
        bool about = !nmk_rat_equal(&near, mm);
        sink_string(s, spoken ? ", " : " (");
        sink_string(s, spoken && about ? "about " : "");
        if (spoken) {
            add_words(s, &near, other);
            sink_string(s, other == NMK_IN ? " inches" : "");
        } else {
            add_owned(s, figure_length(&near, other));
            sink_string(s, ")");
        }
    }
    nmk_rat_clear(&near);
}

static void add_marks(const struct teller *t, struct sink *s, int64_t marks, bool spoken)
{
    struct nmk_rat mm = {0};
    nmk_rat_set_int(&mm, marks);
    nmk_rat_mul(&mm, &mm, nmk_draft_step(nmk_settled_draft(t->settled)));
    add_length(t, s, &mm, spoken);
    nmk_rat_clear(&mm);
}

static const char *edge_name(enum nmk_plan_edge edge)
{
    static const char *const names[] = {[NMK_PLAN_LEFT] = "left edge", [NMK_PLAN_UPPER] = "upper edge",
                                        [NMK_PLAN_RIGHT] = "right edge", [NMK_PLAN_LOWER] = "lower edge"};
    return names[edge];
}

static const struct nmk_piece *piece_of(const struct teller *t, const struct nmk_plan_step *step)
{
    return nmk_design_piece(t->design, step->piece);
}

/* The work before step i, what the design itself says aside; NULL: there is none. */
static const struct nmk_plan_step *work_before(const struct teller *t, size_t i)
{
    while (i-- > 0)
        if (nmk_plan_step(t->plan, i)->act != NMK_PLAN_SAY)
            return nmk_plan_step(t->plan, i);
    return NULL;
}

/* ---- a cue ---- */

static struct cue *add_cue(const struct teller *t, enum cue_part part, const struct nmk_plan_step *step)
{
    struct cue_list *list = t->list;
    if (list->count == list->space) {
        list->space += list->space / 2 + 16;
        list->all = store_resize(list->all, list->space * sizeof *list->all);
    }
    struct cue *cue = &list->all[list->count++];
    *cue = (struct cue){.part = part, .number = step->number};
    cue->opens = list->count == 1 || list->all[list->count - 2].number != step->number;
    return cue;
}

/* The setting, how to find it, and the same in the other unit. */
static void put_setting(const struct teller *t, struct cue *cue, const struct nmk_plan_step *step)
{
    const struct nmk_draft *draft = nmk_settled_draft(t->settled);
    enum nmk_unit unit = edition_unit(t->settled);
    struct nmk_rat near = {0};
    cue->figure = edition_size(t->settled, &step->at);
    cue->hint = step->marks ? hint_mark(step->marks, nmk_draft_step(draft), nmk_draft_step_unit(draft), unit) : NULL;
    if (!step->marks)
        cue->hint = store_copy("between the marks: measure it", 29);
    else if (step->beyond) {
        store_free(cue->hint);
        cue->hint = store_copy("beyond the arm: use a ruler", 27);
    }
    if (t->both && to_other(&near, &step->at, other_unit(unit)))
        cue->other = figure_length(&near, other_unit(unit));
    nmk_rat_clear(&near);
}

static void add_lie(struct sink *s, const struct nmk_plan_step *step)
{
    sink_format(s, "%s at the mark, %s to the fence", edge_name(step->edge), edge_name(step->fence));
}

/* Which turn brings the card from one lie to the next: "" none, quarter, half. */
static const char *turn_between(const struct nmk_plan_step *from, const struct nmk_plan_step *to)
{
    int quarters = ((int)to->edge - (int)from->edge + 4) % 4;
    return quarters == 0 ? "" : quarters == 2 ? "Half a turn. " : "Turn. ";
}

/* ---- cuts ---- */

static bool is_alike(const struct nmk_plan_part *a, const struct nmk_plan_part *b)
{
    if (a->kind == NMK_PLAN_PIECE && b->kind == NMK_PLAN_PIECE)
        return a->piece == b->piece;
    return a->kind == NMK_PLAN_STRIP && b->kind == NMK_PLAN_STRIP && nmk_rat_equal(&a->size[0], &b->size[0]) &&
           nmk_rat_equal(&a->size[1], &b->size[1]);
}

/* How many steps from i on are one run: the same setting and lie, each taken from what the last one left, all giving the
 * same piece, or strips of the same size. */
static size_t run_length(const struct nmk_plan *plan, size_t i)
{
    const struct nmk_plan_step *first = nmk_plan_step(plan, i);
    const struct nmk_plan_part *made = nmk_plan_part(plan, first->first);
    size_t n = 1;
    for (; i + n < nmk_plan_step_count(plan); n++) {
        const struct nmk_plan_step *step = nmk_plan_step(plan, i + n), *last = nmk_plan_step(plan, i + n - 1);
        if (step->act != NMK_PLAN_CUT || step->number != first->number || step->part != last->second || step->edge != first->edge)
            break;
        const struct nmk_plan_part *next = nmk_plan_part(plan, step->first);
        if (!is_alike(made, next))
            break;
    }
    return n;
}

static void add_given(const struct teller *t, struct sink *s, size_t part, int64_t times)
{
    const struct nmk_plan_part *p = nmk_plan_part(t->plan, part);
    add_part(s, t->plan, part, times);
    if (p->kind == NMK_PLAN_PIECE)
        return;
    sink_string(s, ", ");
    add_owned(s, cue_size(t->plan, p->size));
}

/* "strips E, G, I, each 3/4 in x 6 13/16 in". */
static void add_strips(const struct teller *t, struct sink *s, size_t i, size_t n)
{
    const struct nmk_plan_part *made = nmk_plan_part(t->plan, nmk_plan_step(t->plan, i)->first);
    if (made->count > 1)
        sink_format(s, "%lld times ", (long long)made->count);
    sink_string(s, "strips ");
    for (size_t k = 0; k < n; k++) {
        sink_string(s, k ? ", " : "");
        add_owned(s, cue_letters(nmk_plan_part(t->plan, nmk_plan_step(t->plan, i + k)->first)->number));
    }
    sink_string(s, ", each ");
    add_owned(s, cue_size(t->plan, made->size));
}

/* A last piece that comes out alike is one more of them. */
static char *what_it_gives(const struct teller *t, size_t i, size_t n)
{
    const struct nmk_plan_step *first = nmk_plan_step(t->plan, i), *last = nmk_plan_step(t->plan, i + n - 1);
    const struct nmk_plan_part *made = nmk_plan_part(t->plan, first->first), *rest = nmk_plan_part(t->plan, last->second);
    struct sink s = {0};
    bool alike = made->kind == NMK_PLAN_PIECE && is_alike(made, rest);
    if (made->kind == NMK_PLAN_STRIP && n > 1)
        add_strips(t, &s, i, n);
    else
        add_given(t, &s, first->first, (int64_t)n + alike);
    if (!alike) {
        sink_string(&s, "; left over: ");
        add_given(t, &s, last->second, 1);
    }
    return taken(&s);
}

/* `turn`: it has just come off, and lies otherwise now. */
static void say_part(const struct teller *t, struct sink *s, size_t part, bool turn)
{
    const struct nmk_plan_part *p = nmk_plan_part(t->plan, part);
    if (p->kind == NMK_PLAN_SHEET) {
        const struct nmk_plan_sheet *sheet = nmk_plan_sheet(t->plan, p->sheet);
        sink_string(s, "Take ");
        add_sheets(s, sheet);
    } else {
        sink_format(s, "%s %s ", turn ? "Turn" : "Take", p->count > 1 ? "the strips" : "strip");
        add_owned(s, cue_letters(p->number));
    }
    sink_string(s, ". ");
}

/* "The same again, three times more." */
static void say_again(struct sink *s, size_t times, const char *more)
{
    static const char *const words[] = {"", "", "twice", "three times", "four times", "five times"};
    sink_string(s, "The same again");
    if (times > 1 && times < sizeof words / sizeof *words)
        sink_format(s, ", %s%s", words[times], more);
    else if (times > 1)
        sink_format(s, ", %zu times%s", times, more);
    sink_string(s, ".");
}

static void say_cut(const struct teller *t, struct sink *s, const struct nmk_plan_step *before, const struct nmk_plan_step *step, size_t n)
{
    bool same_setting = before && before->number == step->number;
    bool follows = before && (step->part == before->first || step->part == before->second);
    if (follows && step->part == before->second)
        sink_string(s, turn_between(before, step));
    else
        say_part(t, s, step->part, follows && before->edge != step->edge);
    if (same_setting) {
        say_again(s, n, "");
        return;
    }
    sink_string(s, "Cut at ");
    add_length(t, s, &step->at, true);
    sink_string(s, n > 1 ? ". " : ".");
    if (n > 1)
        say_again(s, n - 1, " more");
}

static size_t tell_cut(const struct teller *t, size_t i)
{
    size_t n = run_length(t->plan, i);
    const struct nmk_plan_step *step = nmk_plan_step(t->plan, i);
    struct cue *cue = add_cue(t, CUE_CUT, step);
    struct sink how = {0}, say = {0};
    put_setting(t, cue, step);
    cue->what = cue_part_name(t->plan, step->part);
    add_lie(&how, step);
    if (n > 1)
        sink_format(&how, "; %zu times", n);
    cue->how = taken(&how);
    cue->gives = what_it_gives(t, i, n);
    say_cut(t, &say, work_before(t, i), step, n);
    cue->say = taken(&say);
    return n;
}

/* ---- scores ---- */

static char *piece_name(const struct teller *t, const struct nmk_plan_step *step)
{
    struct sink s = {0};
    sink_string(&s, piece_of(t, step)->label);
    if (step->count == 2)
        sink_string(&s, ", both");
    else if (step->count > 2)
        sink_format(&s, ", each of %lld", (long long)step->count);
    return taken(&s);
}

/* A piece as it is said, `long_strip` in two words, and how many. */
static void say_label(const struct teller *t, struct sink *s, const struct nmk_plan_step *step)
{
    const char *label = piece_of(t, step)->label;
    for (size_t i = 0; label[i]; i++)
        sink_add(s, label[i] == '_' ? " " : label + i, 1);
    sink_string(s, step->count == 2 ? ", both. " : step->count > 2 ? ", all of them. " : ". ");
}

/* The piece is named when it is taken up. */
static void say_piece(const struct teller *t, struct sink *s, const struct nmk_plan_step *before, const struct nmk_plan_step *step)
{
    if (before && before->act == step->act && before->piece == step->piece)
        return;
    say_label(t, s, step);
}

static void say_score(const struct teller *t, struct sink *s, const struct nmk_plan_step *before, const struct nmk_plan_step *step)
{
    bool far_end = step->edge == NMK_PLAN_RIGHT || step->edge == NMK_PLAN_LOWER;
    bool same_piece = before && before->act == NMK_PLAN_SCORE && before->piece == step->piece;
    say_piece(t, s, before, step);
    if (same_piece && before->way != step->way)
        sink_string(s, "Turn. ");
    if (same_piece && before->number == step->number) {
        sink_format(s, "The same again%s.", far_end ? ", in from the far end" : "");
        return;
    }
    sink_string(s, "Score at ");
    add_length(t, s, &step->at, true);
    sink_format(s, "%s.", far_end ? ", in from the far end" : "");
}

static void tell_score(const struct teller *t, size_t i)
{
    const struct nmk_plan_step *step = nmk_plan_step(t->plan, i);
    struct cue *cue = add_cue(t, CUE_SCORE, step);
    struct sink how = {0}, say = {0};
    put_setting(t, cue, step);
    cue->what = piece_name(t, step);
    add_lie(&how, step);
    cue->how = taken(&how);
    say_score(t, &say, work_before(t, i), step);
    cue->say = taken(&say);
}

/* ---- making up: each sentence as it is shown, and as it is spoken ---- */

static void add_punched(const struct teller *t, struct sink *s, size_t length, bool spoken)
{
    for (int w = 0; w < 2; w++) {
        sink_string(s, !w ? "" : spoken ? " by " : " x ");
        add_length(t, s, nmk_settled_punched(t->settled, length, (enum nmk_way)w), spoken);
    }
}

/* "face x depth of Sleeve"; spoken: "face by depth of Sleeve", names with their words apart. */
static void add_place(const struct teller *t, struct sink *s, const struct nmk_on *on, bool spoken)
{
    struct sink place = {0};
    on_text_add(&place, t->design, on);
    for (size_t i = 0; i < place.size; i++)
        if (spoken && i + 2 < place.size && !memcmp(place.data + i, " x ", 3)) {
            sink_string(s, " by ");
            i += 2;
        } else {
            sink_add(s, spoken && place.data[i] == '_' ? " " : place.data + i, 1);
        }
    sink_drop(&place);
}

static void put_punch(const struct teller *t, struct sink *s, const struct nmk_plan_step *step, bool spoken)
{
    sink_string(s, step->count > 1 ? "Punch each from its blank, " : "Punch it from its blank, ");
    add_punched(t, s, piece_of(t, step)->length, spoken);
    sink_string(s, ".");
}

static void put_opening(const struct teller *t, struct sink *s, const struct nmk_plan_step *step, bool spoken)
{
    const struct nmk_opening *opening = nmk_design_opening(t->design, step->opening);
    bool first = step->piece == opening->through[0];
    sink_string(s, "Punch the opening, ");
    add_punched(t, s, opening->length, spoken);
    if (first) {
        sink_string(s, ", in the middle of ");
        add_place(t, s, &opening->on, spoken);
    } else {
        sink_format(s, ", in the middle; the first one, %s, shows where",
                    nmk_design_piece(t->design, opening->through[0])->label);
    }
    sink_string(s, ".");
}

static void put_mitre(const struct teller *t, struct sink *s, const struct nmk_plan_step *step, bool spoken)
{
    (void)t;
    (void)step;
    (void)spoken;
    sink_string(s, "Mitre both ends; the longer edge keeps its length.");
}

static int64_t end_gap(const struct teller *t, size_t piece, enum nmk_way way, bool last)
{
    size_t lines = nmk_draft_line_count(nmk_settled_draft(t->settled), piece, way), line = last ? lines - 2 : 0;
    return nmk_settled_line(t->settled, NMK_SETTLED, piece, way, line + 1) - nmk_settled_line(t->settled, NMK_SETTLED, piece, way, line);
}

static void put_snip(const struct teller *t, struct sink *s, const struct nmk_plan_step *step, bool spoken)
{
    const struct nmk_piece *piece = piece_of(t, step);
    enum nmk_way way = piece->snipped_way;
    int64_t first = end_gap(t, step->piece, way, false), last = end_gap(t, step->piece, way, true);
    sink_string(s, "Snip ");
    add_marks(t, s, first, spoken);
    if (first != last) {
        sink_format(s, " from the %s edge, ", way == NMK_DOWN ? "upper" : "left");
        add_marks(t, s, last, spoken);
        sink_format(s, " from the %s edge,", way == NMK_DOWN ? "lower" : "right");
    }
    sink_format(s, " %s along each outer score: four snips.", way == NMK_DOWN ? "down" : "across");
    if (piece->tapered) {
        sink_string(s, " Taper the free side of each tab by ");
        add_length(t, s, nmk_draft_twin(nmk_settled_draft(t->settled), &piece->taper), spoken);
        sink_string(s, ".");
    }
}

static void put_fold(const struct teller *t, struct sink *s, const struct nmk_plan_step *step, bool spoken)
{
    (void)t;
    (void)step;
    (void)spoken;
    sink_string(s, "Fold every score and burnish it.");
}

/* Which tab it is tells its edge; its size is for the eye. */
static void put_tab(const struct teller *t, struct sink *s, const struct nmk_plan_step *step, enum nmk_way way, bool last, bool spoken)
{
    static const char *const edges[2][2] = {{"left", "right"}, {"upper", "lower"}};
    sink_string(s, s->size ? " Glue the " : "Glue the ");
    if (!spoken) {
        add_marks(t, s, end_gap(t, step->piece, way, last), false);
        sink_string(s, " ");
    }
    sink_format(s, "tab at the %s edge, and hold it.", edges[way][last]);
}

static void put_glue(const struct teller *t, struct sink *s, const struct nmk_plan_step *step, bool spoken)
{
    const struct nmk_piece *piece = piece_of(t, step);
    for (int w = 0; w < 2; w++)
        for (size_t k = 0; k < piece->lists[w].count; k++)
            if (piece->lists[w].stretches[k].glue)
                put_tab(t, s, step, (enum nmk_way)w, k > 0, spoken);
    if (piece->snipped)
        sink_format(s, "%sGlue the corner tabs, opposite corners first, and hold them.", s->size ? " " : "");
}

static void put_layer(const struct teller *t, struct sink *s, const struct nmk_plan_step *step, bool spoken)
{
    const struct nmk_piece *piece = piece_of(t, step);
    struct nmk_rat strip = {0}, half = {0};
    nmk_rat_set_frac(&half, nmk_settled_marks(t->settled, piece->smaller_length), 2);
    nmk_rat_mul(&strip, &half, nmk_draft_step(nmk_settled_draft(t->settled)));
    sink_string(s, step->count > 1 ? "Glue each on " : "Glue it on ");
    add_place(t, s, &piece->on, spoken);
    sink_string(s, ", with ");
    add_length(t, s, &strip, spoken);
    sink_string(s, " showing on every side.");
    nmk_rat_clear(&strip);
    nmk_rat_clear(&half);
}

static void put_say(const struct teller *t, struct sink *s, const struct nmk_plan_step *step, bool spoken)
{
    (void)t;
    (void)spoken;
    sink_string(s, piece_of(t, step)->says[step->say].text);
}

/* In which part of the work a step stands that is neither a cut nor a score. */
static enum cue_part part_of(const struct teller *t, const struct nmk_plan_step *step)
{
    static const enum cue_part places[] = {
        [NMK_SAY_CUT] = CUE_CUT,   [NMK_SAY_SCORE] = CUE_SCORE, [NMK_SAY_SCORED] = CUE_SCORE,
        [NMK_SAY_SNIP] = CUE_MAKE, [NMK_SAY_MITRE] = CUE_PUNCH, [NMK_SAY_GLUE] = CUE_MAKE,
    };
    if (step->act == NMK_PLAN_SAY)
        return places[piece_of(t, step)->says[step->say].place];
    return step->act < NMK_PLAN_SCORE ? CUE_PUNCH : CUE_MAKE;
}

/* What is done is said with the piece's name, unless it was named for what was done before; the design's own words stand
 * alone. */
static bool is_named(const struct nmk_plan_step *before, const struct nmk_plan_step *step)
{
    return step->act != NMK_PLAN_SAY && !(before && before->piece == step->piece && before->act > NMK_PLAN_SCORE);
}

static void tell_making(const struct teller *t, size_t i)
{
    static void (*const puts[])(const struct teller *, struct sink *, const struct nmk_plan_step *, bool) = {
        [NMK_PLAN_PUNCH] = put_punch, [NMK_PLAN_OPENING] = put_opening, [NMK_PLAN_MITRE] = put_mitre, [NMK_PLAN_SNIP] = put_snip,
        [NMK_PLAN_FOLD] = put_fold,   [NMK_PLAN_GLUE] = put_glue,       [NMK_PLAN_LAY] = put_layer,   [NMK_PLAN_SAY] = put_say,
    };
    const struct nmk_plan_step *step = nmk_plan_step(t->plan, i);
    struct cue *cue = add_cue(t, part_of(t, step), step);
    struct sink how = {0}, say = {0};
    cue->what = piece_name(t, step);
    puts[step->act](t, &how, step, false);
    cue->how = taken(&how);
    if (is_named(work_before(t, i), step))
        say_label(t, &say, step);
    puts[step->act](t, &say, step, true);
    cue->say = taken(&say);
}

/* ---- the whole ---- */

void cue_list_make(struct cue_list *out, const struct nmk_plan *plan, bool both)
{
    const struct nmk_settled *settled = nmk_plan_settled(plan);
    struct teller t = {plan, settled, nmk_draft_design(nmk_settled_draft(settled)), out, both};
    *out = (struct cue_list){0};
    for (size_t i = 0; i < nmk_plan_step_count(plan);) {
        enum nmk_plan_act act = nmk_plan_step(plan, i)->act;
        if (act == NMK_PLAN_CUT) {
            i += tell_cut(&t, i);
            continue;
        }
        if (act == NMK_PLAN_SCORE)
            tell_score(&t, i);
        else
            tell_making(&t, i);
        i++;
    }
}

void cue_list_clear(struct cue_list *list)
{
    for (size_t i = 0; i < list->count; i++) {
        struct cue *c = &list->all[i];
        char *texts[] = {c->figure, c->other, c->hint, c->what, c->how, c->gives, c->say};
        for (size_t k = 0; k < sizeof texts / sizeof *texts; k++)
            store_free(texts[k]);
    }
    store_free(list->all);
    *list = (struct cue_list){0};
}
