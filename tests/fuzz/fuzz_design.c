/* Any bytes as a design: a design that agrees with itself, or an error at a place that is there; every diagnostic can be
 * printed; reading twice gives the same. */
#include <assert.h>
#include <string.h>

#include "base/text.h"
#include "design/design_dump.h"
#include "nearmark/design.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void check_diagnostic(const struct nmk_diagnostic *d)
{
    char text[8192];
    assert(d->code && *d->code && d->message && *d->message && d->span.length);
    assert(!d->span.line || d->span.column);
    size_t length = nmk_diagnostic_print(text, sizeof text, d, "fuzz.design");
    assert(length >= sizeof text || length == strlen(text));
}

static enum nmk_status read_once(struct nmk_text *dump, const uint8_t *data, size_t size)
{
    struct nmk_diagnostics *list;
    struct nmk_design *design = NULL;
    nmk_diagnostics_new(&list, 20);
    enum nmk_status status = nmk_design_read(&design, (const char *)data, size, list);
    assert(status == NMK_OK || status == NMK_INVALID || status == NMK_TOO_LARGE);
    assert((status == NMK_OK) == (design != NULL) && (status == NMK_OK) == (nmk_diagnostics_errors(list) == 0));
    for (size_t i = 0; i < nmk_diagnostics_count(list); i++)
        check_diagnostic(nmk_diagnostics_get(list, i));
    if (design) {
        assert(nmk_design_check(design));
        nmk_design_dump(dump, design);
    }
    nmk_design_free(design);
    nmk_diagnostics_free(list);
    return status;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    struct nmk_text first = {0}, second = {0};
    enum nmk_status status = read_once(&first, data, size);
    if (status == NMK_OK) {
        assert(read_once(&second, data, size) == NMK_OK);
        assert(first.size == second.size && !memcmp(nmk_text_get(&first), nmk_text_get(&second), first.size));
    }
    nmk_text_clear(&first);
    nmk_text_clear(&second);
    return 0;
}
