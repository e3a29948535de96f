#include "page/post_text.h"

#include "ground/figure.h"
#include "ground/store.h"
#include "page/escape.h"
#include "page/piece_words.h"
#include "report/edition_text.h"

static void add_typed(struct sink *out, const char *text)
{
    struct sink typed = {0};
    escape_typed(&typed, text);
    escape_markdown(out, typed.data ? typed.data : "");
    sink_drop(&typed);
}

static void add_line(struct sink *out, const char *before, const char *text, const char *after)
{
    sink_string(out, before);
    add_typed(out, text);
    sink_string(out, after);
}

static void write_rows(struct sink *out, const struct published *p, const struct piece_words *words)
{
    sink_string(out, "| | | |\n| :-- | --: | :-- |\n");
    for (size_t i = 0; i < words->row_count; i++) {
        const struct cut_row *row = &words->rows[i];
        sink_format(out, "| %s", !row->cut ? "" : row->way == NMK_ACROSS ? "across" : "down");
        if (piece_row_turns(words, i))
            add_line(out, "only", row->beside, "");
        sink_format(out, " | %s", row->cut ? "**" : "");
        add_typed(out, row->figure);
        sink_format(out, " %s%s | %s |\n", published_unit(p), row->cut ? "**" : "", row->what);
        if (row->parts) {
            sink_format(out, "|  |  | %s", piece_row_parts(row));
            add_line(out, "", row->parts, " |\n");
        }
    }
    sink_string(out, "\n");
}

static void write_piece(struct sink *out, const struct published *p, size_t piece)
{
    struct piece_words words;
    struct sink file = {0};
    const char *label = p->gallery.shapes[piece].title;
    piece_words_init(&words, p, piece);
    add_line(out, "### ", label, "\n\n");
    add_line(out, "", words.task, "\n\n");
    for (size_t i = 0; i < words.above_count; i++)
        add_line(out, "", words.remarks[i].text, "\n\n");
    if (words.punched)
        add_line(out, "**", words.size, "**, punched\n\n");
    else
        write_rows(out, p, &words);
    for (size_t i = words.above_count; i < words.remark_count; i++)
        add_line(out, "- ", words.remarks[i].text, "\n");
    published_file(&file, p, piece);
    add_line(out, words.remark_count > words.above_count ? "\n![Diagram: " : "![Diagram: ", label, "](<diagrams/");
    sink_format(out, "%s.png>)\n\n", file.data);
    sink_drop(&file);
    piece_words_clear(&words);
}

static void write_edition(struct sink *out, const struct published *p)
{
    const struct nmk_draft *draft = nmk_settled_draft(p->settled);
    add_line(out, "## Cut list, ", published_name(p), "\n\n");
    sink_string(out, "For a trimmer with ");
    draft_marks(out, draft);
    sink_format(out, ".%s\n\n",
                p->shown ? "" : " No marks of this edition meet every demand, so there is no cut list of it.");
    struct sink sheets = {0};
    if (published_sheets(&sheets, p))
        add_line(out, "To buy: ", sheets.data, "\n\n");
    sink_drop(&sheets);
    for (size_t i = 0; p->shown && i < p->gallery.count; i++)
        write_piece(out, p, i);
}

static void write_measured(struct sink *out, const struct publication *all)
{
    size_t count = nmk_design_measure_count(all->design);
    if (count)
        sink_string(out, "## What was measured\n\n");
    for (size_t i = 0; i < count; i++) {
        const struct nmk_measure *measure = nmk_design_measure(all->design, i);
        char *size = figure_length(&measure->size, measure->unit);
        add_line(out, "- ", measure->label, ": ");
        sink_format(out, "%s\n", size);
        store_free(size);
    }
    if (count)
        sink_string(out, "\n");
}

void post_text_write(struct sink *out, const struct publication *all)
{
    add_line(out, "# ", publication_title(all), "\n\n");
    sink_string(out,
                "A trimmer's blade cuts: mind your fingers, and follow the maker's instructions and your local rules.\n\n");
    for (size_t i = 0; i < all->count; i++)
        write_edition(out, &all->editions[i]);
    write_measured(out, all);
    if (publication_has_ranges(all))
        sink_string(out, "Your own object is another size? The page `index.html` works out the whole cut list for it.\n");
}
