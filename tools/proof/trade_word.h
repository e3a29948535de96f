/* trade_word.h -- the words by which a written list says what a figure is: cut or score, which way, from which edge. */
#ifndef TOOLS_PROOF_TRADE_WORD_H
#define TOOLS_PROOF_TRADE_WORD_H

#include "proof/list_entry.h"
#include "proof/word_list.h"

enum trade_edge { EDGE_NONE = -1, EDGE_FIRST, EDGE_LAST, EDGE_BOTH, EDGE_ALL };

/* Each: of tokens[0..count), the nearest to the end where `backward`, else to the beginning. */
enum entry_kind trade_kind(const struct token *tokens, size_t count, bool backward); /* ENTRY_ANY: no word of it */
int trade_way(const struct token *tokens, size_t count, bool backward);              /* -1: none */
enum trade_edge trade_edge_of(int *way, const struct token *tokens, size_t count);   /* *way: untouched where open */
/* "Taper", "snip" anywhere among them, else ENTRY_ANY. */
enum entry_kind trade_corner(const struct token *tokens, size_t count);
bool trade_is_side(const struct token *t); /* edge, side, end ... */
bool trade_has(const struct token *tokens, size_t count, const char *words);

#endif
