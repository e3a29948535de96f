#!/usr/bin/python3
"""card.py DESIGN --edition E [--prefer P] [--sure S%] [--within N]

The rule card of DEVELOPERS.md, found and proved with Z3 (slow, small designs), in the layout of `rules --json`. It
shares nothing with lib/.

How the text is read. T is the true size of a measure with a range, from <= T <= to; what is read is R = T + r with r in
[-1/2, 1/2] (nearest), [0, 1] (up) or [-1, 0] (down) reading steps, uniform. A length is
sum of times * R, rounded once, plus so many marks; a rounding loses within the same intervals, in marks, one uncertainty for all
lengths with the same multiples. So a demand is affine in the sizes, the r, the losses and the errors of section 3, and
    nominal = base + sum over measures of slope * T + the middles + the constants,    weakest at a corner of the box."""
import copy
import json
import sys
from fractions import Fraction as Q
from itertools import product
from math import ceil, floor

sys.dont_write_bytecode = True
import z3

import decide
import model as M

HOW = ('nearest', 'up', 'down')
MIDDLE = {'nearest': Q(0), 'up': Q(1, 2), 'down': Q(-1, 2), 'exact': Q(0)}


class Symbolic(M.Model):
    """A model in which a measure with a range is an atom ('m', name)."""

    def __init__(self, *a, **k):
        self.box = {}
        design = a[0]
        for o in design.names.values():
            if o.kind == 'measure' and o.range:
                self.box[o.name] = o.range
        super().__init__(*a, **k)
        self.lay_affine()

    def demand_name(self, f, scope, where):
        if f[0] == 'name' and f[1] in self.box and not (scope and f[1] in scope[1]):
            return M.Form(0, {('m', f[1]): Q(1)})
        return super().demand_name(f, scope, where)

    def lay(self, demand, *a, **k):
        try:
            super().lay(demand, *a, **k)
        except M.Refused:
            demand.forms = []
            self.demands.append(demand)

    # ---- every length as multiples of the measures ----

    def lay_affine(self):
        self.affine = {}          # length -> {measure: (multiple, half its width)}, or None: by the chart only
        for s in self.d.statements:
            if s.kind == 'list':
                for p in s.piece.lists[s.way][s.row.first:s.row.end]:
                    if p.how == 'rest':
                        continue
                    n = self.panel_length[s.piece.name, p.name]
                    f, scope = (p.formula, p.scope) if p.how != 'again' else (self.let_of(n), None)
                    if f is not None:
                        self.add_affine(n, f, scope)
            elif s.kind == 'mat':
                self.add_affine(s.length, self.let_of(s.length) or s.by, None)

    def let_of(self, name):
        o = self.d.names.get(name)
        return o.formula if o is not None and o.kind == 'let' else None

    def add_affine(self, n, f, scope):
        if n in self.affine:
            return
        try:
            v = M.as_form(M.evaluate(f, lambda g: self.symbolic_name(g, scope)))
            out = {a[1]: [k, Q(0)] for a, k in v.atoms.items()}
            for k, h, x in v.enclosed:
                for a, c in x.atoms.items():
                    out[a[1]][1] += abs(k * h * c)
            self.affine[n] = {m: tuple(x) for m, x in out.items()}
        except M.Refused:
            self.affine[n] = None

    def symbolic_length(self, n):
        if self.affine[n] is None:
            raise M.Refused(n)
        return M.Form(0, {('m', m): k for m, (k, _) in self.affine[n].items()},
                      enclosed=[(Q(1), h, M.Form(0, {('m', m): Q(1)})) for m, (_, h) in self.affine[n].items() if h])

    def symbolic_name(self, f, scope):
        """only what depends on a measure counts here, but a product needs the sizes of what does not"""
        if f[0] == 'name' and not (scope and f[1] in scope[1]):
            o = self.d.names[f[1]]
            if o.name in self.box:
                return M.Form(0, {('m', o.name): Q(1)})
            if o.kind == 'let':
                return M.evaluate(o.formula, lambda g: self.symbolic_name(g, None))
            return self.nominal_name(f, scope)
        if f[0] == 'len':
            return self.nominal_name(f, scope)
        parts, times = self.lengths_named(f, scope)
        out = M.Form()
        for n, k in parts.items():
            out = out.plus(self.symbolic_length(n).times(k * times))
        return out if out.atoms else self.nominal_name(f, scope)

    def lengths_named(self, f, scope):
        if f[0] == 'name':
            return {self.panel_length[scope[0], f[1]]: Q(1)}, 1
        if f[0] in ('total', 'outside'):
            piece = f[1] or scope[0]
            n = {self.panel_length[piece, f[2]]: Q(1)}
            return n, len(self.all_stretches(piece, f[2])) * self.d.names[piece].copies if f[0] == 'total' else 1
        if (f[1], f[2]) in self.panel_length:
            return {self.panel_length[f[1], f[2]]: Q(1)}, 1
        if f[2] == 'smaller':
            return {self.d.names[f[1]].length: Q(1)}, 1
        return self.whole_lengths(f[1], f[2]), 1

    def linear(self, form):
        f = M.Form(form.c, {a: k for a, k in form.atoms.items() if a[0] != 'm'})
        return super().linear(f)


def simplest(multiple, width, limit):
    """the fractions of smallest denominator within the limit of a multiple that is not whole, the nearest first"""
    if multiple.denominator == 1 and not width:
        return [multiple]
    d = 1
    while True:
        near = [Q(floor(multiple * d) + i, d) for i in (0, 1)]
        good = sorted((x for x in near if abs(x - multiple) + width < limit), key=lambda x: abs(x - multiple))
        if good:
            return good
        d += 1


class Card(object):
    """A design's rules for chosen ways of reading and rounding; constants are the unknowns."""

    def __init__(self, model, read, rounding=None):
        self.m, self.read = model, read
        self.reading_step = model.e.scores or model.step
        self.terms, self.rounding = {}, {}
        for n in model.lengths:
            a = model.affine[n]
            if a is None:
                continue
            out = {}
            for m, (k, w) in a.items():
                lo, hi = model.box[m]
                x = simplest(k, w, model.step / 2 / (hi - lo))[0]
                if x:
                    out[m] = x
            self.terms[n] = out
            whole = all((x * self.reading_step / model.step).denominator == 1 for x in out.values())
            self.rounding[n] = 'exact' if whole else (rounding or {}).get(self.group(n), 'nearest')
        self.bar_widths()
        self.watches = [CardWatch(self, d) for d in model.demands if self.can_say(d)]

    def bar_widths(self):
        """two lists that are not equally wide for every reading are by the chart only"""
        widths = [set(l) for l, _, what in decide.Constraints(self.m).list if what == 'nothing' and not self.is_steady(l)]
        while widths:
            barred = widths.pop()
            for n in barred:
                self.terms.pop(n, None)
                self.rounding.pop(n, None)
            widths += [set(l) for l, _, what in decide.Constraints(self.m).list
                       if what == 'nothing' and set(l) & barred and set(l) & set(self.terms)]

    def is_steady(self, lengths):
        slope, loss = {}, {}
        for n, k in lengths.items():
            if n not in self.terms:
                return False
            for m, x in self.terms[n].items():
                slope[m] = slope.get(m, Q(0)) + k * x
            if self.rounding[n] != 'exact':
                loss[self.group(n)] = loss.get(self.group(n), Q(0)) + k
        return not any(slope.values()) and not any(loss.values())

    def group(self, n):
        return tuple(sorted(self.terms[n].items()))

    def can_say(self, demand):
        return bool(demand.forms) and all(n in self.terms for f in demand.forms for n in self.m.linear(f)[1])

    # ---- a length's value, for the constants' nearest marks ----

    def designed(self, n):
        return self.m.designed[n] - sum(x * self.m.sizes[m] for m, x in self.terms[n].items())

    def nearest(self, n):
        return M.half_up(self.designed(n) / self.m.step)

    def lowest(self, lengths):
        """the least marks of a sum of lengths over the box, without the constants"""
        out, slope, loss = Q(0), {}, {}
        for n, k in lengths.items():
            for m, x in self.terms[n].items():
                slope[m] = slope.get(m, Q(0)) + k * x / self.m.step
            if self.rounding[n] != 'exact':
                loss[self.group(n)] = loss.get(self.group(n), Q(0)) + k
        for m, x in slope.items():
            out += min(x * t for t in self.m.box[m])
            out += x * self.reading_step * MIDDLE[self.read[m]] - abs(x) * self.reading_step / 2
        for g, x in loss.items():
            how = next(self.rounding[n] for n in lengths if self.group(n) == g)
            out += x * MIDDLE[how] - abs(x) / 2
        return out


class CardWatch(decide.Watch):
    """A demand on a card: base + unit * K plus what the sizes add, anything between the lowest and the highest corner"""

    def __init__(self, card, demand):
        self.card = card
        model, form = card.m, demand.forms[0]
        plain = M.Form(form.c, {a: k for a, k in form.atoms.items() if a[0] != 'm'})
        shell = copy.copy(demand)
        shell.forms = [plain]
        super().__init__(model, shell)
        self.demand = demand
        _, lengths, _ = model.linear(form)
        self.slope = {a[1]: k for a, k in form.atoms.items() if a[0] == 'm'}
        self.read, self.loss = {}, {}
        for n, k in lengths.items():
            for m, x in card.terms[n].items():
                self.slope[m] = self.slope.get(m, Q(0)) + k / model.step * x
                self.read[m] = self.read.get(m, Q(0)) + k / model.step * x
            if card.rounding[n] != 'exact':
                g = (card.group(n), card.rounding[n])
                self.loss[g] = self.loss.get(g, Q(0)) + k
        self.slope = {m: k for m, k in self.slope.items() if k}
        self.middle = sum((k * card.reading_step * MIDDLE[card.read[m]] for m, k in self.read.items()), Q(0))
        self.middle += sum((k * MIDDLE[how] for (_, how), k in self.loss.items()), Q(0))
        self.low = self.middle + sum(min(k * t for t in model.box[m]) for m, k in self.slope.items())
        self.high = self.middle + sum(max(k * t for t in model.box[m]) for m, k in self.slope.items())
        more = [abs(k) * card.reading_step / 2 for k in self.read.values()] + [abs(k) / 2 for k in self.loss.values()]
        value = lambda a: model.box[a[1]][1] if a[0] == 'm' else Q(0)
        self.halves = {tuple(sorted(h for h in model.halves(f, value) + more if h)) for f in demand.forms}
        self.known = {}
        lo, hi = demand.lo, demand.hi
        self.set_bounds(None if lo is None else lo - self.low, None if hi is None else hi - self.high)

    def chance(self, k):
        if k not in self.known:
            self.known[k] = min(self.judge(k)['chance'], self.sure)
        return self.known[k]

    def judge(self, k):
        """the worst over both ends of the box and all stretches"""
        d, v = self.demand, self.value(k)
        ends = {v + self.low, v + self.high}
        if d.exact:
            c = Q(int(ends == {0}))
            return dict(least=min(ends), nominal=min(ends), most=max(ends), chance=c, state='holds' if c else 'uneven')
        wide = max(sum(h) for h in self.halves)
        c = min(M.chance(x, h, d.lo, d.hi) for x in ends for h in self.halves)
        state = 'holds' if c >= self.sure else 'at risk'
        if d.hi is not None and max(ends) > d.hi:
            state = 'too loose'
        if d.lo is not None and min(ends) < d.lo:
            state = 'too tight'
        return dict(least=min(ends) - wide, nominal=min(ends), most=max(ends) + wide, chance=c, state=state)

    def chance_at(self, k, sizes):
        """at one corner"""
        x = self.value(k) + self.middle + sum(s * sizes[m] for m, s in self.slope.items())
        if self.demand.exact:
            return Q(int(x == 0))
        return min(M.chance(x, h, self.demand.lo, self.demand.hi) for h in self.halves)


class CardPart(decide.Part):
    """the constants of one part of a card"""

    def __init__(self, card, names, watches, prefer, within, whole=False):
        self.card = card
        super().__init__(Shell(card), names, watches, Rules(card), prefer, within, whole)

    def start_rules(self):
        for n in self.lengths:
            self.s.add(self.n[n] >= ceil(1 - self.card.lowest({n: Q(1)})))

    def add_constraint(self, lengths, chosen, what):
        if what[0] == 'at least':
            self.s.add(self.sum(lengths, {}, Q(1)) >= what[1])
        else:
            super().add_constraint(lengths, chosen, what[1])


class Rules(object):
    def __init__(self, card):
        self.list = []
        for lengths, chosen, what in decide.Constraints(card.m).list:
            if any(n not in card.terms for n in lengths):
                continue
            if what == 'at least one' or (not isinstance(what, int) and what[0] == 'at least'):
                least = 1 if what == 'at least one' else what[1]
                self.list.append((lengths, chosen, ('at least', ceil(least - card.lowest(lengths)))))
            else:
                self.list.append((lengths, chosen, ('always', what)))


class Shell(object):
    """what decide.Part asks of a model, for the constants of a card"""

    def __init__(self, card):
        m = card.m
        self.card, self.d, self.step, self.sure, self.inch_marks, self.e = card, m.d, m.step, m.sure, m.inch_marks, m.e
        self.lengths = list(card.terms)
        self.items = [n for n in m.items if n in card.terms or n in m.chosen]
        self.chosen = m.chosen
        self.designed = {n: card.designed(n) for n in card.terms}

    def nearest(self, n):
        return self.card.nearest(n)

    def moved(self, n, k):
        return not (abs(k - self.designed[n] / self.step) <= Q(1, 2) or k == self.nearest(n))


def parts(card, watches, prefer, within):
    shell = Shell(card)
    groups = decide.parts_of(shell, watches, Rules(card))
    return [CardPart(card, g, watches, prefer, within) for g in groups]


def settle_card(card, left_out, prefer, within):
    """(worth: aims 1 and 2 and measures not read to the nearest and the rest, constants, choices), or None"""
    watches = [w for i, w in enumerate(card.watches) if i not in left_out]
    if not all(decide.is_met(w) for w in watches if not w.names()):
        return None
    plus, choices = {}, {}
    ps = parts(card, watches, prefer, within)
    for p in ps:
        at = p.settle()
        if at is None:
            return None
        plus.update(at[0])
        choices.update(at[1])
    return worth(card, watches, ps, plus, choices), plus, choices


def worth(card, watches, ps, plus, choices):
    levels = sorted(w.chance(w.count(plus, choices)) for w in watches)
    sums = [sum(w(plus) if w.__name__ != 'distance' else Q(p.distance(plus), p.distance_scale()) for p, w in
                ((p, p.preferences()[i][0]) for p in ps)) for i in range(len(ps[0].preferences()) if ps else 0)]
    return ([-c for c in levels], card.m.ranks(choices), sum(h != 'nearest' for h in card.read.values()),
            sum(h in ('up', 'down') for h in dict((card.group(n), h) for n, h in card.rounding.items()).values()), sums,
            [plus[n] for n in card.terms])


class Leaving(object):
    """which demands a card can do with: whole card, each demand behind a switch"""

    def __init__(self, card):
        self.card = card
        self.p = CardPart(card, set(Shell(card).items), card.watches, 'closest', 2, whole=True)
        self.keep = [z3.Bool('keep %d' % i) for i in range(len(card.watches))]
        for b, w in zip(self.keep, card.watches):
            self.p.s.add(z3.Implies(b, self.p.met(w)))

    def can(self, kept, left):
        """all of those kept, and not more left out than so many"""
        few = z3.PbLe([(z3.Not(b), 1) for b in self.keep], left) if self.keep else z3.BoolVal(True)
        return self.p.possible(few, *[self.keep[i] for i in kept]) is not None


def leave_out(cards):
    """(the demands left out, the cards that need no more): the fewest; of equal choices those latest in the file"""
    able, n, left = [], len(cards[0].watches), -1
    every = [Leaving(c) for c in cards]
    while not able:
        left += 1
        able = [x for x in every if x.can([], left)]
    kept = []
    for i in range(n):
        more = [x for x in able if x.can(kept + [i], left)]
        if more:
            kept.append(i)
            able = more
    return tuple(i for i in range(n) if i not in kept), [x.card for x in able]


def ways(model):
    """every way of reading and rounding: [card]"""
    first = Card(model, {m: 'nearest' for m in model.box})
    used = sorted({m for t in first.terms.values() for m in t} |
                  {a[1] for d in model.demands for f in d.forms for a in f.atoms if a[0] == 'm'})
    groups = sorted({first.group(n) for n in first.terms if first.rounding[n] != 'exact'})
    for how in product(HOW, repeat=len(used)):
        for rounds in product(HOW, repeat=len(groups)):
            read = {m: 'nearest' for m in model.box}
            read.update(zip(used, how))
            yield Card(model, read, dict(zip(groups, rounds)))


def best_card(model, prefer='closest', within=2):
    """(card, left out, constants, choices)"""
    left_out, able = leave_out(list(ways(model)))
    found = [(settle_card(c, left_out, prefer, within), i, c) for i, c in enumerate(able)]
    (_, plus, choices), _, card = min((x for x in found if x[0]), key=lambda x: (x[0][0], x[1]))
    return card, left_out, plus, choices


def choices_as_designed(card, plus):
    """the punches for given constants: fewest unmet demands, then aims 1 and 2"""
    m, found = card.m, []
    for c in product(*[range(1, len(m.d.names[o.punches].sizes) + 1) for o in m.chosen.values()]):
        choices = dict(zip(m.chosen, c))
        js = [w.judge(w.count(plus, choices)) for w in card.watches]
        unmet = sum(j['state'] not in ('holds', 'at risk') for j in js)
        found.append((unmet, [-x for x in sorted(min(j['chance'], m.sure) for j in js)], m.ranks(choices), c))
    return dict(zip(m.chosen, min(found)[3]))


def widening(cards, left_out, i, prefer, within):
    """(bound, mm): the smallest widening with which demand i could be met beside the rest, by any of the ways of reading and
    rounding that keep the rest"""
    found = []
    for card in cards:
        c = decide.Conflict.__new__(decide.Conflict)
        c.p = CardPart(card, set(Shell(card).items), card.watches, prefer, within, whole=True)
        c.ws = card.watches
        found.append(c.change([j for j in range(len(card.watches)) if j == i or j not in left_out], i))
    return min((x for x in found if x[1] is not None), key=lambda x: x[1], default=(None, None))


def report(card, left_out, plus, choices, prefer='closest', within=2, widen=True):
    m = card.m
    out = {'design': m.d.title or '', 'edition': m.e.name, 'unit': m.e.unit, 'step_mm': M.text(m.step), 'sure': M.text(m.sure),
           'measures': [], 'lengths': [], 'demands': []}
    for o in m.d.names.values():
        if o.kind == 'measure':
            lo, hi = o.range or (m.sizes[o.name],) * 2
            out['measures'].append({'measure': o.name, 'read': card.read[o.name] if o.range else 'fixed',
                                    'from_mm': M.text(lo), 'to_mm': M.text(hi)})
    for n in m.items:
        if n in m.chosen:
            out['lengths'].append({'name': n, 'choice': choices[n]})
        elif n not in card.terms:
            out['lengths'].append({'name': n, 'chart_only': True})
        else:
            terms = [{'measure': x, 'times': M.text(card.terms[n][x])} for x in m.box if x in card.terms[n]]
            out['lengths'].append({'name': n, 'terms': terms, 'round': card.rounding[n], 'plus': plus[n]})
    of = {id(w.demand): w for w in card.watches}
    for d in m.demands:
        o = {'kind': d.kind, 'name': d.name}
        if d.direction:
            o['direction'] = d.direction
        w = of.get(id(d))
        if w is None:
            o['state'] = 'chart only'
        else:
            k = w.count(plus, choices)
            j = w.judge(k)
            o.update({'state': j['state'], 'least_mm': M.text(j['least']), 'nominal_mm': M.text(j['nominal']),
                      'most_mm': M.text(j['most']), 'chance': M.text(j['chance'])})
            corners = [dict(zip(w.slope, c)) for c in product(*[m.box[x] for x in w.slope])]
            worst = min(corners, key=lambda c: w.chance_at(k, c))
            o['weakest_at'] = {x: M.text(v) for x, v in worst.items()}
            if widen and j['state'] not in ('holds', 'at risk'):
                o['fails_at'] = o['weakest_at']
                o['widen_mm'] = M.text(widening(leave_out(list(ways(m)))[1], left_out, card.watches.index(w), prefer, within)[1])
        out['demands'].append(o)
    return out


def main(argv):
    if len(argv) < 2:
        print(__doc__, file=sys.stderr)
        return 2
    o = decide.options(argv[1:])
    m = Symbolic(M.load(o['file']), o['edition'], o['sure'])
    card, left_out, plus, choices = best_card(m, o['prefer'], o['within'])
    json.dump(report(card, left_out, plus, choices, o['prefer'], o['within']), sys.stdout, indent=1, ensure_ascii=False)
    print()
    return 0


if __name__ == '__main__':
    sys.exit(main(sys.argv))
