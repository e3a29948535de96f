#!/usr/bin/python3
"""Exact rationals against Python's `fractions`: oracle_rat.py [DRIVER] [--seed N] [--times N].

Each case is a pair of numbers, from one digit to 200 digits and round every word boundary, on which the driver
(oracle_rat.c) does every operation of NAMES. Any difference is printed with its case and fails the run; so does a run
that did fewer operations than intended. Only the standard library is used."""
import argparse
import math
import os
import random
import subprocess
import sys
from fractions import Fraction

NAMES = ["parse and print", "add", "sub", "mul", "div", "cmp", "gcd", "lcm", "neg", "abs", "floor", "ceil", "bits",
         "pow", "decimal"]
CASES = 70_000  # times len(NAMES): more than a million operations
CHUNK = 5_000
DENOMINATORS = [1, 2, 3, 5, 8, 16, 32, 64, 100, 127, 254]
BORDERS = [3, 7, 8, 15, 16, 30, 31, 32, 61, 62, 63, 64, 65, 126, 127, 128]


def size(r):
    """A whole number >= 0: in one case of four a boundary, else its length in bits is drawn first."""
    kind = r.random()
    if kind < 0.25:
        return max(0, r.choice([0, 1, 2, 1 << r.choice(BORDERS)]) + r.choice([-2, -1, 0, 1, 2]))
    bits = r.randint(0, 64) if kind < 0.85 else r.randint(0, 664)
    return r.getrandbits(bits) if bits else 0


def number(r):
    top = size(r) * r.choice([1, -1])
    kind = r.random()
    bottom = r.choice(DENOMINATORS) if kind < 0.4 else 1 if kind < 0.5 else max(1, size(r))
    return top, bottom


def related(r, a):
    """A number that has much in common with a, so that sums and products shrink again."""
    top, bottom = a
    other = r.choice([(-top, bottom), (top, bottom), (bottom, top or 1), (-bottom, top or 1), (top + 1, bottom),
                      (r.choice([1, -1]) * size(r), bottom), (1, bottom), (top, bottom + 1)])
    return (other[0], other[1]) if other[1] > 0 else (-other[0], -other[1])


def written(r, n):
    """A pair as text and as a value: a fraction, not always reduced, or a decimal number."""
    top, bottom = n
    kind = r.random()
    if kind < 0.1:
        places = r.randint(1, 25)
        digits = str(abs(top)).rjust(places + 1, "0")
        return ("-" if top < 0 else "") + digits[:-places] + "." + digits[-places:], Fraction(top, 10 ** places)
    if kind < 0.2:
        return ("+" if top >= 0 else "") + str(top), Fraction(top)
    if kind < 0.3:
        common = r.randint(1, 1000)
        return "%d/%d" % (top * common, bottom * common), Fraction(top, bottom)
    return "%d/%d" % (top, bottom), Fraction(top, bottom)


def decimal(x, places):
    """Half away from zero, by whole numbers only."""
    scaled = (2 * abs(x.numerator) * 10 ** places + x.denominator) // (2 * x.denominator)
    digits = str(scaled).rjust(places + 1, "0")
    sign = "-" if x < 0 and scaled else ""
    return sign + (digits[:-places] + "." + digits[-places:] if places else digits)


def gcd(a, b):
    return Fraction(math.gcd(a.numerator * b.denominator, b.numerator * a.denominator), a.denominator * b.denominator)


def lcm(a, b):
    return abs(a * b) / gcd(a, b) if a and b else Fraction(0)


def expected(a, b, places, power):
    bits = max(abs(a.numerator).bit_length(), a.denominator.bit_length())
    results = [a, a + b, a - b, a * b, a / b if b else "!2", (a > b) - (a < b), gcd(a, b), lcm(a, b), -a, abs(a),
               a.numerator // a.denominator, -(-a.numerator // a.denominator), bits, a ** power]
    return [str(x) for x in results] + [decimal(a, places)]


def cases(r, count):
    lines, answers = [], []
    for _ in range(count):
        first = number(r)
        second = related(r, first) if r.random() < 0.25 else number(r)
        (a_text, a), (b_text, b) = written(r, first), written(r, second)
        places, power = r.randint(0, 12), r.choice([0, 1, 2, 2, 3, 4, 7])
        lines.append("%s %s %d %d" % (a_text, b_text, places, power))
        answers.append(expected(a, b, places, power))
    return lines, answers


def compare(line, answer, got):
    """How many operations agree, how many do not."""
    fields = got.split(" ")
    if len(fields) != len(answer):
        print("case `%s`: answered `%s`" % (line, got))
        return 0, len(answer)
    failed = 0
    for name, right, said in zip(NAMES, answer, fields):
        if right != said:
            failed += 1
            print("%s of `%s`: %s, should be %s" % (name, line, said, right))
    return len(answer) - failed, failed


def main():
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    build = os.environ.get("NEARMARK_BUILD", "build")
    parser.add_argument("driver", nargs="?", default=os.path.join(build, "tests/oracle/oracle_rat"))
    parser.add_argument("--seed", type=int, default=int.from_bytes(os.urandom(4), "big"))
    parser.add_argument("--times", type=int, default=1, help="this many times the usual number of cases")
    options = parser.parse_args()
    print("oracle_rat: seed %d" % options.seed, flush=True)
    r = random.Random(options.seed)
    intended = CASES * options.times
    passed = failed = 0
    for start in range(0, intended, CHUNK):
        lines, answers = cases(r, min(CHUNK, intended - start))
        run = subprocess.run([options.driver], input="\n".join(lines) + "\n", capture_output=True, text=True,
                             check=False)
        got = run.stdout.split("\n")[:-1]
        if run.returncode or len(got) != len(lines):
            print("the driver ended with status %d after %d of %d cases\n%s"
                  % (run.returncode, len(got), len(lines), run.stderr))
            failed += 1
        for line, answer, said in zip(lines, answers, got):
            good, bad = compare(line, answer, said)
            passed += good
            failed += bad
        if failed > 20:
            break
    if passed + failed < intended * len(NAMES):
        print("only %d of %d operations were done" % (passed + failed, intended * len(NAMES)))
        failed = max(failed, 1)
    print("%d passed, %d failed" % (passed, failed))
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
