/* Any bytes as a rational: what is read is canonical, and reads back the same when printed. */
#include <assert.h>
#include <stdlib.h>

#include "nearmark/rat.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void check_print(const struct nmk_rat *r)
{
    struct nmk_rat again = {0};
    size_t length = nmk_rat_print(NULL, 0, r);
    char *text = malloc(length + 1);
    assert(text && nmk_rat_print(text, length + 1, r) == length);
    enum nmk_status status = nmk_rat_parse(&again, text, length);
    assert(status == NMK_TOO_LARGE || (status == NMK_OK && nmk_rat_equal(r, &again)));
    assert(nmk_rat_hash(r) == nmk_rat_hash(&again) || status != NMK_OK);
    nmk_rat_clear(&again);
    free(text);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    struct nmk_rat r = {0};
    enum nmk_status status = nmk_rat_parse(&r, (const char *)data, size);
    assert(status == NMK_OK || status == NMK_INVALID || status == NMK_DIVISION_BY_ZERO || status == NMK_TOO_LARGE);
    assert(nmk_rat_is_canonical(&r));
    assert(status == NMK_OK || nmk_rat_is_zero(&r));
    check_print(&r);
    char decimal[8];
    nmk_rat_print_decimal(decimal, sizeof decimal, &r, (unsigned)(size % 40));
    nmk_rat_clear(&r);
    return 0;
}
