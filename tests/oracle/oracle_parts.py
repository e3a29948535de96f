#!/usr/bin/python3
"""oracle_parts.py [--pairs N] [--seed S] [--only PAIR] [--show PAIR]

Parts of a design that have nothing in common do not see one another: two random designs in one file, their names made
different, are settled by `$NEARMARK cuts --json` to the marks that each has alone, and every demand, the moves and the way in
all come out as alone. Only pairs of which each can be met by itself. A failure prints its seed and pair; --show prints the
design of a pair and its call, --only runs it alone."""
import argparse
import os
import re
import sys
import tempfile
import time
from collections import Counter
from fractions import Fraction as Q

sys.dont_write_bytecode = True
import generate
import model
import program
import reader

SEED, PAIRS = 20613, 200
TRIES = 60          # designs drawn for one pair at most
ALONE = 8           # seconds for a design alone; one that takes longer says nothing of parts, and is left out
LEFT_OUT = 5        # of 200 pairs at most so many
SHOWN = 10
STATES = ('holds', 'at risk', 'uneven', 'too loose', 'too tight')
OUTSIDE_QUOTES = re.compile(r'(?<!\S)"[^"]*"|[^\W\d_]\w*')     # a quote after a number is an inch
# of 200 pairs so many must be of each kind, or the run proves less than it says
WANTED = {'in which both designs have moved lengths': 50, 'in which one is sure and the other is not': 20, 'easiest': 60,
          'closest': 60, 'in which neither is sure': 10, 'with punches': 8, 'with mats in both': 20, 'with a score step': 10}


def arguments():
    p = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    p.add_argument('--pairs', type=int, default=PAIRS)
    p.add_argument('--seed', type=int, default=SEED)
    p.add_argument('--only', type=int)
    p.add_argument('--show', type=int)
    return p.parse_args()


def renamed(text, ending):
    """the text with every name of the design made another"""
    names = set(reader.read(text).names)
    return OUTSIDE_QUOTES.sub(lambda m: m.group() + ending if m.group() in names else m.group(), text)


def without(text, *statements):
    return ''.join(l for l in text.splitlines(True) if l.split(None, 1)[0] not in statements)


class Folder(object):
    """runs texts through the program"""

    def __init__(self, path):
        self.path, self.left_out = os.path.join(path, 'parts.design'), 0

    def cuts(self, text, options):
        with open(self.path, 'w', encoding='utf-8') as f:
            f.write(text)
        return program.run('cuts', self.path, *options)[0]

    def can_be_met(self, text, options):
        """the answer for a design alone, None if there is none or it takes long"""
        usual, program.LIMIT = program.LIMIT, ALONE
        try:
            got = self.cuts(text, options)
            return got if got['state'] != 'cannot hold' else None
        except program.NoAnswer as e:
            if 'timed out' not in str(e):
                raise
            self.left_out += 1
            return None
        finally:
            program.LIMIT = usual


class Pair(object):
    """two designs for the edition of the first; `alone` are the answers, `together` is the file with both"""

    def __init__(self, folder, seed, number):
        self.designs, self.alone, edition = [], [], ''
        for again in range(TRIES):
            case = number * TRIES + again
            text, prefer, sure, within = generate.case(seed, case, generate.sizes(case))
            if not edition:
                if 'as designed' in text:
                    continue
                self.prefer, self.options = prefer, program.options('try', prefer, sure, within)
                mine = [l for l in text.splitlines(True) if l.startswith('edition')]
            body = renamed(without(text, 'design', 'edition'), '_%s' % 'ab'[len(self.designs)])
            if not self.can_be_drawn(body + ''.join(edition or mine)):
                continue
            got = folder.can_be_met(body + ''.join(edition or mine), self.options)
            if got is None:
                continue
            edition = edition or mine
            self.designs.append(body)
            self.alone.append(got)
            if len(self.designs) == 2:
                break
        else:
            raise AssertionError('no two designs that can be met in %d' % TRIES)
        self.scores = ' scores ' in edition[0]
        self.together = 'design "Two"\n' + ''.join(self.designs) + ''.join(edition)

    @staticmethod
    def can_be_drawn(text):
        """in the marks of another design's edition a layer may come out at nothing: the reader of the tests says so too"""
        try:
            m = model.Model(reader.read(text), 'try')
        except model.Refused:
            return False
        return all(m.designed_whole(p.name, w) > 0 for p in m.d.pieces if p.kind == 'mat' for w in model.WAYS)

    def differences(self, got):
        a, b = self.alone
        if got['state'] == 'cannot hold':
            return ['each can be met, both together cannot']
        wrong = ['%s: alone %s, together %s' % (x['name'], x, y)
                 for x, y in zip(a['lengths'] + b['lengths'], got['lengths']) if x != y]
        wrong += ['%s: alone %s, together %s' % (x['name'], x, y)
                  for x, y in zip(a['demands'] + b['demands'], got['demands']) if x != y]
        wrong += ['%s: alone %s, together %s' % (x['piece'], x, y)
                  for x, y in zip(a['pieces'] + b['pieces'], got['pieces']) if x != y]
        for k in ('lengths', 'demands', 'pieces'):
            if len(got[k]) != len(a[k]) + len(b[k]):
                wrong.append('%d %s, alone %d and %d' % (len(got[k]), k, len(a[k]), len(b[k])))
        sums = {'moved': a['moved'] + b['moved'], 'deviation_mm': Q(a['deviation_mm']) + Q(b['deviation_mm']),
                'state': max(a['state'], b['state'], key=STATES.index)}
        return wrong + ['%s: %s, expected %s' % (k, got[k], v) for k, v in sums.items()
                        if (Q(got[k]) if k == 'deviation_mm' else got[k]) != v]

    def kinds(self):
        risky = [x['state'] == 'at risk' for x in self.alone]
        yield 'in which both designs have moved lengths', all(x['moved'] for x in self.alone)
        yield 'in which one is sure and the other is not', risky[0] != risky[1]
        yield 'in which neither is sure', all(risky)
        yield self.prefer, True
        yield 'with punches', any('choice' in l for x in self.alone for l in x['lengths'])
        yield 'with mats in both', all(any(p['kind'] == 'mat' for p in x['pieces']) for x in self.alone)
        yield 'with a score step', self.scores


def main():
    a = arguments()
    numbers = [a.only] if a.only is not None else [a.show] if a.show is not None else range(a.pairs)
    passed, failed, seen, start = 0, 0, Counter(), time.monotonic()
    with tempfile.TemporaryDirectory() as path:
        folder = Folder(path)
        if a.show is not None:
            pair = Pair(folder, a.seed, a.show)
            print('# nearmark cuts PAIR %s --json\n%s' % (' '.join(pair.options), pair.together), end='')
            return 0
        print('seed %d, %d pairs' % (a.seed, len(numbers)))
        for i in numbers:
            try:
                pair = Pair(folder, a.seed, i)
                wrong = pair.differences(folder.cuts(pair.together, pair.options))
            except program.NoAnswer as e:
                wrong = [str(e)]
            passed, failed = passed + (not wrong), failed + bool(wrong)
            if wrong:
                print('pair %d (--seed %d --only %d):' % (i, a.seed, i))
                print('\n'.join('   ' + w for w in wrong[:SHOWN]))
            else:
                seen.update(k for k, yes in pair.kinds() if yes)
    for kind, least in WANTED.items():
        least = least * (len(numbers) // 200)
        print('%5d %s%s' % (seen[kind], kind, ' (at least %d wanted)' % least if least else ''))
        if seen[kind] < least and not failed:
            failed += 1
    print('%5d designs left out that took longer than %d seconds alone' % (folder.left_out, ALONE))
    failed += folder.left_out > max(1, LEFT_OUT * len(numbers) // 200)
    print('%.0f seconds' % (time.monotonic() - start))
    print('%d passed, %d failed' % (passed, failed))
    return 1 if failed else 0


if __name__ == '__main__':
    sys.exit(main())
