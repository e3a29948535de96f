/* help.c -- what the tables of options.c say to a person; to man: manual_page.c, to a shell: shell_completion.c. */
#include <string.h>

#include "ground/letters.h"
#include "options.h"

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
                     "  nearmark                  the desk: sums, and a design to work at\n"
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
