#include "unit/design/trial.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "base/memory.h"

const char *const trial_references[REFERENCES] = {"drawer.design", "nest.design", "cover.design"};

const char trial_small[] = "measure long 105 mm \xC2\xB1 0.5 mm from 70 to 160 mm\n"
                            "stock card thickness 0.3 mm\n"
                            "let step = 5 mm or 3/16 in\n"
                            "piece tray of card\n"
                            "  across wall = 30 mm | base over long clear 2 mm (1 to 3 mm) | wall\n"
                            "  down step\n"
                            "mat label of card on tray, smaller by 3 mm + card shows 1 to 2 mm\n"
                            "keep tray.base at least long\n"
                            "edition fine unit in marks 1/32 in\n";

char *trial_file(const char *name, size_t *size)
{
    char path[600];
    snprintf(path, sizeof path, "%s/data/%s", NEARMARK_TESTS, name);
    FILE *f = fopen(path, "rb");
    assert_non_null(f);
    char *text = nmk_memory_new(1 << 16, 1);
    *size = fread(text, 1, 1 << 16, f);
    fclose(f);
    assert_true(*size > 100 && *size < 1 << 16);
    return text;
}

enum nmk_status trial_read(const char *text, size_t size, struct nmk_design **out, struct nmk_diagnostics *list)
{
    char *exact = nmk_memory_new(size, 1);
    if (size)
        memcpy(exact, text, size);
    struct nmk_design *const untouched = (struct nmk_design *)exact;
    struct nmk_design *design = untouched;
    enum nmk_status status = nmk_design_read(&design, exact, size, list);
    assert_true(status == NMK_OK || status == NMK_INVALID || status == NMK_TOO_LARGE);
    assert_true((status == NMK_OK) == (design != untouched));
    assert_true((status == NMK_OK) == (nmk_diagnostics_errors(list) == 0));
    nmk_memory_free(exact);
    if (status == NMK_OK)
        assert_true(nmk_design_check(design));
    *out = status == NMK_OK ? design : NULL;
    return status;
}

enum nmk_status trial_status(const char *text, size_t size)
{
    struct nmk_diagnostics *list;
    struct nmk_design *design;
    assert_int_equal(nmk_diagnostics_new(&list, 20), NMK_OK);
    enum nmk_status status = trial_read(text, size, &design, list);
    nmk_design_free(design);
    nmk_diagnostics_free(list);
    return status;
}
