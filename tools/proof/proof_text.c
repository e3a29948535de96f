#include "proof/proof_text.h"

#include <string.h>

#include "ground/store.h"

enum { INDENT = 2, MOST_LETTERS = 200 };

struct screen {
    struct sink *out;
    const struct proof *proof;
    const char *text;
    size_t size;
    size_t line, at; /* the line that was shown last, and where it begins */
};

/* ---- the editions ---- */

static void show_editions(const struct screen *s)
{
    struct sink words = {0};
    const struct proof *p = s->proof;
    for (size_t i = 0; i < p->count; i++) {
        const struct proof_edition *e = &p->editions[i];
        if (!e->spoken_of)
            sink_format(&words, "The text has no list of the edition %s. ", entry_edition(&e->list));
        else if (!nmk_settled_holds_together(e->list.settled))
            sink_format(&words, "In the edition %s nothing meets every demand: held against every number rounded by itself. ",
                        entry_edition(&e->list));
        if (e->spoken_of && e->by_fit)
            sink_format(&words, "No heading names the edition %s, but of those in its unit its list fits best. ",
                        entry_edition(&e->list));
    }
    if (words.size) {
        sink_string(s->out, "\n");
        sink_words(s->out, 0, words.data);
    }
    sink_drop(&words);
}

/* ---- a line of the text, and what is found in it ---- */

static void seek(struct screen *s, size_t line)
{
    size_t number = 1, at = 0;
    if (s->line && s->line <= line) {
        number = s->line;
        at = s->at;
    }
    for (; number < line && at < s->size; number++) {
        const char *end = memchr(s->text + at, '\n', s->size - at);
        at = end ? (size_t)(end - s->text) + 1 : s->size;
    }
    s->line = line;
    s->at = at;
}

static void show_line(struct screen *s, size_t line)
{
    if (s->line == line)
        return;
    seek(s, line);
    const char *from = s->text + s->at, *end = memchr(from, '\n', s->size - s->at);
    size_t size = end ? (size_t)(end - from) : s->size - s->at;
    while (size && (*from == ' ' || *from == '\t'))
        from++, size--;
    while (size && (from[size - 1] == '\r' || from[size - 1] == ' '))
        size--;
    while (size > MOST_LETTERS && ((unsigned char)from[MOST_LETTERS] & 0xC0) == 0x80)
        size--;
    char *copy = store_copy(from, size < MOST_LETTERS ? size : MOST_LETTERS);
    sink_format(s->out, "\nline %zu: ", line);
    sink_plain(s->out, copy);
    sink_string(s->out, size > MOST_LETTERS ? " ...\n" : "\n");
    store_free(copy);
}

/* "Sleeve, score from the left edge (imperial)" */
static void add_place(struct sink *words, const struct proof *p, const struct finding *f, const struct claim *c)
{
    const struct entry_list *list = &p->editions[f->edition].list;
    const char *subject = entry_subject(list->design, c->subject);
    struct entry told = {.kind = c->kind, .way = (enum nmk_way)(c->way > 0), .last = c->edge > 0, .row = NMK_NONE};
    sink_format(words, "%s%s", subject, *subject ? ", " : "");
    if (c->kind == ENTRY_HINT)
        sink_string(words, "how to find the mark");
    else if (f->entry != NMK_NONE && (!entry_is_line(c->kind) || c->edge < 0))
        entry_what(words, list->design, &list->entries[f->entry]);
    else if (entry_is_line(c->kind) && c->edge >= 0 && c->way < 0)
        sink_string(words, c->kind == ENTRY_KNIFE ? "cut" : "score");
    else if (c->kind != ENTRY_ANY && (c->way >= 0 || c->kind == ENTRY_TAPER))
        entry_what(words, list->design, &told);
    else
        sink_string(words, c->kind == ENTRY_ANY ? "not said of what" : entry_kind_name(c->kind));
    sink_format(words, " (%s)", entry_edition(list));
}

/* Where it can be one of several: those that are still missing, as far as they fit. */
static void add_choices(struct sink *words, const struct proof *p, const struct finding *f, const struct claim *c)
{
    const struct entry_list *list = &p->editions[f->edition].list;
    size_t count = 0;
    for (size_t i = 0; i < list->count && count < 6; i++) {
        const struct entry *e = &list->entries[i];
        if (e->subject != c->subject || e->kind != c->kind || (c->way >= 0 && c->way != (int)e->way) ||
            p->editions[f->edition].stands[i])
            continue;
        char *figure = entry_figure(list, e);
        sink_format(words, "%s%s", count++ ? ", " : ": one of ", figure);
        store_free(figure);
    }
}

static void show_finding(struct screen *s, size_t claim)
{
    const struct finding *f = &s->proof->findings[claim];
    const struct claim *c = &s->proof->claims.claims[claim];
    struct sink words = {0}, reason = {0};
    char *belongs = proof_belongs(s->proof, claim);
    sink_string(&words, c->written);
    if (f->verdict == VERDICT_UNSURE)
        sink_string(&words, ": not sure what this is about, so it was held against nothing");
    else if (belongs)
        sink_format(&words, ": here belongs %s: ", belongs);
    else
        sink_string(&words, f->verdict == VERDICT_WRONG ? ": wrong: " : ": nothing in the design is so: ");
    if (f->verdict != VERDICT_UNSURE)
        add_place(&words, s->proof, f, c);
    if (f->verdict == VERDICT_WRONG && !belongs)
        add_choices(&words, s->proof, f, c);
    proof_reason(&reason, s->proof, f);
    if (reason.size)
        sink_format(&words, "; %s", reason.data);
    sink_words(s->out, INDENT, words.data);
    sink_drop(&words);
    sink_drop(&reason);
    store_free(belongs);
}

static void show_findings(struct screen *s, bool unsure)
{
    for (size_t i = 0; i < s->proof->claims.count; i++) {
        enum verdict v = s->proof->findings[i].verdict;
        if ((unsure ? v == VERDICT_UNSURE : v == VERDICT_WRONG || v == VERDICT_FOREIGN) && proof_is_shown(s->proof, i)) {
            show_line(s, s->proof->claims.claims[i].line);
            show_finding(s, i);
        }
    }
}

/* ---- what is missing ---- */

static void show_missing(const struct screen *s, size_t edition)
{
    const struct proof_edition *e = &s->proof->editions[edition];
    if (!e->missing)
        return;
    sink_format(s->out, "\nMissing in the edition %s\n", entry_edition(&e->list));
    for (size_t i = 0; i < e->list.count; i++) {
        if (!proof_is_missing(s->proof, edition, i))
            continue;
        const struct entry *is = &e->list.entries[i];
        struct sink words = {0};
        char *figure = entry_figure(&e->list, is);
        sink_format(&words, "%s: ", entry_subject(e->list.design, is->subject));
        entry_what(&words, e->list.design, is);
        sink_format(&words, ", %s", figure);
        sink_words(s->out, INDENT, words.data);
        store_free(figure);
        sink_drop(&words);
    }
}

/* ---- the sum of it ---- */

static void show_sum(const struct screen *s)
{
    const struct proof *p = s->proof;
    struct sink words = {0};
    size_t bad = p->wrong, lists = 0;
    for (size_t i = 0; i < p->count; i++) {
        const struct proof_edition *e = &p->editions[i];
        bad += e->missing;
        lists += e->spoken_of;
        if (!e->spoken_of && !e->wrong && !e->right)
            continue;
        sink_format(&words, "Edition %s: %zu right, %zu wrong, %zu missing. ", entry_edition(&e->list), e->right, e->wrong,
                    e->missing);
    }
    if (p->unsure)
        sink_format(&words, "%zu not sure. ", p->unsure);
    sink_string(s->out, "\n");
    sink_tint(s->out, bad || !lists ? TINT_BAD : TINT_GOOD,
              !lists ? "No figure of the design's lists stands in the text."
              : bad  ? "Not ready to publish."
                     : "Every figure is right, and none is missing.");
    sink_string(s->out, "\n");
    if (words.size)
        sink_words(s->out, 0, words.data);
    sink_drop(&words);
}

void proof_text_show(struct sink *out, const struct proof *proof, const char *text, size_t size)
{
    struct screen s = {.out = out, .proof = proof, .text = text, .size = size};
    struct sink plain = {0};
    sink_plain(&plain, nmk_design_title(proof->editions[0].list.design));
    if (plain.size) {
        sink_tint(out, TINT_STRONG, plain.data);
        sink_string(out, "\n");
    }
    sink_drop(&plain);
    show_editions(&s);
    show_findings(&s, false);
    for (size_t i = 0; i < proof->count; i++)
        show_missing(&s, i);
    s.line = 0;
    show_findings(&s, true);
    show_sum(&s);
}
