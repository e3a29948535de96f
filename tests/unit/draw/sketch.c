#include "unit/draw/sketch.h"

#include <setjmp.h>
#include <stdarg.h>
#include <string.h>

#include <cmocka.h>

#include "ground/letters.h"
#include "ground/sink.h"
#include "ground/store.h"

static const char *const labels[] = {
    "Tray", "Lid", "A", "Sleeve for the recipe cards of a whole large family with many guests, second version",
    "Unpronounceablyunbreakablelongword\xC3\xA4\xC3\xB6\xC3\xBC", "<b>bold</b> & 'quoted'",
    "\xD8\xB5\xD9\x86\xD8\xAF\xD9\x88\xD9\x82 \xD8\xA7\xD9\x84\xD8\xB4\xD8\xA7\xD9\x8A",             /* Arabic */
    "\xE8\x8C\xB6\xE5\x8F\xB6\xE7\xBD\x90\xE7\x9A\x84\xE5\xA5\x97\xE7\xAD\x92",                       /* Chinese */
    "\xF0\x9F\x8E\x81 gift \xF0\x9F\x91\xA9\xE2\x80\x8D\xF0\x9F\x91\xA9\xE2\x80\x8D\xF0\x9F\x91\xA7", /* pictures, joined */
    "\xD0\x9A\xD0\xBE\xD1\x80\xD0\xBE\xD0\xB1\xD0\xBA\xD0\xB0 \xD1\x89\xD0\xB5\xD0\xB4\xD1\x80\xD0\xB0\xD1\x8F",
    ("7/16 and 4\xE2\x81\x84" "5")};
static const char *const panels[] = {"a", "wall", "side", "base_short", "very_long_name_of_a_panel_that_fits_nowhere",
                                     "\xE5\xBA\x95", "\xD0\xB1\xD0\xBE\xD0\xBA", "tab", "front", "face", "x1", "rim"};
enum { LABELS = sizeof labels / sizeof *labels, PANELS = sizeof panels / sizeof *panels };

static bool chance(unsigned percent)
{
    return biased_below(100) < percent;
}

/* Names are new in the piece, or stand again with the panel that they have. */
static void add_list(struct sink *out, const char *way, uint64_t whole, bool *used, bool glue)
{
    size_t count = chance(40) ? 1 + biased_below(3) : 1 + biased_below(12);
    sink_format(out, "  %s ", way);
    for (size_t i = 0; i < count; i++) {
        size_t name = biased_below(PANELS);
        uint64_t size = 1 + whole * 10 / count + (chance(30) ? biased_below(whole * 10 + 1) / (count * 2) : 0);
        if (chance(15))
            size = 1 + size / 12;
        sink_string(out, i ? " | " : "");
        if (used[name])
            sink_string(out, panels[name]);
        else
            sink_format(out, "%s = %llu.%llu mm", panels[name], (unsigned long long)(size / 10 + 1),
                        (unsigned long long)(size % 10));
        used[name] = true;
        if (glue && count > 1 && (!i || i + 1 == count) && chance(50))
            sink_string(out, " glue");
    }
    sink_string(out, "\n");
}

static void add_piece(struct sink *out, size_t i)
{
    bool used[PANELS] = {false};
    static const char *const edges[] = {"first edge", "last edge", "both edges"};
    sink_format(out, "piece p%zu \"%s\" %u of s%s\n", i, labels[biased_below(LABELS)], 1 + (unsigned)biased_below(12),
                chance(40) ? chance(50) ? " grain across" : " grain down" : "");
    add_list(out, "across", 10 + biased_below(chance(50) ? 100 : 590), used, true);
    add_list(out, "down", 10 + biased_below(chance(50) ? 100 : 590), used, false);
    if (chance(70))
        sink_format(out, "  score %sfrom %s\n", chance(50) ? "across " : "", edges[biased_below(3)]);
    if (chance(10))
        sink_string(out, "  ends mitred\n");
}

/* An open box with snipped corners. */
static void add_box(struct sink *out)
{
    unsigned wall = 2 + (unsigned)biased_below(80), base = 12 + (unsigned)biased_below(300),
             other = 12 + (unsigned)biased_below(300);
    sink_format(out, "piece box \"%s\" of s\n  across wall = %u mm | base = %u mm | wall\n  down wall | long = %u mm | wall\n",
                labels[biased_below(LABELS)], wall, base, other);
    sink_format(out, "  score from both edges\n  corners snipped %s, tapered 1 mm\n", chance(50) ? "down" : "across");
}

/* A list as wide as the others of its piece: its panels, and where they leave something a rest at one end or both. */
static void add_row(struct sink *out, uint64_t whole, bool rest, size_t row, char panel)
{
    size_t count = 1 + biased_below(5), rests = rest ? 1 + biased_below(3) : 0; /* the last, the first, both */
    uint64_t left = rest ? whole - whole / (2 + biased_below(8)) - 2 : whole;
    sink_string(out, rests > 1 ? "rest | " : "");
    for (size_t i = 0; i < count; i++) {
        uint64_t size = i + 1 == count ? left : left / (count - i) / (chance(20) ? 10 : 1);
        size += !size;
        sink_string(out, !i ? "" : chance(30) ? " || " : " | ");
        sink_format(out, "%s%c%zu%zu = %llu mm%s", chance(15) ? "quite_a_long_name_" : "", panel, row, i,
                    (unsigned long long)size, (!i || i + 1 == count) && chance(20) ? " glue" : "");
        left -= size;
    }
    sink_string(out, rests & 1 ? " | rest" : "");
}

/* Up to four rows beside up to six panels, across or down. */
static void add_rows(struct sink *out)
{
    size_t parts = 2 + biased_below(5), rows = 2 + biased_below(parts < 4 ? parts - 1 : 3), open = biased_below(rows);
    uint64_t whole = 40 + biased_below(chance(50) ? 100 : 500);
    const char *way = chance(70) ? "across" : "down";
    sink_format(out, "piece r \"%s\" of s%s\n  %s ", labels[biased_below(LABELS)], chance(30) ? " grain down" : "",
                *way == 'a' ? "down" : "across");
    for (size_t i = 0; i < parts; i++)
        sink_format(out, "%spart%zu = %u mm%s", i ? chance(10) ? " || " : " | " : "", i,
                    2 + (unsigned)biased_below(chance(30) ? 10 : 90), !i && chance(20) ? " glue" : "");
    sink_string(out, "\n");
    for (size_t row = 0; row < rows; row++) {
        sink_format(out, "  %s ", way);
        add_row(out, whole, row != open && chance(80), row, 'n');
        sink_string(out, " beside");
        for (size_t i = row, n = 0; i < parts; i += rows, n++)
            sink_format(out, "%s part%zu", n ? "," : "", i);
        sink_string(out, "\n");
    }
    if (chance(60))
        sink_format(out, "  score from %s edge\n", chance(50) ? "first" : "last");
}

static void add_others(struct sink *out, size_t pieces)
{
    size_t on = biased_below(pieces);
    bool box = chance(50);
    if (chance(40))
        add_rows(out);
    if (box)
        add_box(out);
    if (chance(40))
        sink_format(out, "mat m \"%s\" of s on p%zu, smaller by 0.5 mm%s\n", labels[biased_below(LABELS)], on,
                    chance(50) ? " ends mitred" : "");
    if (chance(30)) /* over a score */
        sink_format(out,
                    "piece frame \"%s\" of s\n  across half = %u mm | half\n  down d = %u mm\npunches oval 6 x 4 mm, 8 x 5 mm\n"
                    "opening hole from oval through frame on frame\n",
                    labels[biased_below(LABELS)], 8 + (unsigned)biased_below(90), 12 + (unsigned)biased_below(200));
    else if (box) /* in a panel */
        sink_string(out, "punches oval 3 x 4 mm, 7 x 5 mm\nopening hole from oval through box on box.base x box.long\n");
    if (chance(20))
        sink_format(out, "punches round 38 x 38 mm\npiece q \"%s\" of s from round\n", labels[biased_below(LABELS)]);
}

static void add_edition(struct sink *out)
{
    static const char *const editions[] = {"unit mm marks 1 mm", "unit cm marks 0.5 mm", "unit in marks 1/16 in",
                                           "unit in marks 1/32 in", "unit in marks 1/64 in reach 12 in"};
    sink_format(out, "edition e %s as designed\n", editions[biased_below(5)]);
}

static void settle(struct sketch *sketch, const char *text)
{
    struct nmk_diagnostics *list;
    struct nmk_settle_options options;
    assert_int_equal(nmk_diagnostics_new(&list, 0), NMK_OK);
    nmk_settle_options_init(&options);
    enum nmk_status status = nmk_design_read(&sketch->design, text, strlen(text), list);
    if (!status)
        status = nmk_draft_new(&sketch->draft, sketch->design, 0, NULL, NMK_UNIT_NONE, list);
    if (!status)
        status = nmk_settle(&sketch->settled, sketch->draft, &options, list);
    for (size_t i = 0; status && i < nmk_diagnostics_count(list); i++)
        print_error("%s\n%s\n", nmk_diagnostics_get(list, i)->message, text);
    assert_int_equal(status, NMK_OK);
    nmk_diagnostics_free(list);
    nmk_settle_options_clear(&options);
}

void sketch_from(struct sketch *sketch, const char *text)
{
    letters_prepare();
    *sketch = (struct sketch){.text = store_copy(text, strlen(text))};
    settle(sketch, text);
    gallery_init(&sketch->gallery, sketch->settled);
}

void sketch_random(struct sketch *sketch)
{
    struct sink text = {0};
    size_t pieces = 1 + biased_below(6);
    sink_format(&text, "design \"%s\"\nstock s \"%s\" thickness 0.3 mm\n", labels[biased_below(LABELS)],
                labels[biased_below(LABELS)]);
    for (size_t i = 0; i < pieces; i++)
        add_piece(&text, i);
    add_others(&text, pieces);
    add_edition(&text);
    sketch_from(sketch, text.data);
    sink_drop(&text);
}

void sketch_clear(struct sketch *sketch)
{
    gallery_clear(&sketch->gallery);
    nmk_settled_free(sketch->settled);
    nmk_draft_free(sketch->draft);
    nmk_design_free(sketch->design);
    store_free(sketch->text);
}
