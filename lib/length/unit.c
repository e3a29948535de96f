#include <assert.h>

#include "length/spell.h"
#include "nearmark/length.h"

/* 1 in = 254/10 mm, 1 ft = 12 in, 1 mil = 1/1000 in, all exact. */
static const struct {
    const char *name;
    int64_t num, den; /* millimetres in one */
    bool inch;
} units[] = {
    [NMK_MM] = {"mm", 1, 1, false},       [NMK_CM] = {"cm", 10, 1, false},       [NMK_IN] = {"in", 127, 5, true},
    [NMK_FT] = {"ft", 1524, 5, true},     [NMK_MIL] = {"mil", 127, 5000, true},  [NMK_UNIT_NONE] = {"", 1, 1, false},
};

/* Compared without regard to case (ASCII). */
static const struct {
    const char *text;
    enum nmk_unit unit;
} spellings[] = {
    {"mm", NMK_MM},
    {"millimetre", NMK_MM},
    {"millimetres", NMK_MM},
    {"millimeter", NMK_MM},
    {"millimeters", NMK_MM},
    {"\xE3\x8E\x9C", NMK_MM}, /* U+339C, mm in one character */
    {"cm", NMK_CM},
    {"centimetre", NMK_CM},
    {"centimetres", NMK_CM},
    {"centimeter", NMK_CM},
    {"centimeters", NMK_CM},
    {"\xE3\x8E\x9D", NMK_CM}, /* U+339D, cm in one character */
    {"in", NMK_IN},
    {"ins", NMK_IN},
    {"inch", NMK_IN},
    {"inches", NMK_IN},
    {"\xE3\x8F\x8C", NMK_IN}, /* U+33CC, in in one character */
    {"\"", NMK_IN},
    {"''", NMK_IN},
    {"\xE2\x80\xB3", NMK_IN},             /* U+2033 double prime */
    {"\xE2\x80\xB2\xE2\x80\xB2", NMK_IN}, /* two primes */
    {"\xE2\x80\x9D", NMK_IN},             /* U+201D, U+201C curly quotes */
    {"\xE2\x80\x9C", NMK_IN},
    {"\xE2\x80\x99\xE2\x80\x99", NMK_IN}, /* two curly apostrophes */
    {"\xCA\xBA", NMK_IN},                 /* U+02BA modifier double prime */
    {"ft", NMK_FT},
    {"foot", NMK_FT},
    {"feet", NMK_FT},
    {"'", NMK_FT},
    {"\xE2\x80\xB2", NMK_FT}, /* U+2032 prime */
    {"\xE2\x80\x99", NMK_FT}, /* U+2019, U+2018 curly apostrophes */
    {"\xE2\x80\x98", NMK_FT},
    {"\xCA\xB9", NMK_FT}, /* U+02B9, U+02BC modifier prime and apostrophe */
    {"\xCA\xBC", NMK_FT},
    {"\xC2\xB4", NMK_FT}, /* U+00B4 acute accent, typed for a prime */
    {"mil", NMK_MIL},
    {"mils", NMK_MIL},
    {"thou", NMK_MIL},
};

static enum nmk_unit known(enum nmk_unit unit)
{
    return (unsigned)unit <= NMK_UNIT_NONE ? unit : NMK_UNIT_NONE;
}

void nmk_unit_mm(struct nmk_rat *out, enum nmk_unit unit)
{
    if (!out)
        return;
    enum nmk_status status = nmk_rat_set_frac(out, units[known(unit)].num, units[known(unit)].den);
    assert(status == NMK_OK);
    (void)status;
}

const char *nmk_unit_name(enum nmk_unit unit)
{
    return units[known(unit)].name;
}

bool nmk_unit_is_inch(enum nmk_unit unit)
{
    return units[known(unit)].inch;
}

enum nmk_unit nmk_unit_find(const char *text, size_t size)
{
    for (size_t i = 0; text && size && i < sizeof spellings / sizeof *spellings; i++)
        if (nmk_spell_is(text, size, spellings[i].text))
            return spellings[i].unit;
    return NMK_UNIT_NONE;
}
