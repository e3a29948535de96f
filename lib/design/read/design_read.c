/* The reader: statements, one a line, from the first to the last. */
#include <stdio.h>
#include <string.h>

#include "base/debug.h"
#include "base/diagnose.h"
#include "base/memory.h"
#include "design/read/reader.h"
#include "nearmark/slips.h"

/* "design" TEXT */
static bool read_title(struct nmk_reader *r, size_t at)
{
    if (r->titled) {
        nmk_read_error(r, nmk_read_span_from(r, at), "title-twice", NULL, "The design has a title already");
        return false;
    }
    r->titled = true;
    if (r->token.kind != NMK_T_TEXT)
        return nmk_read_expected(r, "the title in quotes", "design \"Recipe-card drawer\"");
    r->design->title = nmk_design_text(r->design, r->source.text + r->token.inner_at, r->token.inner_size);
    nmk_read_next(r);
    return nmk_read_expect_end(r);
}

static const struct statement {
    const char *word;
    bool (*read)(struct nmk_reader *r, size_t at);
    bool below_piece;
} statements[] = {
    {"design", read_title, false},        {"measure", nmk_read_measure, false}, {"stock", nmk_read_stock, false},
    {"let", nmk_read_let, false},         {"piece", nmk_read_piece, false},     {"across", nmk_read_across, true},
    {"down", nmk_read_down, true},        {"score", nmk_read_score, true},      {"corners", nmk_read_corners, true},
    {"ends", nmk_read_ends, true},        {"say", nmk_read_say, true},          {"mat", nmk_read_mat, false},
    {"fit", nmk_read_fit, false},         {"border", nmk_read_border, false},   {"keep", nmk_read_keep, false},
    {"punches", nmk_read_punches, false}, {"opening", nmk_read_opening, false}, {"edition", nmk_read_edition, false},
};
enum { STATEMENTS = sizeof statements / sizeof *statements };

static const struct statement *statement_here(const struct nmk_reader *r)
{
    for (size_t i = 0; i < STATEMENTS; i++)
        if (nmk_read_is_word(r, statements[i].word))
            return &statements[i];
    return NULL;
}

bool nmk_read_is_keyword(const struct nmk_reader *r)
{
    return statement_here(r) != NULL;
}

static const struct statement *near_statement(const struct nmk_reader *r)
{
    const struct statement *best = NULL;
    size_t size = r->token.size, most = nmk_slips_allowed(size);
    for (size_t i = 0; i < STATEMENTS && r->token.kind == NMK_T_WORD; i++) {
        size_t slips =
            nmk_slips_count(r->source.text + r->token.at, size, statements[i].word, strlen(statements[i].word), most);
        if (slips < most || (slips == most && !best)) {
            best = &statements[i];
            most = slips;
        }
    }
    return best;
}

static void add_broken(struct nmk_reader *r, const char *text, size_t size)
{
    if (size && !nmk_names_find(&r->names, NMK_SCOPE_DESIGN, text, size))
        nmk_names_add(&r->names, (struct nmk_name){.text = text, .size = size, .is = NMK_NAMED_BROKEN});
}

/* No statement begins so. What it would have defined is not complained of again. */
static void refuse_statement(struct nmk_reader *r)
{
    const struct statement *near = near_statement(r);
    char hint[60];
    snprintf(hint, sizeof hint, "did you mean %s?", near ? near->word : "");
    if (r->token.kind != NMK_T_BAD)
        nmk_read_error(r, nmk_read_token_span(r), "unknown-statement",
                       near ? hint : "a line begins with measure, stock, let, piece, fit ...",
                       "No statement begins with `%s`", nmk_read_token_quote(r).text);
    if (r->piece != NMK_NONE)
        r->pieces[r->piece].broken = r->pieces[r->piece].lost = true;
    if (near && !near->below_piece)
        nmk_close_piece(r);
    r->unknown_above = true;
    if (r->token.kind == NMK_T_BAD)
        return;
    nmk_read_next(r);
    if (r->token.kind == NMK_T_WORD)
        add_broken(r, r->source.text + r->token.at, r->token.size);
}

static void read_statement(struct nmk_reader *r)
{
    const struct statement *statement = statement_here(r);
    size_t at = r->token.at;
    if (!statement) {
        refuse_statement(r);
        return;
    }
    if (!statement->below_piece)
        nmk_close_piece(r);
    r->unknown_above = r->unknown_above && statement->below_piece;
    r->pending = (struct nmk_name){0};
    nmk_read_next(r);
    statement->read(r, at);
    if (r->pending.size) {
        r->pending.is = NMK_NAMED_BROKEN;
        nmk_names_add(&r->names, r->pending);
    }
}

static void read_all(struct nmk_reader *r)
{
    nmk_read_foresee(r);
    for (size_t line = 0; line < r->source.count && !r->given_up; line = r->line + 1) {
        nmk_read_begin_line(r, line);
        if (r->token.kind != NMK_T_END)
            read_statement(r);
    }
    nmk_close_piece(r);
}

static void finish(struct nmk_reader *r)
{
    struct nmk_span nowhere = {0, 1, 1};
    if (!r->errors && !r->design->pieces.count)
        nmk_read_error(r, nowhere, "no-piece", "a design has at least one: piece tray \"Tray\" of card",
                       "There is no piece in this design");
    nmk_check_linear(r);
    if (r->errors)
        return;
    nmk_add_default_editions(r);
    nmk_note_all(r);
    nmk_give_notes(r);
}

static void refuse_source(struct nmk_reader *r, const struct nmk_source_error *error)
{
    size_t line = r->source.count ? nmk_source_line_of(&r->source, error->at) : 0;
    struct nmk_span span = {0, 1, 1};
    if (r->source.count)
        span = nmk_source_span(&r->source, line, error->at, 1);
    r->errors++;
    nmk_diagnostics_add(r->list, false, error->code, span, NULL, 0, error->message, error->hint);
}

static void release(struct nmk_reader *r)
{
    for (size_t i = 0; r->pieces && i < r->design->pieces.count; i++) {
        nmk_memory_free(r->pieces[i].panels);
        for (int way = NMK_ACROSS; way <= NMK_DOWN; way++) {
            nmk_memory_free(r->pieces[i].rows[way].all);
            nmk_memory_free(r->pieces[i].rows[way].besides);
            nmk_memory_free(r->pieces[i].rows[way].stretches);
            nmk_memory_free(r->pieces[i].rows[way].through);
        }
        nmk_memory_free(r->pieces[i].says);
    }
    nmk_memory_free(r->pieces);
    nmk_memory_free(r->panels);
    nmk_memory_free(r->lets);
    nmk_memory_free(r->notes);
    nmk_names_clear(&r->names);
    nmk_names_clear(&r->later);
    nmk_pool_clear(&r->pool);
    nmk_source_clear(&r->source);
}

enum nmk_status nmk_design_read(struct nmk_design **out, const char *text, size_t size, struct nmk_diagnostics *list)
{
    if (!out || (!text && size))
        return NMK_INVALID;
    struct nmk_reader r = {.list = list, .design = nmk_design_new(), .piece = NMK_NONE, .piece_above = NMK_NONE};
    struct nmk_source_error error;
    r.names.patience = r.later.patience = 4u << 20;
    enum nmk_status status = nmk_source_read(&r.source, text ? text : "", size, &error);
    if (status) {
        refuse_source(&r, &error);
    } else {
        read_all(&r);
        if (!r.given_up)
            finish(&r);
        status = r.too_large ? NMK_TOO_LARGE : r.errors ? NMK_INVALID : NMK_OK;
        NMK_DEBUG_ASSERT(status || nmk_design_check(r.design));
    }
    release(&r);
    if (status)
        nmk_design_free(r.design);
    else
        *out = r.design;
    return status;
}
