"""Random designs of realistic kinds: boxes with walls and bases, sleeves with glue, rings of copies, drawers in a space, layers
on shared or own steps, strips, punches and openings, keeps and borders. 3 to 12 lengths. The same seed and case number give
the same text."""
import random
from fractions import Fraction as Q

import model
import reader

INCH = Q(254, 10)
INCH_MARKS = ['1/16 in'] * 6 + ['1/8 in'] * 3 + ['1/32 in'] * 3 + ['1/10 in', '3/32 in', '1/12 in', '50 mil']
MM_MARKS = ['1 mm'] * 4 + ['0.5 mm'] * 3 + ['2 mm', '0.7 mm', '2.5 mm', '0.3 mm', '0.25 cm']


def mm(q):
    """a decimal text of a fraction with few places"""
    s = '%.4f' % float(q)
    return s.rstrip('0').rstrip('.') if '.' in s else s


class Maker(object):
    def __init__(self, seed, case, ranges=0.4, rows=False):
        self.ranges, self.rows = ranges, rows
        self.r = random.Random('%d/%d' % (seed, case))
        self.lines, self.n = [], 0
        self.pieces, self.outer, self.layers = [], [], []   # names; (piece, panel) to go over; what a layer can lie on
        self.steps, self.measures, self.rings = [], [], []
        self.tight = self.r.choice([0.5, 0.8, 1.2, 1.5, 2, 3])
        self.inch = self.r.random() < 0.6
        self.marks = self.r.choice(INCH_MARKS if self.inch else MM_MARKS)
        self.step = reader.Scan(self.marks).raw()[0]
        self.cut = Q(self.r.choice([0, 1, 1, 2, 2, 2, 3]), 10)

    def say(self, s):
        self.lines.append(s)

    def name(self, base):
        self.n += 1
        return '%s%d' % (base, self.n) if self.n > 1 or self.r.random() < 0.5 else base

    def some(self, p):
        return self.r.random() < p

    # ---- lengths as text ----

    def one(self, q):
        k = self.r.random()
        if k < 0.8:
            return mm(q) + ' mm'
        if k < 0.9:
            return mm(q / 10) + ' cm'
        n = max(1, round(float(q / INCH) * 16))
        return {0: lambda: '%d/16 in', 1: lambda: '%d/16"'}[n % 2]() % n

    def written(self, q):
        """once, or twice"""
        if self.some(0.25):
            n = max(1, round(float(q / INCH) * 16))
            w, f = divmod(n, 16)
            inch = '%d %d/16 in' % (w, f) if w and f else '%d in' % w if w else '%d/16 in' % f
            return '%s mm or %s' % (mm(q), inch)
        return self.one(q)

    def about(self, lo, hi, to=Q(1, 2)):
        return Q(self.r.randint(int(lo / to), int(hi / to))) * to

    def room(self, lines=3, other=Q(1, 2)):
        """(clear, lo, hi) of a fit in mm, wide enough for marks and errors or not quite"""
        errors = lines * self.cut + other
        half = (self.step * Q(self.r.randint(5, 14), 10) + errors * Q(self.r.randint(0, 12), 10)) * Q(self.tight) / 2
        half = max(Q(round(half * 20), 20), Q(1, 10))
        c = max(Q(round(half * 4), 4), Q(1, 2)) if self.some(0.7) else self.about(Q(1, 2), 4)
        off = Q(self.r.randint(-4, 4), 10) * half
        return c, Q(round((c + off - half) * 20), 20), Q(round((c + off + half) * 20), 20)

    def bounds(self, lo, hi, top=0.9):
        if self.some(1 - top):
            return 'at least %s mm' % mm(lo)
        if self.some(0.5):
            return '%s to %s mm' % (mm(lo), mm(hi))
        return '%s mm to %s mm' % (mm(lo), mm(hi))

    def clear(self, lines=3, other=Q(1, 2)):
        c, lo, hi = self.room(lines, other)
        return 'clear %s mm (%s)' % (mm(c), self.bounds(lo, hi))

    # ---- statements ----

    def measure(self, lo, hi):
        n = self.name(self.r.choice(['long', 'short', 'tall', 'wide', 'deep', 'jar', 'tin']))
        q = self.about(lo, hi)
        off = self.r.choice(['± 0.5 mm', '± 0.25 mm', 'read to 1 mm', '+- 0.5 mm', '', '± 0.3 mm'])
        s = 'measure %s "size of your %s"  %s %s' % (n, n, mm(q) + ' mm', off)
        if self.some(self.ranges):
            s += '  from %s to %s mm' % (mm(q - 10), mm(q + 20))
        self.say(s.rstrip())
        self.measures.append(n)
        return n

    def stock(self):
        n = self.name(self.r.choice(['card', 'plain', 'kraft']))
        t = self.r.choice(['0.30 mm ± 0.03 mm', '0.40 mm ± 0.04 mm', '12 mil', '0.16 mm ± 0.02 mm', '0.25 mm'])
        self.say('stock %s  thickness %s  weight %d gsm' % (n, t, self.r.randint(12, 30) * 10))
        return n

    def score(self, bias=0.65):
        if self.some(bias):
            self.say('  score from both edges')
        elif self.some(0.5):
            self.say('  score from last edge')
        elif self.some(0.3):
            self.say('  score down from last edge')

    def copies(self, p=0.2):
        return '%d ' % self.r.randint(2, 3) if self.some(p) else ''

    def box(self):
        """walls and bases, over a measured thing or over another box"""
        n = self.name(self.r.choice(['tray', 'box', 'lid', 'drawer']))
        inner = self.r.choice(self.outer) if self.outer and self.some(0.7) else None
        square = self.some(0.5)
        rim = None
        if inner:
            i, square = inner['name'], inner['square']
            of = lambda p: 'outside %s.%s' % (i, p)
            bases = [of(b) for b in inner['bases']]
            wall = ('wall over %s.wall %s' % (i, self.clear(2, 0)) if self.some(0.6)
                    else 'wall = %s.wall + %s' % (i, self.one(self.about(1, 4))))
        else:
            bases = [self.measure(40, 120) for _ in range(1 if square else 2)]
            if self.some(0.25):
                rim = self.name('rim')
                self.say('let %s = %s' % (rim, self.written(self.about(12, 30))))
                wall = rim
            elif self.some(0.3) and self.measures:
                wall = 'wall over %s %s' % (self.measure(15, 40), self.clear(1))
            else:
                wall = 'wall = %s' % self.written(self.about(15, 40))
        k = self.stock_name
        self.say('piece %s %s%sof %s' % (n, self.r.choice(['', '"%s" ' % n.capitalize()]), self.copies(), k))
        w = rim or 'wall'
        names = ['base'] if square else ['base_s', 'base_l']
        fits = ['%s over %s %s' % (b, x, self.clear(3)) for b, x in zip(names, bases)]
        self.say('  across %s | %s | %s' % (wall, fits[0], w))
        if square:
            self.say('  down %s | base | %s' % (w, w))
        else:
            self.say('  down %s | %s |%s%s' % (w, fits[1], self.r.choice(['   # goes on\n   ', ' ']), w))
        self.score(0.75)
        if self.some(0.3):
            self.say('  corners snipped down, tapered 2 mm or 1/16 in')
        me = {'name': n, 'square': square, 'bases': names, 'wall': w}
        if w == 'wall':
            self.outer.append(me)
        self.pieces.append(n)
        a, b = (names * 2)[:2]
        self.layers += [('%s.%s x %s.%s' % (n, a, n, b), n), ('%s.%s x %s.%s' % (n, a, n, w), n)]
        if self.some(0.25):
            self.layers.append((n, n))
        if w == 'wall':
            self.keep('%s.wall' % n, inner['name'] + '.wall' if inner else None)

    def keep(self, what, other=None):
        if not self.some(0.4):
            return
        k = self.r.random()
        q = self.about(5, 25)
        name = self.r.choice(['', '"%s holds" ' % what.replace('.', ' of ')])
        if k < 0.4:
            self.say('keep %s%s at least %s' % (name, what, self.written(q)))
        elif k < 0.6:
            self.say('keep %s%s at most %s' % (name, what, self.written(self.about(15, 45))))
        elif k < 0.8 and other:
            self.say('keep %s%s at least %s + %s' % (name, what, other, self.one(self.about(1, 4))))
        elif other:
            self.say('keep %s%s exactly %s' % (name, what, other))

    def sleeve(self):
        """a ring with a tab over a box or over measures"""
        n = self.name('sleeve')
        if self.outer and self.some(0.75):
            o = self.r.choice(self.outer)
            a, b = 'outside %s.%s' % (o['name'], o['bases'][0]), 'outside %s.wall' % o['name']
            depth = self.r.choice(['depth = outside %s.%s' % (o['name'], o['bases'][-1]),
                                   'depth over outside %s.%s %s' % (o['name'], o['bases'][-1], self.clear(3))])
        else:
            a, b = self.measure(30, 90), self.measure(15, 60)
            depth = 'depth = %s' % self.written(self.about(30, 120))
            o = None
        self.say('piece %s %sof %s' % (n, self.copies(0.15), self.stock_name))
        self.say('  across face over %s %s | side over %s %s |\n    face | side | tab = %s glue'
                 % (a, self.clear(3), b, self.clear(3), self.written(self.about(8, 13))))
        self.say('  down %s' % depth)
        self.score(0.5)
        self.pieces.append(n)
        self.layers.append(('%s.face x %s.depth' % (n, n), n))
        self.rings.append((n, a, b))
        self.keep('%s.tab' % n)
        if self.some(0.3):
            self.say('keep %s.tab at most %s.side - %s' % (n, n, self.one(self.about(1, 3))))
        if self.some(0.4):
            self.say('fit "%s is as deep" %s.depth over %s clear %s to %s mm'
                     % (n, n, 'outside %s.%s' % (o['name'], o['bases'][-1]) if o else self.measure(30, 120), '-1.5', '1.5'))

    def ring(self):
        """two or three alike cards joined into a ring round a measured box or a tin"""
        n, c = self.name('wrap'), self.r.randint(2, 3)
        if self.some(0.35):
            d = self.measure(40, 110)
            self.say('piece %s %d of %s' % (n, c, self.stock_name))
            self.say('  across part = pi*%s/%d + %s | tab = %s glue'
                     % (d, c, self.one(self.about(Q(1, 2), 2)), self.written(self.about(8, 13))))
            self.say('  down high = %s' % self.written(self.about(20, 80)))
            self.score(0.3)
            q, lo, hi = self.room(3 * c, Q(2))
            self.say('fit "%s goes round" total %s.part over pi*%s clear %s' % (n, n, d, self.bounds(lo, hi)))
        else:
            a, b = self.measure(40, 120), self.measure(30, 90)
            c, h = 2, self.measure(30, 100)
            self.say('piece %s %d of %s' % (n, c, self.stock_name))
            self.say('  across face over %s %s | side over %s %s | tab = %s glue'
                     % (a, self.clear(3), b, self.clear(3), self.written(self.about(8, 13))))
            self.say('  down high over %s %s' % (h, self.clear(1)))
            self.score(0.5)
            lo = self.about(0, 6)
            self.say('fit "ring of %s" total %s.face + total %s.side over 2*%s + 2*%s + %s clear %s to %s mm'
                     % (n, n, n, a, b, self.stock_name, mm(lo), mm(lo + self.about(4, 14))))
        self.pieces.append(n)
        self.layers.append((n, n))

    def drawer(self):
        """inside a measured space"""
        n = self.name('insert')
        a, b = self.measure(40, 120), self.measure(30, 90)
        self.say('piece %s of %s%s' % (n, self.stock_name, self.r.choice(['', ' grain across'])))
        self.say('  across lip = %s | floor inside %s %s | lip' % (self.written(self.about(6, 15)), a, self.clear(3)))
        self.say('  down floor_b inside %s - 2*%s %s' % (b, self.stock_name, self.clear(1)))
        self.score()
        self.pieces.append(n)
        self.layers.append(('%s.floor x %s.floor_b' % (n, n), n))

    def envelope(self):
        """two flaps that meet in the middle of a back: half of a measure"""
        n, a, b = self.name('envelope'), self.measure(50, 120), self.measure(40, 90)
        self.say('piece %s of %s' % (n, self.stock_name))
        self.say('  across flap = %s/2 - %s | back over %s %s | flap' % (a, self.one(self.about(1, 2)), a, self.clear(3)))
        self.say('  down high over %s %s' % (b, self.clear(1)))
        self.score(0.6)
        lo = self.about(0, 3)
        self.say('fit "flaps meet" %s.back over 2*%s.flap clear %s to %s mm' % (n, n, mm(lo), mm(lo + self.about(3, 8))))
        self.pieces.append(n)
        self.layers.append(('%s.back x %s.high' % (n, n), n))

    def flaps(self):
        """a carton: flaps above and below the walls, cut through between them, cut away beside the tab; or as a second list
        of its own lengths"""
        n, a, b, h = self.name('carton'), self.measure(30, 80), self.measure(20, 60), self.measure(30, 100)
        self.say('piece %s %sof %s' % (n, self.copies(0.15), self.stock_name))
        down = '  down top = %s | wall over %s %s | bottom = %s' % (self.written(self.about(10, 30)), h, self.clear(2),
                                                                    self.written(self.about(8, 30)))
        first = self.some(0.6)
        if first:
            self.say(down)
        split = self.some(0.4)
        ring = self.some(0.6)
        walls = ['face over %s %s' % (a, self.clear(3)), 'side over %s %s' % (b, self.clear(3))] + (['face', 'side'] if ring else [])
        tab = 'tab = %s%s' % (self.written(self.about(8, 13)), ' glue' if self.some(0.7) else '')
        self.say('  across %s | %s  beside wall%s' % (' | '.join(walls), tab, ', bottom' if split else ''))
        bars = lambda parts: ''.join(p + (self.r.choice([' | ', ' || ']) if i + 1 < len(parts) else '') for i, p in enumerate(parts))
        own = [bars(['face', 'side', 'face', 'side', 'rest'] if ring else ['face', 'side', 'rest']), bars(['rest', 'side', 'face', 'rest']),
               bars(['rest', 'face', 'tab']), bars(['rest', 'side', 'tab', 'rest']), bars(['tab', 'side', 'face'] + (['side', 'face'] if ring else [])),
               bars(['rest', 'side', 'face', 'rest']), bars(['rest', 'face', 'side', 'rest'])]
        self.r.shuffle(own)
        if self.some(0.4):
            wide = 'wide = %sface + side + tab - 4 mm' % ('side + face + ' if ring else '')
            own[0] = bars(self.r.choice([[wide, 'thin = 4 mm'], ['thin = 4 mm', wide]]))
        if split or self.some(0.5):
            self.say('  across %s  beside top%s' % (own[0], '' if split else ', bottom'))
        else:
            self.say('  across %s  beside top' % own[0])
            self.say('  across %s  beside bottom' % own[1])
        if not first:
            self.say(down)
        self.score(0.5)
        self.pieces.append(n)
        self.layers += [('%s.face x %s.wall' % (n, n), n), (n, n)]
        self.keep('%s.tab' % n, '%s.side' % n)
        if self.some(0.4):
            lo = self.about(0, 5)
            k = 2 if ring else 1
            self.say('fit "round %s" %s.across over %d*%s + %d*%s + %s.tab clear %s to %s mm' % (n, n, k, a, k, b, n, mm(lo), mm(lo + self.about(2, 12))))
        if self.some(0.3):
            self.say('fit outside %s.face over %s clear %s' % (n, a, self.bounds(*self.room(3)[1:])))
        if self.some(0.3):
            self.say('keep total %s.side at least %s' % (n, self.one(self.about(60, 200))))

    def cover(self):
        """an envelope: flaps narrower than the front, the corners cut away"""
        n, a, b = self.name('cover'), self.measure(50, 110), self.measure(40, 80)
        self.say('piece %s of %s' % (n, self.stock_name))
        self.say('  down flap = %s | front over %s %s | back = %s' % (self.written(self.about(15, 40)), b, self.clear(2), self.written(self.about(30, 70))))
        self.say('  across tab = %s glue | body over %s %s | tab glue  beside front' % (self.written(self.about(8, 16)), a, self.clear(3)))
        inner = self.r.choice(['body', 'body', 'lip = %s' % self.written(self.about(20, 45)), 'lip = %s/2 | lip' % a, 'tab | lip = %s' % self.written(self.about(20, 45))])
        self.say('  across %s | rest  beside flap, back' % self.r.choice(['rest | ' + inner, 'rest | ' + inner, inner]))
        self.score(0.4)
        self.pieces.append(n)
        self.layers.append(('%s.body x %s.front' % (n, n), n))
        if self.some(0.4):
            self.say('keep %s.back at most %s.front - %s' % (n, n, self.one(self.about(1, 3))))

    def step_let(self):
        n = self.name('step')
        self.say('let %s = %s' % (n, self.written(self.about(3, 7))))
        self.steps.append(n)

    def mats(self):
        if not self.layers:
            return
        under, _ = self.r.choice(self.layers)
        for i in range(self.r.randint(1, 3)):
            n = self.name(self.r.choice(['layer', 'label', 'front']))
            if self.steps and self.some(0.85):
                by, s = self.r.choice(self.steps), None
            else:
                s = self.about(3, 7)
                by = self.one(s)
            shows = ''
            if self.some(0.7):
                h = max(self.step * Q(self.tight) * Q(self.r.randint(4, 10), 10), Q(3, 10))
                m = self.about(Q(3, 2), Q(7, 2), Q(1, 4))
                shows = '%s shows %s to %s mm' % (self.r.choice(['', ',']), mm(max(m - h, Q(0))), mm(m + h))
            self.say('mat %s %sof %s on %s%s smaller by %s%s%s'
                     % (n, self.copies(), self.stock_name, under, self.r.choice(['', ',']), by, shows,
                        self.r.choice(['', '', ' ends mitred'])))
            under = n
            self.layers.append((n, n))
            self.pieces.append(n)
            if s and self.some(0.3):
                self.say('keep %s.smaller at least %s' % (n, self.one(s - 1)))

    def plain(self):
        """a panel of its own with a border on something, and keeps"""
        n = self.name('plate')
        q, p = self.about(30, 70), self.about(30, 70)
        self.say('piece %s of %s' % (n, self.stock_name))
        self.say('  across w = %s' % self.written(q))
        self.say('  down h = %s' % self.written(p))
        m = self.name('backing')
        x = self.about(4, 9)
        self.say('piece %s of %s' % (m, self.stock_name))
        self.say('  across w = %s.across + %s' % (n, self.one(x)))
        self.say('  down h = %s.h + %s' % (n, self.one(x)))
        h = self.step * Q(self.tight) * Q(self.r.randint(4, 12), 10) + Q(2, 10)
        even = self.r.choice(['', ' even', ' even', ' even whole'])
        lo, hi = mm(max(x / 2 - h, Q(0))), mm(x / 2 + h)
        k = self.r.random()
        if k < 0.4 or even:
            self.say('border "round %s" %s on %s shows %s to %s mm%s' % (n, n, m, lo, hi, even))
        elif k < 0.7:
            self.say('border %s on %s.w x %s.h, shows %s to %s mm%s' % (n, m, m, lo, hi, even))
        else:
            self.say('border %s on %s.%s shows %s to %s mm' % (n, m, self.r.choice(['w across', 'h down']), lo, hi))
        self.keep('%s.w' % n, '%s.h' % n)
        if self.some(0.3):
            self.say('keep %s.down at least %s.h' % (m, n))
        self.pieces += [n, m]
        self.layers.append((m, m))

    def punch(self):
        if not self.layers:
            return
        under, through = self.r.choice(self.layers)
        p = self.name('oval')
        sizes = sorted({self.about(20, 60) for _ in range(self.r.randint(2, 4))})
        self.say('punches %s %s' % (p, ', '.join('%s x %s mm' % (mm(s), mm(s * self.r.choice([1, Q(3, 4), Q(1, 2)]))) for s in sizes)))
        h = self.name('hole')
        self.say('opening %s from %s through %s on %s' % (h, p, through, under))
        if self.some(0.6):
            self.say('fit "%s covers its edge" %s over %s.%s clear %s'
                     % (h, self.measure(40, 70), h, self.r.choice(['across', 'down']),
                        self.r.choice(['at least 1 mm', '0 to 12 mm', 'at least 2 mm'])))
        if self.some(0.6):
            g = self.name('ring')
            self.say('piece %s of %s from %s' % (g, self.stock_name, p))
            self.say('border "ring round %s" %s on %s shows %s' % (h, h, g, self.r.choice(['1 to 6 mm', '2 to 5 mm', 'at least 1 mm'])))
        elif self.some(0.5):
            self.say('keep %s.across at most %s' % (h, self.one(self.about(25, 60))))
        if self.some(0.35) and ' x ' in under:
            self.say('keep %s.across at most %s - %s' % (h, under.split(' x ')[0], self.one(self.about(4, 12))))

    def extra(self):
        """demands between pieces"""
        if self.rings and self.some(0.3):
            n, a, b = self.r.choice(self.rings)
            self.say('fit total %s.face + total %s.side over 2*(%s) + 2*(%s) clear 1 to %d mm' % (n, n, a, b, self.r.randint(8, 16)))
        if len(self.outer) > 1 and self.some(0.3):
            x, y = self.r.sample(self.outer, 2)
            self.say('keep %s.%s at %s %s.%s' % (x['name'], x['bases'][0], self.r.choice(['least', 'most']), y['name'], y['bases'][0]))
        if self.outer and self.some(0.35):
            x = self.r.choice(self.outer)
            q = self.about(15, 60)
            self.say('fit "%s goes in" %s over %s.wall clear at least %s'
                     % (x['name'], mm(q + 30) + ' mm', x['name'], self.one(self.about(1, 4))))
        if self.pieces and self.some(0.2):
            self.say('keep 2*%s.across / 3 at least %s' % (self.r.choice(self.pieces), self.one(self.about(20, 60))))

    def edition(self):
        scores = ''
        if self.some(0.4 if self.rows else 0.15):
            q = reader.Scan(self.marks).raw()[0] * self.r.choice([2, 2, Q(3, 2), 3])
            scores = '  scores %s in' % (q / INCH) if self.inch else '  scores %s mm' % mm(q)
        reach = '  reach %s' % self.r.choice(['12 in', '15 cm', '100 mm', '8 in']) if self.some(0.25) else ''
        place = '  place ± %s mm' % self.r.choice(['0.3', '0.5']) if self.some(0.5) else ''
        cut = '  cut ± %s mm' % mm(self.cut)
        options = [scores, cut, place, reach]
        self.r.shuffle(options)
        as_designed = '  as designed' if self.some(0.04) else ''
        self.say('edition try  unit %s  marks %s%s%s' % ('in' if self.inch else self.r.choice(['mm', 'cm']), self.marks,
                                                         ''.join(options), as_designed))

    def text(self):
        self.say('design "%s"' % self.r.choice(['Box for cards', 'Nest', 'Cover', 'Tea tin sleeve', 'Jar band']))
        self.stock_name = self.stock()
        if self.some(0.5):
            self.step_let()
        kinds = [self.box] * 5 + [self.sleeve] * 3 + [self.ring] * 2 + [self.drawer] * 2 + [self.plain] * 2
        kinds += [self.envelope] * (4 if self.ranges > 0.5 else 1)
        if self.rows:
            kinds = [self.flaps, self.cover, self.flaps, self.box, self.sleeve]
            self.r.choice([self.flaps, self.flaps, self.cover])()
        for _ in range(self.r.randint(0, 1) if self.rows else self.r.randint(1, 4)):
            self.r.choice(kinds)()
        for _ in range(self.r.randint(0, 2)):
            self.mats()
        if self.some(0.2):
            self.punch()
            if self.some(0.3):
                self.r.choice(kinds)()
        self.extra()
        self.edition()
        return '\n'.join(self.lines) + '\n'

    def call(self):
        """options of the program for this case"""
        prefer = self.r.choice(['closest', 'easiest'])
        sure = self.r.choice([None, None, Q(1), Q(95, 100), Q(95, 100)])
        within = self.r.choice([None, None, 1, 3]) if prefer == 'easiest' else None
        return prefer, sure, within


def case(seed, number, lengths, ranges=0.4, rows=False):
    """(text, prefer, sure, within) of one case; lengths: how many there may be; ranges: how many measures get one; rows: a
    piece has lists beside panels"""
    for again in range(1000):
        m = Maker(seed, number * 1000 + again, ranges, rows)
        text = m.text()
        call = m.call()
        try:
            design = model.Model(reader.read(text), 'try')
        except model.Refused:
            continue
        if len(design.lengths) not in lengths:
            continue
        small = [n for p in design.d.pieces if p.kind == 'mat' for n in model.WAYS if design.designed_whole(p.name, n) <= 0]
        if small or len(design.demands) < 2:
            continue
        return (text,) + call
    raise AssertionError('no design in 1000 trials')


def sizes(number):
    """half the cases have six lengths or more"""
    return range(6, 13) if number % 2 else range(3, 9)
