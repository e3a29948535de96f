#include "bench/designmake.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

struct writing {
    char *text;
    size_t size, space;
};

__attribute__((format(printf, 2, 3))) static void put(struct writing *w, const char *format, ...)
{
    enum { LINE = 512 };
    if (w->size + LINE > w->space) {
        w->space = 2 * w->space + LINE;
        w->text = realloc(w->text, w->space);
        if (!w->text)
            abort();
    }
    va_list args;
    va_start(args, format);
    w->size += (size_t)vsnprintf(w->text + w->size, LINE, format, args);
    va_end(args);
}

static const char edition[] = "edition imperial unit in marks 1/16 in cut +- 0.2 mm\n";

/* ---- chance ---- */

static uint64_t next_random(uint64_t *state)
{
    uint64_t z = *state += UINT64_C(0x9e3779b97f4a7c15);
    z = (z ^ (z >> 30)) * UINT64_C(0xbf58476d1ce4e5b9);
    z = (z ^ (z >> 27)) * UINT64_C(0x94d049bb133111eb);
    return z ^ (z >> 31);
}

static int64_t between(uint64_t *state, int64_t low, int64_t high)
{
    return low + (int64_t)(next_random(state) % (uint64_t)(high - low + 1));
}

/* ---- boxes in boxes ---- */

/* Sizes as people write them: tenths of a millimetre, up to 1.2 mm off what would fit best. The turned boxes are nearly
 * square, with room for both ways. */
static void put_box(struct writing *w, size_t k, bool turned, uint64_t *seed)
{
    int64_t grown = turned ? 67 : 42, off = turned ? 8 : 12;
    const int64_t at = (int64_t)k, size[3] = {755 + at * grown, (turned ? 775 : 1065) + at * grown, 275 + at * 18};
    int64_t t[3];
    for (int i = 0; i < 3; i++)
        t[i] = size[i] + between(seed, -off, off);
    put(w, "piece b%zu of card\n across w=%d.%d mm|s=%d.%d mm|w\n down w|l=%d.%d mm|w\n", k, (int)t[2] / 10, (int)t[2] % 10,
        (int)t[0] / 10, (int)t[0] % 10, (int)t[1] / 10, (int)t[1] % 10);
    put(w, "piece c%zu of card\n across r=15 mm|s over outside b%zu.s clear 1.5 mm (0 to 4 mm)|r\n"
           " down r|l over outside b%zu.l clear 1.5 mm (0 to 4 mm)|r\nkeep c%zu.r at most b%zu.w\n", k, k, k, k, k);
}

/* The box with its lid on goes into the next one. */
static void put_slide(struct writing *w, size_t k, bool turned)
{
    const char *room = turned ? "2 to 6.5 mm" : "0 to 4 mm";
    put(w, "fit b%zu.w over b%zu.w+2*card clear 0 to 4 mm\n", k + 1, k);
    put(w, "fit b%zu.s over outside c%zu.s clear %s\nfit b%zu.l over outside c%zu.l clear %s\n", k + 1, k, room, k + 1, k,
        room);
    if (turned)
        put(w, "fit b%zu.s over outside c%zu.l clear 0 to 4.5 mm\nfit b%zu.l over outside c%zu.s clear 3.5 to 8.5 mm\n", k + 1,
            k, k + 1, k);
}

char *make_nested_design(size_t boxes, bool turned)
{
    struct writing w = {0};
    uint64_t seed = 3;
    put(&w, "design \"Boxes\"\nmeasure short 74 mm +- 0.5 mm\nmeasure long %s mm +- 0.5 mm\nmeasure high 26 mm +- 0.5 mm\n"
            "stock card thickness 0.3 mm +- 0.03 mm\n", turned ? "76" : "105");
    for (size_t k = 0; k < boxes; k++)
        put_box(&w, k, turned, &seed);
    put(&w, "fit b0.s over short clear 0 to 4 mm\nfit b0.l over long clear 0 to 4 mm\nfit b0.w over high clear 0 to 4 mm\n");
    for (size_t k = 0; k + 1 < boxes; k++)
        put_slide(&w, k, turned);
    put(&w, "%s", edition);
    return w.text;
}

/* ---- dense ---- */

static void put_length(struct writing *w, size_t j)
{
    put(w, "p%zu.%c", j / 2, j % 2 ? 'h' : 'w');
}

/* One fit on two or three lengths, the first of them on the outer side; its hidden clearance is 1 to 3 mm of 0 to 4. */
static void put_fit(struct writing *w, size_t number, size_t lengths, const int64_t *hidden, uint64_t *seed)
{
    size_t count = 2 + next_random(seed) % 2, chosen[3];
    bool inner[3] = {false};
    int64_t sum = 0; /* marks, outer less inner */
    for (size_t k = 0; k < count; k++) {
        do
            chosen[k] = next_random(seed) % lengths;
        while ((k > 0 && chosen[k] == chosen[0]) || (k > 1 && chosen[k] == chosen[1]));
        inner[k] = k > 0 && between(seed, 0, 1);
        sum += inner[k] ? -hidden[chosen[k]] : hidden[chosen[k]];
    }
    put(w, "fit \"demand %zu\" ", number);
    for (size_t k = 0; k < count; k++)
        if (!inner[k]) {
            put(w, k ? " + " : "");
            put_length(w, chosen[k]);
        }
    int64_t tenths = sum * 127 / 8 - between(seed, 10, 30), size = tenths < 0 ? -tenths : tenths;
    if (tenths < 0)
        put(w, " + %d.%d mm", (int)(size / 10), (int)(size % 10));
    put(w, " over %d.%d mm", tenths < 0 ? 0 : (int)(size / 10), tenths < 0 ? 0 : (int)(size % 10));
    for (size_t k = 1; k < count; k++)
        if (inner[k]) {
            put(w, " + ");
            put_length(w, chosen[k]);
        }
    put(w, " clear 0 to 4 mm\n");
}

char *make_dense_design(size_t lengths, size_t degree, uint64_t seed)
{
    struct writing w = {0};
    int64_t *hidden = calloc(lengths, sizeof *hidden);
    if (!hidden)
        abort();
    put(&w, "design \"Dense\"\nstock card thickness 0.3 mm\n");
    for (size_t p = 0; 2 * p < lengths; p++) {
        int64_t size[2];
        for (int way = 0; way < 2; way++) {
            size[way] = between(&seed, 100, 2000); /* tenths of a mm; a mark is 127/8 of them */
            hidden[2 * p + (size_t)way] = (2 * size[way] * 8 + 127) / (2 * 127) + between(&seed, -2, 2);
        }
        put(&w, "piece p%zu of card\n across w = %d.%d mm\n down h = %d.%d mm\n", p, (int)(size[0] / 10), (int)(size[0] % 10),
            (int)(size[1] / 10), (int)(size[1] % 10));
    }
    for (size_t i = 0; i < lengths * degree * 2 / 5; i++)
        put_fit(&w, i, lengths, hidden, &seed);
    put(&w, "%s", edition);
    free(hidden);
    return w.text;
}

/* ---- settled ---- */

static size_t imperial_of(const struct nmk_design *design)
{
    size_t i = 0;
    while (strcmp(nmk_design_edition(design, i)->name, "imperial") != 0)
        i++;
    return i;
}

void make_settled(struct made_design *out, const char *text)
{
    struct nmk_settle_options options;
    struct nmk_diagnostics *list;
    *out = (struct made_design){0};
    nmk_settle_options_init(&options);
    if (nmk_diagnostics_new(&list, 0) || nmk_design_read(&out->design, text, strlen(text), list) ||
        nmk_draft_new(&out->draft, out->design, imperial_of(out->design), NULL, NMK_IN, list) ||
        nmk_settle(&out->settled, out->draft, &options, list)) {
        fprintf(stderr, "a generated design cannot be settled\n");
        exit(1);
    }
    nmk_diagnostics_free(list);
    nmk_settle_options_clear(&options);
}

void make_settled_free(struct made_design *made)
{
    nmk_settled_free(made->settled);
    nmk_draft_free(made->draft);
    nmk_design_free(made->design);
    *made = (struct made_design){0};
}
