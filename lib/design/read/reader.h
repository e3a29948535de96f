/* reader.h -- what the parts of the reader share.
 *
 * One parsing function a production, its production in the comment above it. A parsing function answers whether the
 * statement can go on: false means that it has been complained of and the rest of the line is to be skipped. What is
 * wrong but leaves the grammar in order (an unknown name, a dimension) is complained of and read on: a value or name
 * that depends on it is *broken*, and nothing more is said of that. */
#ifndef LIB_DESIGN_READ_READER_H
#define LIB_DESIGN_READ_READER_H

#include "base/memory.h"
#include "design/model.h"
#include "design/read/names.h"
#include "design/read/source.h"
#include "design/read/token.h"

enum {
    NMK_MOST_PARENTHESES = 200,
    NMK_MOST_OPERATIONS = 1000, /* of one formula, each inside the next */
    NMK_MOST_POWER = 100,
    NMK_MOST_BITS = 20000, /* of a value met on the way */
    NMK_MOST_PANELS = 100000,
    NMK_MOST_COPIES = 10000,
    NMK_MOST_ERRORS = 1000 /* then the reader gives up */
};

/* A formula as it is made: with what is known of its value. */
struct nmk_made {
    struct nmk_formula *formula; /* NULL: broken */
    int power;
    unsigned depth;
    bool punched;  /* holds a size that a punch gives */
    bool known[2]; /* metric reading, reading in inches: is the designed value known? */
    struct nmk_enclosure value[2];
    struct nmk_span span;
};

struct nmk_panel_read { /* beside each panel */
    struct nmk_made made;
    size_t stretches, folds; /* so far; folds: most of a stretch's lines that are scores */
};

struct nmk_beside_read { /* a name behind `beside`, until the piece is read to its end */
    const char *text;
    size_t size, panel; /* panel: NMK_NONE where nothing of that name can be meant */
    struct nmk_span span;
};

struct nmk_row_read { /* beside each list */
    size_t first, count; /* stretches */
    size_t beside, beside_count;
    struct nmk_span span, end; /* of its first word; of `beside`, or else the first word again */
};

struct nmk_rows_read { /* the lists of one direction of a piece */
    struct nmk_row_read *all;
    size_t count, space;
    struct nmk_beside_read *besides;
    size_t beside_count, beside_space;
    struct nmk_stretch *stretches;
    bool *through; /* beside each stretch: is the line before it cut through? */
    size_t stretch_count, stretch_space, through_space;
    struct nmk_span cut; /* the first `||` or `rest`; line 0: none */
};

struct nmk_piece_read { /* beside each piece */
    struct nmk_panel *panels;
    size_t panel_count, panel_space, first; /* first: of its panels in reader->panels */
    struct nmk_rows_read rows[2];
    bool listed[2];   /* has a list without `rest` been read to the end? */
    bool begun[2];    /* was there a list at all? */
    bool known[2][2]; /* by way and reading: the whole designed size, of the first list without `rest` */
    struct nmk_enclosure whole[2][2];
    struct nmk_made smaller; /* MAT */
    struct nmk_span corners; /* the line `corners` or `ends` */
    bool broken;             /* something of it could not be read: its whole sizes are not known */
    bool lost;               /* and panels of it may be missing */
    struct nmk_say *says;
    size_t say_count, say_space;
    enum nmk_say_place place; /* of a sentence that stood here, nothing following */
};

struct nmk_noted { /* a note that is still to be given */
    struct nmk_span span;
    const char *code, *hint; /* static */
    const char *message;
};

struct nmk_reader {
    struct nmk_design *design;
    struct nmk_diagnostics *list;
    struct nmk_source source;
    struct nmk_names names, later; /* later: what each line of the file seems to define */
    struct nmk_pool pool;          /* values that are needed while reading only */
    struct nmk_name pending;       /* the name that the current statement is to define; size 0: none */
    size_t line, at;               /* index of the current line; where the next token begins */
    struct nmk_token token;        /* the current one */
    size_t before_end;             /* where the token before it ends */
    unsigned parentheses;
    struct nmk_panel_read *panels;
    size_t panel_count, panel_space, stretch_count;
    struct nmk_piece_read *pieces; /* as many as design->pieces */
    size_t piece_space;
    struct nmk_made *lets; /* beside design->lets */
    size_t let_space;
    size_t piece;       /* whose lines may follow; NMK_NONE */
    size_t piece_above; /* the last mat or punched piece, for a message; NMK_NONE */
    size_t statements;  /* that laid down demands */
    size_t errors;
    struct nmk_noted *notes;
    size_t note_count, note_space;
    bool titled, too_large, given_up;
    bool unknown_above; /* a statement that was not understood: lines below it may have been its own */
};

/* ---- complaints (complaint.c) ---- */

__attribute__((format(printf, 5, 6))) void nmk_read_error(struct nmk_reader *r, struct nmk_span span, const char *code,
                                                          const char *hint, const char *format, ...);
__attribute__((format(printf, 5, 6))) void nmk_read_note(struct nmk_reader *r, struct nmk_span span, const char *code,
                                                         const char *hint, const char *format, ...);
void nmk_give_notes(struct nmk_reader *r); /* all that were made, in the order of their places */
/* A limit is passed: the status will be TOO_LARGE and reading ends. */
__attribute__((format(printf, 4, 5))) void nmk_read_limit(struct nmk_reader *r, struct nmk_span span, const char *code,
                                                          const char *format, ...);
/* "WHAT is expected here, not `token`"; silent at a bad token. Always false. */
bool nmk_read_expected(struct nmk_reader *r, const char *what, const char *hint);

void nmk_read_refuse_again(struct nmk_reader *r, size_t at, const char *what); /* "WHAT stands here twice" */

/* Text for messages: a part of the source in quotes, shortened when it is long. */
struct nmk_quoted {
    char text[96];
};
struct nmk_quoted nmk_read_quote(const char *text, size_t size);

/* ---- tokens (scan.c) ---- */

void nmk_read_begin_line(struct nmk_reader *r, size_t line); /* and takes its first token */
void nmk_read_next(struct nmk_reader *r);
/* Goes to byte `at` of the line and takes the token there. */
void nmk_read_go(struct nmk_reader *r, size_t at);
struct nmk_span nmk_read_token_span(struct nmk_reader *r);
/* From byte `at` to the end of the token before the current one. */
struct nmk_span nmk_read_span_from(struct nmk_reader *r, size_t at);
struct nmk_quoted nmk_read_token_quote(const struct nmk_reader *r);
bool nmk_read_is_word(const struct nmk_reader *r, const char *word);
bool nmk_read_take_word(struct nmk_reader *r, const char *word);
bool nmk_read_take(struct nmk_reader *r, enum nmk_token_kind kind);
bool nmk_read_expect_word(struct nmk_reader *r, const char *word, const char *hint);
bool nmk_read_is_cross(const struct nmk_reader *r); /* x or × */
bool nmk_read_take_cross(struct nmk_reader *r);     /* also the x of `x12` */
bool nmk_read_expect_end(struct nmk_reader *r);

/* ---- names (naming.c) ---- */

/* Takes the name that a statement or panel defines ("a name for the measure" is expected). out->size is 0 where it may
 * not be one (complained of); false if there is no name at all. */
bool nmk_read_new_name(struct nmk_reader *r, size_t scope, const char *what, struct nmk_name *out);
void nmk_read_define(struct nmk_reader *r, struct nmk_name name, enum nmk_named is, size_t index);
/* The name in the design's arena. */
const char *nmk_read_kept_name(struct nmk_reader *r, struct nmk_name name);
/* The thing of the design of that name and kind, or NMK_NONE: complained of. The current token; it is taken. `what`: "a
 * stock". False: no name here. */
bool nmk_read_known(struct nmk_reader *r, enum nmk_named is, const char *what, size_t *out);
struct nmk_name *nmk_read_find(struct nmk_reader *r, size_t scope, const char *text, size_t size);
/* Complains of an unknown name, with the nearest of `scope`. */
void nmk_read_unknown(struct nmk_reader *r, struct nmk_span span, size_t scope, const char *what, const char *text,
                      size_t size);
const char *nmk_named_word(enum nmk_named is); /* "a measure" */
/* A "text" if there is one here; else NULL. In the design's arena; "" gives NULL too. */
const char *nmk_read_label(struct nmk_reader *r);
bool nmk_read_is_reserved(const char *text, size_t size);
bool nmk_read_is_keyword(
    const struct nmk_reader *r); /* does a statement begin with the current token? (design_read.c) */
/* The panel of that name of a piece, or NMK_NONE (nothing is said). *broken: its definition was complained of. */
size_t nmk_read_find_panel(struct nmk_reader *r, size_t piece, const char *text, size_t size, bool *broken);
void nmk_read_foresee(struct nmk_reader *r); /* fills r->later */

/* ---- lengths, bounds, sheets (bounds_read.c, sheet_read.c) ---- */

enum nmk_sign { NMK_UNSIGNED, NMK_SIGNED };
bool nmk_read_length(struct nmk_reader *r, enum nmk_sign sign, const char *what, struct nmk_rat *out,
                     enum nmk_unit *unit);
/* A length that may not be written twice: of a measure or a stock. */
bool nmk_read_single(struct nmk_reader *r, const char *what, struct nmk_rat *out, enum nmk_unit *unit);
void nmk_read_must_be_positive(struct nmk_reader *r, const struct nmk_rat *size, size_t at, const char *what);
bool nmk_read_twin(struct nmk_reader *r, enum nmk_sign sign, const char *what, struct nmk_twin *out);
bool nmk_read_bounds(struct nmk_reader *r, struct nmk_bounds *out);
bool nmk_read_range(struct nmk_reader *r, struct nmk_rat *from, struct nmk_rat *to);
bool nmk_read_pair(struct nmk_reader *r, const char *what, struct nmk_rat out[2], enum nmk_unit *unit);
bool nmk_read_sheets(struct nmk_reader *r, struct nmk_sheet sheets[2], size_t *count);
bool nmk_read_weight(struct nmk_reader *r, struct nmk_stock *out);
bool nmk_read_copies(struct nmk_reader *r, uint32_t *out);

/* ---- formulas (formula_read.c, formula_make.c) ---- */

bool nmk_read_formula(struct nmk_reader *r, struct nmk_made *out);
/* What stands behind `on`. broken: complained of. */
enum nmk_on_what { NMK_ON_MAT, NMK_ON_BORDER, NMK_ON_OPENING };
bool nmk_read_on(struct nmk_reader *r, enum nmk_on_what what, struct nmk_on *out, bool *broken);
/* piece.panel, piece.across ...; inside a piece a panel alone. */
bool nmk_read_reference(struct nmk_reader *r, struct nmk_made *out);
/* Complains where it is not a length, or holds a punched size (`panel`); true: it can be used. `what`: "a panel". */
bool nmk_made_is_length(struct nmk_reader *r, const struct nmk_made *made, const char *what);
/* value[0..1] += b's; what is not known, or grows beyond all measure, is not known. */
void nmk_made_sum(struct nmk_reader *r, bool known[2], struct nmk_enclosure value[2], const struct nmk_made *b);
bool nmk_made_is_unpunched(struct nmk_reader *r, const struct nmk_made *made);
/* Complains where it is designed at 0 or less in both readings. */
void nmk_made_must_be_positive(struct nmk_reader *r, const struct nmk_made *made, struct nmk_span span,
                               const char *what);

void nmk_make_number(struct nmk_reader *r, struct nmk_made *out, struct nmk_rat value, struct nmk_span span);
void nmk_make_length(struct nmk_reader *r, struct nmk_made *out, struct nmk_twin value, struct nmk_span span);
void nmk_make_pi(struct nmk_reader *r, struct nmk_made *out, struct nmk_span span);
void nmk_make_unary(struct nmk_reader *r, struct nmk_made *a, enum nmk_formula_kind kind, struct nmk_span span);
void nmk_make_binary(struct nmk_reader *r, struct nmk_made *a, enum nmk_formula_kind kind, const struct nmk_made *b,
                     struct nmk_span span);
void nmk_make_subject(struct nmk_reader *r, struct nmk_made *out, enum nmk_formula_kind kind, size_t subject,
                      size_t part, struct nmk_span span);
void nmk_make_broken(struct nmk_made *out, struct nmk_span span);

/* ---- lengths and demands (laying.c) ---- */

/* The text from byte `at` to the end of the last token taken, spaces single and × as x. In the arena. */
const char *nmk_read_statement_text(struct nmk_reader *r, size_t at);

size_t nmk_lay_length(struct nmk_reader *r, enum nmk_length_kind kind, const char *name,
                      const struct nmk_formula *formula, size_t subject, size_t part, struct nmk_span span);
size_t nmk_lay_let(struct nmk_reader *r, size_t let); /* the length that a let is, made if need be */
struct nmk_demand *nmk_lay_demand(struct nmk_reader *r, enum nmk_demand_kind kind, const char *name,
                                  struct nmk_span span);
void nmk_lay_borders(struct nmk_reader *r, const struct nmk_on *on, const struct nmk_formula *const tops[2],
                     const char *name, size_t piece, const struct nmk_bounds *bounds, bool even, bool whole,
                     struct nmk_span span);

/* ---- statements; each begins behind its keyword, `at` is where the keyword is ---- */

bool nmk_read_measure(struct nmk_reader *r, size_t at);
bool nmk_read_stock(struct nmk_reader *r, size_t at);
bool nmk_read_let(struct nmk_reader *r, size_t at);
bool nmk_read_piece(struct nmk_reader *r, size_t at);
bool nmk_read_mat(struct nmk_reader *r, size_t at);
bool nmk_read_fit(struct nmk_reader *r, size_t at);
bool nmk_read_border(struct nmk_reader *r, size_t at);
bool nmk_read_keep(struct nmk_reader *r, size_t at);
bool nmk_read_punches(struct nmk_reader *r, size_t at);
bool nmk_read_opening(struct nmk_reader *r, size_t at);
bool nmk_read_edition(struct nmk_reader *r, size_t at);
bool nmk_read_across(struct nmk_reader *r, size_t at);
bool nmk_read_down(struct nmk_reader *r, size_t at);
bool nmk_read_score(struct nmk_reader *r, size_t at);
bool nmk_read_corners(struct nmk_reader *r, size_t at);
bool nmk_read_ends(struct nmk_reader *r, size_t at);
bool nmk_read_say(struct nmk_reader *r, size_t at);
/* A line of the piece has been read, directly below which a sentence has this place if nothing follows. */
void nmk_place_says(struct nmk_reader *r, enum nmk_say_place place);

/* The lists of the open piece are all read: beside what they run. Complains of what is not in order; puts them in *out. */
void nmk_close_rows(struct nmk_reader *r, struct nmk_piece *out); /* rows_read.c */

/* NAME [TEXT] [COPIES] "of" STOCK, of a piece and of a mat. */
bool nmk_read_head(struct nmk_reader *r, const char *what, struct nmk_name *name, struct nmk_piece *p);
bool nmk_read_in_piece(struct nmk_reader *r, size_t at); /* false: this line belongs to no piece, complained of */
struct nmk_piece *nmk_begin_piece(struct nmk_reader *r, enum nmk_piece_kind kind); /* and its nmk_piece_read */
void nmk_close_piece(struct nmk_reader *r); /* the lines of the open piece are all read */
void nmk_add_default_editions(struct nmk_reader *r);

/* ---- at the end (linear.c, notes.c) ---- */

void nmk_check_linear(struct nmk_reader *r);
void nmk_note_all(struct nmk_reader *r);

#endif
