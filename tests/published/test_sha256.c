/* Values of SHA-256 and of base 64, by which the published page allows its own script and style. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "ground/store.h"
#include "page/sha256.h"

static void expect(const void *bytes, size_t size, const char *digest)
{
    uint8_t found[32];
    char text[65];
    sha256(found, bytes, size);
    for (size_t i = 0; i < 32; i++)
        snprintf(text + 2 * i, 3, "%02x", found[i]);
    assert_string_equal(text, digest);
}

/* NIST, "Examples with Intermediate Values: SHA-256" (one block, two blocks), and the vectors of the SHA validation system
 * for the empty message; the long one is from FIPS 180-2, appendix B.3. */
static void test_the_examples_of_the_standard(void **state)
{
    (void)state;
    static const char two[] = "abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq";
    char *million = store_new(1000000, 1);
    memset(million, 'a', 1000000);
    expect("", 0, "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
    expect("abc", 3, "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    expect(two, sizeof two - 1, "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1");
    expect(million, 1000000, "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0");
    store_free(million);
}

/* The digest of nothing as a policy names it (CSP level 3, section 8.3, shows the form 'sha256-...'): the bytes above in the
 * alphabet of RFC 4648, section 4, with one `=`. */
static void test_base_64(void **state)
{
    (void)state;
    char text[45];
    sha256_text(text, "", 0);
    assert_string_equal(text, "47DEQpj8HBSa+/TImW+5JCeuQeRkm5NMpJWZG3hSuFU=");
}

/* Where the padding begins a block of its own: 55 bytes and so on; made by another implementation (Python's hashlib). */
static void test_around_a_block(void **state)
{
    (void)state;
    static const struct {
        size_t size;
        const char *digest;
    } known[] = {
        {55, "9f4390f8d30c2dd92ec9f095b65e2b9ae9b0a925a5258e241c9f1e910f734318"},
        {56, "b35439a4ac6f0948b6d6f9e3c6af0f5f590ce20f1bde7090ef7970686ec6738a"},
        {63, "7d3e74a05d7db15bce4ad9ec0658ea98e3f06eeecf16b4c6fff2da457ddc2f34"},
        {64, "ffe054fe7ae0cb6dc65c3af9b61d5209f439851db43d0ba5997337df154668eb"},
        {65, "635361c48bb9eab14198e76ea8ab7f1a41685d6ad62aa9146d301d4f17eb0ae0"},
        {119, "31eba51c313a5c08226adf18d4a359cfdfd8d2e816b13f4af952f7ea6584dcfb"},
        {120, "2f3d335432c70b580af0e8e1b3674a7c020d683aa5f73aaaedfdc55af904c21c"},
        {127, "c57e9278af78fa3cab38667bef4ce29d783787a2f731d4e12200270f0c32320a"},
        {128, "6836cf13bac400e9105071cd6af47084dfacad4e5e302c94bfed24e013afb73e"},
    };
    char text[128];
    memset(text, 'a', sizeof text);
    for (size_t i = 0; i < sizeof known / sizeof *known; i++)
        expect(text, known[i].size, known[i].digest);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_the_examples_of_the_standard),
        cmocka_unit_test(test_base_64),
        cmocka_unit_test(test_around_a_block),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
