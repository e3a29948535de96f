/* Any bytes as a written length, a sheet's name and a grade of paper: what is promised of any outcome holds, and what was
 * read is printed so that it reads back. */
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "nearmark/length.h"
#include "nearmark/marks.h"
#include "nearmark/sheet.h"
#include "nearmark/weight.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void demand(bool right)
{
    if (!right)
        abort();
}

/* Any value that is printed in inches as a fraction reads back. */
static void check_inches(const struct nmk_rat *mm)
{
    char text[4096];
    struct nmk_length_read again = {.used = 0};
    size_t length = nmk_length_print(text, sizeof text, mm, NMK_IN, 6, NMK_FRACTION_PLAIN);
    if (length >= sizeof text || !strchr(text, '/'))
        return; /* may be rounded */
    enum nmk_status status = nmk_length_parse(&again, text, length, true, NULL);
    demand(status == NMK_TOO_LARGE || (status == NMK_OK && again.used == length && nmk_rat_equal(mm, &again.mm)));
    nmk_length_read_clear(&again);
}

/* Printed with as many places as it needs, a length reads back; only what is no short fraction or decimal is left out. */
static void check_print(const struct nmk_length_read *r)
{
    char text[4096], said[8192];
    size_t length = nmk_length_print(text, sizeof text, &r->mm, r->unit, 1000, NMK_FRACTION_SLASH);
    demand(length < sizeof text && strlen(text) == length);
    struct nmk_length_read again = {.used = 0};
    if (nmk_length_parse(&again, text, length, true, NULL) == NMK_OK) {
        bool decimal = strchr(text, '.') && length > 500; /* may be rounded */
        demand(again.used == length && again.unit == r->unit);
        demand(decimal || nmk_rat_equal(&again.mm, &r->mm));
    }
    demand(nmk_length_say(said, sizeof said, &r->mm, r->unit) < sizeof said);
    demand(nmk_length_print(text, length / 2, &r->mm, r->unit, 1000, NMK_FRACTION_SLASH) == length);
    nmk_length_read_clear(&again);
}

static void check_marks(const struct nmk_rat *mm)
{
    struct nmk_marks marks = {.step = {0}};
    struct nmk_rat at = {0};
    int64_t k = 0;
    demand(nmk_rat_set_frac(&marks.step, 127, 80) == NMK_OK);
    if (nmk_marks_below(&k, &marks, mm) == NMK_OK) {
        nmk_marks_at(&at, &marks, k);
        demand(nmk_rat_cmp(&at, mm) <= 0);
        nmk_rat_add(&at, &at, &marks.step);
        demand(nmk_rat_cmp(&at, mm) > 0);
    }
    nmk_rat_clear(&at);
}

static void check_length(const char *text, size_t size, bool allow_minus)
{
    struct nmk_length_read r = {.used = 0};
    struct nmk_length_error e = {.code = NULL};
    if (nmk_length_parse(&r, text, size, allow_minus, &e)) {
        demand(e.code && e.at <= size && e.size <= size - e.at && e.message[0]);
        demand(r.used == 0 && nmk_rat_is_zero(&r.mm));
        return;
    }
    demand(r.used > 0 && r.used <= size && r.slash < r.used && nmk_rat_is_canonical(&r.mm));
    demand(allow_minus || nmk_rat_sign(&r.mm) >= 0);
    check_print(&r);
    check_inches(&r.mm);
    check_marks(&r.mm);
    nmk_length_read_clear(&r);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    const char *text = (const char *)data;
    struct nmk_sheet sheet = {.name = NULL};
    struct nmk_rat gsm = {0};
    nmk_rat_set_int(&gsm, 80);
    check_length(text, size, false);
    check_length(text, size, true);
    if (nmk_sheet_find(&sheet, text, size) == NMK_OK)
        demand(nmk_rat_sign(&sheet.width) > 0 && nmk_rat_sign(&sheet.height) > 0);
    if (nmk_weight_gsm(&gsm, &gsm, text, size) == NMK_OK)
        demand(nmk_rat_cmp_int(&gsm, 80) > 0);
    nmk_sheet_clear(&sheet);
    nmk_rat_clear(&gsm);
    return 0;
}
