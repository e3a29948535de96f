#include "prompter.h"

#include <string.h>
#include <termios.h>
#include <unistd.h>

#include "report/plan/cue.h"
#include "report/cut_list.h"

enum { GLYPH_ROWS = 5, INDENT = 2, WIDE = 72 };
enum key { KEY_NEXT, KEY_BACK, KEY_LEAVE, KEY_OTHER };

/* Letters five rows high, for figures: "5 5/16 in", "8.4 cm". */
static const struct {
    char letter;
    const char *rows[GLYPH_ROWS];
} glyphs[] = {
    {'0', {"█████", "█   █", "█   █", "█   █", "█████"}}, {'1', {"  █  ", " ██  ", "  █  ", "  █  ", " ███ "}},
    {'2', {"█████", "    █", "█████", "█    ", "█████"}}, {'3', {"█████", "    █", " ████", "    █", "█████"}},
    {'4', {"█   █", "█   █", "█████", "    █", "    █"}}, {'5', {"█████", "█    ", "█████", "    █", "█████"}},
    {'6', {"█████", "█    ", "█████", "█   █", "█████"}}, {'7', {"█████", "    █", "   █ ", "  █  ", "  █  "}},
    {'8', {"█████", "█   █", "█████", "█   █", "█████"}}, {'9', {"█████", "█   █", "█████", "    █", "█████"}},
    {'/', {"    █", "   █ ", "  █  ", " █   ", "█    "}}, {'.', {"  ", "  ", "  ", "  ", "██"}},
    {' ', {"   ", "   ", "   ", "   ", "   "}},           {'c', {"    ", "████", "█   ", "█   ", "████"}},
    {'i', {"█", " ", "█", "█", "█"}},                     {'m', {"     ", "█████", "█ █ █", "█ █ █", "█ █ █"}},
    {'n', {"    ", "███ ", "█  █", "█  █", "█  █"}},
};

/* ---- the terminal ---- */

static bool take_keys(struct termios *before)
{
    struct termios now;
    if (tcgetattr(STDIN_FILENO, before))
        return false;
    now = *before;
    now.c_lflag &= ~(tcflag_t)(ICANON | ECHO | ISIG);
    now.c_cc[VMIN] = 1;
    now.c_cc[VTIME] = 0;
    return !tcsetattr(STDIN_FILENO, TCSANOW, &now);
}

/* An arrow key sends three bytes at once. */
static enum key read_key(void)
{
    char bytes[8];
    ssize_t got = read(STDIN_FILENO, bytes, sizeof bytes);
    if (got <= 0 || bytes[0] == 'q' || bytes[0] == 'Q' || bytes[0] == 3 || bytes[0] == 4)
        return KEY_LEAVE;
    if (got >= 3 && bytes[0] == 27 && (bytes[1] == '[' || bytes[1] == 'O'))
        return strchr("CB6", bytes[2]) ? KEY_NEXT : strchr("DA5", bytes[2]) ? KEY_BACK : KEY_OTHER;
    if (strchr(" \r\nnN", bytes[0]))
        return KEY_NEXT;
    if (strchr("bB\b\177", bytes[0]))
        return KEY_BACK;
    return KEY_OTHER;
}

/* ---- one screen ---- */

static const char *glyph_row(char letter, int row)
{
    for (size_t i = 0; i < sizeof glyphs / sizeof *glyphs; i++)
        if (glyphs[i].letter == letter)
            return glyphs[i].rows[row];
    return NULL;
}

static bool is_drawable(const char *text)
{
    if (strlen(text) * 6 > WIDE)
        return false;
    for (; *text; text++)
        if (!glyph_row(*text, 0))
            return false;
    return true;
}

static void show_large(struct sink *out, const char *text)
{
    if (!is_drawable(text)) {
        sink_spaces(out, INDENT);
        sink_tint(out, TINT_STRONG, text);
        sink_string(out, "\n");
        return;
    }
    for (int row = 0; row < GLYPH_ROWS; row++) {
        sink_spaces(out, INDENT);
        for (const char *at = text; *at; at++)
            sink_format(out, "%s%s", glyph_row(*at, row), at[1] ? " " : "");
        sink_string(out, "\n");
    }
}

static void show_line(struct sink *out, const char *text)
{
    if (!text)
        return;
    sink_string(out, "\n");
    sink_words(out, INDENT, text);
}

static void show_cue(struct sink *out, const struct cue_list *list, size_t i)
{
    const struct cue *cue = &list->all[i];
    sink_string(out, "\033[2J\033[H\n");
    sink_format(out, "  %zu of %zu\n\n", i + 1, list->count);
    if (cue->figure)
        show_large(out, cue->figure);
    show_line(out, cue->other);
    show_line(out, cue->hint);
    sink_string(out, "\n  ");
    sink_tint(out, TINT_STRONG, cue->what);
    sink_string(out, "\n");
    show_line(out, cue->own ? NULL : cue->how);
    show_line(out, cue->gives);
    show_line(out, cue->say);
    sink_string(out, "\n  space: on   b: back   q: leave\n");
}

static void show_start(struct sink *out)
{
    sink_string(out, "\033[2J\033[H\n");
    cut_list_caution(out);
    sink_string(out, "\n  space: on   b: back   q: leave\n");
}

/* ---- the whole ---- */

static void go_through(struct sink *out, const struct cue_list *list)
{
    size_t at = 0; /* 0: the caution, then the cues */
    for (;;) {
        if (at)
            show_cue(out, list, at - 1);
        else
            show_start(out);
        enum key key = sink_flush(out) ? read_key() : KEY_LEAVE;
        if (key == KEY_LEAVE || (key == KEY_NEXT && at == list->count))
            return;
        if (key == KEY_NEXT)
            at++;
        else if (key == KEY_BACK && at)
            at--;
    }
}

void prompter_run(struct sink *out, const struct nmk_plan *plan, bool both)
{
    struct termios before;
    struct cue_list list;
    if (!take_keys(&before))
        return;
    cue_list_make(&list, plan, both);
    go_through(out, &list);
    cue_list_clear(&list);
    sink_string(out, "\033[2J\033[H");
    tcsetattr(STDIN_FILENO, TCSANOW, &before);
}
