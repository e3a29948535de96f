"""Settling by plain decisions of Z3 (never its optimiser), on the forms of model.py.

Part, one independent part of a design as a Z3 problem: integers only, no bound on a length but n >= 1. A demand's nominal is
base + unit * K with K an integer sum. Its chance is a function of K alone that rises to the middle of the bounds and falls
after it (a sum of uniform errors is log-concave and symmetric; so is the smallest of several about one middle), so
"the chance is at least t" is K in an interval, found by bisection with exact chances. The parts of a design share no unknown,
and every aim of section 5 is a sum in an ordered monoid, so the whole is best exactly when each part is.

prove(model, ...) shows that given marks are allowed and that nothing better is; settle(model, ...) finds such marks.
"""
from fractions import Fraction as Q
from itertools import combinations
from math import ceil, floor, gcd, lcm

import z3

import model as M
import reader


class Unknown(Exception):
    """Z3 gave up: a failure of the oracle"""


class Unsupported(Exception):
    pass


def rational_gcd(qs):
    qs = [q for q in qs if q]
    if not qs:
        return Q(0)
    d = lcm(*[q.denominator for q in qs])
    return Q(gcd(*[abs(int(q * d)) for q in qs]), d)


class Watch(object):
    """One demand as settling sees it."""

    def __init__(self, model, demand):
        self.demand, self.sure = demand, model.sure
        base, self.lengths, chosen = model.linear(demand.forms[0])
        self.options = {}         # chosen -> mm added by each of its options, less that of the first
        for name in {c for c, _ in chosen}:
            sizes = model.d.names[model.chosen[name].punches].sizes
            mm = [sum(chosen.get((name, w), Q(0)) * s[i] for i, w in enumerate(M.WAYS)) for s in sizes]
            base += mm[0]
            self.options[name] = [x - mm[0] for x in mm]
        self.base = base
        self.unit = rational_gcd(list(self.lengths.values()) + [x for o in self.options.values() for x in o]) or Q(1)
        self.halves = set()
        for f in demand.forms:
            if any(x.atoms for _, _, x in f.enclosed):
                raise Unsupported('an enclosed constant times a panel')
            self.halves.add(tuple(sorted(model.halves(f, None))))
        self.set_bounds(demand.lo, demand.hi)
        self.known = {}

    def set_bounds(self, lo, hi):
        self.lo, self.hi, base = lo, hi, self.base
        self.klo = None if lo is None else ceil((lo - base) / self.unit)
        self.khi = None if hi is None else floor((hi - base) / self.unit)

    def names(self):
        return set(self.lengths) | set(self.options)

    def value(self, k):
        return self.base + self.unit * k

    def count(self, marks, choices):
        k = sum(c / self.unit * marks[n] for n, c in self.lengths.items())
        k += sum(o[choices[n] - 1] / self.unit for n, o in self.options.items())
        return int(k)

    def chance(self, k):
        """capped at sure: every chance that is sure counts as equal"""
        if k not in self.known:
            d = self.demand
            if d.exact:
                c = Q(int(self.value(k) == 0))
            else:
                c = min(M.chance(self.value(k), h, d.lo, d.hi) for h in self.halves)
            self.known[k] = min(c, self.sure)
        return self.known[k]

    def interval(self, good):
        """the K that meet the demand and for whose chance good(chance) says yes (it says so from some chance on); None: none;
        an end None: open"""
        lo, hi = self.klo, self.khi
        if lo is not None and hi is not None:
            if lo > hi:
                return None
            middle = floor(((self.lo + self.hi) / 2 - self.base) / self.unit)
            left, right = min(max(middle, lo), hi), min(max(middle + 1, lo), hi)
            if not good(self.chance(left)):
                left = right
            if not good(self.chance(right)):
                right = left
            if not good(self.chance(left)):
                return None
            return self.first(lo, left, good), self.last(right, hi, good)
        far = ceil(max([sum(h) for h in self.halves] or [0]) / self.unit) + 1
        if lo is not None:
            return (self.first(lo, lo + far, good), None) if good(self.chance(lo + far)) else None
        return (None, self.last(hi - far, hi, good)) if good(self.chance(hi - far)) else None

    def first(self, lo, hi, good):
        while lo < hi:
            m = (lo + hi) // 2
            lo, hi = (lo, m) if good(self.chance(m)) else (m + 1, hi)
        return lo

    def last(self, lo, hi, good):
        while lo < hi:
            m = (lo + hi + 1) // 2
            lo, hi = (m, hi) if good(self.chance(m)) else (lo, m - 1)
        return lo


class Constraints(object):
    """What is not a demand and always stays: mats of at least one mark, lists that fill the width, `scores`, `whole`. Each is
    (names, kind, ...)."""

    def __init__(self, model):
        self.list = []
        for p in model.d.pieces:
            if p.kind == 'mat':
                for way in M.WAYS:
                    self.list.append((dict(model.whole_lengths(p.name, way)), {}, 'at least one'))
            elif p.kind == 'piece':
                for way in M.WAYS:
                    self.rows(model, p, way)
                    if model.e.scores is not None:
                        self.scores(model, p, way)
        for s in model.d.statements:
            if s.kind == 'border' and s.whole:
                for way in M.WAYS:
                    if s.on[0] not in M.WAYS or s.on[0] == way:
                        self.whole(model, s, way)

    def rows(self, model, p, way):
        whole = model.whole_lengths(p.name, way)
        for row in p.rows[way]:
            left = less(whole, model.row_lengths(p.name, way, row))
            rests = row.end - row.first - len(model.kept(p.name, way, row))
            if rests or left:
                self.list.append((left, {}, ('at least', rests) if rests else 'nothing'))

    def scores(self, model, p, way):
        """the distance of each score from its edge is n marks, n a multiple of the denominator of step / scores"""
        whole, l, mod = model.whole_lengths(p.name, way), p.lists[way], (model.step / model.e.scores).denominator
        for i, e in model.edge[p.name, way].items():
            if not model.is_score(p.name, way, i):
                continue
            row = p.rows[way][l[i].row]
            kept = model.kept(p.name, way, row)
            count = lambda part: M.Counter(model.panel_length[p.name, l[j].name] for j in part)
            before, behind = count(j for j in kept if j < i), count(j for j in kept if j >= i)
            rests = (kept[0] > row.first, kept[-1] + 1 < row.end)
            if rests == (True, True):
                left = less(whole, model.row_lengths(p.name, way, row))
                self.list.append(({n: Q(1) for n in set(whole) | set(before) | set(behind)}, {},
                                  ('half', left, before if e == 'first' else less(whole, before), e, mod)))
                continue
            first = before if not rests[0] else less(whole, behind)
            self.list.append(({n: Q(k) for n, k in (first if e == 'first' else less(whole, first)).items()}, {}, mod))

    def whole(self, model, s, way):
        v = M.evaluate(model.strip(s.piece, s.on, way), lambda f: model.demand_name(f, None, Everywhere(model)))
        base, lengths, chosen = model.linear(v)
        self.list.append(({n: c / model.step for n, c in lengths.items()},
                          {n: c / model.step for n, c in chosen.items()}, ('whole', base / model.step)))


def less(a, b):
    out = {n: a.get(n, 0) - b.get(n, 0) for n in list(a) + list(b)}
    return {n: k for n, k in out.items() if k}


class Everywhere(object):
    """the first stretch of each panel: enough where only the unknown counts"""

    def __init__(self, model):
        self.model = model

    def __getitem__(self, key):
        return self.model.stretches[key][0]


def parts_of(model, watches, constraints):
    """independent parts: lists of names that share a demand or a constraint"""
    parent = {n: n for n in model.items}

    def find(n):
        while parent[n] != n:
            n = parent[n]
        return n
    groups = [w.names() for w in watches] + [set(l) | {n for n, _ in c} for l, c, _ in constraints.list]
    for g in groups:
        g = [find(n) for n in g]
        for n in g[1:]:
            parent[find(n)] = find(g[0])
    out = {}
    for n in model.items:
        out.setdefault(find(n), []).append(n)
    return list(out.values())


class Part(object):
    def __init__(self, model, names, watches, constraints, prefer, within, whole=False):
        self.m, self.prefer, self.within = model, prefer, within
        self.names = [n for n in model.items if n in names]
        self.lengths = [n for n in self.names if n not in model.chosen]
        self.chosen = [n for n in self.names if n in model.chosen]
        self.watches = [w for w in watches if whole or w.names() & set(names)]
        self.s = z3.SolverFor('QF_LIA')
        self.n = {n: z3.Int(n) for n in self.lengths}
        self.pick = {c: [z3.Bool('%s=%d' % (c, i + 1)) for i in range(len(model.d.names[model.chosen[c].punches].sizes))]
                     for c in self.chosen}
        self.fresh = 0
        self.start_rules()
        for b in self.pick.values():
            self.s.add(z3.PbEq([(x, 1) for x in b], 1))
        for c in constraints.list:
            if set(c[0]) & set(names) or {n for n, _ in c[1]} & set(names) or (whole and not c[0] and not c[1]):
                self.add_constraint(*c)
        self.k = {w: self.sum(w.lengths, w.options, w.unit) for w in self.watches}
        self.base_level = 0

    # ---- building ----

    def start_rules(self):
        for v in self.n.values():
            self.s.add(v >= 1)

    def sum(self, lengths, options, unit):
        terms = [int(c / unit) * self.n[n] for n, c in lengths.items()]
        for name, o in options.items():
            terms += [z3.If(b, int(x / unit), 0) for b, x in zip(self.pick[name], o) if x]
        return z3.Sum(terms) if terms else z3.IntVal(0)

    def add_constraint(self, lengths, chosen, what):
        if what == 'at least one':
            self.s.add(self.sum(lengths, {}, Q(1)) >= 1)
            return
        if what == 'nothing':
            self.s.add(self.sum(lengths, {}, Q(1)) == 0)
            return
        if not isinstance(what, int) and what[0] == 'at least':
            self.s.add(self.sum(lengths, {}, Q(1)) >= what[1])
            return
        if not isinstance(what, int) and what[0] == 'half':
            self.add_half(*what[1:])
            return
        if isinstance(what, int):
            self.divides(what, self.sum(lengths, {}, Q(1)))
            return
        base = what[1]
        options = {}
        for name in {n for n, _ in chosen}:
            sizes = self.m.d.names[self.m.chosen[name].punches].sizes
            options[name] = [sum(chosen.get((name, w), Q(0)) * s[i] for i, w in enumerate(M.WAYS)) for s in sizes]
        d = lcm(base.denominator, *[c.denominator for c in lengths.values()],
                *[x.denominator for o in options.values() for x in o])
        self.divides(d, self.sum(lengths, options, Q(1, d)) + int(base * d))

    def add_half(self, left, other, edge, mod):
        """the panels begin at half of what is left, rounded down"""
        self.fresh += 1
        half = z3.Int('half %d' % self.fresh)
        left = self.sum(left, {}, Q(1))
        self.s.add(2 * half <= left, left <= 2 * half + 1)
        self.divides(mod, self.sum(other, {}, Q(1)) + (half if edge == 'first' else -half))

    def divides(self, d, expression):
        if d != 1:
            self.fresh += 1
            self.s.add(expression == d * z3.Int('whole %d' % self.fresh))

    def inside(self, w, interval):
        if interval is None:
            return z3.BoolVal(False)
        lo, hi = interval
        both = ([self.k[w] >= lo] if lo is not None else []) + ([self.k[w] <= hi] if hi is not None else [])
        return z3.And(both) if len(both) > 1 else both[0] if both else z3.BoolVal(True)

    def met(self, w):
        return self.inside(w, (w.klo, w.khi)) if w.klo is None or w.khi is None or w.klo <= w.khi else z3.BoolVal(False)

    def check(self, *more):
        r = self.s.check(*more)
        if r == z3.unknown:
            raise Unknown(self.s.reason_unknown())
        return r == z3.sat

    def possible(self, *claims):
        """marks with which the claims hold too, or None"""
        self.s.push()
        self.s.add(*claims)
        sat = self.check()
        found = self.read() if sat else None
        self.s.pop()
        return found

    def read(self):
        m = self.s.model()
        marks = {n: m.eval(v, model_completion=True).as_long() for n, v in self.n.items()}
        choices = {c: [i + 1 for i, x in enumerate(b) if z3.is_true(m.eval(x, model_completion=True))][0]
                   for c, b in self.pick.items()}
        return marks, choices

    def exactly(self, marks, choices):
        return z3.And([self.n[n] == marks[n] for n in self.lengths] + [self.pick[c][choices[c] - 1] for c in self.chosen])

    def all_met(self):
        return z3.And([self.met(w) for w in self.watches]) if self.watches else z3.BoolVal(True)

    # ---- aim 1: the surest ----

    def levels(self, marks, choices):
        """the chances of these marks, capped at sure"""
        return sorted(w.chance(w.count(marks, choices)) for w in self.watches)

    def count_below(self, level, strictly, how, number):
        """a claim on how many chances lie below a level (or at it)"""
        good = (lambda c: c >= level) if strictly else (lambda c: c > level)
        weak = [z3.Not(self.inside(w, w.interval(good))) for w in self.watches]
        if how == '=' and number == 0 or how == '<' and number == 1:
            return z3.And([z3.Not(x) for x in weak])
        if how == '=':
            return z3.PbEq([(x, 1) for x in weak], number)
        return z3.PbLe([(x, 1) for x in weak], number - 1)

    def surer(self, marks, choices):
        """claims of which one holds exactly when a list of chances is better than that of these marks"""
        mine, so_far, out = self.levels(marks, choices), [], []
        for level in sorted({c for c in mine if c < self.m.sure}):
            less = self.count_below(level, True, '=', sum(c < level for c in mine))
            n = sum(c <= level for c in mine)
            out.append(z3.And(so_far + [less, self.count_below(level, False, '<', n)]))
            so_far += [less, self.count_below(level, False, '=', n)]
        return out, z3.And(so_far + [self.count_below(self.m.sure, True, '=', sum(c < self.m.sure for c in mine))])

    # ---- aim 2: punches ----

    def ranked(self, marks, choices):
        """[(claim: better, claim: as good)] in file order"""
        out = []
        for c in self.chosen:
            o = self.m.chosen[c]
            sizes = self.m.d.names[o.punches].sizes
            order = sorted(range(len(sizes)), key=lambda i: (sizes[i][0] * sizes[i][1] * (-1 if o.kind == 'opening' else 1), i))
            at = order.index(choices[c] - 1)
            out.append((z3.Or([self.pick[c][i] for i in order[:at]]), self.pick[c][choices[c] - 1]))
        return out

    # ---- aim 3 ----

    def near(self, n):
        x = self.m.designed[n] / self.m.step
        return {k for k in (floor(x), ceil(x), self.m.nearest(n)) if not self.m.moved(n, k)}

    def moved_terms(self):
        return [(z3.Not(z3.Or([self.n[n] == k for k in self.near(n)])), 1) for n in self.lengths]

    def far_terms(self):
        out = []
        for n in self.lengths:
            x = self.m.designed[n] / self.m.step
            out.append((z3.Or(self.n[n] < ceil(x - self.within), self.n[n] > floor(x + self.within)), 1))
        return out

    def fine_steps(self):
        """the divisors of a mark number that make its length coarser, coarsest first"""
        s = self.m.step
        if not self.m.inch_marks:
            return [(s / k).denominator for k in (10, 5, 1)]
        s /= Q(254, 10)
        two = lambda k: (k & -k).bit_length() - 1
        f = max(0, two(s.denominator) - two(s.numerator))
        return [2 ** (f - k) for k in range(f)]

    def fineness(self, n, mark):
        return sum(mark % d != 0 for d in self.fine_steps())

    def fine_terms(self):
        return [(self.n[n] % d != 0, 1) for n in self.lengths for d in self.fine_steps() if d != 1]

    def distance_scale(self):
        return lcm(self.m.step.denominator, *[self.m.designed[n].denominator for n in self.lengths])

    def distance(self, marks):
        d = self.distance_scale()
        return sum(abs(int((marks[n] * self.m.step - self.m.designed[n]) * d)) for n in self.lengths)

    def distance_at_most(self, most):
        """sum of distances <= most: some t >= |distance| with sum t <= most"""
        d, claims, ts = self.distance_scale(), [], []
        for n in self.lengths:
            self.fresh += 1
            t = z3.Int('distance %d' % self.fresh)
            x = int(self.m.step * d) * self.n[n] - int(self.m.designed[n] * d)
            claims += [t >= x, t >= -x]
            ts.append(t)
        return z3.And(claims + [z3.Sum(ts) <= most])

    def preferences(self):
        """[(worth of marks, claim: at most so much)], in order; all are to be small"""
        at_most = lambda terms: lambda k: z3.PbLe(terms, k) if terms else z3.BoolVal(k >= 0)
        x = lambda n: self.m.designed[n] / self.m.step
        out = []
        if self.prefer == 'easiest':
            out.append((lambda m: sum(abs(m[n] - x(n)) > self.within for n in self.lengths), at_most(self.far_terms())))
            out.append((lambda m: sum(self.fineness(n, m[n]) for n in self.lengths), at_most(self.fine_terms())))
        out.append((lambda m: sum(self.m.moved(n, m[n]) for n in self.lengths), at_most(self.moved_terms())))
        out.append((self.distance, self.distance_at_most))
        return out

    # ---- proof and search ----

    def prove(self, marks, choices):
        """the failures of "these marks are allowed and nothing better is" """
        self.s.push()
        try:
            return self.prove_in_order(marks, choices)
        finally:
            self.s.pop()

    def prove_in_order(self, marks, choices):
        bad = []

        def none(what, claim):
            found = self.possible(claim)
            if found:
                bad.append('%s: better are %s %s' % (what, found[0], found[1] or ''))
        self.s.add(self.all_met())
        if not self.possible(self.exactly(marks, choices)):
            return ['the marks are not allowed']
        better, equal = self.surer(marks, choices)
        for claim in better:
            none('aim 1', claim)
        self.s.add(equal)
        for claim, same in self.ranked(marks, choices):
            none('aim 2', claim)
            self.s.add(same)
        for i, (worth, at_most) in enumerate(self.preferences()):
            none('aim 3.%d' % (i + 1), at_most(worth(marks) - 1))
            self.s.add(at_most(worth(marks)))
        for n in self.lengths:
            none('aim 4 at %s' % n, self.n[n] < marks[n])
            self.s.add(self.n[n] == marks[n])
        return bad

    def settle(self):
        """the best marks, each step a decision; None if there are none"""
        self.s.push()
        try:
            self.s.add(self.all_met())
            at = self.start()
            return at and self.improve(at)
        finally:
            self.s.pop()

    def start(self):
        """some allowed marks, if it can be near the designed ones, to begin well"""
        for reach in (1, 3, 8):
            near = [z3.And(self.n[n] >= self.m.nearest(n) - reach, self.n[n] <= self.m.nearest(n) + reach) for n in self.lengths]
            at = self.possible(*near)
            if at:
                return at
        return self.possible()

    def improve(self, at):
        while True:
            better, equal = self.surer(*at)
            for claim in better:
                found = self.possible(claim)
                if found:
                    break
            else:
                break
            at = found
        self.s.add(equal)
        for c in self.chosen:
            while True:
                claim, same = self.ranked(*at)[self.chosen.index(c)]
                found = self.possible(claim)
                if not found:
                    break
                at = found
            self.s.add(same)
        for worth, at_most in self.preferences():
            at = self.smallest(at, lambda a: worth(a[0]), at_most)
            self.s.add(at_most(worth(at[0])))
        for n in self.lengths:
            at = self.smallest(at, lambda a: a[0][n], lambda k: self.n[n] <= k, None)
            self.s.add(self.n[n] == at[0][n])
        return at

    def smallest(self, at, worth, at_most, least=0):
        """least: nothing is smaller; None: not known, but there is such a number"""
        step, lo = 1, least
        while least is None and lo is None:  # a card's constants may be below 0
            found = self.possible(at_most(worth(at) - step))
            at, step, lo = (found, 2 * step, None) if found else (at, step, worth(at) - step + 1)
        while lo < worth(at):
            m = (lo + worth(at) - 1) // 2
            found = self.possible(at_most(m))
            if found:
                at = found
            else:
                lo = m + 1
        return at


def prepare(model):
    return [Watch(model, d) for d in model.demands], Constraints(model)


def parts(model, prefer='closest', within=2):
    watches, constraints = prepare(model)
    out = [Part(model, names, watches, constraints, prefer, within) for names in parts_of(model, watches, constraints)]
    fixed = [w for w in watches if not w.names()]      # demands without an unknown
    return out, fixed


def whole_part(model):
    watches, constraints = prepare(model)
    return Part(model, set(model.items), watches, constraints, 'closest', 2, whole=True)


def is_met(w):
    return (w.klo is None or w.klo <= 0) and (w.khi is None or 0 <= w.khi)


def can_hold(model):
    p = whole_part(model)
    return p.possible(p.all_met()) is not None


def settle(model, prefer='closest', within=2):
    """(marks, choices), or (None, None) where nothing meets every demand"""
    if model.e.as_designed:
        return {n: model.nearest(n) for n in model.lengths}, model.choices_as_designed()
    marks, choices = {}, {}
    ps, fixed = parts(model, prefer, within)
    if not all(is_met(w) for w in fixed) or not whole_part(model).possible():
        return None, None
    for p in ps:
        at = p.settle()
        if at is None:
            return None, None
        marks.update(at[0])
        choices.update(at[1])
    return marks, choices


def prove(model, prefer, within, marks, choices):
    """what is wrong with the claim that these are the settled marks"""
    ps, fixed = parts(model, prefer, within)
    bad = ['%s cannot be met' % w.demand.name for w in fixed if not is_met(w)]
    for p in ps:
        bad += p.prove(marks, choices)
    return bad


# ---- where nothing meets every demand ----

class Conflict(object):
    """the smallest set of demands that cannot be met together, the first in file order, and what would help"""

    def __init__(self, model):
        self.model = model
        self.p = whole_part(model)
        self.ws = self.p.watches

    def together(self, members):
        return self.p.possible(*[self.p.met(self.ws[i]) for i in members]) is not None

    def smallest(self):
        """by hitting sets: a set that cannot be met has a member in the complement of every set that can"""
        everything, outside = range(len(self.ws)), []
        if not self.together([]):
            return []
        while True:
            members = self.hit(outside, len(self.ws))
            if not self.together(members):
                return members
            grown = list(members)
            for i in everything:
                if i not in grown and self.together(grown + [i]):
                    grown.append(i)
            outside.append(set(everything) - set(grown))

    @staticmethod
    def hit(sets, n):
        """the first of the smallest sets with a member in each; in order of file"""
        wanted = sorted(set().union(*sets)) if sets else []
        for size in range(n + 1):
            for c in combinations(wanted, size):
                if all(s & set(c) for s in sets):
                    return list(c)
        raise AssertionError('no hitting set')

    def change(self, members, i):
        """(bound, mm): the smallest change of one bound of member i with which the set can be met; (None, None): none"""
        w = self.ws[i]
        if w.demand.exact:
            return None, None
        others = [self.p.met(self.ws[j]) for j in members if j != i]
        out = []
        if w.klo is not None:
            k = self.furthest(w, others, 1)
            if k is not None:
                out.append((w.lo - w.value(k), 0, 'lo'))
        if w.khi is not None:
            k = self.furthest(w, others, -1)
            if k is not None:
                out.append((w.value(k) - w.hi, 1, 'hi'))
        return (min(out)[2], min(out)[0]) if out else (None, None)

    def furthest(self, w, others, sign):
        """the K nearest to its broken bound, from outside; sign 1: below lo"""
        k = self.p.k[w]
        side = [k < w.klo] if sign > 0 else [k > w.khi]
        if sign > 0 and w.khi is not None:
            side.append(k <= w.khi)
        if sign < 0 and w.klo is not None:
            side.append(k >= w.klo)
        at = self.p.possible(*(others + side))
        if at is None:
            return None
        near = w.count(*at)
        edge = (w.klo if sign > 0 else w.khi) - sign          # the best that could be
        while near != edge:
            middle = (near + edge + (1 if sign > 0 else 0)) // 2
            if sign < 0:
                middle = (near + edge) // 2
            at = self.p.possible(*(others + side + [k >= middle if sign > 0 else k <= middle]))
            if at:
                near = w.count(*at)
            else:
                edge = middle - sign
        return near

    def report(self):
        out, members = [], self.smallest()
        for i in members:
            d = self.ws[i].demand
            bound, mm = self.change(members, i)
            o = {'kind': d.kind, 'name': d.name}
            if d.direction:
                o['direction'] = d.direction
            o['bound'], o['change_mm'] = bound, M.text(mm)
            out.append(o)
        return out


def conflict_faults(model, keys):
    """what is wrong with a conflict that names these demands"""
    c, at, free = Conflict(model), [], list(range(len(model.demands)))
    for k in keys:
        i = next((i for i in free if model.demands[i].key() == k), None)
        if i is None:
            return ['conflict: there is no demand %s' % (k,)]
        at.append(i)
        free.remove(i)
    bad = ['conflict: it can be met together'] if c.together(at) else []
    return bad + ['conflict: it is one also without %s' % (k,) for k, i in zip(keys, at) if not c.together([j for j in at if j != i])]


def finer(make, step):
    """the coarsest of six halvings with which every demand can be met, or None"""
    for i in range(1, 7):
        if can_hold(make(step / 2 ** i)):
            return step / 2 ** i
    return None


# ---- model.py settle ----

def options(argv):
    o = {'file': None, 'edition': None, 'prefer': 'closest', 'within': 2, 'sure': Q(999, 1000), 'marks': None, 'set': {}}
    i = 0
    while i < len(argv):
        a = argv[i]
        if a in ('cuts', '--json'):
            i += 1
            continue
        if not a.startswith('--'):
            o['file'] = a
            i += 1
            continue
        v = argv[i + 1]
        i += 2
        if a == '--sure':
            o['sure'] = Q(v.rstrip('%')) / 100
        elif a == '--within':
            o['within'] = int(v)
        elif a == '--marks':
            o['marks'] = reader.Scan(v).raw()
        elif a == '--set':
            n, l = v.split('=')
            o['set'][n] = reader.Scan(l).raw()[0]
        else:
            o[a[2:]] = v
    return o


def answer(design, edition, prefer='closest', within=2, sure=Q(999, 1000), marks=None, sizes=None):
    inch = None if marks is None else marks[1] in reader.INCHES
    make = lambda step: M.Model(design, edition, sure, step, inch, sizes)
    m = make(marks[0] if marks else None)
    found, choices = settle(m, prefer, within)
    out = m.report(prefer, found, choices)
    if found is None:
        out['conflict'] = Conflict(m).report()
        out['finer_mm'] = M.text(finer(make, m.step))
    return out


def settle_command(argv):
    o = options(argv)
    d = M.load(o['file'])
    each = lambda e: answer(d, e, o['prefer'], o['within'], o['sure'], o['marks'], o['set'])
    if o['edition']:
        return each(o['edition'])
    return [each(e.name) for e in (d.editions or d.built_in)]
