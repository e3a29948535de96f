"""Running the program under test: $NEARMARK, or build/nearmark of this tree."""
import json
import os
import shlex
import subprocess
from fractions import Fraction as Q

HERE = os.path.dirname(os.path.abspath(__file__))
TREE = os.path.dirname(os.path.dirname(HERE))
LIMIT = 30      # seconds for one call


class NoAnswer(Exception):
    pass


def command():
    return shlex.split(os.environ.get('NEARMARK') or os.path.join(TREE, 'build', 'nearmark'))


def percent(sure):
    p = sure * 100
    return '%d%%' % p if p.denominator == 1 else '%s%%' % format(float(p), '.10g')


def run(*arguments):
    """(the JSON of a call, its exit status)"""
    try:
        r = subprocess.run(command() + list(arguments) + ['--json'], stdout=subprocess.PIPE, stderr=subprocess.PIPE, timeout=LIMIT)
    except (OSError, subprocess.TimeoutExpired) as e:
        raise NoAnswer(str(e))
    try:
        return json.loads(r.stdout.decode('utf-8')), r.returncode
    except ValueError:
        raise NoAnswer('no JSON, exit status %d: %s' % (r.returncode, r.stderr.decode('utf-8', 'replace')[:400]))


def options(edition, prefer, sure=None, within=None):
    out = ['--edition', edition, '--prefer', prefer]
    if sure is not None and sure != Q(999, 1000):
        out += ['--sure', percent(sure)]
    return out + (['--within', str(within)] if within is not None else [])


def cuts(path, edition, prefer, sure=None, within=None):
    return run('cuts', path, *options(edition, prefer, sure, within))
