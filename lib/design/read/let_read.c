#include "base/memory.h"
#include "design/read/reader.h"

/* "let" NAME "=" FORMULA */
bool nmk_read_let(struct nmk_reader *r, size_t at)
{
    struct nmk_name name;
    struct nmk_made made;
    if (!nmk_read_new_name(r, NMK_SCOPE_DESIGN, "a name", &name))
        return false;
    if (!nmk_read_take(r, NMK_T_EQUALS))
        return nmk_read_expected(r, "`=`", "let step = 5 mm or 3/16 in");
    if (!nmk_read_formula(r, &made) || !nmk_read_expect_end(r))
        return false;
    if (!made.formula)
        return true; /* the name stays broken */
    size_t index = r->design->lets.count, space = r->let_space;
    void *lets = r->lets;
    nmk_memory_reserve(&lets, &space, index + 1, sizeof *r->lets);
    r->lets = lets;
    r->let_space = space;
    r->lets[index] = made;
    nmk_read_define(r, name, NMK_NAMED_LET, index);
    struct nmk_let *let = nmk_design_add(r->design, &r->design->lets, sizeof *let);
    *let = (struct nmk_let){nmk_read_kept_name(r, name), made.formula, NMK_NONE, nmk_read_span_from(r, at)};
    return true;
}
