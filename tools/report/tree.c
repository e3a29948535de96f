#include "report/tree.h"

#include <string.h>

#include "report/figure.h"
#include "report/letters.h"
#include "report/store.h"

static void *new_block(size_t size)
{
    return store_resize(NULL, size);
}

void tree_prepare(void)
{
    json_set_alloc_funcs(new_block, store_free);
}

json_t *tree_text(const char *text)
{
    if (!text)
        return json_null();
    char *plain = letters_plain(text, strlen(text));
    json_t *string = json_string(plain);
    store_free(plain);
    return string;
}

json_t *tree_rat(const struct nmk_rat *r)
{
    if (!r)
        return json_null();
    char *text = figure_rat(r);
    json_t *string = json_string(text);
    store_free(text);
    return string;
}

static void write_flags(struct sink *out, json_t *tree, size_t flags)
{
    char *text = json_dumps(tree, flags);
    sink_string(out, text ? text : "null");
    store_free(text);
    json_decref(tree);
}

void tree_write(struct sink *out, json_t *tree)
{
    write_flags(out, tree, JSON_INDENT(1));
    sink_string(out, "\n");
}

void tree_write_line(struct sink *out, json_t *tree)
{
    write_flags(out, tree, 0);
}
