"""Designs of every kind that can be drawn, at random: what is in them is as large, as small, as long and as foreign as a
file allows. They are not meant to be of use, only to be hard on a page."""
import re

LABELS = [
    "Tray", "Lid", "A", "Sleeve", "Box for cards", "Sleeve for the recipe cards of a whole large family with many guests, second version",
    "Unpronounceablyunbreakablelongwordäöü" * 2, "WWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWW", "<b>bold</b> & 'quoted'", "7/16 and 4⁄5 of it",
    "Schächtelchen für Großmutters Löffel", "Krabička na recepty", "Коробка с карточками", "Κουτί με συνταγές", "Տուփ բաղադրատոմսերի",
    "صندوق الشاي", "קופסת תה קטנה", "กล่องใส่สูตรอาหาร", "व्यंजन कार्ड का डिब्बा", "茶叶罐的套筒", "レシピカードの引き出し",
    "🎁 gift 🎀", "Ångström ½ × ¾″", "Hộp đựng thẻ công thức"]
PANELS = ["a", "wall", "side", "base_short", "very_long_name_of_a_panel_that_fits_nowhere", "Seitenwand_groß", "底", "бок", "tab", "front",
          "face", "x1", "rim", "πλευρά", "جانب", "दीवार", "ด้าน", "Wwwwwwwwwwww"]
EDITIONS = ["unit mm marks 1 mm", "unit mm marks 0.5 mm", "unit cm marks 0.5 mm", "unit in marks 1/16 in", "unit in marks 1/32 in",
            "unit in marks 1/64 in reach 12 in", "unit in marks 1/8 in"]


class Sketch:
    """One design; `text` is the file. measured: something in it is as large as a measure with a range."""

    def __init__(self, rng, measured=False):
        self.rng, self.lines, self.pieces = rng, [], []
        self.say(f'design "{self.label()}"')
        if measured:
            self.say(f'measure w "{self.label()}" 100 mm from 80 to 120 mm')
        self.say(f'stock s "{self.label()}" thickness 0.3 mm{rng.choice(["", " weight 250 gsm"])}{rng.choice(["", " grain long"])}')
        self.say("punches oval 6 x 4 mm, 38 x 25 mm, 63 x 38 mm\npunches round 9 x 9 mm, 50.8 x 50.8 mm")
        for _ in range(rng.randint(1, 5)):
            rng.choice([self.strips, self.strips, self.strips, self.box, self.mat, self.punched, self.rows])()
        if not self.pieces:
            self.strips()
        if measured:
            self.say("piece w0 of s\n  across wide = w + 3 mm\n  down high = 30 mm")
        self.say(f"edition e {rng.choice(EDITIONS)} as designed")
        self.text = "\n".join(self.lines) + "\n"

    def say(self, line):
        self.lines.append(line)

    def some(self, percent):
        return self.rng.randrange(100) < percent

    def label(self):
        text = self.rng.choice(LABELS)
        return f"{text} {self.rng.choice(LABELS)}" if self.some(10) else text

    def size(self, low, high):
        """Small ones as often as large ones, rarely a round one."""
        return round(low * (high / low) ** self.rng.random(), self.rng.choice([0, 1, 1, 2]))

    def begin(self, kind, rest):
        name = f"{kind}{len(self.pieces)}"
        copies = self.rng.choice(["", "", f"{self.rng.randint(2, 12)} "])
        self.pieces.append(name)
        return name, f'"{self.label()}" {copies}of s{rest}'

    def panels(self, used, whole):
        """1 to 12 panels with `whole` in all, one of them now and then very narrow, now and then the same again."""
        count = self.rng.randint(1, 3) if self.some(40) else self.rng.randint(1, 12)
        shares = [0.05 if self.some(15) else self.rng.uniform(0.7, 1.3) for _ in range(count)]
        words = []
        for share in shares:
            name, size = self.rng.choice(PANELS), max(1, round(share / sum(shares) * whole, self.rng.choice([0, 1])))
            words.append(name if name in used else f"{name} = {size} mm")
            used.add(name)
        if count > 1 and self.some(25):
            at = self.rng.choice([0, -1])
            words[at] += " glue" if "=" in words[at] or self.some(50) else ""
        return " | ".join(words)

    def strips(self):
        name, rest = self.begin("p", self.rng.choice(["", "", " grain across", " grain down"]))
        used = set()
        self.say(f"piece {name} {rest}")
        self.say(f"  across {self.panels(used, self.size(10, 600))}")
        self.say(f"  down {self.panels(used, self.size(10, 600))}")
        if self.some(70):
            self.say(f"  score {self.rng.choice(['', 'across ', 'down '])}from {self.rng.choice(['first edge', 'last edge', 'both edges'])}")
        if self.some(10):
            self.say("  ends mitred")
        if self.some(25):
            self.opening(name, name)

    def box(self):
        name, rest = self.begin("b", "")
        wall = self.size(5, 120)
        self.say(f"piece {name} {rest}\n  across wall = {wall} mm | base = {self.size(10, 400)} mm | wall\n"
                 f"  down wall | long = {self.size(10, 400)} mm | wall\n  score from both edges")
        self.say(f"  corners snipped {self.rng.choice(['down', 'across'])}" + self.rng.choice(["", f", tapered {round(wall / 9, 1)} mm or 1/16 in"]))
        if self.some(40):
            self.opening(name, f"{name}.base x {name}.long")

    def row(self, name, whole, rest):
        """A list of new panels, as wide as the whole, or what is left a rest at one end or at both."""
        count, ends = self.rng.randint(1, 5), self.rng.choice(["a", "z", "az"]) if rest else ""
        left = whole if not rest else max(count, whole - max(2, whole // self.rng.randint(2, 9)))
        sizes = [max(1, left // count)] * (count - 1)
        sizes.append(left - sum(sizes))
        words = [f"{'some_long_name_' if self.some(15) else ''}{name}{i} = {size} mm" for i, size in enumerate(sizes)]
        for at in (0, -1):
            words[at] += " glue" if count > 1 and self.some(15) else ""
        text = words[0] + "".join(self.rng.choice([" | ", " | ", " || "]) + word for word in words[1:])
        return ("rest | " if "a" in ends else "") + text + (" | rest" if "z" in ends else "")

    def rows(self):
        """Up to four lists, each beside some of up to six panels of the other direction."""
        name, rest = self.begin("r", self.rng.choice(["", "", " grain across"]))
        ways, whole = self.rng.choice([("across", "down"), ("down", "across")]), self.rng.choice([self.rng.randint(20, 90), self.rng.randint(20, 500)])
        count = self.rng.randint(2, 6)
        rows = self.rng.randint(2, min(4, count))
        self.say(f"piece {name} {rest}")
        self.say(f"  {ways[1]} " + " | ".join(f"part{i} = {self.rng.choice([self.rng.randint(2, 9), self.rng.randint(10, 90)])} mm" for i in range(count)))
        for row in range(rows):
            self.say(f"  {ways[0]} {self.row('abcd'[row], whole, row and self.some(80))} beside " + ", ".join(f"part{i}" for i in range(row, count, rows)))
        if self.some(60):
            self.say(f"  score from {self.rng.choice(['last edge', 'both edges'])}")
        if self.some(25):
            first = re.search(r"\w*a0\b", "\n".join(self.lines[-rows - 1:]))[0]
            self.opening(name, self.rng.choice([name, f"{name}.{first} x {name}.part0" if ways[0] == "across" else f"{name}.part0 x {name}.{first}"]))

    def mat(self):
        if self.pieces:
            on = self.rng.choice(self.pieces)
            if on[0] != "q":
                name, rest = self.begin("m", "")
                self.say(f"mat {name} {rest} on {on}, smaller by {self.rng.choice(['0.6', '3', '5'])} mm{self.rng.choice(['', ' ends mitred'])}")

    def punched(self):
        name, rest = self.begin("q", f" from {self.rng.choice(['oval', 'round'])}")
        self.say(f"piece {name} {rest}")

    def opening(self, through, on):
        self.say(f"opening o{len(self.lines)} from {self.rng.choice(['oval', 'round'])} through {through} on {on}")
