/* json.h -- JSON as it is said: each value goes into the sink at once, nothing is kept but which brackets are open.
 *
 * A value has a key in an object and none (NULL) in a list or at the top; a key is said once in its object. Text of a
 * design is made plain (letters.h); rationals are strings.
 *
 *     json_begin(&j, out, JSON_INDENTED);
 *     json_object(&j, NULL);                  {
 *     json_whole(&j, "marks", 18);             "marks": 18,
 *     json_list(&j, "allowed_mm");             "allowed_mm": [
 *     json_rat(&j, NULL, &low);                 "7/2"
 *     json_end(&j);                           ]}                   closes what is open */
#ifndef TOOLS_GROUND_JSON_H
#define TOOLS_GROUND_JSON_H

#include <stdbool.h>
#include <stdint.h>

#include "ground/sink.h"
#include "nearmark/rat.h"

enum { JSON_DEPTH = 16 }; /* brackets open at once */

enum json_style {
    JSON_INDENTED, /* a value a line */
    JSON_LINE,     /* on one line, without a line end */
    JSON_SCRIPT    /* close together, ASCII alone, and so that it can stand between <script> tags */
};

struct json {
    struct sink *out;
    enum json_style style;
    int depth;
    bool empty; /* nothing stands in the innermost bracket yet */
    char closing[JSON_DEPTH];
};

void json_begin(struct json *j, struct sink *out, enum json_style style);
void json_end(struct json *j); /* closes every open bracket; a line end where indented */

void json_object(struct json *j, const char *key);
void json_list(struct json *j, const char *key);
void json_close(struct json *j); /* the innermost object or list */

void json_text(struct json *j, const char *key, const char *text);                   /* made plain; NULL: null */
void json_exact_text(struct json *j, const char *key, const char *text, size_t size); /* line ends and all kept */
void json_rat(struct json *j, const char *key, const struct nmk_rat *r);              /* "127/80"; NULL: null */
void json_whole(struct json *j, const char *key, int64_t n);
void json_count(struct json *j, const char *key, size_t n);
void json_truth(struct json *j, const char *key, bool is);
void json_null(struct json *j, const char *key);
/* One that is known, else null. */
void json_whole_if(struct json *j, const char *key, bool known, int64_t n);

#endif
