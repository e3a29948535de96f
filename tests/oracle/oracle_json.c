/* oracle_json.c -- writes the JSON that oracle_json.py asks for.
 *
 * Each line of standard input is a call: a letter, a key and a value, the last two in hexadecimal, `-` where there is none
 * (`=` where it is empty). `s` begins a document in the style of that number, `e` ends it: a zero byte follows. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "ground/json.h"

struct bytes {
    char data[1 << 16];
    size_t size;
    bool given;
};

static void read_bytes(struct bytes *out, const char *hex)
{
    out->given = *hex != '-';
    out->size = strspn(hex, "0123456789abcdef") / 2;
    for (size_t i = 0; i < out->size; i++) {
        char two[3] = {hex[2 * i], hex[2 * i + 1]};
        out->data[i] = (char)strtoul(two, NULL, 16);
    }
    out->data[out->size] = '\0';
}

static void put_rat(struct json *j, const char *key, const struct bytes *value)
{
    struct nmk_rat r = {0};
    bool bad = value->given && nmk_rat_parse(&r, value->data, value->size);
    json_rat(j, bad ? "bad" : key, value->given ? &r : NULL);
    nmk_rat_clear(&r);
}

static void call(struct json *j, struct sink *out, char what, const char *key, const struct bytes *value)
{
    switch (what) {
    case 's': json_begin(j, out, (enum json_style)atoi(value->data)); break;
    case 'e': json_end(j); sink_add(out, "", 1); break;
    case 'o': json_object(j, key); break;
    case 'l': json_list(j, key); break;
    case 'c': json_close(j); break;
    case 't': json_text(j, key, value->given ? value->data : NULL); break;
    case 'x': json_exact_text(j, key, value->data, value->size); break;
    case 'r': put_rat(j, key, value); break;
    case 'w': json_whole(j, key, strtoll(value->data, NULL, 10)); break;
    case 'b': json_truth(j, key, value->data[0] == '1'); break;
    case 'n': json_whole_if(j, key, false, 7); break;
    default: exit(2);
    }
}

int main(void)
{
    static char line[1 << 18], key_hex[1 << 17], value_hex[1 << 17];
    static struct bytes key, value;
    struct json j;
    struct sink out;
    sink_init(&out, COLOUR_NEVER);
    json_begin(&j, &out, JSON_LINE);
    while (fgets(line, sizeof line, stdin)) {
        char what;
        if (sscanf(line, "%c %131071s %131071s", &what, key_hex, value_hex) != 3)
            return 2;
        read_bytes(&key, key_hex);
        read_bytes(&value, value_hex);
        call(&j, &out, what, key.given ? key.data : NULL, &value);
    }
    return (int)sink_close(&out, ENDING_DONE);
}
