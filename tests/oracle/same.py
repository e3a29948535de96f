"""differences(want, got, status): how an answer of `cuts --json` differs from the one that is wanted, as a list of lines.
Rationals are compared as numbers; figures may differ by 10^-20 where a demand holds an enclosed constant. Further keys and the
order of keys do not matter."""
import json
from fractions import Fraction as Q

BROKEN = ('cannot hold', 'too tight', 'too loose', 'uneven')
VIEWS = ('designed', 'rounded', 'settled')


def show(x):
    return json.dumps(x, ensure_ascii=False, default=str)


class Differences(object):
    def __init__(self, slack):
        self.slack, self.lines = slack, []

    def same(self, where, want, got):
        if want != got or type(want) != type(got):
            self.lines.append('%s: expected %s, got %s' % (where, show(want), show(got)))

    def number(self, where, want, got, slack=Q(0)):
        if want is None or got is None:
            return self.same(where, want, got)
        if not isinstance(got, str):
            return self.lines.append('%s: a rational is a string, got %s' % (where, show(got)))
        try:
            if abs(Q(want) - Q(got)) > slack:
                self.lines.append('%s: expected %s (%.6f), got %s' % (where, want, float(Q(want)), got))
        except (ValueError, ZeroDivisionError):
            self.lines.append('%s: expected %s, got %s' % (where, want, show(got)))

    def names(self, what, key, want, got):
        """whether both lists name the same things in the same order"""
        w, g = [key(x) for x in want], [key(x) for x in got or []]
        self.same(what, w, g)
        return w == g


def demand_key(x):
    return [x.get('kind'), x.get('name'), x.get('direction')]


def heading(d, want, got, status):
    d.same('exit status', 1 if want['state'] in BROKEN else 0, status)
    for k in ('design', 'edition', 'unit', 'prefer', 'state', 'moved'):
        d.same(k, want[k], got.get(k))
    for k in ('step_mm', 'sure', 'deviation_mm'):
        d.number(k, want[k], got.get(k))
    d.same('enclosed', bool(want.get('enclosed')), bool(got.get('enclosed')))
    d.same('unwatched', sorted(want['unwatched']), sorted(got.get('unwatched') or []))


def lengths(d, want, got):
    if not d.names('names of lengths', lambda x: x.get('name'), want, got):
        return
    for x, y in zip(want, got):
        if 'choice' in x:
            d.same(x['name'] + ' choice', x['choice'], y.get('choice', 'missing'))
            continue
        d.number(x['name'] + ' designed_mm', x['designed_mm'], y.get('designed_mm'))
        d.same(x['name'] + ' nearest', x['nearest'], y.get('nearest'))
        d.same(x['name'] + ' marks', x['marks'], y.get('marks', 'missing'))


def pieces(d, want, got):
    if not d.names('names of pieces', lambda x: x.get('piece'), want, got):
        return
    for x, y in zip(want, got):
        for k in ('label', 'copies', 'stock'):
            d.same('%s %s' % (x['piece'], k), x[k], y.get(k))
        for way in ('across', 'down'):
            side(d, '%s %s' % (x['piece'], way), x[way], y.get(way))


def side(d, where, want, got):
    if want is None or got is None:
        d.same(where, want, got)
    elif 'punched_mm' in want:
        d.number(where + ' punched_mm', want['punched_mm'], got.get('punched_mm'))
    else:
        d.same(where + ' cut', want['cut'], got.get('cut'))
        for key in ('scores', 'cuts'):
            d.same('%s %s' % (where, key), want.get(key, []), [{'from': s.get('from'), 'at': s.get('at')} for s in got.get(key, [])])


def demands(d, want, got):
    if not d.names('demands', demand_key, want, got):
        return
    for x, y in zip(want, got):
        name = ' '.join(z for z in demand_key(x) if z)
        allowed = y.get('allowed_mm') or [None, None]
        for i in (0, 1):
            d.number('%s allowed_mm[%d]' % (name, i), x['allowed_mm'][i], allowed[i])
        d.same(name + ' exact', bool(x.get('exact')), bool(y.get('exact')))
        for view in VIEWS:
            judged(d, '%s %s' % (name, view), x[view], y.get(view))


def judged(d, where, want, got):
    if want is None or got is None:
        return d.same(where, want, got)
    d.same(where + ' state', want['state'], got.get('state'))
    for f in ('least_mm', 'nominal_mm', 'most_mm', 'chance'):
        d.number('%s %s' % (where, f), want[f], got.get(f), d.slack)


def differences(want, got, status):
    d = Differences(Q(1, 10 ** 20) if want.get('enclosed') else Q(0))
    heading(d, want, got, status)
    lengths(d, want['lengths'], got.get('lengths') or [])
    pieces(d, want['pieces'], got.get('pieces') or [])
    demands(d, want['demands'], got.get('demands') or [])
    return d.lines
