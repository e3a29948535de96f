/* help.c -- what the tables of options.c say to a person, to man and to a shell. */
#include <string.h>

#include "nearmark.h"
#include "options.h"
#include "report/letters.h"

enum { NAME_COLUMN = 4, PURPOSE_COLUMN = 24 };

static int label_option(struct sink *out, const struct option *o)
{
    int before = (int)out->size;
    if (o->letter)
        sink_format(out, "-%c, ", o->letter);
    sink_format(out, "--%s%s%s", o->name, o->value ? " " : "", o->value ? o->value : "");
    return (int)out->size - before;
}

/* The purpose beside the label, its further lines below it; the label takes a line of its own if it is long. */
static void add_purpose(struct sink *out, int used, const char *purpose)
{
    struct sink text = {0};
    sink_words(&text, PURPOSE_COLUMN, purpose);
    bool beside = used + 2 <= PURPOSE_COLUMN;
    sink_string(out, beside ? "" : "\n");
    sink_string(out, text.data + (beside ? used : 0));
    sink_drop(&text);
}

static void help_option(struct sink *out, const struct option *o)
{
    sink_spaces(out, NAME_COLUMN);
    add_purpose(out, NAME_COLUMN + label_option(out, o), o->purpose);
}

void help_program(struct sink *out)
{
    sink_string(out, "nearmark - cuts and scores on a trimmer's marks that still fit\n\n"
                     "  nearmark                  a prompt for quick arithmetic\n"
                     "  nearmark COMMAND ...      one of these:\n\n");
    for (const struct command *c = command_table; c->name; c++) {
        sink_spaces(out, NAME_COLUMN);
        sink_format(out, "%s %s", c->name, c->words);
        add_purpose(out, NAME_COLUMN + (int)strlen(c->name) + 1 + (int)strlen(c->words), c->purpose);
    }
    sink_string(out, "\nOptions:\n\n");
    for (const struct option *o = option_table; o->name; o++)
        help_option(out, o);
    sink_string(out, "\nnearmark COMMAND --help says more. For a first look: nearmark demo\n\n");
    sink_words(out, 0, "Status: 0 done; 1 done, but a demand is not met (with --strict also: at risk); 2 the input or the "
                       "call is wrong; 3 the machine failed.");
}

void help_command(struct sink *out, const struct command *command)
{
    sink_format(out, "nearmark %s%s%s\n\n", command->name, *command->words ? " " : "", command->words);
    sink_words(out, 0, command->purpose);
    sink_string(out, "\n");
    if (command->more) {
        sink_words(out, 0, command->more);
        sink_string(out, "\n");
    }
    for (const struct option *o = option_table; o->name; o++)
        if (command_takes(command, o->id))
            help_option(out, o);
    sink_format(out, "\nExample:\n\n    %s\n", command->example);
}

/* ---- the manual page ---- */

/* roff: a backslash and a hyphen are escaped, a line does not begin with a point. */
static void add_roff(struct sink *out, const char *text)
{
    for (; *text; text++) {
        if (*text == '\\')
            sink_string(out, "\\e");
        else if (*text == '-')
            sink_string(out, "\\-");
        else if (*text == '`')
            sink_string(out, "\\[ga]");
        else
            sink_add(out, text, 1);
    }
}

static void manual_option(struct sink *out, const struct option *o)
{
    struct sink label = {0};
    label_option(&label, o);
    sink_string(out, ".TP\n.B \"");
    add_roff(out, label.data);
    sink_string(out, "\"\n");
    add_roff(out, o->purpose);
    sink_string(out, "\n");
    sink_drop(&label);
}

static void manual_command(struct sink *out, const struct command *c)
{
    sink_format(out, ".SS \"%s%s%s\"\n", c->name, *c->words ? " " : "", c->words);
    add_roff(out, c->purpose);
    sink_string(out, ".\n");
    add_roff(out, c->more ? c->more : "");
    sink_string(out, "\n.PP\n.nf\n");
    add_roff(out, c->example);
    sink_string(out, "\n.fi\n");
}

void help_manual(struct sink *out)
{
    sink_string(out, ".TH NEARMARK 1 \"\" \"nearmark " NMK_VERSION "\"\n.SH NAME\n"
                     "nearmark \\- cuts and scores on a trimmer's marks that still fit\n"
                     ".SH SYNOPSIS\n.B nearmark\n.RI [ COMMAND \" ...]\"\n.SH DESCRIPTION\n"
                     "Without a command it is a prompt for quick arithmetic; from a pipe it answers line by line.\n"
                     ".SH COMMANDS\n");
    for (const struct command *c = command_table; c->name; c++)
        manual_command(out, c);
    sink_string(out, ".SH OPTIONS\n");
    for (const struct option *o = option_table; o->name; o++)
        manual_option(out, o);
    sink_string(out, ".SH EXIT STATUS\n.TP\n.B 0\ndone; a demand at risk is a message\n.TP\n.B 1\n"
                     "done, but a settled demand is too tight, too loose or uneven, or nothing meets them all; with\n"
                     ".B \\-\\-strict\nalso when one is at risk\n.TP\n.B 2\nthe input or the call is wrong\n.TP\n.B 3\n"
                     "the machine failed; nothing half\\-written is left\n.SH ENVIRONMENT\n.TP\n.B NO_COLOR\n"
                     "if set, no colour\n.TP\n.B TERM\nif dumb, no colour\n");
}

/* ---- completion ---- */

static void completion_command(struct sink *out, const struct command *c)
{
    sink_format(out, "        %s) words=\"", c->name);
    for (const struct option *o = option_table; o->name; o++)
        if (command_takes(c, o->id))
            sink_format(out, "--%s ", o->name);
    out->size--; /* the last space */
    sink_string(out, "\" ;;\n");
}

void help_completion(struct sink *out)
{
    sink_string(out, "# bash completion of nearmark; made by nearmark --completion\n_nearmark()\n{\n"
                     "    local now=${COMP_WORDS[COMP_CWORD]} last=${COMP_WORDS[COMP_CWORD-1]} words=\n"
                     "    case $last in\n");
    for (const struct option *o = option_table; o->name; o++)
        if (o->choices)
            sink_format(out, "        --%s) COMPREPLY=($(compgen -W \"%s\" -- \"$now\")); return ;;\n", o->name, o->choices);
    sink_string(out, "    esac\n    if [ \"$COMP_CWORD\" -eq 1 ]; then\n        words=\"");
    for (const struct command *c = command_table; c->name; c++)
        sink_format(out, "%s ", c->name);
    sink_string(out, "--help --version --manual --completion\"\n"
                     "        COMPREPLY=($(compgen -W \"$words\" -- \"$now\"))\n        return\n    fi\n"
                     "    case ${COMP_WORDS[1]} in\n");
    for (const struct command *c = command_table; c->name; c++)
        completion_command(out, c);
    sink_string(out, "    esac\n    case $now in\n        -*) COMPREPLY=($(compgen -W \"$words\" -- \"$now\")) ;;\n"
                     "        *) COMPREPLY=($(compgen -f -- \"$now\")) ;;\n    esac\n}\n"
                     "complete -o filenames -F _nearmark nearmark\n");
}
