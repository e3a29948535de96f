#include "draw/number_text.h"

enum { PARTS = 10000 };

void number_add(struct sink *out, double value)
{
    const double limit = 1e12;
    value = value > limit ? limit : value < -limit ? -limit : value;
    long long all = (long long)(value * PARTS + (value < 0 ? -0.5 : 0.5));
    unsigned long long size = all < 0 ? (unsigned long long)-all : (unsigned long long)all;
    unsigned part = (unsigned)(size % PARTS);
    int places = 4;
    sink_format(out, "%s%llu", all < 0 ? "-" : "", size / PARTS);
    if (!part)
        return;
    for (; part % 10 == 0; places--)
        part /= 10;
    sink_format(out, ".%0*u", places, part);
}

double number_take(const char **text)
{
    double value = 0, part = 1;
    bool negative = **text == '-', behind = false;
    *text += negative;
    for (; (**text >= '0' && **text <= '9') || **text == '.'; ++*text) {
        int digit = **text - '0';
        if (**text == '.')
            behind = true;
        else if (behind)
            value += digit * (part /= 10);
        else
            value = value * 10 + digit;
    }
    return negative ? -value : value;
}
