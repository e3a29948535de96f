/* Names and what each stands for; the nearest name. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "base/memory.h"
#include "design/read/names.h"

static struct nmk_name *add(struct nmk_names *names, size_t scope, const char *text, enum nmk_named is, size_t index)
{
    return nmk_names_add(names,
                         (struct nmk_name){.text = text, .size = strlen(text), .scope = scope, .is = is, .index = index});
}

static void names_stand_in_scopes(void **state)
{
    (void)state;
    struct nmk_names names = {0};
    assert_null(nmk_names_find(&names, 0, "wall", 4));
    add(&names, 0, "wall", NMK_NAMED_LET, 7);
    add(&names, 2, "wall", NMK_NAMED_PANEL, 8);
    assert_int_equal(nmk_names_find(&names, 0, "wall", 4)->index, 7);
    assert_int_equal(nmk_names_find(&names, 2, "wall", 4)->index, 8);
    assert_null(nmk_names_find(&names, 1, "wall", 4));
    assert_null(nmk_names_find(&names, 0, "wal", 3));
    add(&names, 0, "wall", NMK_NAMED_STOCK, 9);
    assert_int_equal(nmk_names_find(&names, 0, "wall", 4)->index, 9);
    assert_int_equal(names.count, 2);
    nmk_names_clear(&names);
    nmk_names_clear(&names);
}

static void many_names_are_kept(void **state)
{
    (void)state;
    enum { MANY = 3000 };
    static char texts[MANY][8];
    struct nmk_names names = {0};
    for (size_t i = 0; i < MANY; i++) {
        snprintf(texts[i], sizeof texts[i], "n%zu", i / 3);
        add(&names, i % 3, texts[i], NMK_NAMED_LET, i);
    }
    for (size_t i = 0; i < MANY; i++)
        assert_int_equal(nmk_names_find(&names, i % 3, texts[i], strlen(texts[i]))->index, i);
    assert_null(nmk_names_find(&names, 3, "n1", 2));
    assert_int_equal(names.count, MANY);
    nmk_names_clear(&names);
}

static const char *near(struct nmk_names *names, const char *text, enum nmk_named wanted)
{
    const struct nmk_name *name = nmk_names_near(names, 0, wanted, text, strlen(text));
    return name ? name->text : "";
}

static void the_nearest_name_is_found(void **state)
{
    (void)state;
    struct nmk_names names = {.patience = 1000000};
    add(&names, 0, "base_short", NMK_NAMED_MEASURE, 0);
    add(&names, 0, "base_shoot", NMK_NAMED_LET, 1);
    add(&names, 0, "base_shorts", NMK_NAMED_BROKEN, 2);
    add(&names, 2, "base_shorted", NMK_NAMED_LET, 3);
    assert_string_equal(near(&names, "base_shrt", NMK_NAMED_NOTHING), "base_short");
    assert_string_equal(near(&names, "base_shoo", NMK_NAMED_NOTHING), "base_shoot");
    assert_string_equal(near(&names, "base_shoxt", NMK_NAMED_NOTHING), "base_short"); /* of equally near ones the first */
    assert_string_equal(near(&names, "base_short", NMK_NAMED_LET), "base_shoot");
    assert_string_equal(near(&names, "base_shorts", NMK_NAMED_NOTHING), "base_short");
    assert_string_equal(near(&names, "bottom", NMK_NAMED_NOTHING), "");
    add(&names, 0, "lid", NMK_NAMED_PIECE, 4);
    assert_string_equal(near(&names, "lit", NMK_NAMED_NOTHING), "lid"); /* just as many slips as are allowed */
    assert_string_equal(near(&names, "pot", NMK_NAMED_NOTHING), "");
    names.patience = 1;
    assert_string_equal(near(&names, "base_shoot", NMK_NAMED_NOTHING), "base_short");
    assert_string_equal(near(&names, "base_shoot", NMK_NAMED_NOTHING), "");
    nmk_names_clear(&names);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(names_stand_in_scopes),
        cmocka_unit_test(many_names_are_kept),
        cmocka_unit_test(the_nearest_name_is_found),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
