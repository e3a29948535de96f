/* names.h -- what each name stands for. */
#ifndef LIB_DESIGN_READ_NAMES_H
#define LIB_DESIGN_READ_NAMES_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum nmk_named {
    NMK_NAMED_NOTHING,
    NMK_NAMED_MEASURE,
    NMK_NAMED_STOCK,
    NMK_NAMED_LET,
    NMK_NAMED_PIECE, /* of any kind */
    NMK_NAMED_OPENING,
    NMK_NAMED_PUNCHES,
    NMK_NAMED_PANEL,
    NMK_NAMED_EDITION,
    NMK_NAMED_BROKEN /* its definition was complained of; say no more about it */
};

/* Names stand in a scope: 0 for the one of the whole design, 1 for editions, 2 + piece for its panels. */
enum { NMK_SCOPE_DESIGN, NMK_SCOPE_EDITIONS, NMK_SCOPE_PIECES };

struct nmk_name {
    const char *text; /* borrowed: the source */
    size_t size, scope;
    enum nmk_named is;
    size_t index;
    uint32_t line; /* where it was defined; 0: unknown */
    bool used;
};

struct nmk_names {
    struct nmk_name *all;
    size_t count, space;
    size_t *slots; /* 1 + index into all, 0: empty */
    size_t slot_count;
    uint64_t patience; /* steps left for looking for near names */
};

void nmk_names_clear(struct nmk_names *names);
/* NULL where there is none. Borrowed until the next add. */
struct nmk_name *nmk_names_find(const struct nmk_names *names, size_t scope, const char *text, size_t size);
/* Adds it, or replaces what has the same text in the same scope. */
struct nmk_name *nmk_names_add(struct nmk_names *names, struct nmk_name name);

/* The name of that scope (`wanted`: of that kind; NOTHING: of any but broken ones) that text is most likely a slip for;
 * NULL where none is near. Of equally near ones the one defined first. */
const struct nmk_name *nmk_names_near(struct nmk_names *names, size_t scope, enum nmk_named wanted, const char *text,
                                      size_t size);

#endif
