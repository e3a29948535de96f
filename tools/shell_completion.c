/* shell_completion.c -- what the tables of options.c say to bash, zsh and fish. */
#include <string.h>

#include "options.h"

/* Of options that stand without a command. */
static bool stands_alone(const struct option *o)
{
    return o->id == OPTION_HELP || o->id == OPTION_VERSION || o->id == OPTION_MANUAL || o->id == OPTION_COMPLETION;
}

/* ---- bash ---- */

static void bash_command(struct sink *out, const struct command *c)
{
    sink_format(out, "        %s) words=\"", c->name);
    for (const struct option *o = option_table; o->name; o++)
        if (command_takes(c, o->id))
            sink_format(out, "--%s ", o->name);
    out->size--; /* the last space */
    sink_string(out, "\" ;;\n");
}

static void complete_bash(struct sink *out)
{
    sink_string(out, "# bash completion of nearmark; made by nearmark --completion bash\n_nearmark()\n{\n"
                     "    local now=${COMP_WORDS[COMP_CWORD]} last=${COMP_WORDS[COMP_CWORD-1]} words=\n"
                     "    case $last in\n");
    for (const struct option *o = option_table; o->name; o++)
        if (o->choices)
            sink_format(out, "        --%s) COMPREPLY=($(compgen -W \"%s\" -- \"$now\")); return ;;\n", o->name, o->choices);
    sink_string(out, "    esac\n    if [ \"$COMP_CWORD\" -eq 1 ]; then\n        words=\"");
    for (const struct command *c = command_table; c->name; c++)
        sink_format(out, "%s ", c->name);
    for (const struct option *o = option_table; o->name; o++)
        if (stands_alone(o))
            sink_format(out, "--%s ", o->name);
    out->size--;
    sink_string(out, "\"\n"
                     "        COMPREPLY=($(compgen -W \"$words\" -- \"$now\"))\n        return\n    fi\n"
                     "    case ${COMP_WORDS[1]} in\n");
    for (const struct command *c = command_table; c->name; c++)
        bash_command(out, c);
    sink_string(out, "    esac\n    case $now in\n        -*) COMPREPLY=($(compgen -W \"$words\" -- \"$now\")) ;;\n"
                     "        *) COMPREPLY=($(compgen -f -- \"$now\")) ;;\n    esac\n}\n"
                     "complete -o filenames -F _nearmark nearmark\n");
}

/* ---- zsh ---- */

/* Inside '...', and inside the [...] or before the : of a specification. */
static void zsh_text(struct sink *out, const char *text)
{
    for (; *text; text++)
        if (*text == '\'')
            sink_string(out, "'\\''");
        else if (strchr("[]:\\", *text))
            sink_format(out, "\\%c", *text);
        else
            sink_add(out, text, 1);
}

static void zsh_option(struct sink *out, const struct option *o)
{
    sink_format(out, "'--%s%s[", o->name, o->value ? "=" : "");
    zsh_text(out, o->purpose);
    sink_string(out, "]");
    if (o->value) {
        sink_string(out, ":");
        zsh_text(out, o->value);
        sink_string(out, ":");
        if (o->choices)
            sink_format(out, "(%s)", o->choices);
        else if (o->id == OPTION_OUTPUT)
            sink_string(out, "_files");
    }
    sink_string(out, "'");
}

static void complete_zsh(struct sink *out)
{
    sink_string(out, "#compdef nearmark\n# zsh completion of nearmark; made by nearmark --completion zsh\n\n"
                     "_nearmark() {\n  local -a commands\n  commands=(\n");
    for (const struct command *c = command_table; c->name; c++) {
        sink_format(out, "    '%s:", c->name);
        zsh_text(out, c->purpose);
        sink_string(out, "'\n");
    }
    sink_string(out, "  )\n  if (( CURRENT == 2 )); then\n    _describe command commands\n    _arguments");
    for (const struct option *o = option_table; o->name; o++)
        if (stands_alone(o)) {
            sink_string(out, " \\\n      ");
            zsh_option(out, o);
        }
    sink_string(out, "\n    return\n  fi\n  local command=$words[2]\n  shift words\n  (( CURRENT-- ))\n  case $command in\n");
    for (const struct command *c = command_table; c->name; c++) {
        sink_format(out, "    %s)\n      _arguments", c->name);
        for (const struct option *o = option_table; o->name; o++)
            if (command_takes(c, o->id)) {
                sink_string(out, " \\\n        ");
                zsh_option(out, o);
            }
        sink_string(out, " \\\n        '*:file:_files'\n      ;;\n");
    }
    sink_string(out, "  esac\n}\n\n_nearmark \"$@\"\n");
}

/* ---- fish ---- */

static void fish_text(struct sink *out, const char *text)
{
    sink_string(out, "'");
    for (; *text; text++)
        if (*text == '\'' || *text == '\\')
            sink_format(out, "\\%c", *text);
        else
            sink_add(out, text, 1);
    sink_string(out, "'");
}

static void fish_option(struct sink *out, const struct option *o)
{
    sink_format(out, " -l %s", o->name);
    if (o->letter)
        sink_format(out, " -s %c", o->letter);
    if (o->choices)
        sink_format(out, " -x -a '%s'", o->choices);
    else if (o->value)
        sink_string(out, o->id == OPTION_OUTPUT ? " -r" : " -x");
    sink_string(out, " -d ");
    fish_text(out, o->purpose);
    sink_string(out, "\n");
}

static void complete_fish(struct sink *out)
{
    sink_string(out, "# fish completion of nearmark; made by nearmark --completion fish\n");
    for (const struct command *c = command_table; c->name; c++) {
        sink_format(out, "complete -c nearmark -n __fish_use_subcommand -f -a %s -d ", c->name);
        fish_text(out, c->purpose);
        sink_string(out, "\n");
    }
    for (const struct option *o = option_table; o->name; o++)
        if (stands_alone(o)) {
            sink_string(out, "complete -c nearmark -n __fish_use_subcommand");
            fish_option(out, o);
        }
    for (const struct option *o = option_table; o->name; o++) {
        bool any = false;
        for (const struct command *c = command_table; c->name; c++)
            any |= command_takes(c, o->id);
        if (!any)
            continue;
        sink_string(out, "complete -c nearmark -n '__fish_seen_subcommand_from");
        for (const struct command *c = command_table; c->name; c++)
            if (command_takes(c, o->id))
                sink_format(out, " %s", c->name);
        sink_string(out, "'");
        fish_option(out, o);
    }
}

void shell_completion(struct sink *out, const char *shell)
{
    if (!strcmp(shell, "zsh"))
        complete_zsh(out);
    else if (!strcmp(shell, "fish"))
        complete_fish(out);
    else
        complete_bash(out);
}
