#!/usr/bin/python3
"""Lengths and marks against Python's `fractions` and `re`: oracle_length.py DRIVER [--seed N] [--times N].

Each case is one line to the driver (oracle_length.c): a length to be read, spelled from a value that is known or put
together from what lengths are made of; a value to be printed or said; a size taken to marks; limits; a weight. What is
read is told by regular expressions, what is said by Python's integers: nothing here follows the library's own way. Only
the standard library is used."""
import argparse
import math
import os
import random
import re
import subprocess
import sys
from fractions import Fraction

CASES = {"spelled": 90_000, "pieced": 90_000, "print": 60_000, "say": 30_000, "marks": 90_000, "limits": 20_000,
         "weight": 5_000}
CHUNK = 20_000
UNITS = {"mm": Fraction(1), "cm": Fraction(10), "in": Fraction(254, 10), "ft": Fraction(3048, 10),
         "mil": Fraction(254, 10_000), "-": Fraction(1)}
INCHES = ("in", "ft", "mil")
SPELLINGS = {
    "mm": ["mm", "MM", "millimetre", "millimetres", "Millimeter", "millimeters", "\u339c"],
    "cm": ["cm", "Cm", "centimetre", "centimetres", "centimeter", "centimeters", "\u339d"],
    "in": ["in", "In", "ins", "inch", "INCHES", "\u33cc", '"', "''", "\u2033", "\u2032\u2032", "\u201d", "\u201c",
           "\u2019\u2019", "\u02ba"],
    "ft": ["ft", "foot", "feet", "'", "\u2032", "\u2019", "\u2018", "\u02b9", "\u02bc", "\u00b4"],
    "mil": ["mil", "mils", "thou", "THOU"],
}
VULGARS = {"\u00bc": "1/4", "\u00bd": "1/2", "\u00be": "3/4", "\u2150": "1/7", "\u2151": "1/9", "\u2152": "1/10",
           "\u2153": "1/3", "\u2154": "2/3", "\u2155": "1/5", "\u2156": "2/5", "\u2157": "3/5", "\u2158": "4/5",
           "\u2159": "1/6", "\u215a": "5/6", "\u215b": "1/8", "\u215c": "3/8", "\u215d": "5/8", "\u215e": "7/8",
           "\u2189": "0/3"}
RAISED = str.maketrans("0123456789", "\u2070\u00b9\u00b2\u00b3\u2074\u2075\u2076\u2077\u2078\u2079")
LOWERED = str.maketrans("0123456789", "".join(chr(0x2080 + i) for i in range(10)))
FLAT = {**{v: k for k, v in RAISED.items()}, **{v: k for k, v in LOWERED.items()}}
SPACES = [" ", " ", " ", "\u00a0", "\u2009", "\u202f", "\u2002", "\u3000", "  ", "\u200b", "\u2064", "\t"]
DENOMINATORS = [1, 2, 3, 5, 8, 16, 32, 64, 100, 127, 254]
STEPS = [Fraction(s) for s in ("1", "1/2", "127/80", "127/160", "127/40", "127/5", "5", "10", "1/100", "127/5000")]


def size(r, most=40):
    """A whole number >= 0: in one case of four a boundary, else its length in bits is drawn first."""
    if r.random() < 0.25:
        return max(0, r.choice([0, 1, 2, 1 << r.choice([3, 7, 8, 15, 16, 30, 31, 32, 62, 63, 64])]) + r.randint(-2, 2))
    bits = r.randint(0, most)
    return r.getrandbits(bits) if bits else 0


def number(r):
    bottom = r.choice(DENOMINATORS) if r.random() < 0.7 else max(1, size(r))
    return Fraction(size(r, 70) * r.choice([1, -1]), bottom)


# ---- reading, from a value that is known ----

def spell_fraction(r, num, den):
    """(text, whether it begins with a digit, offset of a plain slash in it or None)"""
    for char, text in VULGARS.items():
        if text == "%d/%d" % (num, den) and r.random() < 0.7:
            return char, False, None
    kind = r.random()
    if kind < 0.6:
        text = "%d/%d" % (num, den)
        return text, True, text.index("/")
    if kind < 0.75:
        return "%d%s%d" % (num, r.choice("\u2044\u2215"), den), True, None
    if kind < 0.8 and num == 1:
        return "\u215f%d" % den, False, None
    slash = r.choice("\u2044/\u2215")
    text = str(num).translate(RAISED) + slash + (str(den).translate(LOWERED) if r.random() < 0.5 else str(den))
    return text, False, len(str(num).translate(RAISED).encode()) if slash == "/" else None


def spell_number(r):
    """(text, value, doubtful, offset of the slash of a lone fraction)"""
    whole = size(r, 24)
    kind = r.random()
    if kind < 0.2:
        return str(whole), Fraction(whole), False, None
    if kind < 0.45:
        places = r.randint(1, 8)
        comma = r.random() < 0.4
        places += comma and places == 3  # three digits behind a comma are refused
        digits = "%0*d" % (places, r.randrange(10 ** places))
        return "%d%s%s" % (whole, ",." [not comma], digits), Fraction("%d.%s" % (whole, digits)), comma, None
    den = r.choice([2, 4, 8, 16, 32, 64, 3, 5, 6, 7, 9, 10, 127]) if r.random() < 0.8 else 1 + size(r, 12)
    num = r.randrange(den) if r.random() < 0.8 else size(r, 12)
    text, digit, slash = spell_fraction(r, num, den)
    value = Fraction(num, den)
    if kind < 0.65:
        return text, value, value >= 1, slash
    hyphen = value < 1 and r.random() < 0.3
    gap = r.choice("-\u2010\u2011\u2012\u2013") if hyphen else r.choice(SPACES) if digit or r.random() < 0.5 else ""
    return str(whole) + gap + text, whole + value, hyphen or value >= 1, None


def spell_unit(r, names=tuple(SPELLINGS)):
    name = r.choice(names)
    spelling = r.choice(SPELLINGS[name])
    gap = r.choice(SPACES) if r.random() < 0.6 else ""
    return name, gap + spelling + ("." if spelling.isascii() and spelling.isalpha() and r.random() < 0.1 else "")


def answer_read(value, unit, used, slash, doubtful):
    return "%s %s %d %d %d" % (value, unit, used, slash or 0, doubtful)


def case_spelled(r):
    text, value, doubtful, slash = spell_number(r)
    unit = "-"
    if r.random() < 0.8:
        unit, end = spell_unit(r)
        text += end
        doubtful = doubtful or unit == "mil" and value > 100
    if unit == "ft" and r.random() < 0.8:
        more, inches, doubt, _ = spell_number(r)
        _, end = spell_unit(r, ("in",))
        text += r.choice(["-", " ", "\u00a0", "  "]) + more + end
        doubtful = doubtful or doubt or value.denominator != 1 or inches >= 12
        value, unit = value * 12 + inches, "in"
    before = r.choice(["", "", "", " ", "\u00a0"])
    minus = r.choice(["", "", "", "-", "\u2212", "- "])
    front = len((before + minus).encode())
    used = front + len(text.encode())
    value = value * UNITS[unit] * (-1 if minus else 1)
    rest = r.choice(["", "", ";", "  ", ")", " x 3", " +4", "\u00d74"])
    return "read\t" + before + minus + text + rest, answer_read(
        value, unit, used, slash and unit == "-" and front + slash, doubtful)


# ---- reading, by regular expressions ----

SPACE = "[ \\t\u00a0\u2000-\u200f\u202f\u205f\u2060\u2064\u3000\ufeff]"
HYPHEN = "[-\u2010-\u2013]"
VULGAR = "[" + "".join(VULGARS) + "]"
UP = "[" + "".join(map(chr, RAISED.values())) + "]"
LOW = "[\u2080-\u2089]"
SLASH = "[/\u2044\u2215]"
ENDS = r"(?![0-9])(?![.,][0-9])"  # the whole run of digits; 7/16.5 is a division
BELOW = f"(?:{LOW}+(?!{LOW})(?![.,][0-9])|[0-9]+{ENDS})"
FRACTION = f"(?:{VULGAR}|\u215f{BELOW}|[0-9]+{SLASH}[0-9]+{ENDS}|{UP}+{SLASH}{BELOW})"
LONE = re.compile(FRACTION)
DECIMAL = re.compile(r"([0-9]+)([.,])([0-9]+)((?:[.,][0-9]+)*)")
MIXED = re.compile(f"([0-9]+)({HYPHEN}|{SPACE}*)({FRACTION})")
GROUPS = re.compile(f"[0-9]{{1,3}}{SPACE}[0-9]{{3}}(?![0-9])")
WHOLE = re.compile("[0-9]+")
GAP = re.compile(f"{SPACE}*")
LETTERS = ("A-Za-z\u00aa\u00b5\u00ba\u00c0-\u00d6\u00d8-\u00f6\u00f8-\u02b8\u02bd-\u1fff\u2c00-\u2fff\u3040-\udfff"
           "\uf900-\ufdff")
WORD = re.compile(f"[{LETTERS}0-9_]+")
MARK = re.compile("''|\u2032\u2032|\u2019\u2019|[\"\u02ba\u201c\u201d\u2033'\u00b4\u02b9\u02bc\u2018\u2019\u2032]")
NAMES = {s.lower(): n for n, all_of in SPELLINGS.items() for s in all_of}
STRANGERS = re.compile(r"(?i:(pts?|points?)|m|met(?:re|er)s?|dm|decimet(?:re|er)s?|yd|yards?|um|\u00b5m|\u03bcm|microns?|"
                       r"px|pixels?|picas?)", re.A)
MICRO = re.compile(r"(?i:micromet(?:re|er)s?)", re.A)


class Refused(Exception):
    """Its argument is the code."""


def ascii_lower(text):
    return "".join(c.lower() if c.isascii() else c for c in text)


def fraction_value(text):
    if text in VULGARS:
        return Fraction(VULGARS[text])
    flat = text.translate(FLAT).replace("\u215f", "1/")
    num, den = re.split(SLASH, flat)
    if int(den) == 0:
        raise Refused("division-by-zero")
    return Fraction(int(num), int(den))


def regex_number(text, at):
    """(value, end, doubtful, slash) or None."""
    if m := LONE.match(text, at):
        value = fraction_value(m[0])
        slash = m.start() + m[0].index("/") if "/" in m[0] else None
        return value, m.end(), value >= 1, slash
    if m := DECIMAL.match(text, at):
        if m[4]:
            raise Refused("two-signs")
        if m[2] == "," and len(m[3]) == 3:
            raise Refused("ambiguous-comma")
        return Fraction(m[1] + "." + m[3]), m.end(), m[2] == ",", None
    if m := MIXED.match(text, at):
        part = fraction_value(m[3])
        hyphen = bool(re.fullmatch(HYPHEN, m[2]))
        if hyphen and part >= 1:
            raise Refused("hyphen")
        return int(m[1]) + part, m.end(), hyphen or part >= 1, None
    if GROUPS.match(text, at):
        raise Refused("digit-groups")
    if m := WHOLE.match(text, at):
        return Fraction(int(m[0])), m.end(), False, None
    return None


def regex_unit(text, end):
    """(name or "-", end)."""
    at = GAP.match(text, end).end()
    if m := MARK.match(text, at):
        quotes = at > end and WORD.match(text, m.end())
        return ("-", end) if quotes else (NAMES[m[0]], m.end())
    m = WORD.match(text, at)
    if not m:
        return "-", end
    word = re.match(r"([^0-9]*?)(?:[xX](?=[0-9])|(?=[0-9])|\Z)", m[0])
    parts = [m[0], re.match("[^0-9]*", m[0])[0]] + ([word[1]] if word else [])
    for part in parts:
        name = NAMES.get(ascii_lower(part))
        if name:
            stop = at + len(part)
            if re.match("[\u00b2\u00b3]", text[stop:]) or re.fullmatch("[23]", m[0][len(part):]):
                raise Refused("area")
            if text[stop:stop + 1] == "." and not re.match(f"[{LETTERS}0-9_.]", text[stop + 1:]):
                stop += 1
            return name, stop
    if s := STRANGERS.fullmatch(m[0]):
        raise Refused("pt" if s[1] else "unknown-unit")
    if MICRO.fullmatch(m[0]):
        raise Refused("unknown-unit")
    return "-", end


def regex_one(text, at):
    found = regex_number(text, at)
    if not found:
        return None
    value, end, doubtful, slash = found
    unit, end = regex_unit(text, end)
    doubtful = doubtful or unit == "mil" and value > 100
    return value * UNITS[unit], unit, end, doubtful, slash if unit == "-" else None


def regex_read(text):
    at = GAP.match(text).end()
    minus = re.compile("[-\u2010-\u2013\u2212]").match(text, at)
    if minus:
        at = GAP.match(text, minus.end()).end()
    one = regex_one(text, at)
    if not one:
        if re.compile("[.,][0-9]").match(text, at):
            raise Refused("bare-point")
        raise Refused("minus" if re.compile("[-\u2010-\u2013\u2212]").match(text, at) else "no-number")
    mm, unit, end, doubtful, slash = one
    if unit in ("ft", "cm"):
        hyphen = unit == "ft" and re.compile(HYPHEN).match(text, end)
        more = regex_one(text, hyphen.end() if hyphen else GAP.match(text, end).end())
        if more and unit == "cm" and more[1] == "mm":
            raise Refused("two-units")
        if more and unit == "ft" and more[1] == "-":
            raise Refused("no-inch-unit")
        if more and unit == "ft" and more[1] == "in":
            doubtful = doubtful or more[3] or (mm / UNITS["ft"]).denominator != 1 or more[0] >= UNITS["ft"]
            mm, unit, end = mm + more[0], "in", more[2]
    return answer_read(-mm if minus else mm, unit, len(text[:end].encode()),
                       slash and len(text[:slash].encode()), doubtful)


PARTS = (["0", "1", "7", "16", "47", "125", "000", "8.4", "8,4", "1,125", "4.5", "/", "/16", "/0", ".", ",", " ", " ", "  ",
          "-", "\u2013", "\u2212", "x", "X", "_", "é", "\u5b57", "\u00b2", "\u00d7", "\u00b1", "m", "pt", "px", "um", "\u00b5m",
          "\u03bcm", "mm", "cm", "in", "ft", "mil", "Inch", "'", '"', "\u2019", "\u2032", "\u2033", "\u201d", "1/2", " 7/8", "3'",
          "\u2044", "\u215f", "\u2077\u2044\u2081\u2086", "\u00b3", "\u2081", "2", "3", ".5", "foot", "points", "metres"]
         + list(VULGARS)[:6] + SPACES[3:7])


def case_pieced(r):
    text = "".join(r.choice(PARTS) for _ in range(r.randint(1, 9)))
    try:
        return "read\t" + text, regex_read(text)
    except Refused as refused:
        return "read\t" + text, "!" + str(refused)


# ---- printing and saying ----

def decimal(x, places):
    """Half away from zero, without zeros at the end, by whole numbers only."""
    scaled = (2 * abs(x.numerator) * 10 ** places + x.denominator) // (2 * x.denominator)
    digits = str(scaled).rjust(places + 1, "0")
    if places:
        digits = (digits[:-places] + "." + digits[-places:]).rstrip("0").rstrip(".")
    return ("-" if x < 0 and scaled else "") + digits


def is_binary(x, most):
    return x.denominator <= most and x.denominator & (x.denominator - 1) == 0


def draw_value(r, unit):
    value = Fraction(size(r, 34) * r.choice([1, -1]), 1 << r.randint(0, 12)) if r.random() < 0.5 else number(r)
    return value, value * UNITS[unit]


def case_print(r):
    unit, places, style = r.choice(list(SPELLINGS)), r.randint(0, 12), r.randint(0, 1)
    value, mm = draw_value(r, unit)
    if unit in INCHES and is_binary(value, 1024):
        whole, part = divmod(abs(value.numerator), value.denominator)
        gap, slash = ("\u2009", "\u2044") if style else (" ", "/")
        pieces = ([str(whole)] if whole or not part else []) + (["%d%s%d" % (part, slash, value.denominator)] if part else [])
        figure = ("-" if value < 0 else "") + gap.join(pieces)
    else:
        figure = decimal(value, places)
    return "print\t%s\t%s\t%d\t%d" % (mm, unit, places, style), figure + " " + unit


ONES = ("zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen "
        "eighteen nineteen").split()
TENS = "_ _ twenty thirty forty fifty sixty seventy eighty ninety".split()
PART_NAMES = {2: "half halves", 4: "quarter quarters", 8: "eighth eighths", 16: "sixteenth sixteenths",
              32: "thirty-second thirty-seconds", 64: "sixty-fourth sixty-fourths"}


def words(n):
    if n >= 10 ** 9:
        return " ".join(ONES[int(d)] for d in str(n))
    if n < 20:
        return ONES[n]
    if n < 100:
        return TENS[n // 10] + ("-" + ONES[n % 10] if n % 10 else "")
    for unit, name, joint in ((10 ** 6, "million", " "), (1000, "thousand", " "), (100, "hundred", " and ")):
        if n >= unit:
            rest = n % unit
            joint = " and " if rest < 100 else joint
            return words(n // unit) + " " + name + (joint + words(rest) if rest else "")
    raise ValueError(n)


def case_say(r):
    unit = r.choice(list(SPELLINGS))
    value, mm = draw_value(r, unit)
    minus = ["minus"] if value < 0 else []
    if unit in INCHES and is_binary(value, 64):
        whole, part = divmod(abs(value.numerator), value.denominator)
        said = minus + ([words(whole)] if whole or not part else [])
        if part:
            said += ["and"] * bool(whole) + [words(part), PART_NAMES[value.denominator].split()[part > 1]]
    else:
        exact = (value * 10 ** 6).denominator == 1
        whole, _, places = decimal(abs(value), 6 if exact else 3).partition(".")
        said = ([] if exact else ["about"]) + minus + [words(int(whole))]
        said += ["point"] * bool(places) + [ONES[int(d)] for d in places]
    return "say\t%s\t%s" % (mm, unit), " ".join(said)


# ---- marks ----

def mark(k):
    return str(k) if -2 ** 63 <= k < 2 ** 63 else "!4"


def half_up(x):
    return math.floor(x + Fraction(1, 2))


def case_marks(r):
    step = r.choice(STEPS) if r.random() < 0.7 else abs(number(r)) or Fraction(1)
    offset = number(r) if r.random() < 0.4 else Fraction(0)
    kind = r.random()
    mm = number(r) if kind < 0.5 else offset + step * Fraction(size(r, 30) * r.choice([1, -1]), 1 if kind < 0.6 else 2)
    x = (mm - offset) / step
    below = math.floor(x)
    at = below if -2 ** 63 <= below < 2 ** 63 else 0
    answer = [mark(below), mark(math.ceil(x)), mark(round(x)), mark(half_up(x)), str(at * step + offset)]
    return "marks\t%s\t%s\t%s" % (mm, step, offset), " ".join(answer)  # round() of a Fraction goes to even


def case_limits(r):
    step = r.choice(STEPS)
    low = number(r) % (1 << 30)
    high = low + abs(number(r)) % (step * 4)
    a = "%d %d" % (half_up(low / step), half_up(high / step))
    first, last = math.ceil(low / step), math.floor(high / step)
    b = "%d %d" % (first, last) if first <= last else "none"
    return "limits\t%s\t%s\t%s" % (low, high, step), a + " " + b


BASIS = {"bond": ("17", "22"), "writing": ("17", "22"), "ledger": ("17", "22"), "cover": ("20", "26"),
         "book": ("25", "38"), "text": ("25", "38"), "offset": ("25", "38"), "index": ("25.5", "30.5"), "tag": ("24", "36"),
         "newsprint": ("24", "36"), "bristol": ("22.5", "28.5"), "blotting": ("19", "24"), "blanks": ("22", "28")}


def case_weight(r):
    pounds, grade = number(r), r.choice(list(BASIS))
    area = Fraction(BASIS[grade][0]) * Fraction(BASIS[grade][1]) * Fraction("0.0254") ** 2  # m2
    gsm = pounds * Fraction("453.59237") / (500 * area)
    return "weight\t%s\t%s" % (pounds, r.choice([grade, grade.upper(), grade.title()])), str(gsm) if pounds >= 0 else "!1"


KINDS = {name: globals()["case_" + name] for name in CASES}


def main():
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("driver")
    parser.add_argument("--seed", type=int, default=int.from_bytes(os.urandom(4), "big"))
    parser.add_argument("--times", type=int, default=1, help="this many times the usual number of cases")
    options = parser.parse_args()
    print("oracle_length: seed %d" % options.seed, flush=True)
    r = random.Random(options.seed)
    passed = failed = 0
    for name, count in CASES.items():
        left = count * options.times
        while left > 0 and failed <= 20:
            cases = [KINDS[name](r) for _ in range(min(CHUNK, left))]
            left -= len(cases)
            run = subprocess.run([options.driver], input="".join(line + "\n" for line, _ in cases).encode(),
                                 capture_output=True, check=False)
            got = run.stdout.decode(errors="replace").split("\n")[:-1]
            if run.returncode or len(got) != len(cases):
                print("the driver ended with status %d after %d of %d cases\n%s"
                      % (run.returncode, len(got), len(cases), run.stderr.decode(errors="replace")))
                failed += 1
            for (line, right), said in zip(cases, got):
                passed += said == right
                failed += said != right
                if said != right:
                    print("%r: answered `%s`, should be `%s`" % (line, said, right))
    if not failed and passed < sum(CASES.values()) * options.times:
        print("only %d cases were compared" % passed)
        failed = 1
    print("%d passed, %d failed" % (passed, failed))
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
