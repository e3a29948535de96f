/* manual_page.c -- the manual page of the program, made of the tables of options.c; mdoc(7). */
#include <string.h>

#include "nearmark.h"
#include "options.h"

/* Does a sentence end before this space? */
static bool ends_sentence(const char *text, const char *space)
{
    return space > text && strchr(".?", space[-1]) && space[1];
}

/* roff: a backslash, a hyphen and a grave accent are escaped; each sentence begins a line, and none with a point. */
static void add_text(struct sink *out, const char *text)
{
    const char *start = text;
    for (; *text; text++) {
        if (*text == ' ' && ends_sentence(start, text))
            sink_string(out, "\n");
        else if (*text == '\\')
            sink_string(out, "\\e");
        else if (*text == '-')
            sink_string(out, "\\-");
        else if (*text == '`')
            sink_string(out, "\\(ga");
        else
            sink_add(out, text, 1);
    }
}

/* As arguments of a macro: quotes would be taken by it. */
static void add_words(struct sink *out, const char *text)
{
    sink_string(out, "\"");
    for (; *text; text++)
        if (*text == '"')
            sink_string(out, "\\(dq");
        else if (*text == '-')
            sink_string(out, "\\-");
        else
            sink_add(out, text, 1);
    sink_string(out, "\"");
}

static void add_option(struct sink *out, const struct option *o)
{
    sink_string(out, ".It");
    if (o->letter)
        sink_format(out, " Fl %c ,", o->letter);
    sink_format(out, " Fl \\-%s", o->name);
    if (o->value) {
        sink_string(out, " Ar ");
        add_words(out, o->value);
    }
    sink_string(out, "\n");
    add_text(out, o->purpose);
    sink_string(out, "\n");
}

static void add_command(struct sink *out, const struct command *c)
{
    sink_format(out, ".It Ic %s", c->name);
    if (*c->words) {
        sink_string(out, " Ar ");
        add_words(out, c->words);
    }
    sink_string(out, "\n");
    add_text(out, c->purpose);
    sink_string(out, ".\n");
    if (c->more) {
        add_text(out, c->more);
        sink_string(out, "\n");
    }
    sink_string(out, "Its options:\n");
    bool first = true;
    for (const struct option *o = option_table; o->name; o++)
        if (command_takes(c, o->id)) {
            sink_format(out, "%s.Fl \\-%s", first ? "" : " ,\n", o->name);
            first = false;
        }
    sink_string(out, " .\n");
}

static void add_examples(struct sink *out)
{
    sink_string(out, ".Sh EXAMPLES\n"
                     "Each runs in a folder with a\n.Pa drawer.design .\n");
    for (const struct command *c = command_table; c->name; c++) {
        sink_string(out, ".Pp\n");
        sink_format(out, "%c", c->purpose[0] >= 'a' && c->purpose[0] <= 'z' ? c->purpose[0] - 'a' + 'A' : c->purpose[0]);
        add_text(out, c->purpose + 1);
        sink_string(out, ":\n.Dl $ ");
        const char *example = c->example;
        for (; *example; example++)
            if (*example == '"')
                sink_string(out, "\\(dq");
            else if (*example == '-')
                sink_string(out, "\\-");
            else
                sink_add(out, example, 1);
        sink_string(out, "\n");
    }
}

static void add_desk(struct sink *out)
{
    sink_string(out, ".Sh THE DESK\n"
                     "Without a command\n.Nm\nis a prompt on a terminal, and answers line by line from a pipe.\n"
                     "A sum shows the marks around it; a number without a unit is asked for its unit;\n.Ql last\n"
                     "is the last result, and what begins with an operator goes on from it.\n"
                     "Further it knows\n"
                     ".Bl -tag -width indent\n"
                     ".It Ic open Ar FILE\na design onto the desk; its names then stand in sums, and a name alone shows its marks in\n"
                     "every edition and in words.\nA file that changes is read again.\n"
                     ".It Ic set Ar NAME Li = Ar LENGTH\nyour own size for a measure; what it changes is shown.\n"
                     ".It Ic save Op Ar FILE\nwrites the design with what was set; its comments and layout stay.\n"
                     ".It Ic check , cuts , explain No and the other commands\nfor the design that is open.\n"
                     ".It Ic say Ar NAME\nthe sentence to speak.\n"
                     ".It Ic marks Ar LENGTH\nother marks;\n.Ic marks usual\ngoes back.\n"
                     ".It Ic names\nthe names of the design.\n"
                     ".It Ic help , quit\n"
                     ".El\n.Pp\n"
                     "Tab completes words, names and files; Ctrl\\-C gives a line up, Ctrl\\-D leaves.\n");
}

static void add_surroundings(struct sink *out)
{
    sink_string(out, ".Sh ENVIRONMENT\n.Bl -tag -width XDG_STATE_HOME\n.It Ev NO_COLOR\nif set, no colour.\n"
                     ".It Ev TERM\nif dumb, no colour.\n"
                     ".It Ev XDG_STATE_HOME\nwhere the desk keeps its history.\n.El\n"
                     ".Sh FILES\n.Bl -tag -width indent\n.It Pa $XDG_STATE_HOME/nearmark/history\n"
                     "the lines typed at the desk; without that variable in\n.Pa ~/.local/state .\n.El\n"
                     ".Sh EXIT STATUS\n.Bl -tag -width indent\n.It 0\ndone; a demand at risk is a message.\n.It 1\n"
                     "done, but a settled demand is too tight, too loose or uneven, or nothing meets them all; with\n"
                     ".Fl \\-strict\nalso when one is at risk.\n.It 2\nthe input or the call is wrong.\n.It 3\n"
                     "the machine failed; nothing half\\-written is left.\n.El\n");
}

static void add_end(struct sink *out)
{
    sink_string(out, ".Sh SEE ALSO\n.Xr nearmark\\-design 5\n"
                     ".Sh CAVEATS\nA trimmer's blade cuts: mind your fingers, and follow the maker's instructions and your\n"
                     "local rules.\n");
}

void manual_page(struct sink *out)
{
    sink_string(out, ".\\\" made by nearmark --manual, " NMK_VERSION "\n"
                     ".Dd November 25, 2026\n.Dt NEARMARK 1\n.Os\n.Sh NAME\n.Nm nearmark\n"
                     ".Nd cuts and scores on a trimmer's marks that still fit\n"
                     ".Sh SYNOPSIS\n.Nm\n.Nm\n.Ar COMMAND\n.Op Ar options\n.Op Ar words\n"
                     ".Sh DESCRIPTION\n"
                     "Reads a design as you would write it in a notebook, see\n.Xr nearmark\\-design 5 ,\n"
                     "converts it exactly, chooses all marks of a paper trimmer together so that everything still fits, and\n"
                     "proves it.\nThe commands:\n.Bl -tag -width indent\n");
    for (const struct command *c = command_table; c->name; c++)
        add_command(out, c);
    sink_string(out, ".El\n.Pp\nThe options:\n.Bl -tag -width indent\n");
    for (const struct option *o = option_table; o->name; o++)
        add_option(out, o);
    sink_string(out, ".El\n");
    add_desk(out);
    add_surroundings(out);
    add_examples(out);
    add_end(out);
}
