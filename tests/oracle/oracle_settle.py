#!/usr/bin/python3
"""oracle_settle.py [--cases N] [--times K] [--seed S] [--only CASE] [--show CASE]

Settled marks of `$NEARMARK cuts --json` on random designs: every figure is held against model.py, and Z3 proves by plain
decisions that the marks are allowed and that nothing better is, each aim of DEVELOPERS.md in turn; where nothing is said
to meet every demand, that this is so, and that the conflict, its changes and the finer marks are as section 5 says. A failure
prints its seed and case; --show prints a case's design and call, --only runs it alone."""
import argparse
import os
import sys
import tempfile
import time
from collections import Counter
from fractions import Fraction as Q

sys.dont_write_bytecode = True
import decide
import generate
import model
import program
import reader
import same

SEED, CASES = 20611, 200
ROWS = 10 ** 6                 # from this number on a case is of a design with rows; so many of them as a third of the others
SHOWN = 10
# of 200 cases so many must be of each kind, or the run proves less than it says
WANTED = {'whose rounded list breaks a demand': 60, 'that nothing can meet': 40, 'whose weakest demand cannot be sure': 40,
          'with repeated panels, copies or scores from both edges': 60, 'with mats on a shared step': 40,
          'that move a length by two marks or more': 20, 'with six lengths or more': 100, 'easiest': 60, 'closest': 60,
          'sure 100%': 20, 'sure 95%': 40, 'with punches': 15, 'with a score step': 10, 'as designed': 4,
          'with a conflict of several demands': 15, 'with rows': 60, 'with rows that can be met': 25, 'with a score between two rests': 3,
          'with two lists that are equally wide': 10}


def arguments():
    p = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    p.add_argument('--cases', type=int, default=CASES)
    p.add_argument('--times', type=int, default=1)
    p.add_argument('--seed', type=int, default=SEED)
    p.add_argument('--only', type=int)
    p.add_argument('--show', type=int)
    return p.parse_args()


class Case(object):
    def __init__(self, seed, number):
        rows = number >= ROWS
        self.text, self.prefer, self.sure, self.within = generate.case(seed, number, range(5, 14) if rows else generate.sizes(number), rows=rows)
        self.design = reader.read(self.text)
        self.model = self.at(None)

    def at(self, step):
        return model.Model(self.design, 'try', Q(999, 1000) if self.sure is None else self.sure, step,
                           None if step is None else self.model.inch_marks)

    def options(self):
        return program.options('try', self.prefer, self.sure, self.within)

    # ---- checks: lists of what is wrong ----

    def check(self, got, status):
        self.got = got
        try:
            marks, choices = model.given(got) if got.get('state') else (None, None)
        except (KeyError, TypeError):
            return ['no list of lengths as documented']
        wrong = self.not_marks(marks, choices)
        if wrong:
            return wrong
        wrong = same.differences(self.model.report(self.prefer, marks, choices), got, status)
        if marks is None:
            return wrong + self.check_conflict()
        if self.model.e.as_designed:
            return wrong + self.check_as_designed(marks, choices)
        within = 2 if self.within is None else self.within
        return wrong + decide.prove(self.model, self.prefer, within, marks, choices)

    def not_marks(self, marks, choices):
        if marks is None:
            return []
        if set(marks) != set(self.model.lengths) or set(choices) != set(self.model.chosen):
            return ['other lengths: %s' % sorted(set(marks) ^ set(self.model.lengths) | set(choices) ^ set(self.model.chosen))]
        whole = lambda n: isinstance(n, int) and not isinstance(n, bool) and n >= 1
        counts = {n: len(self.design.names[o.punches].sizes) for n, o in self.model.chosen.items()}
        wrong = [n for n, v in marks.items() if not whole(v)] + [n for n, v in choices.items() if not whole(v) or v > counts[n]]
        return ['no mark or choice: %s' % wrong] if wrong else []

    def check_as_designed(self, marks, choices):
        wrong = ['%s is not at its nearest mark' % n for n in marks if marks[n] != self.model.nearest(n)]
        want = self.model.choices_as_designed()
        return wrong + ['choice of %s: expected %d' % (n, want[n]) for n in want if want[n] != choices[n]]

    def check_conflict(self):
        wrong = ['there are marks that meet every demand'] if decide.can_hold(self.model) else []
        if wrong:
            return wrong
        want, got = decide.Conflict(self.model).report(), self.got.get('conflict')
        wrong = self.compare_conflict(want, got)
        finer = model.text(decide.finer(self.at, self.model.step))
        d = same.Differences(Q(0))
        d.number('finer_mm', finer, self.got.get('finer_mm', 'missing'))
        return wrong + d.lines

    def compare_conflict(self, want, got):
        if not isinstance(got, list):
            return ['no conflict is named; expected %s' % same.show(want)]
        d = same.Differences(Q(0))
        if d.names('conflict', same.demand_key, want, got):
            for x, y in zip(want, got):
                if x['change_mm'] is not None:     # an even or exactly has no bound to change
                    d.same('bound of %s' % x['name'], x['bound'], y.get('bound'))
                d.number('change of %s' % x['name'], x['change_mm'], y.get('change_mm'))
            return d.lines
        return d.lines + decide.conflict_faults(self.model, [tuple(same.demand_key(y)) for y in got])

    # ---- what kind of case it was ----

    def kinds(self):
        m, got = self.model, self.got
        held = got['state'] != 'cannot hold'
        broken = lambda view: any(x[view] and x[view]['state'] not in ('holds', 'at risk') for x in got['demands'])
        yield 'whose rounded list breaks a demand', broken('rounded')
        yield 'that nothing can meet', not held
        yield 'with a conflict of several demands', len(got.get('conflict') or []) > 1
        if held and not m.e.as_designed:
            yield 'whose weakest demand cannot be sure', any(x['settled']['state'] == 'at risk' for x in got['demands'])
            yield 'that move a length by two marks or more', any(abs(x['marks'] - x['nearest']) > 1
                                                                 for x in got['lengths'] if 'marks' in x)
        yield 'with repeated panels, copies or scores from both edges', (
            any(len(v) > 1 for v in m.stretches.values()) or any(p.copies > 1 for p in m.d.pieces)
            or any({'first', 'last'} <= set(e.values()) for e in m.edge.values()))
        yield 'with mats on a shared step', any(p.kind == 'mat' and p.length in m.shared for p in m.d.pieces)
        yield 'with six lengths or more', len(m.lengths) >= 6
        yield self.prefer, True
        yield 'sure %s' % program.percent(m.sure), True
        yield 'with punches', bool(m.chosen)
        yield 'with a score step', m.e.scores is not None
        yield 'as designed', m.e.as_designed
        rows = [(p, w) for p in m.d.pieces if p.kind == 'piece' for w in model.WAYS if len(p.rows[w]) > 1]
        yield 'with rows', bool(rows)
        yield 'with rows that can be met', bool(rows) and held
        rules = [c[2] for c in decide.Constraints(m).list]
        yield 'with a score between two rests', any(not isinstance(c, int) and c[0] == 'half' for c in rules)
        yield 'with two lists that are equally wide', 'nothing' in rules


def run(case, path):
    with open(path, 'w', encoding='utf-8') as f:
        f.write(case.text)
    try:
        got, status = program.run('cuts', path, *case.options())
        return case.check(got, status)
    except program.NoAnswer as e:
        return [str(e)]
    except decide.Unknown as e:
        return ['Z3 cannot tell: %s' % e]


def main():
    a = arguments()
    if a.show is not None:
        case = Case(a.seed, a.show)
        print('# nearmark cuts CASE %s --json\n%s' % (' '.join(case.options()), case.text), end='')
        return 0
    count = a.cases * a.times
    numbers = [a.only] if a.only is not None else list(range(count)) + list(range(ROWS, ROWS + count // 3))
    print('seed %d, %d cases' % (a.seed, len(numbers)))
    passed, failed, seen, start = 0, 0, Counter(), time.monotonic()
    with tempfile.TemporaryDirectory() as folder:
        for i in numbers:
            case = Case(a.seed, i)
            wrong = run(case, os.path.join(folder, 'case.design'))
            passed, failed = passed + (not wrong), failed + bool(wrong)
            if wrong:
                print('case %d (--seed %d --only %d):' % (i, a.seed, i))
                print('\n'.join('   ' + w for w in wrong[:SHOWN]))
            else:
                seen.update(k for k, yes in case.kinds() if yes)
    for kind, least in WANTED.items():
        least = least * (min(len(numbers), count) // 200)
        print('%5d %s%s' % (seen[kind], kind, ' (at least %d wanted)' % least if least else ''))
        if seen[kind] < least and not failed:
            failed += 1
    print('%.0f seconds' % (time.monotonic() - start))
    print('%d passed, %d failed' % (passed, failed))
    return 1 if failed else 0


if __name__ == '__main__':
    sys.exit(main())
