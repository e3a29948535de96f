#include "page/web_page.h"

#include <string.h>

#include "draw/lettering.h"
#include "draw/svg.h"
#include "ground/figure.h"
#include "ground/store.h"
#include "page/calculator_json.h"
#include "page/escape.h"
#include "page/object_form.h"
#include "page/page_texts.h"
#include "page/piece_words.h"
#include "page/sha256.h"
#include "report/edition_text.h"

/* ---- figures ---- */

static void add_runs(struct sink *out, const char *figure)
{
    static const char *const tags[] = {[RUN_NUMERATOR] = "sup", [RUN_DENOMINATOR] = "sub"};
    struct run run = {.kind = RUN_PLAIN};
    for (const char *at = figure; lettering_run(at, &run); at += run.size) {
        char *text = store_copy(run.text, run.size);
        bool small = run.kind == RUN_NUMERATOR || run.kind == RUN_DENOMINATOR;
        if (small)
            sink_format(out, "<%s>", tags[run.kind]);
        escape_html(out, text);
        if (small)
            sink_format(out, "</%s>", tags[run.kind]);
        store_free(text);
    }
}

/* A fraction is set as one for the eye, and said as it is typed to who listens. */
static void add_figure(struct sink *out, const char *figure, const char *unit)
{
    if (!strstr(figure, "\xE2\x81\x84")) {
        sink_string(out, "<span class=\"fig\">");
        escape_html(out, figure);
        sink_format(out, "%s%s</span>", *unit ? " " : "", unit);
        return;
    }
    sink_string(out, "<span class=\"fig\"><span aria-hidden=\"true\">");
    add_runs(out, figure);
    sink_format(out, "%s%s</span><span class=\"vh\">", *unit ? " " : "", unit);
    struct sink typed = {0};
    escape_typed(&typed, figure);
    escape_html(out, typed.data);
    sink_format(out, "%s%s</span></span>", *unit ? " " : "", unit);
    sink_drop(&typed);
}

static void add_element(struct sink *out, const char *open, const char *text, const char *close)
{
    sink_string(out, open);
    escape_html(out, text);
    sink_string(out, close);
}

/* ---- the head ---- */

static void write_head(struct sink *out, const struct publication *all, const struct sink *style)
{
    char style_digest[45], script_digest[45];
    sha256_text(style_digest, style->data, style->size);
    sha256_text(script_digest, page_script, strlen(page_script));
    sink_format(out, "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
                "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'sha256-%s'; "
                "script-src 'sha256-%s'; base-uri 'none'; form-action 'none'\">\n"
                "<meta name=\"viewport\" content=\"width=device-width,initial-scale=1\">\n<meta name=\"color-scheme\" content=\"light dark\">\n",
                style_digest, script_digest);
    add_element(out, "<title>", publication_title(all), "</title>\n");
    add_element(out, "<meta name=\"description\" content=\"", publication_title(all),
                ": cut and score measurements with diagrams\">\n");
    sink_format(out, "<style>%s</style>\n</head>\n", style->data);
}

static const char *unit_word(const struct published *p)
{
    enum nmk_unit unit = edition_unit(p->settled);
    return nmk_unit_is_inch(unit) ? "inches" : unit == NMK_CM ? "centimetres" : "millimetres";
}

static void write_choice(struct sink *out, const struct publication *all)
{
    if (all->count < 2)
        return;
    sink_string(out, "<fieldset class=\"choice\"><legend>Your trimmer</legend><div>\n");
    for (size_t i = 0; i < all->count; i++) {
        sink_format(out, "<label><input type=\"radio\" name=\"edition\" value=\"%zu\"%s><span>", i, i ? "" : " checked");
        escape_html(out, published_name(&all->editions[i]));
        sink_format(out, ", %s</span></label>\n", unit_word(&all->editions[i]));
    }
    sink_string(out, "</div></fieldset>\n");
}

static void write_top(struct sink *out, const struct publication *all)
{
    bool ranges = publication_has_ranges(all);
    sink_string(out,
                "<body>\n<a class=\"skip\" href=\"#cuts\">To the cut list</a>\n<div class=\"wide\">\n<header class=\"top\">\n");
    add_element(out, "<h1 dir=\"auto\">", publication_title(all), "</h1>\n");
    sink_format(out, "<p class=\"lead\">Cut and score measurements with diagrams%s.</p>\n",
                ranges ? ", also for your own size" : "");
    write_choice(out, all);
    sink_format(
        out,
        "<ul class=\"ways\"><li><a href=\"#cuts\">Cut list</a></li>%s<li><a href=\"#measured\">What was measured</a></li>"
        "<li><a href=\"#files\">To print and to keep</a></li></ul>\n</header>\n<main id=\"cuts\">\n",
        ranges ? "<li><a href=\"#own\">For your own size</a></li>" : "");
}

/* ---- a piece ---- */

/* A size is not broken at the end of a line. */
static void add_parts(struct sink *out, const struct cut_row *row)
{
    struct sink words = {0};
    for (const char *at = row->parts; *at; at++) {
        bool within = *at == ' ' && at > row->parts && at[-1] >= '0' && at[-1] <= '9';
        sink_add(&words, within ? "\xC2\xA0" : at, within ? 2 : 1);
    }
    sink_format(out, "<span class=\"parts\">%s", piece_row_parts(row));
    add_runs(out, words.data);
    sink_string(out, "</span>");
    sink_drop(&words);
}

static void write_row(struct sink *out, const struct published *p, const struct cut_row *row)
{
    sink_format(out, "<tr class=\"%s\"><td class=\"mark\">", row->cut ? "is-cut" : "is-score");
    add_figure(out, row->figure, published_unit(p));
    sink_format(out, "</td><td>%s", row->what);
    if (row->hint)
        add_element(out, "<span class=\"find\">", row->hint, "</span>");
    if (row->parts)
        add_parts(out, row);
    sink_string(out, "</td></tr>\n");
}

static void write_table(struct sink *out, const struct published *p, const struct piece_words *words, const char *label)
{
    add_element(out, "<table><caption class=\"vh\">", label, ": cuts and scores</caption>\n");
    for (size_t i = 0; i < words->row_count; i++) {
        const struct cut_row *row = &words->rows[i];
        if (row->cut)
            sink_format(out, "%s<tbody><tr><th colspan=\"2\" scope=\"rowgroup\">%s</th></tr>\n", i ? "</tbody>\n" : "",
                        row->way == NMK_ACROSS ? "Across" : "Down");
        if (piece_row_turns(words, i)) {
            sink_format(out, "</tbody>\n<tbody><tr><th colspan=\"2\" scope=\"rowgroup\">%s, only",
                        row->way == NMK_ACROSS ? "Across" : "Down");
            add_element(out, "<bdi>", row->beside, "</bdi></th></tr>\n");
        }
        write_row(out, p, row);
    }
    sink_string(out, "</tbody></table>\n");
}

/* Neighbouring notes are one list; what the design says stands between. */
static void write_remarks(struct sink *out, const struct piece_words *words, size_t from, size_t to)
{
    bool listed = false;
    for (size_t i = from; i < to; i++) {
        const struct piece_remark *remark = &words->remarks[i];
        if (listed != !remark->say)
            sink_string(out, listed ? "</ul>\n" : "<ul class=\"notes\">\n");
        listed = !remark->say;
        if (remark->say) {
            add_element(out, "<p class=\"say\" dir=\"auto\">", remark->text, "</p>\n");
            continue;
        }
        sink_string(out, "<li dir=\"auto\">");
        add_runs(out, remark->text);
        sink_string(out, "</li>\n");
    }
    if (listed)
        sink_string(out, "</ul>\n");
}

static void write_piece(struct sink *out, const struct published *p, size_t edition, size_t piece)
{
    struct piece_words words;
    struct sink prefix = {0};
    const char *label = p->gallery.shapes[piece].title;
    piece_words_init(&words, p, piece);
    add_element(out, "<article class=\"piece\">\n<h3 dir=\"auto\">", label, "</h3>\n");
    add_element(out, "<p class=\"task\" dir=\"auto\">", words.task, "</p>\n<div class=\"both\"><div class=\"list\">\n");
    write_remarks(out, &words, 0, words.above_count);
    if (words.punched) {
        sink_string(out, "<p class=\"punched\">");
        add_runs(out, words.size);
        sink_string(out, "</p>\n");
    } else {
        write_table(out, p, &words, label);
    }
    write_remarks(out, &words, words.above_count, words.remark_count);
    sink_string(out, "</div><div class=\"picture\">\n");
    sink_format(&prefix, "e%zu-p%zu", edition, piece);
    page_embed(out, &p->gallery, piece, prefix.data);
    sink_string(out, "</div></div>\n</article>\n");
    sink_drop(&prefix);
    piece_words_clear(&words);
}

/* ---- an edition ---- */

static void write_trimmer(struct sink *out, const struct published *p)
{
    const struct nmk_draft *draft = nmk_settled_draft(p->settled);
    char *cut = figure_near(&nmk_draft_edition(draft)->cut, 4);
    sink_string(out, "<p>For a trimmer with ");
    draft_marks(out, draft);
    sink_format(out, ", cut true to \xC2\xB1 %s mm. All sizes are in %s.%s</p>\n", cut, unit_word(p),
                nmk_draft_edition(draft)->as_designed ? " These are the sizes as designed." : "");
    store_free(cut);
}

/* Demands that do not hold, one a line. */
static void write_state(struct sink *out, const struct published *p)
{
    const struct nmk_design *design = nmk_draft_design(nmk_settled_draft(p->settled));
    size_t count = nmk_design_demand_count(design);
    if (!count)
        return;
    if (nmk_settled_state(p->settled) == NMK_HOLDS) {
        sink_string(
            out,
            "<p class=\"holds\">At these marks everything fits, with the errors of ruler, card and blade counted in.</p>\n");
        return;
    }
    sink_string(out, "<ul class=\"warnings\">\n");
    for (size_t i = 0; i < count; i++) {
        const struct nmk_demand *demand = nmk_design_demand(design, i);
        enum nmk_state state = nmk_settled_view(p->settled, i, NMK_SETTLED)->state;
        if (state == NMK_HOLDS)
            continue;
        char *title = demand_title(demand);
        sink_format(out, "<li dir=\"auto\">%s: ", state == NMK_AT_RISK ? "At risk" : nmk_state_word(state, demand));
        add_element(out, "", title, "</li>\n");
        store_free(title);
    }
    sink_string(out, "</ul>\n");
}

static void write_sheets(struct sink *out, const struct published *p)
{
    struct sink words = {0};
    if (published_sheets(&words, p))
        add_element(out, "<p class=\"sheets\" dir=\"auto\">To buy: ", words.data, ".</p>\n");
    else
        sink_format(out, "<p class=\"sheets\">How many sheets it takes is not worked out here%s.</p>\n",
                    p->plan && nmk_plan_unfit_count(p->plan) ? ": not every piece fits its sheet" : "");
    sink_drop(&words);
}

/* What the lines of the diagrams mean. */
static void write_key(struct sink *out, const struct published *p, size_t edition)
{
    sink_string(out, "<ul class=\"key\" aria-label=\"In the diagrams\">\n");
    for (size_t kind = 0; kind < PAGE_SAMPLES; kind++) {
        struct sink prefix = {0}, sample = {0};
        sink_format(&prefix, "e%zu-key%zu", edition, kind);
        const char *word = page_embed_sample(&sample, &p->gallery, kind, prefix.data);
        if (word)
            sink_format(out, "<li><span aria-hidden=\"true\">%s</span>%s</li>\n", sample.data, word);
        sink_drop(&prefix);
        sink_drop(&sample);
    }
    sink_string(out, "</ul>\n");
}

static void write_edition(struct sink *out, const struct publication *all, size_t i)
{
    const struct published *p = &all->editions[i];
    sink_format(out, "<section data-edition=\"%zu\" id=\"edition-", i);
    escape_html(out, published_name(p));
    sink_format(out, "\" aria-labelledby=\"e%zu-head\">\n<h2 id=\"e%zu-head\">Cut list, ", i, i);
    add_element(out, "", published_name(p), "</h2>\n");
    write_trimmer(out, p);
    if (!p->shown)
        sink_string(out,
                    "<p class=\"trouble\">No marks of this edition meet every demand, so there is no cut list of it.</p>\n");
    else
        write_sheets(out, p);
    if (p->shown)
        write_state(out, p);
    if (p->shown)
        write_key(out, p, i);
    for (size_t piece = 0; p->shown && piece < p->gallery.count; piece++)
        write_piece(out, p, i, piece);
    sink_string(out, "</section>\n");
}

/* ---- what was measured ---- */

/* A size is not broken at the end of a line. */
static void add_unbroken(struct sink *out, const char *size)
{
    for (const char *at = size; *at; at++)
        sink_add(out, *at == ' ' ? "\xC2\xA0" : at, *at == ' ' ? 2 : 1);
}

static void write_measure(struct sink *out, const struct nmk_measure *measure)
{
    struct nmk_rat other = {0}, unit = {0};
    bool inch = nmk_unit_is_inch(measure->unit);
    nmk_unit_mm(&unit, inch ? NMK_MM : NMK_IN);
    (void)nmk_rat_div(&other, &measure->size, &unit);
    char *about = figure_near(&other, inch ? 1 : 2);
    char *own = figure_length(&measure->size, measure->unit), *off = figure_near(&measure->off, 4);
    add_element(out, "<tr><th scope=\"row\" dir=\"auto\">", measure->label, "</th><td>");
    add_unbroken(out, own);
    if (nmk_rat_sign(&measure->off) > 0)
        sink_format(out, " \xC2\xB1\xC2\xA0%s\xC2\xA0mm", off);
    sink_format(out, "</td><td>about %s %s</td></tr>\n", about, inch ? "mm" : "in");
    nmk_rat_clear(&other);
    nmk_rat_clear(&unit);
    store_free(about);
    store_free(own);
    store_free(off);
}

static void write_measured(struct sink *out, const struct publication *all)
{
    sink_string(
        out, "<section id=\"measured\" aria-labelledby=\"measured-head\">\n<h2 id=\"measured-head\">What was measured</h2>\n");
    size_t count = nmk_design_measure_count(all->design);
    if (count)
        sink_string(out, "<table class=\"measured\"><caption class=\"vh\">The measured object</caption><tbody>\n");
    else
        sink_string(out, "<p>Nothing: the sizes are free.</p>\n");
    for (size_t i = 0; i < count; i++)
        write_measure(out, nmk_design_measure(all->design, i));
    if (count)
        sink_string(out, "</tbody></table>\n");
    sink_string(out, "</section>\n");
}

/* ---- files ---- */

static void write_file(struct sink *out, const struct published *p, const char *ending, const char *what)
{
    struct sink name = {0};
    published_file(&name, p, NMK_NONE);
    sink_string(out, "<li><a href=\"diagrams/");
    escape_html(out, name.data);
    sink_format(out, "-%s\">%s, ", ending, what);
    add_element(out, "", published_name(p), "</a></li>\n");
    sink_drop(&name);
}

static void write_files(struct sink *out, const struct publication *all)
{
    sink_string(
        out,
        "<section id=\"files\" aria-labelledby=\"files-head\">\n<h2 id=\"files-head\">To print and to keep</h2>\n<ul class=\"files\">\n");
    for (size_t i = 0; i < all->count; i++) {
        if (!all->editions[i].shown)
            continue;
        write_file(out, &all->editions[i], "page.pdf", "All diagrams on a page to print");
        write_file(out, &all->editions[i], "picture.png", "All diagrams as a picture");
    }
    sink_string(
        out,
        "<li><a href=\"cuts.csv\">The cut lists as a table</a></li>\n<li><a href=\"cuts.json\">The cut lists for other programs</a></li>\n"
        "</ul>\n</section>\n");
}

/* ---- the whole ---- */

static void make_style(struct sink *style)
{
    sink_string(style, page_style);
    sink_format(style,
                "@media screen and (prefers-color-scheme:dark){%s.drawn .card{fill:#2b3036}.drawn .arrow path{fill:#9aa4b0}"
                ".drawn .glue path{stroke:#8d8672}.drawn .score path{stroke:#6fc3e0}.drawn .dimension path{stroke:#9aa4b0}"
                ".drawn .quiet text{fill:#b4bcc6}}",
                svg_dark_style());
}

void web_page_write(struct sink *out, const struct publication *all)
{
    struct sink style = {0};
    make_style(&style);
    write_head(out, all, &style);
    write_top(out, all);
    sink_string(
        out, "<p class=\"caution\">A trimmer&#39;s blade cuts: mind your fingers, and follow the maker&#39;s instructions and "
             "your local rules.</p>\n");
    for (size_t i = 0; i < all->count; i++)
        write_edition(out, all, i);
    if (publication_has_ranges(all))
        object_form_write(out, all);
    write_measured(out, all);
    write_files(out, all);
    sink_string(
        out,
        "</main>\n<footer>All sizes were worked out together, so that what goes over, into or onto something still does.</footer>\n"
        "</div>\n<script type=\"application/json\" id=\"nearmark-data\">");
    calculator_json(out, all);
    sink_format(out, "</script>\n<script>%s</script>\n</body>\n</html>\n", page_script);
    sink_drop(&style);
}
