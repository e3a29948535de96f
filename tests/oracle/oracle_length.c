/* oracle_length.c -- reads, prints, says and rounds what oracle_length.py asks for.
 *
 * Each line of standard input is an operation and its arguments, separated by tabs; the answer is one line, a refusal as
 * `!` and its code, another failure as `!` and its status's number:
 *   read TEXT            mm unit used slash doubtful
 *   print MM UNIT PLACES STYLE  the text
 *   say MM UNIT          the words
 *   marks MM STEP OFFSET    below above nearest-even nearest-larger, and where the first of them lies
 *   limits FROM TO STEP  low high by method A, low high by method B or `none`
 *   weight POUNDS GRADE  g/m2 */
#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "nearmark/length.h"
#include "nearmark/marks.h"
#include "nearmark/weight.h"

enum { FIELDS = 5 };

static struct nmk_rat value_of(const char *text)
{
    struct nmk_rat r = {0};
    if (nmk_rat_parse(&r, text, strlen(text))) {
        fprintf(stderr, "oracle_length: %s is no number\n", text);
        exit(2);
    }
    return r;
}

static void put(const struct nmk_rat *r, char end)
{
    char text[4096];
    nmk_rat_print(text, sizeof text, r);
    printf("%s%c", text, end);
}

/* From a block of exactly its size: the sanitizers see a byte read beyond it. */
static void do_read(char *f[FIELDS])
{
    size_t size = strlen(f[1]);
    char *text = malloc(size ? size : 1);
    struct nmk_length_read r = {.used = 0};
    struct nmk_length_error error;
    if (!text)
        exit(3);
    memcpy(text, f[1], size);
    if (nmk_length_parse(&r, text, size, true, &error)) {
        printf("!%s\n", error.code);
    } else {
        put(&r.mm, ' ');
        printf("%s %zu %zu %d\n", r.unit == NMK_UNIT_NONE ? "-" : nmk_unit_name(r.unit), r.used, r.slash, r.doubtful);
    }
    nmk_length_read_clear(&r);
    free(text);
}

static void do_print(char *f[FIELDS])
{
    struct nmk_rat mm = value_of(f[1]);
    char text[4096];
    nmk_length_print(text, sizeof text, &mm, nmk_unit_find(f[2], strlen(f[2])), (unsigned)atoi(f[3]),
                     atoi(f[4]) ? NMK_FRACTION_SLASH : NMK_FRACTION_PLAIN);
    puts(text);
    nmk_rat_clear(&mm);
}

static void do_say(char *f[FIELDS])
{
    struct nmk_rat mm = value_of(f[1]);
    char text[4096];
    nmk_length_say(text, sizeof text, &mm, nmk_unit_find(f[2], strlen(f[2])));
    puts(text);
    nmk_rat_clear(&mm);
}

static void put_mark(enum nmk_status status, int64_t k)
{
    if (status)
        printf("!%d ", status);
    else
        printf("%" PRId64 " ", k);
}

static void do_marks(char *f[FIELDS])
{
    struct nmk_rat mm = value_of(f[1]), at = {0};
    struct nmk_marks marks = {.step = value_of(f[2]), .offset = value_of(f[3])};
    int64_t k = 0, below = 0;
    enum nmk_status status = nmk_marks_below(&below, &marks, &mm);
    put_mark(status, below);
    status = nmk_marks_above(&k, &marks, &mm);
    put_mark(status, k);
    status = nmk_marks_nearest(&k, &marks, &mm, NMK_TIE_EVEN);
    put_mark(status, k);
    status = nmk_marks_nearest(&k, &marks, &mm, NMK_TIE_LARGER);
    put_mark(status, k);
    nmk_marks_at(&at, &marks, below);
    put(&at, '\n');
    nmk_rat_clear(&mm);
    nmk_rat_clear(&at);
    nmk_rat_clear(&marks.step);
    nmk_rat_clear(&marks.offset);
}

static void do_limits(char *f[FIELDS])
{
    struct nmk_rat from = value_of(f[1]), to = value_of(f[2]);
    struct nmk_marks marks = {.step = value_of(f[3])};
    for (int method = NMK_METHOD_A; method <= NMK_METHOD_B; method++) {
        int64_t low = 0, high = 0;
        bool fits = false;
        enum nmk_status status = nmk_marks_limits(&low, &high, &fits, &marks, &from, &to, (enum nmk_limits_method)method);
        const char *end = method == NMK_METHOD_B ? "\n" : " ";
        if (status)
            printf("!%d%s", status, end);
        else if (!fits)
            printf("none%s", end);
        else
            printf("%" PRId64 " %" PRId64 "%s", low, high, end);
    }
    nmk_rat_clear(&from);
    nmk_rat_clear(&to);
    nmk_rat_clear(&marks.step);
}

static void do_weight(char *f[FIELDS])
{
    struct nmk_rat pounds = value_of(f[1]);
    enum nmk_status status = nmk_weight_gsm(&pounds, &pounds, f[2], strlen(f[2]));
    if (status)
        printf("!%d\n", status);
    else
        put(&pounds, '\n');
    nmk_rat_clear(&pounds);
}

static const struct {
    const char *name;
    size_t fields;
    void (*act)(char *f[FIELDS]);
} operations[] = {{"read", 2, do_read},   {"print", 5, do_print},   {"say", 3, do_say},
                  {"marks", 4, do_marks}, {"limits", 4, do_limits}, {"weight", 3, do_weight}};

/* In `read` the rest of the line is the text, tabs included. */
static size_t cut(char *line, char *fields[FIELDS])
{
    size_t count = 0;
    for (char *field = line; field && count < FIELDS; count++) {
        fields[count] = field;
        field = count && strcmp(fields[0], "read") == 0 ? NULL : strchr(field, '\t');
        if (field)
            *field++ = '\0';
    }
    return count;
}

int main(void)
{
    static char line[8192];
    while (fgets(line, sizeof line, stdin)) {
        char *fields[FIELDS] = {NULL};
        line[strcspn(line, "\n")] = '\0';
        size_t count = cut(line, fields), i = 0, all = sizeof operations / sizeof *operations;
        while (i < all && strcmp(fields[0], operations[i].name) != 0)
            i++;
        if (i == all || count != operations[i].fields) {
            fprintf(stderr, "oracle_length: `%s` is no operation\n", fields[0]);
            return 2;
        }
        operations[i].act(fields);
    }
    return 0;
}
