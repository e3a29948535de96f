"""What a rule card promises, tried size by size in whole numbers, by the definition alone.

A size is a true size T of every measure with a range, a corner of the ranges or one inside. What can be read of it is R, a
whole multiple j of the reading step q with R - T in [-1/2, 1/2] q (to the nearest), [0, 1] q (up) or [-1, 0] q (down). Each
length is then what the card says of R; and every clearance is looked at with each true size at both ends of what can be
read as R, within its range, and every other error at both of its ends. Of a demand that the card states:
 - the clearance stays between its least and its most;
 - where it is always met, within its bounds;
 - where nothing is rounded and the true sizes are those in the middle of their readings, within its bounds as marked;
 - one that is judged as marked is met exactly.
"""
import random
from fractions import Fraction as Q
from itertools import product
from math import ceil, floor, gcd

FINE = 1000  # sizes inside are whole multiples of 1/FINE mm
LOW = {'nearest': Q(-1, 2), 'up': Q(0), 'down': Q(-1)}  # the least of (R - T) / q; the most is one more
SLACK = Q(1, 10 ** 20)  # of figures with enclosed constants


def lcm_of(fractions):
    out = 1
    for x in fractions:
        d = Q(x).denominator
        out = out * d // gcd(out, d)
    return out


class Clearance(object):
    """a form of a demand: v * scale = base + sum of size[m] * (T_m * unit) + sum of mark[n] * n"""

    def __init__(self, tried, demand, form, said):
        m, c = tried.card.m, tried.card
        const, lengths, chosen = m.linear(m_plain(form))
        const += sum(k * tried.punched(n, way) for (n, way), k in chosen.items())
        slope = {a[1]: k for a, k in form.atoms.items() if a[0] == 'm'}
        own = lcm_of([const] + list(slope.values()) + list(lengths.values()))
        self.scale = own * tried.unit
        self.base = int(const * self.scale)
        self.size = [(tried.place[x], int(k * own)) for x, k in slope.items()]
        self.mark = [(n, int(k * self.scale)) for n, k in lengths.items()]
        wide = Q(0) if demand.exact else sum(m.halves(form, lambda a: m.box[a[1]][1] if a[0] == 'm' else Q(0)))
        slack = SLACK if form.enclosed else Q(0)
        self.name, self.exact = said['name'], demand.exact
        self.least = ceil((Q(said['least_mm']) + wide - slack) * self.scale)
        self.most = floor((Q(said['most_mm']) - wide + slack) * self.scale)
        if said['chance'] == '1' and not demand.exact:
            if demand.lo is not None:
                self.least = max(self.least, ceil((demand.lo + wide - slack) * self.scale))
            if demand.hi is not None:
                self.most = min(self.most, floor((demand.hi - wide + slack) * self.scale))
        rounded = any(c.rounding[n] != 'exact' for n in lengths)
        self.as_marked = None if rounded or demand.exact else tuple(
            None if x is None else turn(x * self.scale) for x, turn in ((demand.lo, ceil), (demand.hi, floor)))

    def value(self, marks, sizes):
        return self.base + sum(k * sizes[i] for i, k in self.size) + sum(k * marks[n] for n, k in self.mark)

    def wrong(self, marks, low, high, middle):
        """what is not as promised where the true sizes lie in [low, high]"""
        at = self.base + sum(k * marks[n] for n, k in self.mark)
        least = at + sum(k * (low if k > 0 else high)[i] for i, k in self.size)
        most = at + sum(k * (high if k > 0 else low)[i] for i, k in self.size)
        if self.exact:
            return '' if least == most == 0 else 'is not met exactly'
        if least < self.least or most > self.most:
            return 'leaves what is promised'
        if middle and self.as_marked:
            v = at + sum(k * middle[i] for i, k in self.size)
            if any(x is not None and (v < x if i == 0 else v > x) for i, x in enumerate(self.as_marked)):
                return 'is not met as marked'
        return ''


def m_plain(form):
    """without the measures: what linear() is asked about"""
    import copy
    out = copy.copy(form)
    out.atoms = {a: k for a, k in form.atoms.items() if a[0] != 'm'}
    return out


class Tried(object):
    def __init__(self, card, plus, choices, got):
        self.card, self.plus, self.choices = card, plus, choices
        m = card.m
        self.names = list(m.box)
        self.place = {n: i for i, n in enumerate(self.names)}
        self.q = card.reading_step
        self.unit = lcm_of([self.q / 2, Q(1, FINE)] + [x for ends in m.box.values() for x in ends])
        self.step = int(self.q * self.unit)
        self.box = [tuple(int(x * self.unit) for x in m.box[n]) for n in self.names]
        self.low = [LOW[card.read[n]] for n in self.names]
        self.rules = [(n, self.rule(n)) for n in card.terms]
        self.clearances = [Clearance(self, dem, form, x) for dem, x in zip(m.demands, got['demands'])
                           if x['state'] in ('holds', 'at risk') for form in dem.forms]

    def punched(self, name, way):
        opening = self.card.m.d.names[name]
        return self.card.m.d.names[opening.punches].sizes[self.choices[name] - 1][0 if way == 'across' else 1]

    def rule(self, n):
        """(terms of a whole number over `below`, below, how it is rounded, plus)"""
        c = self.card
        terms = {m: k * self.q / c.m.step for m, k in c.terms[n].items()}
        below = lcm_of(terms.values())
        return [(self.place[m], int(k * below)) for m, k in terms.items()], below, c.rounding[n], self.plus[n]

    def marks(self, reading):
        out = {}
        for n, (terms, below, how, plus) in self.rules:
            x = sum(k * reading[i] for i, k in terms)
            if how == 'exact' and x % below:
                return n
            out[n] = plus + ((2 * x + below) // (2 * below) if how == 'nearest' else -(-x // below) if how == 'up' else x // below)
        return out

    def readings(self, i, t):
        """every j that may be read of the true size t of measure i"""
        first = ceil((t + self.low[i] * self.step) / Q(self.step))
        last = floor((t + (self.low[i] + 1) * self.step) / Q(self.step))
        return range(first, last + 1)

    def wrong_at(self, reading):
        marks = self.marks(reading)
        if isinstance(marks, str):
            return '%s is no whole number of marks' % marks
        for n, v in marks.items():
            if v < 1:
                return '%s has %d marks' % (n, v)
        low, high, middle = [], [], []
        for i, j in enumerate(reading):
            r = j * self.step
            ends = r - int((self.low[i] + 1) * self.step), r - int(self.low[i] * self.step)
            low.append(max(ends[0], self.box[i][0]))
            high.append(min(ends[1], self.box[i][1]))
            middle.append((ends[0] + ends[1]) // 2)
        inside = all(a <= x <= b for x, (a, b) in zip(middle, self.box))
        for c in self.clearances:
            what = c.wrong(marks, low, high, middle if inside else None)
            if what:
                return '%s %s' % (c.name, what)
        return ''

    def sizes(self, r, count):
        yield from product(*self.box)
        for _ in range(count):
            yield tuple(r.randint(a, b) for a, b in self.box)


def try_card(card, plus, choices, got, seed, count):
    """(what is wrong, how many readings were tried)"""
    tried, r, seen = Tried(card, plus, choices, got), random.Random(seed), set()
    for at in tried.sizes(r, count):
        for reading in product(*(tried.readings(i, t) for i, t in enumerate(at))):
            if reading in seen:
                continue
            seen.add(reading)
            what = tried.wrong_at(reading)
            if what:
                return ['%s: read %s at %s' % (what, [str(j * tried.q) for j in reading], [str(Q(t, tried.unit)) for t in at])], len(seen)
    return [], len(seen)


def counter_examples(card, plus, choices, got):
    """Of each demand that cannot be met for all sizes: the size named must be one for which it is not met as marked."""
    wrong = []
    of = {id(w.demand): w for w in card.watches}
    for dem, x in zip(card.m.demands, got['demands']):
        w = of.get(id(dem))
        if x['state'] in ('holds', 'at risk', 'chart only') or w is None:
            continue
        at = x.get('fails_at')
        if not isinstance(at, dict) or not set(w.slope) <= set(at):
            wrong.append('%s: no size for which it fails' % x['name'])
            continue
        v = w.value(w.count(plus, choices)) + w.middle + sum(k * Q(at[m]) for m, k in w.slope.items())
        inside = all(lo <= Q(at[m]) <= hi for m, (lo, hi) in card.m.box.items() if m in at)
        met = v == 0 if dem.exact else (dem.lo is None or v >= dem.lo) and (dem.hi is None or v <= dem.hi)
        if met or not inside:
            wrong.append('%s is met at %s' % (x['name'], at))
    return wrong
