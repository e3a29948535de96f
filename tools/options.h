/* options.h -- the commands and options, one table of each. It makes parsing, `--help`, the manual page, the shell's
 * completion and the tests, so that none of them can say another thing than the others. */
#ifndef TOOLS_OPTIONS_H
#define TOOLS_OPTIONS_H

#include "ground/sink.h"
#include "nearmark/settle.h"
#include "varying.h"

enum option_id {
    OPTION_EDITION,
    OPTION_MARKS,
    OPTION_PREFER,
    OPTION_WITHIN,
    OPTION_SURE,
    OPTION_SET,
    OPTION_VARY,
    OPTION_CSV,
    OPTION_STRICT,
    OPTION_JSON,
    OPTION_MAKERS,
    OPTION_EFFORT,
    OPTION_BOTH,
    OPTION_FORMAT,
    OPTION_VIEW,
    OPTION_PIECE,
    OPTION_SCALE,
    OPTION_PAPER,
    OPTION_FORCE,
    OPTION_COLOR,
    OPTION_OUTPUT,
    OPTION_HELP,
    OPTION_VERSION,
    OPTION_MANUAL,
    OPTION_COMPLETION,
    OPTION_COUNT
};

/* A measure's other size, `--set long=148mm`. */
struct option_set {
    char *name;
    struct nmk_rat size;
    enum nmk_unit unit; /* as written */
};

/* What the person asked for. Owned: rationals and sets; the words are those of argv. */
struct call {
    const struct command *command; /* NULL: none was named */
    const char **words;            /* what stands beside options, the command left out */
    size_t word_count;
    bool given[OPTION_COUNT];
    const char *edition, *output;
    const char *shell;             /* of --completion */
    const char *format, *view, *piece, *scale; /* of draw; NULL: not given */
    struct nmk_sheet paper;        /* where given */
    bool has_marks;
    struct nmk_rat step;
    enum nmk_unit step_unit;
    int64_t makers;                /* of plan and cue; only where given */
    uint64_t effort;
    enum nmk_prefer prefer;        /* these three: only where given */
    int64_t within;
    struct nmk_rat sure;
    struct option_set *sets;
    size_t set_count;
    struct varying *varies;
    size_t vary_count;
    enum colour colour;
};

struct command {
    const char *name;
    const char *words;           /* "DESIGN" */
    size_t least_words, most_words;
    const char *purpose;         /* one line */
    const char *more;            /* what else --help says; may be NULL */
    const char *example;         /* runs as it stands, in a folder with drawer.design */
    unsigned options;            /* bits 1u << option_id */
    enum ending (*run)(const struct call *call, struct sink *out);
};

struct option {
    enum option_id id;
    char letter;                 /* '\0': none */
    const char *name;
    const char *value;           /* "NAME"; NULL: takes none */
    const char *purpose;
    const char *choices;         /* "closest easiest"; NULL: any value */
};

extern const struct command command_table[]; /* ends with a NULL name */
extern const struct option option_table[];   /* ends with a NULL name */

const struct command *command_find(const char *name); /* NULL: none */
bool command_takes(const struct command *command, enum option_id id);
bool command_opens_output(const struct command *command); /* call->output is its own business: it may be a folder */

/* Reads argv into *call. false: the call is wrong, the message was given; then, too, *call must be cleared. */
bool call_read(struct call *call, int argc, char **argv);
void call_clear(struct call *call);
/* A length that stands alone, with its unit, greater than 0. false: the message was given; `what` is named in it. */
bool call_read_length(struct nmk_rat *out, enum nmk_unit *unit, const char *text, const char *what);

/* help.c */
void help_program(struct sink *out);
void help_command(struct sink *out, const struct command *command);
/* manual_page.c: the manual page, mdoc(7) */
void manual_page(struct sink *out);
/* shell_completion.c: for "bash", "zsh" or "fish" */
void shell_completion(struct sink *out, const char *shell);

#endif
