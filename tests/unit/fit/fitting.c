#include "unit/fit/fitting.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "base/memory.h"
#include "base/text.h"

static void print_all(const struct nmk_diagnostics *list)
{
    char text[1000];
    for (size_t i = 0; i < nmk_diagnostics_count(list); i++) {
        nmk_diagnostic_print(text, sizeof text, nmk_diagnostics_get(list, i), NULL);
        print_message("# %s", text);
    }
}

struct fitting *fitting_draft(const char *text, const char *edition)
{
    struct fitting *f = nmk_memory_new(1, sizeof *f);
    nmk_settle_options_init(&f->options);
    assert_int_equal(nmk_diagnostics_new(&f->list, 20), NMK_OK);
    enum nmk_status status = nmk_design_read(&f->design, text, strlen(text), f->list);
    size_t index = 0;
    if (status == NMK_OK && edition)
        index = nmk_design_find_edition(f->design, edition);
    if (status == NMK_OK)
        status = nmk_draft_new(&f->draft, f->design, index, NULL, NMK_MM, f->list);
    if (status != NMK_OK) {
        print_all(f->list);
        fail_msg("%s: %s", nmk_status_name(status), text);
    }
    return f;
}

void fitting_settle(struct fitting *f)
{
    nmk_settled_free(f->settled);
    f->settled = NULL;
    enum nmk_status status = nmk_settle(&f->settled, f->draft, &f->options, f->list);
    if (status != NMK_OK) {
        print_all(f->list);
        fail_msg("settle: %s", nmk_status_name(status));
    }
}

struct fitting *fitting_of(const char *text, const char *edition)
{
    struct fitting *f = fitting_draft(text, edition);
    fitting_settle(f);
    return f;
}

void fitting_free(struct fitting *f)
{
    nmk_settled_free(f->settled);
    nmk_draft_free(f->draft);
    nmk_design_free(f->design);
    nmk_diagnostics_free(f->list);
    nmk_settle_options_clear(&f->options);
    nmk_memory_free(f);
}

size_t fitting_demand(const struct fitting *f, const char *name, size_t nth)
{
    for (size_t i = 0; i < nmk_design_demand_count(f->design); i++)
        if (!strcmp(nmk_design_demand(f->design, i)->name, name) && nth-- == 0)
            return i;
    fail_msg("no demand %s", name);
    return 0;
}

size_t fitting_length(const struct fitting *f, const char *name)
{
    for (size_t i = 0; i < nmk_design_length_count(f->design); i++)
        if (!strcmp(nmk_design_length(f->design, i)->name, name))
            return i;
    fail_msg("no length %s", name);
    return 0;
}

int64_t fitting_marks(const struct fitting *f, const char *length)
{
    size_t i = fitting_length(f, length);
    return nmk_draft_designed(f->draft, i) ? nmk_settled_marks(f->settled, i) : nmk_settled_choice(f->settled, i);
}

static void add_rat(struct nmk_text *text, const struct nmk_rat *r)
{
    char figures[4000];
    nmk_rat_print(figures, sizeof figures, r);
    nmk_text_add_format(text, "%s%s", text->size ? " " : "", figures);
}

static void check_text(struct nmk_text *text, const char *expected, const char *what)
{
    if (strcmp(nmk_text_get(text), expected))
        fail_msg("%s: %s, not %s", what, nmk_text_get(text), expected);
    nmk_text_clear(text);
}

void fitting_check(const struct fitting *f, size_t demand, enum nmk_column column, const char *expected)
{
    const struct nmk_view *v = nmk_settled_view(f->settled, demand, column);
    struct nmk_text text = {0};
    size_t words = 1;
    assert_non_null(v);
    for (const char *c = expected; *c; c++) /* "at risk" is two */
        words += *c == ' ';
    words -= strncmp(expected, "at ", 3) == 0 || strncmp(expected, "too ", 4) == 0;
    nmk_text_add_string(&text, nmk_state_name(v->state));
    add_rat(&text, &v->least);
    add_rat(&text, &v->nominal);
    add_rat(&text, &v->most);
    if (words > 4)
        add_rat(&text, &v->chance);
    check_text(&text, expected, nmk_design_demand(f->design, demand)->name);
}

void fitting_check_errors(const struct fitting *f, size_t demand, const char *expected)
{
    struct nmk_text text = {0};
    for (size_t i = 0; i < nmk_settled_contribution_count(f->settled, demand, NMK_DESIGNED); i++)
        add_rat(&text, &nmk_settled_contribution(f->settled, demand, NMK_DESIGNED, i)->off);
    check_text(&text, expected, nmk_design_demand(f->design, demand)->name);
}

void fitting_check_length(const struct fitting *f, const char *name, const char *designed, int64_t nearest)
{
    size_t i = fitting_length(f, name);
    struct nmk_text text = {0};
    add_rat(&text, nmk_draft_designed(f->draft, i));
    check_text(&text, designed, name);
    assert_int_equal(nmk_draft_nearest(f->draft, i), nearest);
}

void fitting_check_marks(const struct fitting *f, const char *expected)
{
    struct nmk_text text = {0};
    assert_true(nmk_settled_holds_together(f->settled));
    for (size_t i = 0; i < nmk_design_length_count(f->design); i++)
        nmk_text_add_format(&text, "%s%lld", i ? " " : "", (long long)fitting_marks(f, nmk_design_length(f->design, i)->name));
    check_text(&text, expected, "marks");
}
