#!/usr/bin/python3
"""model.py judge  DESIGN EXPECTED.json            the figures for the marks given in EXPECTED.json
model.py settle DESIGN --edition E [options]    the settled marks, found and proved with Z3 (slow, small designs)

An independent model of DEVELOPERS.md in exact fractions, written from the definition; it shares nothing with
lib/. Given a design, an edition and marks it works out every figure that `cuts --json` prints."""
import json
import sys
from collections import Counter
from fractions import Fraction as Q
from functools import lru_cache
from itertools import product
from math import comb, factorial, isqrt, lcm

import reader

SCALE = 10 ** 30
PI_DIGITS = 3141592653589793238462643383279          # floor(10^30 pi), DEVELOPERS.md
WAYS = ('across', 'down')
STATES = ['holds', 'at risk', 'uneven', 'too loose', 'too tight']


class Refused(Exception):
    pass


def half_up(x):
    """the nearest whole number, a tie to the larger"""
    return (2 * x.numerator + x.denominator) // (2 * x.denominator)


# ---- chance: the part of a box between two planes ----

@lru_cache(maxsize=200000)
def below(groups, t):
    """the chance that sum of u_i <= t, u_i uniform on [0, w_i]; groups = ((w, how many), ...), integers"""
    total = sum(w * m for w, m in groups)
    if t <= 0:
        return Q(0)
    if t >= total:
        return Q(1)
    if 2 * t > total:
        return 1 - below(groups, total - t)
    n = sum(m for _, m in groups)
    terms = {0: 1}
    for w, m in groups:
        more = {}
        for s, k in terms.items():
            for j in range(m + 1):
                if s + j * w >= t:
                    break
                more[s + j * w] = more.get(s + j * w, 0) + (-1) ** j * comb(m, j) * k
        terms = more
    top = sum(k * (t - s) ** n for s, k in terms.items())
    bottom = factorial(n)
    for w, m in groups:
        bottom *= w ** m
    return Q(top, bottom)


def chance(nominal, halves, lo, hi):
    """the chance that lo <= nominal + errors <= hi; halves: half the widths of the errors"""
    halves = [h for h in halves if h]
    if not halves:
        return Q(int((lo is None or lo <= nominal) and (hi is None or nominal <= hi)))
    least = nominal - sum(halves)
    ends = [x - least for x in (lo, hi) if x is not None]
    d = lcm(*[x.denominator for x in ends + [2 * h for h in halves]])
    groups = tuple(sorted(Counter(int(2 * h * d) for h in halves).items()))
    top = Q(1) if hi is None else below(groups, int((hi - least) * d))
    return top - (Q(0) if lo is None else below(groups, int((lo - least) * d)))


# ---- values: enclosed constants and affine forms ----

class Const(object):
    """a constant in [lo, hi]"""

    def __init__(self, lo, hi=None):
        self.lo, self.hi = Q(lo), Q(lo if hi is None else hi)

    def exact(self):
        return self.lo == self.hi

    def middle(self):
        return (self.lo + self.hi) / 2


class Form(object):
    """c + sum of atoms + sum of errors + enclosed uncertainties (factor, half width, the form it multiplies)"""

    def __init__(self, c=0, atoms=None, errors=None, enclosed=()):
        self.c, self.atoms, self.errors, self.enclosed = Q(c), atoms or {}, errors or {}, tuple(enclosed)

    def times(self, k):
        return Form(self.c * k, {a: v * k for a, v in self.atoms.items()}, {a: v * k for a, v in self.errors.items()},
                    [(f * k, h, x) for f, h, x in self.enclosed])

    def plus(self, o):
        def merge(x, y):
            z = dict(x)
            for k, v in y.items():
                z[k] = z.get(k, 0) + v
            return {k: v for k, v in z.items() if v}
        return Form(self.c + o.c, merge(self.atoms, o.atoms), merge(self.errors, o.errors), self.enclosed + o.enclosed)


def as_form(v):
    if isinstance(v, Form):
        return v
    return Form(v.middle(), enclosed=[] if v.exact() else [(Q(1), (v.hi - v.lo) / 2, Form(1))])


def root(lo, hi):
    def exact(q):
        n, d = isqrt(q.numerator), isqrt(q.denominator)
        return Q(n, d) if n * n == q.numerator and d * d == q.denominator else None
    if lo < 0:
        raise Refused('root of a number below zero')
    if lo == hi and exact(lo) is not None:
        return Const(exact(lo))
    down = lambda q: isqrt(q.numerator * SCALE * SCALE // q.denominator)
    return Const(Q(down(lo), SCALE), Q(down(hi) + 1, SCALE))


def const_op(op, a, b=None):
    if op == 'add':
        return Const(a.lo + b.lo, a.hi + b.hi)
    if op == 'sub':
        return Const(a.lo - b.hi, a.hi - b.lo)
    if op == 'neg':
        return Const(-a.hi, -a.lo)
    if op == 'abs':
        return a if a.lo >= 0 else const_op('neg', a) if a.hi <= 0 else Const(0, max(-a.lo, a.hi))
    if op == 'min':
        return Const(min(a.lo, b.lo), min(a.hi, b.hi))
    if op == 'max':
        return Const(max(a.lo, b.lo), max(a.hi, b.hi))
    if op == 'sqrt':
        return root(a.lo, a.hi)
    if op == 'div':
        if b.lo <= 0 <= b.hi:
            raise Refused('division by zero')
        b, op = Const(1 / b.hi, 1 / b.lo), 'mul'
    e = [x * y for x in (a.lo, a.hi) for y in (b.lo, b.hi)]
    return Const(min(e), max(e))


def value_op(op, a, b=None):
    """Const with Const stays Const; with a Form it must stay affine"""
    if isinstance(a, Const) and (b is None or isinstance(b, Const)):
        return const_op(op, a, b)
    if op == 'neg':
        return a.times(-1)
    if op in ('add', 'sub'):
        return as_form(a).plus(as_form(b).times(1 if op == 'add' else -1))
    if op == 'div' and isinstance(b, Const):
        b, op = const_op('div', Const(1), b), 'mul'
    if op == 'mul' and isinstance(a, Const):
        a, b = b, a
    if op != 'mul' or not isinstance(b, Const):
        raise Refused('a demand must be affine')
    f = a.times(b.middle())
    if not b.exact():
        f.enclosed += ((Q(1), (b.hi - b.lo) / 2, a),)
    return f


def evaluate(f, name):
    """a formula's value; name(tuple) gives that of a name, total or outside"""
    k = f[0]
    if k == 'num':
        return Const(f[1])
    if k == 'pi':
        return Const(Q(PI_DIGITS, SCALE), Q(PI_DIGITS + 1, SCALE))
    if k in ('min', 'max', 'abs', 'sqrt'):
        args = [evaluate(x, name) for x in f[1]]
        if k in ('abs', 'sqrt'):
            return value_op(k, *args)
        v = args[0]
        for x in args[1:]:
            v = value_op(k, v, x)
        return v
    if k == 'neg':
        return value_op(k, evaluate(f[1], name))
    if k in ('add', 'sub', 'mul', 'div'):
        return value_op(k, evaluate(f[1], name), evaluate(f[2], name))
    return name(f)


# ---- a design in one edition ----

class Demand(object):
    def __init__(self, kind, name, lo, hi, direction=None, exact=False):
        self.kind, self.name, self.lo, self.hi, self.direction, self.exact = kind, name, lo, hi, direction, exact
        self.forms = []          # one for each combination of stretches

    def key(self):
        return (self.kind, self.name, self.direction)


class Model(object):
    """A design as one edition sees it.

    Atoms of a form: ('s', piece, way, i) a stretch, ('w', piece, way) a whole size, ('l', length), ('o', chosen, way) a punched
    size. Errors: ('m', measure), ('t', stock), ('e', piece, copy, way, line), ('p', demand number)."""

    def __init__(self, design, edition_name, sure=Q(999, 1000), step=None, inch_marks=None, sizes=None):
        self.d, self.sure = design, sure
        self.e = reader.edition(design, edition_name)
        self.step = step or self.e.step
        self.inch_marks = self.e.inch_marks if inch_marks is None else inch_marks
        self.inch = self.e.unit == 'in'
        self.sizes = {o.name: o.size for o in design.names.values() if o.kind == 'measure'}
        self.sizes.update(sizes or {})
        self.lengths, self.designed = [], {}      # names in file order; mm
        self.items = []                           # lengths and choices in file order
        self.panel_length, self.stretches = {}, {}  # (piece, panel) -> length; -> [(way, i)]
        self.shared = set()                       # lets that are lengths
        self.widths = {}                          # error -> half its width
        self.chosen = {o.name: o for o in design.chosen}
        self.find_shared()
        self.lay_lengths()
        self.lay_edges()
        self.demands = []
        self.scopes_done = {}
        self.lay_demands()

    def length_of(self, l):
        return l[2] if self.inch else l[1]

    # ---- lengths ----

    def find_shared(self):
        for s in self.d.statements:
            if s.kind == 'list':
                mine = {p.name for w in WAYS for p in s.piece.lists[w] if p.how not in ('again', 'rest')}
                for p in s.piece.lists[s.way][s.row.first:s.row.end]:
                    if p.how == 'again' and p.name not in mine:
                        self.shared.add(p.name)
            elif s.kind == 'mat' and self.is_let(s.by):
                self.shared.add(s.by[1])

    def is_let(self, f):
        return f[0] == 'name' and f[1] in self.d.names and self.d.names[f[1]].kind == 'let'

    def add_length(self, name, size):
        if name not in self.designed:
            if size <= 0:
                raise Refused('%s is designed at 0 or less' % name)
            self.lengths.append(name)
            self.items.append(name)
            self.designed[name] = size

    def lay_lengths(self):
        for s in self.d.statements:
            if s.kind == 'list':
                self.lay_list(s.piece, s.way, s.row)
            elif s.kind == 'mat':
                if self.is_let(s.by):
                    s.length = s.by[1]
                    self.add_length(s.length, self.nominal(self.d.names[s.length].formula, None))
                else:
                    s.length = s.name + '.smaller'
                    self.add_length(s.length, self.nominal(s.by, None))
            elif s.kind in ('opening', 'punched'):
                self.items.append(s.name)

    def lay_list(self, piece, way, row):
        for i in range(row.first, row.end):
            p = piece.lists[way][i]
            if p.how == 'rest':
                continue
            key = (piece.name, p.name)
            p.scope = (piece.name, frozenset(n for q, n in self.panel_length if q == piece.name))
            if p.how == 'again':
                if key not in self.panel_length:
                    self.add_length(p.name, self.nominal(self.d.names[p.name].formula, None))
                    self.panel_length[key] = p.name
            else:
                size = self.nominal(p.formula, p.scope)
                if p.how != '=':
                    size += self.length_of(p.clear) * (1 if p.how == 'over' else -1)
                self.panel_length[key] = '.'.join(key)
                self.add_length('.'.join(key), size)
            self.stretches.setdefault(key, []).append((way, i))

    def nominal(self, f, scope):
        """a formula's designed size; an irrational one to the nearest 10^-9 mm"""
        v = evaluate(f, lambda g: self.nominal_name(g, scope))
        return v.lo if v.exact() else Q(half_up(v.middle() * 10 ** 9), 10 ** 9)

    def nominal_name(self, f, scope):
        if f[0] == 'len':
            return Const(self.length_of(f))
        if f[0] == 'name':
            if scope and f[1] in scope[1]:
                return Const(self.designed[self.panel_length[scope[0], f[1]]])
            o = self.d.names[f[1]]
            if o.kind == 'measure':
                return Const(self.sizes[o.name])
            if o.kind == 'stock':
                return Const(o.size)
            if o.kind == 'let':
                return evaluate(o.formula, lambda g: self.nominal_name(g, None))
            raise Refused(f[1])
        if f[0] in ('total', 'outside'):
            piece = f[1] or scope[0]
            size = self.designed[self.panel_length[piece, f[2]]]
            if f[0] == 'total':
                return Const(size * len(self.all_stretches(piece, f[2])) * self.d.names[piece].copies)
            return Const(size + self.folds(piece, f[2]) * self.d.names[self.d.names[piece].stock].size)
        o = self.d.names[f[1]]
        if (f[1], f[2]) in self.panel_length:
            return Const(self.designed[self.panel_length[f[1], f[2]]])
        if f[2] in WAYS and o.kind in ('piece', 'mat'):
            return Const(self.designed_whole(f[1], f[2]))
        if f[2] == 'smaller' and o.kind == 'mat':
            return Const(self.designed[o.length])
        raise Refused('.'.join(f[1:]))

    def all_stretches(self, piece, panel):
        p = self.d.names[piece]
        return [(w, i) for w in p.order for i, x in enumerate(p.lists[w]) if x.name == panel]

    def kept(self, piece, way, row):
        """the stretches of a list without the rests at its ends"""
        l = self.d.names[piece].lists[way]
        return [i for i in range(row.first, row.end) if l[i].name is not None]

    def is_score(self, piece, way, i):
        """is the line before stretch i, which is not the first of its list, a score?"""
        l = self.d.names[piece].lists[way]
        return l[i].bar == '|' and l[i].name is not None and l[i - 1].name is not None

    def folds(self, piece, panel):
        """how many of a panel's two lines are folds, the most of its stretches; a glued ring closes at its other end"""
        most = 0
        for way, i in self.all_stretches(piece, panel):
            p = self.d.names[piece]
            l, row = p.lists[way], p.rows[way][p.lists[way][i].row]
            kept = self.kept(piece, way, row)
            first = i > row.first and self.is_score(piece, way, i)
            last = i + 1 < row.end and self.is_score(piece, way, i + 1)
            if len(kept) > 1:
                first = first or (i == kept[0] and l[kept[-1]].glue)
                last = last or (i == kept[-1] and l[kept[0]].glue)
            most = max(most, int(first) + int(last))
        return most

    # ---- wholes, as a sum of lengths with factors ----

    def whole_lengths(self, piece, way):
        """{length: factor} of a cut size"""
        p = self.d.names[piece]
        if p.kind == 'piece':
            full = next(r for r in p.rows[way] if len(self.kept(piece, way, r)) == r.end - r.first)
            return self.row_lengths(piece, way, full)
        out = dict(self.on_lengths(p.on, way))
        out[p.length] = out.get(p.length, Q(0)) - 1
        return {k: v for k, v in out.items() if v}

    def row_lengths(self, piece, way, row):
        """{length: factor} of what a list's panels measure together"""
        l = self.d.names[piece].lists[way]
        c = Counter(self.panel_length[piece, l[i].name] for i in self.kept(piece, way, row))
        return {k: Q(v) for k, v in c.items()}

    def row_places(self, piece, way, row, whole, size, half):
        """{i: place of the line before stretch i} for all but the first of a list; `half`: how a half is rounded"""
        l, kept = self.d.names[piece].lists[way], self.kept(piece, way, row)
        left = whole - sum(size(l[i].name) for i in kept)
        at, out = 0, {}
        if kept[0] > row.first:
            at = half(left) if kept[-1] + 1 < row.end else left
        for i in range(row.first + 1, row.end):
            if l[i - 1].name is not None:
                at += size(l[i - 1].name)
            out[i] = at
        return out

    def on_size(self, on, way):
        """what lies under in one direction, as a formula"""
        if on[0] == 'piece':
            return ('dot', on[1], way)
        if on[0] == 'pair':
            f = on[1 + WAYS.index(way)]
        else:
            f = on[1]
        if f[0] == 'name' and self.d.names[f[1]].kind in ('piece', 'mat', 'punched', 'opening'):
            return ('dot', f[1], way)
        return f

    def on_lengths(self, on, way):
        _, piece, part = self.on_size(on, way)
        if (piece, part) in self.panel_length:
            return {self.panel_length[piece, part]: Q(1)}
        return self.whole_lengths(piece, part)

    def designed_whole(self, piece, way):
        return sum(k * self.designed[n] for n, k in self.whole_lengths(piece, way).items())

    # ---- lines and the edges they are taken from ----

    def lay_edges(self):
        """each line within a piece has the number of the stretch behind it"""
        self.edge = {}            # (piece, way) -> {line: edge that it is taken from}
        self.places = {}          # (piece, way) -> {line: place as designed}
        for p in self.d.pieces:
            if p.kind != 'piece':
                continue
            for way in WAYS:
                whole, out, places = self.designed_whole(p.name, way), {}, {}
                for row in p.rows[way]:
                    self.check_row(p.name, way, row, whole)
                    places.update(self.row_places(p.name, way, row, whole, lambda n: self.designed[self.panel_length[p.name, n]],
                                                  lambda x: x / 2))
                for i, d in places.items():
                    out[i] = self.edge_of(p.edge[way], d, whole) if self.is_score(p.name, way, i) else 'first'
                self.edge[p.name, way], self.places[p.name, way] = out, places

    def check_row(self, piece, way, row, whole):
        left = whole - sum(k * self.designed[n] for n, k in self.row_lengths(piece, way, row).items())
        rests = row.end - row.first - len(self.kept(piece, way, row))
        if left <= 0 if rests else left != 0:
            raise Refused('a list of %s' % piece)

    def edge_of(self, e, d, whole):
        if e == 'both':
            e = 'first' if d <= whole - d else 'last'
        mine, other = (d, whole - d) if e == 'first' else (whole - d, d)
        if self.e.reach is not None and mine > self.e.reach >= other:
            e = 'last' if e == 'first' else 'first'
        return e

    def lines_of(self, piece, way, i):
        """the lines before and behind a stretch: 0 the first edge, the number of stretches the last"""
        p = self.d.names[piece]
        row = p.rows[way][p.lists[way][i].row]
        return 0 if i == row.first else i, len(p.lists[way]) if i + 1 == row.end else i + 1

    def line_errors(self, piece, copy, way, k):
        """a line's own errors; line 0 is the first edge, the last line the cut"""
        n = len(self.d.names[piece].lists[way])
        if k == 0:
            return {}
        out = {}
        for j in ([k] if k == n or self.edge[piece, way][k] == 'first' else [k, n]):
            out[self.error(('e', piece, copy, way, j), self.e.cut)] = Q(1)
        return out

    def error(self, key, half):
        self.widths[key] = half
        return key

    def stretch_form(self, piece, copy, way, i):
        before, behind = self.lines_of(piece, way, i)
        f = Form(0, {('s', piece, way, i): Q(1)}, self.line_errors(piece, copy, way, behind))
        return f.plus(Form(0, {}, self.line_errors(piece, copy, way, before)).times(-1))

    # ---- names in demands ----

    def demand_name(self, f, scope, where):
        if f[0] == 'len':
            return Const(self.length_of(f))
        if f[0] == 'name':
            if scope and f[1] in scope[1]:
                return self.stretch_form(scope[0], 0, *where[scope[0], f[1]])
            o = self.d.names[f[1]]
            if o.kind == 'measure':
                size, off, key = self.sizes[o.name], o.off, ('m', o.name)
            elif o.kind == 'stock':
                return self.thickness(o)
            elif o.kind == 'let':
                if o.name in self.shared:
                    return Form(0, {('l', o.name): Q(1)})
                return evaluate(o.formula, lambda g: self.demand_name(g, None, where))
            else:
                raise Refused(f[1])
            return Form(size, {}, {self.error(key, off): Q(1)}) if off else Const(size)
        if f[0] == 'total':
            piece, out = f[1] or scope[0], Form()
            for copy in range(self.d.names[piece].copies):
                for way, i in self.all_stretches(piece, f[2]):
                    out = out.plus(self.stretch_form(piece, copy, way, i))
            return out
        if f[0] == 'outside':
            piece = f[1] or scope[0]
            t = as_form(self.thickness(self.d.names[self.d.names[piece].stock])).times(self.folds(piece, f[2]))
            return self.stretch_form(piece, 0, *where[piece, f[2]]).plus(t)
        if (f[1], f[2]) in self.panel_length:
            return self.stretch_form(f[1], 0, *where[f[1], f[2]])
        o = self.d.names[f[1]]
        if f[2] == 'smaller':
            return Form(0, {('l', o.length): Q(1)})
        if o.kind in ('opening', 'punched'):
            return Form(0, {('o', f[1], f[2]): Q(1)})
        n = len(o.lists[f[2]]) if o.kind == 'piece' else 1
        return Form(0, {('w', f[1], f[2]): Q(1)}, {self.error(('e', f[1], 0, f[2], n), self.e.cut): Q(1)})

    def thickness(self, stock):
        if not stock.off:
            return Const(stock.size)
        return Form(stock.size, {}, {self.error(('t', stock.name), stock.off): Q(1)})

    def named_panels(self, f, scope, out):
        """the panels that a formula names as one stretch of card, in order"""
        if f[0] in ('num', 'len', 'pi', 'total'):
            return
        if f[0] in ('min', 'max', 'abs', 'sqrt'):
            for x in f[1]:
                self.named_panels(x, scope, out)
        elif f[0] in ('neg', 'add', 'sub', 'mul', 'div'):
            for x in f[1:]:
                self.named_panels(x, scope, out)
        else:
            key = None
            if f[0] == 'name':
                if scope and f[1] in scope[1]:
                    key = (scope[0], f[1])
                elif self.d.names[f[1]].kind == 'let' and f[1] not in self.shared:
                    self.named_panels(self.d.names[f[1]].formula, None, out)
            elif f[0] == 'outside':
                key = (f[1] or scope[0], f[2])
            elif (f[1], f[2]) in self.panel_length:
                key = (f[1], f[2])
            if key and key not in out:
                out.append(key)

    # ---- demands ----

    def lay(self, demand, f, scope=None, own=None, extra=None):
        """the demand on formula f: one form for each combination of stretches; own: the formula begins with that stretch"""
        keys = [own] if own else []
        self.named_panels(f, scope, keys)
        for choice in product(*[self.stretches[k] for k in keys]):
            where = dict(zip(keys, choice))
            v = as_form(evaluate(f, lambda g: self.demand_name(g, scope, where)))
            if extra:
                v = v.plus(extra)
            demand.forms.append(v)
        self.demands.append(demand)

    def bounds(self, b):
        return [None if x is None else self.length_of(x) for x in b]

    def lay_demands(self):
        for s in self.d.statements:
            if s.kind == 'list':
                for p in s.piece.lists[s.way][s.row.first:s.row.end]:
                    if p.how in ('over', 'inside'):
                        self.lay_panel_fit(s.piece, p)
            elif s.kind == 'mat':
                if s.shows:
                    self.lay_border(s.name, s.name, s.on, s.shows)
                self.lay_even(s.name, s.name, s.on)
            elif s.kind == 'border':
                self.lay_border(s.name, s.piece, s.on, s.bounds)
                if s.even:
                    self.lay_even(s.name, s.piece, s.on)
            elif s.kind == 'fit':
                lo, hi = self.bounds(s.bounds)
                self.lay(Demand('fit', s.name, lo, hi), ('sub', s.a, s.b))
            elif s.kind == 'keep':
                lo, hi = {'least': (Q(0), None), 'most': (None, Q(0)), 'exactly': (Q(0), Q(0))}[s.how]
                self.lay(Demand('keep', s.name, lo, hi, exact=s.how == 'exactly'), ('sub', s.a, s.b))

    def lay_panel_fit(self, piece, p):
        lo, hi = self.bounds(p.bounds)
        me = ('dot', piece.name, p.name)
        f = ('sub', me, p.formula) if p.how == 'over' else ('sub', p.formula, me)
        self.lay(Demand('fit', '%s.%s' % (piece.name, p.name), lo, hi), f, p.scope, (piece.name, p.name))

    def strip(self, piece, on, way):
        return ('div', ('sub', self.on_size(on, way), ('dot', piece, way)), ('num', Q(2)))

    def lay_border(self, name, piece, on, shows):
        lo, hi = self.bounds(shows)
        for way in WAYS:
            if on[0] in WAYS and on[0] != way:
                continue
            e = Form(0, {}, {self.error(('p', len(self.demands)), self.e.place): Q(1)})
            self.lay(Demand('border', name, lo, hi, way), self.strip(piece, on, way), extra=e)

    def lay_even(self, name, piece, on):
        f = ('sub', self.strip(piece, on, 'across'), self.strip(piece, on, 'down'))
        self.lay(Demand('even', name, Q(0), Q(0), exact=True), f)

    # ---- the three views: what each atom measures ----

    def nearest(self, name):
        return max(1, half_up(self.designed[name] / self.step))

    def atom_designed(self, choices):
        def value(a):
            if a[0] == 's':
                return self.designed[self.panel_length[a[1], self.d.names[a[1]].lists[a[2]][a[3]].name]]
            if a[0] == 'w':
                return self.designed_whole(a[1], a[2])
            if a[0] == 'l':
                return self.designed[a[1]]
            return self.punched(a, choices)
        return value

    def punched(self, a, choices):
        sizes = self.d.names[self.d.names[a[1]].punches].sizes
        return sizes[choices[a[1]] - 1][WAYS.index(a[2])]

    def rounded_lines(self, piece, way):
        """the places of all lines, each number of the cut list rounded by itself"""
        r = lambda x: half_up(x / self.step) * self.step
        whole = self.designed_whole(piece, way)
        out = {0: Q(0), len(self.d.names[piece].lists[way]): r(whole)}
        for i, e in self.edge[piece, way].items():
            d = self.places[piece, way][i]
            out[i] = r(d) if e == 'first' else r(whole) - r(whole - d)
        return out

    def atom_rounded(self, choices):
        r = lambda x: half_up(x / self.step) * self.step
        lines = {k: self.rounded_lines(*k) for k in self.edge}

        def value(a):
            if a[0] == 's':
                l, (before, behind) = lines[a[1], a[2]], self.lines_of(a[1], a[2], a[3])
                return l[behind] - l[before]
            if a[0] == 'w':
                return r(self.designed_whole(a[1], a[2]))
            if a[0] == 'l':
                return r(self.designed[a[1]])
            return self.punched(a, choices)
        return value

    def marks_whole(self, piece, way, marks):
        """a cut size in marks; in an edition as designed a mat is at least one mark"""
        p = self.d.names[piece]
        if p.kind == 'piece':
            return sum(int(k) * marks[n] for n, k in self.whole_lengths(piece, way).items())
        _, on, part = self.on_size(p.on, way)
        under = marks[self.panel_length[on, part]] if (on, part) in self.panel_length else self.marks_whole(on, part, marks)
        n = under - marks[p.length]
        return max(1, n) if self.e.as_designed else n

    def settled_stretch(self, piece, way, i, marks):
        """a length's marks; as designed lists of other widths end where the card does, and so does their last panel"""
        p = self.d.names[piece]
        n = marks[self.panel_length[piece, p.lists[way][i].name]]
        if not self.e.as_designed or len(p.rows[way]) == 1:
            return n
        lines = self.settled_lines(piece, way, marks)
        before, behind = self.lines_of(piece, way, i)
        return lines[behind] - lines[before]

    def settled_lines(self, piece, way, marks):
        p, whole = self.d.names[piece], self.marks_whole(piece, way, marks)
        out = {0: 0, len(p.lists[way]): whole}
        for row in p.rows[way]:
            left = whole - sum(int(k) * marks[n] for n, k in self.row_lengths(piece, way, row).items())
            size = lambda n: marks[self.panel_length[piece, n]]
            places = self.row_places(piece, way, row, whole, size, lambda x: x // 2)
            first = row.first + 1
            if left < 0 and first in places and p.lists[way][row.first].name is None:
                places = {i: d - places[first] for i, d in places.items()}      # nothing is cut away
            out.update({i: min(d, whole) for i, d in places.items()})
        return out

    def atom_settled(self, marks, choices):
        def value(a):
            if a[0] == 's':
                return self.settled_stretch(a[1], a[2], a[3], marks) * self.step
            if a[0] == 'w':
                return self.marks_whole(a[1], a[2], marks) * self.step
            if a[0] == 'l':
                return marks[a[1]] * self.step
            return self.punched(a, choices)
        return value

    # ---- judging ----

    def halves(self, form, value):
        """half the width of every uncertainty of a form"""
        out = [abs(k) * self.widths[e] for e, k in form.errors.items() if self.widths[e]]
        for k, h, x in form.enclosed:
            size = abs(x.c + sum(v * value(a) for a, v in x.atoms.items())) + sum(self.halves(x, value))
            if k * h * size:
                out.append(abs(k * h * size))
        return out

    def judge_form(self, dem, form, value):
        nominal = form.c + sum(k * value(a) for a, k in form.atoms.items())
        if dem.exact:
            ok = nominal == 0
            return dict(least=nominal, nominal=nominal, most=nominal, state='holds' if ok else 'uneven', chance=Q(int(ok)))
        halves = self.halves(form, value)
        total = sum(halves)
        c = chance(nominal, halves, dem.lo, dem.hi)
        if dem.lo is not None and nominal < dem.lo:
            state = 'too tight'
        elif dem.hi is not None and nominal > dem.hi:
            state = 'too loose'
        else:
            state = 'holds' if c >= self.sure else 'at risk'
        return dict(least=nominal - total, nominal=nominal, most=nominal + total, state=state, chance=c)

    def judge(self, dem, value):
        """the worst of all combinations of stretches"""
        def badness(j):
            margins = [j['least'] - dem.lo] if dem.lo is not None else []
            margins += [dem.hi - j['most']] if dem.hi is not None else []
            return (-STATES.index(j['state']), j['chance'], -(j['most'] - j['least']), min(margins), j['nominal'])
        return min((self.judge_form(dem, f, value) for f in dem.forms), key=badness)

    # ---- what settling works on ----

    def linear(self, form):
        """a form's nominal as settled: (constant mm, {length: mm a mark}, {(chosen, way): factor})"""
        lengths, chosen = {}, {}
        for a, k in form.atoms.items():
            if a[0] == 'o':
                chosen[a[1], a[2]] = chosen.get((a[1], a[2]), Q(0)) + k
                continue
            if a[0] == 's':
                parts = {self.panel_length[a[1], self.d.names[a[1]].lists[a[2]][a[3]].name]: Q(1)}
            elif a[0] == 'w':
                parts = self.whole_lengths(a[1], a[2])
            else:
                parts = {a[1]: Q(1)}
            for n, v in parts.items():
                lengths[n] = lengths.get(n, Q(0)) + v * k * self.step
        return form.c, {n: v for n, v in lengths.items() if v}, {n: v for n, v in chosen.items() if v}

    def unwatched(self):
        seen = set()
        for dem in self.demands:
            _, lengths, chosen = self.linear(dem.forms[0])
            seen |= set(lengths) | {c for c, _ in chosen}
        return [n for n in self.items if n not in seen]

    def deviation(self, marks):
        """lengths not at a nearest mark, and the sum of distances"""
        moved, total = 0, Q(0)
        for n in self.lengths:
            d = abs(marks[n] * self.step - self.designed[n])
            total += d
            moved += self.moved(n, marks[n])
        return moved, total

    def moved(self, n, mark):
        x = self.designed[n] / self.step
        return not (abs(mark - x) <= Q(1, 2) and mark >= 1 or mark == self.nearest(n))

    def ranks(self, choices):
        """aim 2: for each choice its rank, 0 the best, in file order"""
        out = []
        for o in self.chosen.values():
            sizes = self.d.names[o.punches].sizes
            order = sorted(range(len(sizes)), key=lambda i: (sizes[i][0] * sizes[i][1] * (-1 if o.kind == 'opening' else 1), i))
            out.append(order.index(choices[o.name] - 1))
        return out

    def choices_as_designed(self):
        """the punches for nearest marks: fewest unmet demands, then the surest, then aim 2"""
        marks = {n: self.nearest(n) for n in self.lengths}
        best = None
        for c in product(*[range(1, len(self.d.names[o.punches].sizes) + 1) for o in self.chosen.values()]):
            choices = dict(zip(self.chosen, c))
            value = self.atom_marks_clamped(marks, choices)
            js = [self.judge(x, value) for x in self.demands]
            unmet = sum(j['state'] not in ('holds', 'at risk') for j in js)
            key = (unmet, sorted(-min(j['chance'], self.sure) for j in js)[::-1], self.ranks(choices))
            if best is None or key < best[0]:
                best = (key, choices)
        return best[1]

    def atom_marks_clamped(self, marks, choices):
        was, self.e.as_designed = self.e.as_designed, True
        value = self.atom_settled(marks, choices)
        try:
            cached = {a: value(a) for x in self.demands for f in x.forms
                      for g in [f] + [e[2] for e in f.enclosed] for a in g.atoms}
        finally:
            self.e.as_designed = was
        return cached.__getitem__

    def best(self, j):
        return min(j['chance'], self.sure)

    # ---- the whole answer ----

    def report(self, prefer, marks, choices):
        """what `cuts --json` says; marks None: nothing meets every demand"""
        held = marks is not None
        seen = choices if held else self.choices_as_designed()
        views = [self.atom_designed(seen), self.atom_rounded(seen)]
        if held:
            views.append(self.atom_settled(marks, choices))
        demands, states = [], []
        for x in self.demands:
            o = {'kind': x.kind, 'name': x.name}
            if x.direction:
                o['direction'] = x.direction
            o['allowed_mm'] = [text(x.lo), text(x.hi)]
            if x.exact:
                o['exact'] = True
            o['settled'] = None
            for view, value in zip(('designed', 'rounded', 'settled'), views):
                j = self.judge(x, value)
                o[view] = {'least_mm': text(j['least']), 'nominal_mm': text(j['nominal']), 'most_mm': text(j['most']),
                           'state': j['state'], 'chance': text(j['chance'])}
                if view == 'settled':
                    states.append(j['state'])
            demands.append(o)
        moved, deviation = self.deviation(marks) if held else (None, None)
        state = max(states, key=STATES.index, default='holds') if held else 'cannot hold'
        out = {'design': self.d.title or '', 'edition': self.e.name, 'unit': self.e.unit, 'step_mm': text(self.step),
               'prefer': prefer, 'sure': text(self.sure), 'state': state, 'moved': moved, 'deviation_mm': text(deviation),
               'unwatched': self.unwatched(), 'lengths': [], 'pieces': [], 'demands': demands}
        if any(f.enclosed for x in self.demands for f in x.forms):
            out['enclosed'] = True
        for n in self.items:
            if n in self.chosen:
                out['lengths'].append({'name': n, 'choice': choices[n] if held else None})
            else:
                out['lengths'].append({'name': n, 'designed_mm': text(self.designed[n]), 'nearest': self.nearest(n),
                                       'marks': marks[n] if held else None})
        for p in self.d.pieces:
            o = {'piece': p.name, 'label': p.label, 'copies': p.copies, 'stock': p.stock}
            for way in WAYS:
                o[way] = self.cut_list(p, way, marks, choices) if held else None
            out['pieces'].append(o)
        return out

    def cut_list(self, p, way, marks, choices):
        if p.kind == 'punched':
            return {'punched_mm': text(self.punched(('o', p.name, way), choices))}
        whole = self.marks_whole(p.name, way, marks)
        scores, cuts = [], []
        if p.kind == 'piece':
            lines = self.settled_lines(p.name, way, marks)
            for i, e in sorted(self.edge[p.name, way].items(), key=lambda x: (lines[x[0]], x[0])):
                at = {'from': e, 'at': lines[i] if e == 'first' else whole - lines[i]}
                (scores if self.is_score(p.name, way, i) else cuts).append(at)
        return {'cut': whole, 'scores': scores, 'cuts': cuts}


def text(q):
    return None if q is None else str(q)


def load(path):
    with open(path, encoding='utf-8') as f:
        return reader.read(f.read())


def given(expected):
    """marks and choices of an answer, None where nothing meets every demand"""
    if expected['state'] == 'cannot hold':
        return None, None
    marks = {x['name']: x['marks'] for x in expected['lengths'] if 'choice' not in x}
    return marks, {x['name']: x['choice'] for x in expected['lengths'] if 'choice' in x}


def judge_given(path, expected):
    m = Model(load(path), expected['edition'], Q(expected['sure']))
    return m.report(expected['prefer'], *given(expected))


def main(argv):
    if len(argv) == 4 and argv[1] == 'judge':
        with open(argv[3], encoding='utf-8') as f:
            answer = judge_given(argv[2], json.load(f))
    elif len(argv) >= 3 and argv[1] == 'settle':
        import decide
        answer = decide.settle_command(argv[2:])
    else:
        print(__doc__, file=sys.stderr)
        return 2
    json.dump(answer, sys.stdout, indent=1, ensure_ascii=False)
    print()
    return max([int(a['state'] not in ('holds', 'at risk')) for a in (answer if isinstance(answer, list) else [answer])])


if __name__ == '__main__':
    sys.exit(main(sys.argv))
