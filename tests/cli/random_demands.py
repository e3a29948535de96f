"""Designs full of demands, at random: fits that can be met and some that cannot, over measures with and without a range, in
editions of every kind. Small enough to be settled at once."""

EDITIONS = ["metric unit mm marks 1 mm as designed", "imperial unit in marks 1/16 in", "halves unit mm marks 0.5 mm",
            "fine unit in marks 1/32 in place ± 0.3 mm", "board unit in marks 1/16 in scores 1/8 in", "eighths unit in marks 1/8 in cut ± 0.5 mm",
            "centimetres unit cm marks 1 mm reach 30 cm"]
SIZES = ["3 7/16 in", "2 1/2 in", "86 mm", "8.4 cm", "61.3 mm", "4 1/32 in", "120 mm"]
ERRORS = ["", " ± 0.5 mm", " read to 1 mm", " read to 1/16 in", " ± 1/32 in"]
ROOM = ["(0 to 3.5 mm)", "(0 to 2.5 mm)", "(0 to 1 mm)", "(0 to 1/8 in)", "(at least 0 mm)", "(0.2 to 1.7 mm)", "(at most 3 mm)"]
CLEAR = ["1 mm", "2 mm", "1/16 in", "1.3 mm", "0.5 mm"]


class Wishes:
    """One design; `text` is the file. ranges: how many of a hundred measures have one; rows: there is a piece with rows."""

    def __init__(self, rng, ranges, rows=False):
        self.rng, self.lines = rng, ['design "Wishes"']
        self.measures = rng.sample(["wide", "deep", "tall", "round"], rng.randint(1, 3))
        for name in self.measures:
            self.say(f'measure {name} "its {name}" {rng.choice(SIZES)}{rng.choice(ERRORS)}{" from 50 to 150 mm" if self.some(ranges) else ""}')
        self.say("stock card thickness 0.3 mm ± 0.03 mm" + rng.choice(["", " sheet A4 or Letter", " sheet 12x12", " grain long"]))
        self.say("let step = 5 mm or 1/4 in")
        self.say("punches oval 50 x 30 mm, 38 x 25 mm, 20 x 10 mm")
        self.ring()
        if rows:
            rng.choice([self.envelope, self.carton, self.cross, self.folder])()
        for chance, what in [(60, self.lid), (60, self.mat), (30, self.hole), (20, self.plug), (30, self.keep), (30, self.fit)]:
            if self.some(chance):
                what()
        for edition in rng.sample(EDITIONS, rng.randint(1, 3)):
            self.say(f"edition {edition}")
        self.text = "\n".join(self.lines) + "\n"

    def say(self, line):
        self.lines.append(line)

    def some(self, percent):
        return self.rng.randrange(100) < percent

    def measure(self):
        return self.rng.choice(self.measures)

    def over(self, what):
        return f"over {what} clear {self.rng.choice(CLEAR)} {self.rng.choice(ROOM)}"

    def formula(self):
        return self.rng.choice(["{0}", "{0}", "{0} / 2", "{0} / pi", "sqrt(2) * {0} / 2"]).format(self.measure())

    def ring(self):
        self.say(f'piece ring "Ring" {self.rng.choice(["", "2 "])}of card')
        tab = self.rng.choice(["", " | tab = 12 mm or 1/2 in glue"])
        self.say(f"  across face {self.over(self.formula())} | side {self.over(self.formula())} | face | side{tab}")
        self.say("  down " + self.rng.choice([f"high = 30 mm + {self.measure()}", f"rim = 15.7 mm | high {self.over(self.measure())} | rim"]))
        if self.some(50):
            self.say("  score from both edges")

    def measured(self):
        """A measure as it is, or a part of it: what is not far from 20 mm at least."""
        return self.rng.choice(["{0}", "{0}", "{0} / 2", "{0} / 2 + 8 mm"]).format(self.measure())

    def scores(self):
        if self.some(50):
            self.say(f"  score {self.rng.choice(['across ', 'down ', ''])}from {self.rng.choice(['both edges', 'last edge'])}")

    def envelope(self):
        self.say('piece envelope "Envelope" of card')
        self.say(f"  down flap = 15 mm or 5/8 in | front {self.over(self.measured())} | back inside front clear 7 mm (2 to 12 mm)")
        self.say(f"  across tab = 12 mm or 1/2 in glue | body {self.over(self.measured())} | tab glue   beside front")
        self.say(f"  across rest | {self.rng.choice(['body', 'body', 'near_1 = 8 mm || near_2 = 7 mm'])} | rest   beside flap, back")
        self.scores()
        if self.some(40):
            self.say("keep envelope.tab at least 8 mm")

    def carton(self):
        bar = self.rng.choice(["||", "||", "|"])
        self.say(f'piece carton "Carton" {self.rng.choice(["", "2 "])}of card')
        self.say(f"  down top = 21 mm | wall {self.over(self.measured())} | low = {self.rng.choice(['15 mm', '19.5 mm or 3/4 in'])}")
        self.say(f"  across long {self.over(self.measured())} | short = 31 mm | long | tab = 12 mm or 1/2 in glue   beside wall")
        self.say(f"  across long {bar} short {bar} long {bar} rest   beside {self.rng.choice(['top, low', 'low, top'])}")
        self.scores()

    def cross(self):
        """Its rows run down; what is left of them is halved."""
        self.say('piece cross "Cross" of card')
        self.say(f"  across arm = 23 mm | mid {self.over(self.measured())} | arm")
        self.say(f"  down flap = 30 mm | tall {self.over(self.measured())} | flap   beside mid")
        self.say("  down rest | body = 13 mm | thin = 6 mm | rest   beside arm")
        self.scores()

    def folder(self):
        """Two lists of their own panels that are equally wide, and a narrower one."""
        self.say('piece folder "Folder" of card')
        self.say(f"  down one = 31 mm | two {self.over(self.measured())} || three = 18.2 mm")
        self.say("  across a = 40 mm | b = 30 mm || c = 12 mm   beside one")
        self.say("  across b | c | a   beside two\n  across rest | d = 55 mm   beside three")
        self.scores()

    def lid(self):
        self.say('piece lid "Lid" of card')
        self.say(f"  across rim = 20 mm or 3/4 in | top {self.over('outside ring.face')} | rim")
        self.say(f"  down rim | top_deep {self.over('outside ring.side')} | rim")
        self.say(f"  score {self.rng.choice(['across ', 'down ', ''])}from both edges")
        if self.some(50):
            self.say(f"  corners snipped {self.rng.choice(['across', 'down'])}, tapered 2 mm")

    def mat(self):
        shows = self.rng.choice(["", ", shows 1.5 to 4 mm", ", shows 2 to 3 mm"])
        self.say(f'mat layer "Layer" {self.rng.choice(["", "3 "])}of card on ring.face x ring.high, smaller by '
                 f'{self.rng.choice(["step", "4 mm", "0.3 in"])}{shows}')

    def hole(self):
        self.say("opening hole from oval through ring on ring.face x ring.high\nkeep hole.across at most ring.face - 10 mm")

    def plug(self):
        self.say('piece plug "Plug" of card from oval\nfit ring.face over plug.across clear 5 to 60 mm')

    def keep(self):
        self.say(f'keep "kept" {self.rng.choice(["ring.face at least ring.side", "total ring.face at most 400 mm", "ring.across at most 300 mm"])}')

    def fit(self):
        self.say(f'fit "all round" ring.across over {self.measure()} clear {self.rng.choice(["0 to 400 mm", "100 to 150 mm"])}')
