#include "options.h"

#include "commands.h"

#define BIT(id) (1u << (id))
#define ALWAYS (BIT(OPTION_JSON) | BIT(OPTION_COLOR) | BIT(OPTION_OUTPUT) | BIT(OPTION_HELP))
#define SETTLING (BIT(OPTION_MARKS) | BIT(OPTION_PREFER) | BIT(OPTION_WITHIN) | BIT(OPTION_SURE))
#define DESIGN (SETTLING | BIT(OPTION_EDITION) | BIT(OPTION_SET) | BIT(OPTION_STRICT))
#define PLANNING (BIT(OPTION_MAKERS) | BIT(OPTION_EFFORT))
#define DRAWING (BIT(OPTION_FORMAT) | BIT(OPTION_VIEW) | BIT(OPTION_PIECE) | BIT(OPTION_SCALE) | BIT(OPTION_PAPER))

const struct option option_table[] = {
    {OPTION_EDITION, 0, "edition", "NAME", "one edition of the design instead of all of them", NULL},
    {OPTION_MARKS, 0, "marks", "LENGTH", "other marks, 1/32in or 0.5mm, in place of the usual ones", NULL},
    {OPTION_PREFER, 0, "prefer", "WHAT",
     "closest: stay near the designed sizes (as a rule); easiest: take marks that are "
     "easy to find",
     "closest easiest"},
    {OPTION_WITHIN, 0, "within", "N", "with easiest: stay within N marks of the designed size (2)", NULL},
    {OPTION_SURE, 0, "sure", "P%", "how sure a demand must be to hold (99.9%); 100% is always", NULL},
    {OPTION_SET, 0, "set", "NAME=LENGTH", "your own size for a measure, long=148mm; may be repeated", NULL},
    {OPTION_VARY, 0, "vary", "NAME=SIZES",
     "the sizes a measure goes through, long=80mm..150mm/5mm; repeated, "
     "every combination",
     NULL},
    {OPTION_STRICT, 0, "strict", NULL, "status 1 also when a demand is at risk", NULL},
    {OPTION_JSON, 0, "json", NULL, "the complete answer for other programs, as JSON", NULL},
    {OPTION_CSV, 0, "csv", NULL, "for a spreadsheet, a row at a time", NULL},
    {OPTION_MAKERS, 0, "makers", "N", "so many people make it: sheets and cuts for all of them", NULL},
    {OPTION_EFFORT, 0, "effort", "N",
     "how long to look for fewer sheets and settings, in steps of the search (2000000000, about ten seconds)", NULL},
    {OPTION_BOTH, 0, "both", NULL, "each figure in the other unit too, and spoken so", NULL},
    {OPTION_FORMAT, 0, "format", "WHAT", "svg, pdf or png, where the file's name does not say it", "svg pdf png"},
    {OPTION_VIEW, 0, "view", "WHAT",
     "page: all pieces (as a rule); pieces: each by itself; picture: all pieces for the end of "
     "a film, 1920 x 1080; all: each of these",
     "page pieces picture all"},
    {OPTION_PIECE, 0, "piece", "NAME", "this piece alone", NULL},
    {OPTION_SCALE, 0, "scale", "WHAT",
     "fit: as large as the page takes (as a rule); actual: true size, over several sheets "
     "where one is too small",
     "fit actual"},
    {OPTION_PAPER, 0, "paper", "SHEET", "the paper to draw on, A4, Letter or 8x10 (A4, for inches Letter)", NULL},
    {OPTION_FORCE, 0, "force", NULL, "replace what was published in the folder before", NULL},
    {OPTION_COLOR, 0, "color", "WHEN", "auto, always or never; auto is colour on a terminal only", "auto always never"},
    {OPTION_OUTPUT, 'o', "output", "FILE", "write to this file; it is whole or it is not there", NULL},
    {OPTION_HELP, 'h', "help", NULL, "this help; after a command, help on that command", NULL},
    {OPTION_VERSION, 0, "version", NULL, "the version of the program", NULL},
    {OPTION_MANUAL, 0, "manual", NULL, "the manual page, to be read with man -l -", NULL},
    {OPTION_COMPLETION, 0, "completion", "SHELL", "completion for a shell: bash, zsh or fish", "bash zsh fish"},
    {OPTION_COUNT, 0, NULL, NULL, NULL, NULL},
};

const struct command command_table[] = {
    {"start", "KIND", 0, 1, "a short commented design to begin with, in your own sizes",
     "KIND is sleeve, box-and-lid, cover, drawer, band, mats or envelope. On a terminal each size is asked for, and how to measure "
     "it is said; --set gives it in the call. Write the design to a file with -o and make it your own.",
     "nearmark start sleeve --set wide=70mm --set deep=\"1 1/2 in\"", ALWAYS | BIT(OPTION_SET), command_start},
    {"calc", "EXPR...", 1, (size_t)-1, "quick arithmetic with lengths in any units",
     "Numbers, lengths (84 mm, 8.4cm, 4 7/16 in, 3' 4 1/2\"), + - * /, parentheses, min max abs sqrt pi. A minus stands "
     "between spaces. Put the sum in quotes, or the shell reads the * and the parentheses. With `in cm` or `in "
     "sixteenths` at the end you choose the unit or the marks.",
     "nearmark calc \"105 mm + 2 * 1 1/8 in\"", ALWAYS | BIT(OPTION_MARKS), command_calc},
    {"convert", "[FILE]", 0, 1, "a list of lengths, one a line, to marks",
     "Reads FILE or standard input. One line comes out for each that goes in, with tabs between: the line, exact "
     "millimetres, the nearest mark (sixteenths of an inch, or --marks), and the mark less the length in millimetres.",
     "echo \"84 mm\" | nearmark convert", ALWAYS | BIT(OPTION_MARKS), command_convert},
    {"check", "DESIGN", 1, 1, "does it fit? every demand as drawn, rounded and settled",
     "Room is in millimetres. `rounded` is the cut list with every number rounded by itself; `settled` is the one that "
     "`cuts` gives.",
     "nearmark check drawer.design --edition imperial", ALWAYS | DESIGN, command_check},
    {"cuts", "DESIGN", 1, 1, "the settled cut list",
     "For each piece: how many, cut across, cut down, scores and the edge each is taken from.",
     "nearmark cuts drawer.design --edition imperial --set long=148mm", ALWAYS | DESIGN, command_cuts},
    {"draw", "DESIGN", 1, 1, "cutting diagrams",
     "Every piece with its cuts (wide lines), scores (narrow lines), glue (hatched) and sizes, as settled. With -o, a file "
     "ending in .svg, .pdf or .png, or a folder that gets all of it: a page to print, a drawing of each piece for the web, "
     "a picture for the end of a film. An edition that nothing holds together is not drawn.",
     "nearmark draw drawer.design --edition imperial -o diagrams/", ALWAYS | DESIGN | DRAWING, command_draw},
    {"explain", "DESIGN DEMAND", 2, 2, "where one clearance comes from",
     "What makes its room smaller or larger, in millimetres, largest first; then why its lengths are not at their nearest "
     "marks, and what the next best would cost. DEMAND is its name as check shows it, or the beginning of it; the name of a "
     "length explains that length.",
     "nearmark explain drawer.design sleeve.face", ALWAYS | DESIGN, command_explain},
    {"rules", "DESIGN", 1, 1, "the rule card, for your own size",
     "The design's formulas in marks, for people who measure their own object: how to read each measure that has a range, "
     "each length as what was read plus so many marks, and which demands then hold for every size in the ranges.",
     "nearmark rules drawer.design --edition imperial", ALWAYS | DESIGN, command_rules},
    {"chart", "DESIGN", 1, 1, "the size chart: settled marks for many sizes",
     "Settles the design anew for each size, and says at which of them a demand does not hold. A table has at most 10,000 "
     "rows, --csv and --json (one object a line) 10 million; they come as they are found.",
     "nearmark chart drawer.design --vary long=80mm..150mm/5mm",
     ALWAYS | DESIGN | BIT(OPTION_VARY) | BIT(OPTION_CSV), command_chart},
    {"publish", "DESIGN", 1, 1, "everything a post needs, in one folder",
     "-o names the folder, which is made: index.html, a page of its own with the cut lists, the diagrams, and boxes in which "
     "viewers type the size of their own object; post.md for a blog that takes no scripts; description.txt for a video; the "
     "diagrams as SVG, PNG and PDF; the cut lists as CSV and JSON. An edition that nothing holds together has no cut list.",
     "nearmark publish drawer.design -o page/", ALWAYS | DESIGN | BIT(OPTION_FORCE), command_publish},
    {"plan", "DESIGN", 1, 1, "sheets to buy, and the cuts in their order",
     "What to buy of each stock, a map of each sheet, and the steps: every cut with the edge at the mark and the edge to the "
     "fence, then scores, cuts with a knife, snips, glue and layers. As few sheets as can be, then as few settings, then the largest "
     "offcut; it says where fewer sheets, or fewer settings for sheets cut so, cannot do. A punched piece gets a blank about 10 mm "
     "larger all round. A piece that fits no sheet, or only across its grain, is named, status 1.",
     "nearmark plan drawer.design --edition imperial --makers 20", ALWAYS | DESIGN | PLANNING, command_plan},
    {"cue", "DESIGN", 1, 1, "what to do and say on film, step by step",
     "The steps of the plan with a sentence to say at each; what the design itself says comes at its place. On a terminal, for one edition, one step at a time in large type: "
     "space goes on, b goes back, q leaves; otherwise a page.",
     "nearmark cue drawer.design --edition imperial --both", ALWAYS | DESIGN | PLANNING | BIT(OPTION_BOTH), command_cue},
    {"proofread", "DESIGN LIST", 2, 2, "a written measurement list held against the design",
     "LIST is a text that you typed: a post, a video's description, notes; or - for standard input. Each figure in it is right, "
     "wrong, or of nothing in the design, by the words near it and the lines above; then what is missing. A heading or the unit "
     "says which edition a part of it is about. Status 0: all is right.",
     "nearmark cuts drawer.design | nearmark proofread drawer.design -",
     ALWAYS | SETTLING | BIT(OPTION_EDITION) | BIT(OPTION_SET), command_proofread},
    {"demo", "", 0, 0, "a built-in example from end to end, no file needed",
     "A drawer for recipe cards in a sleeve: what was measured, what rounding each number by itself breaks, what "
     "settling mends, and the cut lists.",
     "nearmark demo", ALWAYS | SETTLING | BIT(OPTION_SET) | BIT(OPTION_STRICT), command_demo},
    {NULL, NULL, 0, 0, NULL, NULL, NULL, 0, NULL},
};

/* `draw` may be given a folder to fill, `publish` makes one. */
bool command_opens_output(const struct command *command)
{
    return command->run == command_draw || command->run == command_publish;
}
