#include "desk/named.h"

#include <string.h>

#include "ground/figure.h"
#include "ground/letters.h"
#include "ground/store.h"
#include "ground/typed_length.h"
#include "report/edition_text.h"

enum { EDITION_COLUMN = 12, MARK_COLUMN = 14 };
static const char *const ways[] = {"across", "down"};

/* What a name means. */
struct meaning {
    enum { NOTHING, MEASURE, LENGTH, PIECE, WHOLE } kind;
    size_t index;
    enum nmk_way way;
};

static size_t find_piece(const struct nmk_design *design, const char *name, size_t size)
{
    for (size_t i = 0; i < nmk_design_piece_count(design); i++) {
        const char *other = nmk_design_piece(design, i)->name;
        if (strlen(other) == size && !memcmp(other, name, size))
            return i;
    }
    return NMK_NONE;
}

static struct meaning find_meaning(const struct worktop *w, const char *name, size_t size)
{
    struct meaning none = {.kind = NOTHING};
    if (!w->path)
        return none;
    for (size_t i = 0; i < nmk_design_measure_count(w->design); i++)
        if (strlen(nmk_design_measure(w->design, i)->name) == size &&
            !memcmp(nmk_design_measure(w->design, i)->name, name, size))
            return (struct meaning){MEASURE, i, NMK_ACROSS};
    for (size_t i = 0; i < nmk_design_length_count(w->design); i++) {
        const struct nmk_length *length = nmk_design_length(w->design, i);
        if (length->kind != NMK_LENGTH_CHOICE && strlen(length->name) == size && !memcmp(length->name, name, size))
            return (struct meaning){LENGTH, i, NMK_ACROSS};
    }
    size_t piece = find_piece(w->design, name, size);
    if (piece != NMK_NONE)
        return (struct meaning){PIECE, piece, NMK_ACROSS};
    for (int way = 0; way < 2; way++) {
        size_t tail = strlen(ways[way]) + 1;
        if (size <= tail || name[size - tail] != '.' || memcmp(name + size - tail + 1, ways[way], tail - 1))
            continue;
        piece = find_piece(w->design, name, size - tail);
        if (piece != NMK_NONE && nmk_design_piece(w->design, piece)->kind != NMK_PIECE_PUNCHED)
            return (struct meaning){WHOLE, piece, (enum nmk_way)way};
    }
    return none;
}

bool named_size(const struct worktop *w, const char *name, size_t size, struct nmk_rat *mm)
{
    struct meaning m = find_meaning(w, name, size);
    if (m.kind == NOTHING || m.kind == PIECE)
        return false;
    const struct nmk_draft *draft = w->judgement.editions[0].draft;
    if (m.kind == MEASURE)
        nmk_rat_set(mm, &nmk_design_measure(w->design, m.index)->size);
    else if (m.kind == LENGTH)
        nmk_rat_set(mm, nmk_draft_designed(draft, m.index));
    else
        nmk_rat_set(mm, nmk_draft_line(draft, m.index, m.way, nmk_draft_line_count(draft, m.index, m.way) - 1));
    return true;
}

void named_each(const struct worktop *w, void (*take)(void *context, const char *name), void *context)
{
    if (!w->path)
        return;
    for (size_t i = 0; i < nmk_design_measure_count(w->design); i++)
        take(context, nmk_design_measure(w->design, i)->name);
    for (size_t i = 0; i < nmk_design_length_count(w->design); i++)
        take(context, nmk_design_length(w->design, i)->name);
    for (size_t i = 0; i < nmk_design_piece_count(w->design); i++)
        take(context, nmk_design_piece(w->design, i)->name);
}

/* ---- in words ---- */

/* "one inch", "one quarter of an inch", "four and seven sixteenths inches". */
static const char *unit_words(const struct nmk_rat *mm, enum nmk_unit unit)
{
    struct nmk_rat one = {0};
    nmk_unit_mm(&one, unit);
    int than_one = nmk_rat_cmp(mm, &one);
    nmk_rat_clear(&one);
    switch (unit) {
    case NMK_IN: return than_one < 0 ? "of an inch" : than_one ? "inches" : "inch";
    case NMK_FT: return than_one < 0 ? "of a foot" : than_one ? "feet" : "foot";
    case NMK_MIL: return than_one ? "mils" : "mil";
    case NMK_CM: return than_one ? "centimetres" : "centimetre";
    default: return than_one ? "millimetres" : "millimetre";
    }
}

char *named_words(const struct nmk_rat *mm, enum nmk_unit unit)
{
    size_t size = nmk_length_say(NULL, 0, mm, unit) + 1;
    char *said = store_new(size, 1);
    struct sink words = {0};
    nmk_length_say(said, size, mm, unit);
    sink_format(&words, "%s %s", said, unit_words(mm, unit));
    store_free(said);
    return words.data;
}

/* ---- what is shown and said ---- */

/* The marks of it, settled or, where nothing meets all demands, each rounded by itself. */
static int64_t marks_of(const struct judged *one, struct meaning m)
{
    bool settled = nmk_settled_holds_together(one->settled);
    if (m.kind == LENGTH)
        return settled ? nmk_settled_marks(one->settled, m.index) : nmk_draft_nearest(one->draft, m.index);
    return nmk_settled_line(one->settled, settled ? NMK_SETTLED : NMK_ROUNDED, m.index, m.way,
                            nmk_draft_line_count(one->draft, m.index, m.way) - 1);
}

static void show_in_edition(struct sink *out, const struct judged *one, struct meaning m)
{
    int64_t marks = marks_of(one, m);
    struct nmk_rat mm = {0};
    nmk_rat_set_int(&mm, marks);
    nmk_rat_mul(&mm, &mm, nmk_draft_step(one->draft));
    char *mark = edition_mark(one->settled, marks), *words = named_words(&mm, edition_unit(one->settled));
    const char *edition = nmk_draft_edition(one->draft)->name;
    sink_string(out, "    ");
    sink_plain(out, edition);
    sink_spaces(out, EDITION_COLUMN - letters_width(edition));
    sink_tint(out, TINT_STRONG, mark);
    sink_spaces(out, MARK_COLUMN - letters_width(mark));
    sink_format(out, " %s\n", words);
    store_free(mark);
    store_free(words);
    nmk_rat_clear(&mm);
}

static void show_in_editions(struct sink *out, const struct worktop *w, struct meaning m)
{
    for (size_t i = 0; i < w->judgement.count; i++)
        show_in_edition(out, &w->judgement.editions[i], m);
}

static void show_measure(struct sink *out, const struct nmk_measure *measure)
{
    char *size = typed_length(&measure->size, measure->unit), *words = named_words(&measure->size, measure->unit);
    sink_format(out, "  %s: ", measure->name);
    sink_plain(out, measure->label);
    sink_format(out, "\n    measured    %s", size);
    sink_spaces(out, MARK_COLUMN - letters_width(size));
    sink_format(out, " %s\n", words);
    store_free(size);
    store_free(words);
}

static void show_heading(struct sink *out, const struct worktop *w, const char *name)
{
    struct nmk_rat mm = {0};
    named_size(w, name, strlen(name), &mm);
    char *drawn = figure_length(&mm, NMK_MM);
    sink_format(out, "  %s: drawn as %s\n", name, drawn);
    store_free(drawn);
    nmk_rat_clear(&mm);
}

static void show_piece(struct sink *out, const struct worktop *w, struct meaning m)
{
    const struct nmk_piece *piece = nmk_design_piece(w->design, m.index);
    sink_format(out, "  %s: ", piece->name);
    sink_plain(out, piece->label);
    sink_string(out, piece->kind == NMK_PIECE_PUNCHED ? ", from a punch\n" : "\n");
    for (int way = 0; way < 2 && piece->kind != NMK_PIECE_PUNCHED; way++) {
        sink_format(out, "  cut %s\n", ways[way]);
        show_in_editions(out, w, (struct meaning){WHOLE, m.index, (enum nmk_way)way});
    }
}

bool named_show(struct sink *out, const struct worktop *w, const char *name)
{
    struct meaning m = find_meaning(w, name, strlen(name));
    if (m.kind == NOTHING)
        return false;
    if (m.kind == MEASURE) {
        show_measure(out, nmk_design_measure(w->design, m.index));
    } else if (m.kind == PIECE) {
        show_piece(out, w, m);
    } else {
        show_heading(out, w, name);
        show_in_editions(out, w, m);
    }
    return true;
}

/* "Sleeve, face: two and nine sixteenths inches." */
static void say_sentence(struct sink *out, const char *name, const char *words)
{
    struct sink sentence = {0};
    sink_string(&sentence, "\"");
    for (const char *at = name; *at; at++)
        if (at == name && *at >= 'a' && *at <= 'z')
            sink_format(&sentence, "%c", *at - 'a' + 'A');
        else if (*at == '.')
            sink_string(&sentence, ", ");
        else
            sink_format(&sentence, "%c", *at == '_' ? ' ' : *at);
    sink_format(&sentence, ": %s.\"", words);
    sink_words(out, 4, sentence.data);
    sink_drop(&sentence);
}

static void say_in_editions(struct sink *out, const struct worktop *w, struct meaning m, const char *name)
{
    for (size_t i = 0; i < w->judgement.count; i++) {
        const struct judged *one = &w->judgement.editions[i];
        struct nmk_rat mm = {0};
        nmk_rat_set_int(&mm, marks_of(one, m));
        nmk_rat_mul(&mm, &mm, nmk_draft_step(one->draft));
        char *words = named_words(&mm, edition_unit(one->settled));
        sink_format(out, "  %s\n", nmk_draft_edition(one->draft)->name);
        say_sentence(out, name, words);
        store_free(words);
        nmk_rat_clear(&mm);
    }
}

bool named_say(struct sink *out, const struct worktop *w, const char *name)
{
    struct meaning m = find_meaning(w, name, strlen(name));
    if (m.kind == NOTHING || m.kind == PIECE)
        return false;
    if (m.kind == MEASURE) {
        const struct nmk_measure *measure = nmk_design_measure(w->design, m.index);
        char *words = named_words(&measure->size, measure->unit);
        say_sentence(out, measure->label, words);
        store_free(words);
    } else {
        say_in_editions(out, w, m, name);
    }
    return true;
}
