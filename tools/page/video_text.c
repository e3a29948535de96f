#include "page/video_text.h"

#include <string.h>

#include "ground/letters.h"
#include "ground/store.h"
#include "page/escape.h"
#include "page/piece_words.h"
#include "report/edition_text.h"

enum { MOST_NAME = 80 };
enum detail { ALL, WITHOUT_NOTES, CUTS_ALONE };

static size_t letter_count(const char *text)
{
    size_t count = 0;
    for (; *text; text++)
        count += ((unsigned char)*text & 0xC0) != 0x80 ? (unsigned char)*text >= 0xF0 ? 2 : 1 : 0;
    return count;
}

/* A name of a design, however long it is; as a single line. */
static void add_name(struct sink *out, const char *name)
{
    struct sink plain = {0};
    escape_typed(&plain, name);
    size_t size = 0, letters = 0;
    while (plain.data && plain.data[size] && letters < MOST_NAME) {
        size += letter_get(plain.data, plain.size, size).bytes;
        letters++;
    }
    sink_add(out, plain.data ? plain.data : "", size);
    sink_string(out, size < plain.size ? "\xE2\x80\xA6" : "");
    sink_drop(&plain);
}

static void add_typed(struct sink *out, const char *before, const char *text, const char *after)
{
    sink_string(out, before);
    escape_typed(out, text);
    sink_string(out, after);
}

static bool is_same(const char *a, const char *b)
{
    return a && b ? !strcmp(a, b) : a == b;
}

/* Are two rows told in one line? `parts`: of scores those parts that are cut. */
static bool is_alike(const struct cut_row *a, const struct cut_row *b, bool parts)
{
    bool same = a->way == b->way && a->last == b->last && a->knife == b->knife && is_same(a->beside, b->beside);
    return !b->cut && same && ((!parts && !a->knife) || is_same(a->parts, b->parts));
}

/* Is there one like it before it? */
static bool is_told(const struct piece_words *words, size_t row, bool parts)
{
    for (size_t k = 0; k < row; k++)
        if (is_alike(&words->rows[row], &words->rows[k], parts))
            return true;
    return false;
}

/* "score 1 3/4, 4 7/8 in from the left edge": all those that are like the first. */
static void add_lines(struct sink *out, const struct published *p, const struct piece_words *words, size_t first, bool parts)
{
    const struct cut_row *row = &words->rows[first];
    bool cut = row->knife || parts;
    for (size_t i = first; i < words->row_count; i++) {
        if (!is_alike(row, &words->rows[i], parts))
            continue;
        sink_string(out, i > first ? ", " : cut ? "  cut at " : "  score ");
        escape_typed(out, words->rows[i].figure);
    }
    sink_format(out, " %s from the %s edge", published_unit(p), piece_edge(row->way, row->last));
    if (row->beside)
        add_typed(out, ",", row->beside, "");
    if (row->parts && cut)
        add_typed(out, ", only ", row->parts, "");
    sink_string(out, "\n");
}

/* Of a direction, those from one edge: in a line what is done alike, then what is cut of scores. */
static void add_scores(struct sink *out, const struct published *p, const struct piece_words *words, enum nmk_way way,
                       bool last)
{
    for (size_t i = 0; i < words->row_count; i++) {
        const struct cut_row *row = &words->rows[i];
        if (!row->cut && row->way == way && row->last == last && !is_told(words, i, false))
            add_lines(out, p, words, i, false);
    }
    for (size_t i = 0; i < words->row_count; i++) {
        const struct cut_row *row = &words->rows[i];
        if (!row->cut && !row->knife && row->parts && row->way == way && row->last == last && !is_told(words, i, true))
            add_lines(out, p, words, i, true);
    }
}

static void add_piece(struct sink *out, const struct published *p, size_t piece, enum detail detail)
{
    struct piece_words words;
    const struct nmk_piece *of = nmk_design_piece(nmk_draft_design(nmk_settled_draft(p->settled)), piece);
    piece_words_init(&words, p, piece);
    add_name(out, of->label);
    sink_format(out, ": %s %u, ", words.punched ? "punch" : "cut", (unsigned)of->copies);
    add_typed(out, "", words.size, "\n");
    for (size_t i = 0; i < words.above_count && detail < WITHOUT_NOTES; i++)
        add_typed(out, "  ", words.remarks[i].text, "\n");
    for (int k = 0; k < 4 && detail < CUTS_ALONE; k++)
        add_scores(out, p, &words, k < 2 ? NMK_ACROSS : NMK_DOWN, k % 2);
    for (size_t i = words.above_count; i < words.remark_count && detail < WITHOUT_NOTES; i++)
        add_typed(out, "  ", words.remarks[i].text, "\n");
    piece_words_clear(&words);
}

static void add_edition(struct sink *out, const struct published *p, enum detail detail, size_t most)
{
    const struct nmk_draft *draft = nmk_settled_draft(p->settled);
    size_t count = p->shown ? p->gallery.count : 0;
    sink_string(out, "\n");
    add_name(out, published_name(p));
    sink_string(out, " (");
    draft_marks(out, draft);
    sink_string(out, "; across x down)\n");
    if (!p->shown)
        sink_string(out, "No marks meet every demand; there is no cut list.\n");
    struct sink sheets = {0};
    if (detail < WITHOUT_NOTES && published_sheets(&sheets, p))
        add_typed(out, "To buy: ", sheets.data, "\n");
    sink_drop(&sheets);
    for (size_t i = 0; i < count && i < most; i++)
        add_piece(out, p, i, detail);
    if (count > most)
        sink_format(out, "and %zu more pieces: see the page\n", count - most);
}

static void add_end(struct sink *out, const struct publication *all, enum detail detail)
{
    static const char *const left_out[] = {"", "\nNotes and diagrams are on the page.\n",
                                           "\nScores, notes and diagrams are on the page.\n"};
    sink_string(out, left_out[detail]);
    if (publication_has_ranges(all))
        sink_string(out, "\nYour own object is another size? The page works out the cut list for it.\n");
    sink_string(out,
                "\nA trimmer's blade cuts: mind your fingers, and follow the maker's instructions and your local rules.\n");
}

/* `editions` of them, `most` pieces of each. */
static struct sink try(const struct publication *all, enum detail detail, size_t editions, size_t most)
{
    struct sink text = {0};
    add_name(&text, publication_title(all));
    sink_string(&text, "\n");
    for (size_t i = 0; i < all->count && i < editions; i++)
        add_edition(&text, &all->editions[i], detail, most);
    if (editions < all->count)
        sink_format(&text, "\nand %zu more editions: see the page\n", all->count - editions);
    add_end(&text, all, detail);
    return text;
}

static size_t most_pieces(const struct publication *all)
{
    return nmk_design_piece_count(all->design);
}

void video_text_write(struct sink *out, const struct publication *all)
{
    enum detail detail = ALL;
    size_t editions = all->count, most = most_pieces(all);
    struct sink text = try(all, detail, editions, most);
    while (letter_count(text.data) > VIDEO_TEXT_MOST && (editions > 0 || most > 0)) {
        if (detail < CUTS_ALONE)
            detail++;
        else if (most > 1)
            most -= most > 40 ? most / 8 : 1;
        else
            editions--;
        sink_drop(&text);
        text = try(all, detail, editions, most);
    }
    sink_add(out, text.data, text.size);
    sink_drop(&text);
}
