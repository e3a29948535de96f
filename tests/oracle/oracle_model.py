#!/usr/bin/python3
"""oracle_model.py [--cases N] [--seed S]: whether the oracle itself can be trusted.

The model reproduces the frozen answers of tests/data/reference when given their marks, and finds them itself; on small random
designs its marks are the best of a window tried one by one, by the words of DEVELOPERS.md alone; and a proof fails
for marks that are not the settled ones."""
import argparse
import glob
import json
import os
import sys
from fractions import Fraction as Q
from itertools import product

sys.dont_write_bytecode = True
import decide
import generate
import model
import program
import reader
import same

SEED, CASES, LEAST = 5, 20, 43
WINDOW = 3
DATA = os.path.join(program.TREE, 'tests', 'data')


def references():
    """[(name, what is wrong)]"""
    for name in sorted(glob.glob(os.path.join(DATA, 'reference', '*.json'))):
        with open(name, encoding='utf-8') as f:
            want = json.load(f)
        path = os.path.join(DATA, os.path.basename(name).split('.')[0] + '.design')
        status = 1 if want['state'] in same.BROKEN else 0
        found = decide.answer(model.load(path), want['edition'], want['prefer'], 2, Q(want['sure']))
        yield os.path.basename(name), same.differences(want, model.judge_given(path, want), status) + same.differences(want, found, status)


def fineness(m, mark):
    """the words of section 5 once more"""
    x = mark * m.step
    if m.inch_marks:
        d, k = (x / Q(254, 10)).denominator, 0
        while d % 2 == 0:
            d, k = d // 2, k + 1
        return k
    return next((i for i, unit in enumerate((10, 5, 1)) if (x / unit).denominator == 1), 3)


def worth(m, prefer, within, marks, choices):
    """what is to be smallest: aims 1 to 4; None where a demand or a rule is broken"""
    value = m.atom_settled(marks, choices)
    for d in m.demands:     # every combination has this nominal
        nominal = d.forms[0].c + sum(k * value(a) for a, k in d.forms[0].atoms.items())
        if d.lo is not None and nominal < d.lo or d.hi is not None and nominal > d.hi:
            return None
    js = [m.judge(d, value) for d in m.demands]
    if any(j['state'] not in ('holds', 'at risk') for j in js) or breaks_rule(m, marks, choices):
        return None
    out = [[-c for c in sorted(min(j['chance'], m.sure) for j in js)], m.ranks(choices)]
    far = [abs(marks[n] * m.step - m.designed[n]) for n in m.lengths]
    if prefer == 'easiest':
        out += [sum(x > within * m.step for x in far), sum(fineness(m, marks[n]) for n in m.lengths)]
    return out + [sum(m.moved(n, marks[n]) for n in m.lengths), sum(far), [marks[n] for n in m.lengths]]


def breaks_rule(m, marks, choices):
    """a mat under one mark, a score off its step, a strip that is not whole"""
    for p in m.d.pieces:
        for way in model.WAYS:
            if p.kind == 'mat' and m.marks_whole(p.name, way, marks) < 1:
                return True
            if p.kind == 'piece' and m.e.scores is not None:
                if any((s['at'] * m.step / m.e.scores).denominator != 1 for s in m.cut_list(p, way, marks, choices)['scores']):
                    return True
    value = m.atom_settled(marks, choices)
    for s in m.d.statements:
        if s.kind == 'border' and s.whole:
            for way in model.WAYS:
                f = model.evaluate(m.strip(s.piece, s.on, way), lambda g: m.demand_name(g, None, decide.Everywhere(m)))
                if (sum(k * value(a) for a, k in f.atoms.items()) / m.step).denominator != 1:
                    return True
    return False


def window(m, marks):
    """marks near the nearest ones and near those given"""
    ranges = []
    for n in m.lengths:
        around = [m.nearest(n)] + ([marks[n]] if marks else [])
        ranges.append(sorted({k + i for k in around for i in range(-WINDOW, WINDOW + 1) if k + i >= 1}))
    counts = [range(1, len(m.d.names[o.punches].sizes) + 1) for o in m.chosen.values()]
    for values in product(*ranges):
        for c in product(*counts):
            yield dict(zip(m.lengths, values)), dict(zip(m.chosen, c))


def tried(seed, number):
    """what is wrong with the settled marks of one small design"""
    text, prefer, sure, within = generate.case(seed, number, range(3, 5))
    within = 2 if within is None else within
    m = model.Model(reader.read(text), 'try', Q(999, 1000) if sure is None else sure)
    m.e.as_designed = False
    marks, choices = decide.settle(m, prefer, within)
    worths = [(worth(m, prefer, within, *w), w) for w in window(m, marks)]
    allowed = [x for x in worths if x[0] is not None]
    if marks is None:
        return ['there are marks: %s' % (allowed[0][1],)] if allowed else []
    best = min(allowed, key=lambda x: x[0])
    wrong = ['settled %s, better %s' % ((marks, choices), best[1])] if best[1] != (marks, choices) else []
    wrong += decide.prove(m, prefer, within, marks, choices)
    for _, other in sorted(allowed, key=lambda x: x[0])[1:4]:
        if not decide.prove(m, prefer, within, *other):
            wrong.append('a proof for %s too' % (other,))
    return wrong


def main():
    p = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    p.add_argument('--cases', type=int, default=CASES)
    p.add_argument('--seed', type=int, default=SEED)
    a = p.parse_args()
    print('seed %d, %d cases' % (a.seed, a.cases))
    found = list(references())
    found.append(('%d references' % len(found), [] if len(found) >= LEAST else ['too few']))
    found += [('case %d' % i, tried(a.seed, i)) for i in range(a.cases)]
    for name, wrong in found:
        for line in wrong[:8]:
            print('%s: %s' % (name, line))
    failed = sum(bool(w) for _, w in found)
    print('%d passed, %d failed' % (len(found) - failed, failed))
    return 1 if failed else 0


if __name__ == '__main__':
    sys.exit(main())
