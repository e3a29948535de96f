#!/usr/bin/python3
"""The JSON writer against Python's json: oracle_json.py [DRIVER] [--seed N] [--times N].

Each case is a random document, made of texts that are hard to write (quotes, control characters, letters of every length
in UTF-8, halves of letters, bytes that are no text, `</script>`), numbers and brackets in every order, in one of the three
styles. What the driver (oracle_json.c) writes must be what the parser reads back as the document, and byte for byte what
json.dumps writes. A run that did fewer cases than intended fails. Only the standard library is used."""
import argparse
import json
import os
import random
import re
import subprocess
import sys
import unicodedata
from fractions import Fraction

CASES = 4_000
CHUNK = 500
INDENTED, LINE, SCRIPT = range(3)
DEEPEST = 15
# What turns the direction of writing or breaks a line unseen; no text of a design holds it. Beside the controls (Cc).
UNSEEN = [0x2028, 0x2029, 0x202A, 0x202B, 0x202C, 0x202D, 0x202E, 0x2066, 0x2067, 0x2068, 0x2069, 0x200E, 0x200F, 0xFEFF]
BORDERS = [0x1F, 0x20, 0x7E, 0x7F, 0x80, 0x9F, 0xA0, 0x7FF, 0x800, 0xD7FF, 0xE000, 0xFFFD, 0xFFFE, 0xFFFF, 0x10000, 0x10FFFF]
PIECES = [b'"', b"\\", b"/", b"</script>", b"<!--", b"&amp;", b"\\u0041", b"\n", b"\r\n", b"\t", b"\b", b"\f", b"plain", b" "]
BROKEN = [b"\xff", b"\xc0\x80", b"\xed\xa0\x80", b"\xf4\x90\x80\x80", b"\xe2\x82", b"\xf0\x9f\x98", b"\x80", b"\xfe", b"\xe0\x80\xaf"]


def raw(r):
    """The bytes of a text, without a zero byte."""
    out = b""
    for _ in range(r.choice([0, 1, 1, 2, 3, 8])):
        kind = r.random()
        if kind < 0.3:
            out += r.choice(PIECES)
        elif kind < 0.4:
            out += r.choice(BROKEN)
        elif kind < 0.5:
            out += chr(r.randint(1, 0x1F)).encode()
        elif kind < 0.6:
            out += chr(r.choice(UNSEEN)).encode()
        elif kind < 0.75:
            out += chr(r.choice(BORDERS)).encode()
        else:
            code = r.getrandbits(r.choice([7, 11, 16, 20])) or 0x41
            out += chr(code if not 0xD800 <= code < 0xE000 else 0x41).encode()
    return out


def letters(text):
    """As text: each byte that belongs to no letter becomes one U+FFFD."""
    out, at = "", 0
    while at < len(text):
        for size in range(1, 5):
            try:
                letter = text[at:at + size].decode()
            except UnicodeDecodeError:
                continue
            break
        else:
            letter, size = "\uFFFD", 1
        out, at = out + letter, at + size
    return out


def plain(text):
    return "".join("\uFFFD" if unicodedata.category(c) == "Cc" or ord(c) in UNSEEN else c for c in letters(text))


class Document:
    def __init__(self, r):
        self.r, self.calls, self.style = r, [], r.randrange(3)
        self.call("s", value=str(self.style).encode())
        self.value = self.make(None, 0)
        self.call("e")

    def call(self, what, key=None, value=None):
        self.calls.append("%s %s %s" % (what, *("-" if x is None else x.hex() or "=" for x in (key, value))))

    def make(self, key, depth):
        kind = self.r.random()
        if depth < DEEPEST and (not depth or kind < 0.3 or self.r.random() < 0.02 * depth):
            return self.bracket(key, depth)
        return self.r.choice([self.text, self.exact, self.rat, self.whole, self.truth, self.nothing])(key)

    def bracket(self, key, depth):
        count = self.r.choice([0, 1, 1, 2, 3, 5])
        closed = depth or self.r.random() < 0.5  # what is open at the end is closed there
        if self.r.random() < 0.5:
            self.call("l", key)
            value = [self.make(None, depth + 1) for _ in range(count)]
        else:
            self.call("o", key)
            value = {}
            for _ in range(count):
                name = raw(self.r)
                if letters(name) not in value:
                    value[letters(name)] = self.make(name, depth + 1)
        if closed:
            self.call("c")
        return value

    def text(self, key):
        text = raw(self.r) if self.r.random() < 0.9 else None
        self.call("t", key, text)
        return None if text is None else plain(text)

    def exact(self, key):
        text = raw(self.r)
        self.call("x", key, text)
        return letters(text)

    def rat(self, key):
        top, bottom = (self.r.getrandbits(self.r.choice([1, 8, 31, 64, 600])) for _ in range(2))
        x = Fraction(self.r.choice([top, -top]), bottom or 1)
        self.call("r", key, str(x).encode())
        return str(x)

    def whole(self, key):
        x = self.r.choice([0, 9, 10, (1 << 63) - 1, -(1 << 63), self.r.getrandbits(40), -self.r.getrandbits(20)])
        self.call("w", key, str(x).encode())
        return x

    def truth(self, key):
        x = self.r.random() < 0.5
        self.call("b", key, b"1" if x else b"0")
        return x

    def nothing(self, key):
        self.call("n", key)

    def written(self):
        """Byte for byte. Codes are in capitals; in a script < > & are codes too."""
        looks = {INDENTED: {"indent": 1}, LINE: {}, SCRIPT: {"separators": (",", ":")}}[self.style]
        text = json.dumps(self.value, ensure_ascii=self.style == SCRIPT, **looks)
        text = re.sub(r"\\(u[0-9a-f]{4}|.)", lambda m: m[0].upper().replace("U", "u", 1) if len(m[1]) > 1 else m[0], text)
        if self.style == SCRIPT:
            text = re.sub("[<>&]", lambda m: "\\u%04X" % ord(m[0]), text)
        return text + ("\n" if self.style == INDENTED else "")


def compare(document, said):
    try:
        said = said.decode()
        read = json.loads(said)
    except ValueError as error:
        return "no JSON: %s: %r" % (error, said)
    if read != document.value:
        return "read back as %r, should be %r" % (read, document.value)
    if document.style == SCRIPT and (not said.isascii() or re.search("[<>&]", said)):
        return "not fit for a script: %r" % said
    if said != document.written():
        return "written %r, should be %r" % (said, document.written())
    return ""


def main():
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    build = os.environ.get("NEARMARK_BUILD", "build")
    parser.add_argument("driver", nargs="?", default=os.path.join(build, "tests/oracle/oracle_json"))
    parser.add_argument("--seed", type=int, default=int.from_bytes(os.urandom(4), "big"))
    parser.add_argument("--times", type=int, default=1, help="this many times the usual number of cases")
    options = parser.parse_args()
    print("oracle_json: seed %d" % options.seed, flush=True)
    r = random.Random(options.seed)
    intended, passed, failed = CASES * options.times, 0, 0
    for _ in range(0, intended, CHUNK):
        documents = [Document(r) for _ in range(CHUNK)]
        calls = "\n".join(call for d in documents for call in d.calls) + "\n"
        run = subprocess.run([options.driver], input=calls.encode(), capture_output=True, check=False)
        said = run.stdout.split(b"\0")
        if run.returncode or len(said) != len(documents) + 1:
            print("the driver ended with status %d after %d documents: %r" % (run.returncode, len(said), run.stderr))
            failed += 1
        for document, one in zip(documents, said):
            problem = compare(document, one)
            passed += not problem
            failed += bool(problem)
            if problem:
                print(problem)
        if failed > 20:
            break
    if passed + failed < intended:
        print("only %d of %d documents were written" % (passed + failed, intended))
        failed = max(failed, 1)
    print("%d passed, %d failed" % (passed, failed))
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
