#!/usr/bin/python3
"""oracle_reference.py [--self]

Holds `$NEARMARK cuts --json` against the frozen answers in tests/data/reference, which a second program and a general solver
proved. --self: the model of this folder instead of the program, given the marks of each answer."""
import glob
import json
import os
import sys
from fractions import Fraction as Q

sys.dont_write_bytecode = True
import model
import program
import same

DATA = os.path.join(program.TREE, 'tests', 'data')
SHOWN = 8
LEAST = 43      # answers that must be there


def answer(path, want, itself):
    if itself:
        return model.judge_given(path, want), 1 if want['state'] in same.BROKEN else 0
    return program.cuts(path, want['edition'], want['prefer'], Q(want['sure']))


def main(argv):
    itself = argv[1:] == ['--self']
    if argv[1:] and not itself:
        print(__doc__, file=sys.stderr)
        return 2
    passed = failed = 0
    for name in sorted(glob.glob(os.path.join(DATA, 'reference', '*.json'))):
        with open(name, encoding='utf-8') as f:
            want = json.load(f)
        design = os.path.join(DATA, os.path.basename(name).split('.')[0] + '.design')
        try:
            wrong = same.differences(want, *answer(design, want, itself))
        except program.NoAnswer as e:
            wrong = [str(e)]
        failed, passed = failed + bool(wrong), passed + (not wrong)
        for line in (['%s: %d differences' % (os.path.basename(name), len(wrong))] + wrong[:SHOWN] if wrong else []):
            print('   ' + line)
    if passed + failed < LEAST:
        print('only %d reference answers found' % (passed + failed))
        failed += 1
    print('%d passed, %d failed' % (passed, failed))
    return 1 if failed else 0


if __name__ == '__main__':
    sys.exit(main(sys.argv))
