/* Any bytes as a length: never read past their end; what is wrong is said of a place in them; what is read and printed as
 * a fraction of an inch reads back the same. */
#include <assert.h>
#include <string.h>

#include "nearmark/length.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void check_inches(const struct nmk_rat *mm)
{
    char text[4096];
    struct nmk_length_read again = {0};
    size_t length = nmk_length_print(text, sizeof text, mm, NMK_IN, 6, NMK_FRACTION_PLAIN);
    if (length >= sizeof text || !strchr(text, '/'))
        return; /* may be rounded */
    enum nmk_status status = nmk_length_parse(&again, text, length, true, NULL);
    assert(status == NMK_TOO_LARGE || (status == NMK_OK && again.used == length && nmk_rat_equal(mm, &again.mm)));
    nmk_length_read_clear(&again);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    struct nmk_length_read read = {0};
    struct nmk_length_error error = {0};
    bool allow_minus = size % 2;
    enum nmk_status status = nmk_length_parse(&read, (const char *)data, size, allow_minus, &error);
    if (status != NMK_OK) {
        assert(status == NMK_INVALID || status == NMK_TOO_LARGE);
        assert(error.code && error.message[0] && error.at <= size && error.size <= size - error.at);
        assert(!read.used);
        return 0;
    }
    char said[64];
    assert(read.used && read.used <= size);
    assert(allow_minus || nmk_rat_sign(&read.mm) >= 0);
    if (read.unit != NMK_UNIT_NONE)
        check_inches(&read.mm);
    nmk_length_say(said, sizeof said, &read.mm, size % 3 ? NMK_IN : NMK_MM);
    nmk_length_print(said, sizeof said, &read.mm, NMK_CM, (unsigned)(size % 12), NMK_FRACTION_SLASH);
    nmk_length_read_clear(&read);
    return 0;
}
