"""A plain reader of well-formed design files (DEVELOPERS.md, without rows). It shares nothing with lib/ and gives no
good diagnostics: a file it cannot read raises Unread.

read(text) returns a Design. Formulas are tuples:
  ('num', q)  ('len', metric_mm, inch_mm)  ('pi',)  ('neg', a)  ('add'|'sub'|'mul'|'div', a, b)
  ('min'|'max'|'abs'|'sqrt', [a, ...])  ('name', n)  ('dot', a, b)  ('total'|'outside', piece or None, panel)
A length written twice keeps both; one written once has the same twice."""
import re
import unicodedata
from fractions import Fraction as Q

UNITS = {'mm': Q(1), 'cm': Q(10), 'm': Q(1000), 'in': Q(254, 10), 'inch': Q(254, 10), 'inches': Q(254, 10),
         'ft': Q(3048, 10), 'mil': Q(254, 10000), '"': Q(254, 10), '″': Q(254, 10), '”': Q(254, 10),
         "'": Q(3048, 10), '′': Q(3048, 10), '’': Q(3048, 10)}
INCHES = {'in', 'inch', 'inches', 'ft', 'mil', '"', '″', '”', "'", '′', '’'}
VULGAR = '¼½¾⅐⅑⅒⅓⅔⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞'
NUMBER = re.compile(r'(?:(\d+)(?:[ ]+|-)(\d+)/(\d+)|(\d+)/(\d+)|(\d+)\s?([%s])|([%s])|(\d+[.,]\d+|\d+))' % (VULGAR, VULGAR))
UNIT = re.compile(r'\s*(mm|cm|mil|inches|inch|in|ft|m|["″”\'′’])(?!\w)')
NAME = re.compile(r'[^\W\d_]\w*')
OPEN, CLOSE = '"“”', '"”“'


class Unread(Exception):
    pass


class Obj(object):
    def __init__(self, **k):
        self.__dict__.update(k)

    def __repr__(self):
        return 'Obj(%s)' % self.__dict__


def vulgar(c):
    return Q(unicodedata.numeric(c)).limit_denominator(16)


class Scan(object):
    """A place in one statement."""

    def __init__(self, s):
        self.s, self.i = s, 0

    def skip(self):
        while self.i < len(self.s) and self.s[self.i] in ' \t':
            self.i += 1

    def fail(self, what):
        raise Unread('%s, at %r of %r' % (what, self.s[self.i:self.i + 20], self.s))

    def end(self):
        self.skip()
        return self.i >= len(self.s)

    def peek(self, *words):
        self.skip()
        for w in words:
            if self.s.startswith(w, self.i):
                j = self.i + len(w)
                if not (w[-1].isalnum() and j < len(self.s) and (self.s[j].isalnum() or self.s[j] == '_')):
                    return w
        return None

    def take(self, *words):
        w = self.peek(*words)
        if w:
            self.i += len(w)
        return w

    def need(self, *words):
        return self.take(*words) or self.fail('expected %s' % ' or '.join(words))

    def match(self, pattern):
        self.skip()
        m = pattern.match(self.s, self.i)
        if m:
            self.i = m.end()
        return m

    def name(self):
        m = self.match(NAME)
        return m.group() if m else self.fail('expected a name')

    def maybe_name(self):
        self.skip()
        m = NAME.match(self.s, self.i)
        return m.group() if m else None

    def quoted(self):
        self.skip()
        if self.i < len(self.s) and self.s[self.i] in OPEN:
            j = self.i + 1
            while j < len(self.s) and self.s[j] not in CLOSE:
                j += 1
            t = self.s[self.i + 1:j]
            self.i = j + 1
            return t
        return None

    def integer(self):
        m = self.match(re.compile(r'\d+'))
        return int(m.group()) if m else None

    # ---- written lengths ----

    def raw(self):
        """one number and its unit: (value in mm or a bare number, unit or None), or None"""
        self.skip()
        start = self.i
        m = NUMBER.match(self.s, self.i)
        if not m:
            return None
        u = UNIT.match(self.s, m.end())
        if m.group(4) and not u:          # 3/16 without a unit is a division
            m = re.compile(r'()()()()()()()()(\d+)').match(self.s, self.i)
        self.i = m.end()
        w, a, b, c, d, e, f, g, h = m.groups()
        if w:
            v = Q(int(w)) + Q(int(a), int(b))
        elif c:
            v = Q(int(c), int(d))
        elif e:
            v = Q(int(e)) + vulgar(f)
        elif g:
            v = vulgar(g)
        else:
            v = Q(h.replace(',', '.'))
        if not u:
            return v, None
        self.i = u.end()
        unit = u.group(1)
        if unit in "'′’":                 # feet and inches
            here = self.i
            more = self.raw()
            if more and more[1] in ('"', '″', '”', 'in'):
                return v * UNITS[unit] + more[0], unit
            self.i = here
        if self.i == start:
            self.fail('a number')
        return v * UNITS[unit], unit

    def sign(self):
        self.skip()
        if self.i < len(self.s) and self.s[self.i] in '-−':
            self.i += 1
            return -1
        return 1

    def length(self, twin=True, minus=False, unit=None):
        """('len', metric, inch); `unit` serves where it may be left out"""
        k = self.sign() if minus else 1
        r = self.raw()
        if r is None:
            self.fail('expected a length')
        v, u = r
        if u is None:
            if unit is None and v != 0:
                self.fail('expected a unit')
            v, u = v * UNITS[unit or 'mm'], unit or 'mm'
        v *= k
        if twin and self.peek('or'):
            here = self.i
            self.take('or')
            k = self.sign() if minus else 1
            r = self.raw()
            if r and r[1]:
                a, b = (r[0] * k, v) if u in INCHES else (v, r[0] * k)
                if (u in INCHES) == (r[1] in INCHES):
                    self.fail('twice in the same kind of unit')
                return ('len', a, b)
            self.i = here
        return ('len', v, v)

    def unit_ahead(self):
        """the unit of the length after the next `to`, for a first length that leaves it out"""
        m = re.compile(r'\s*[-−]?[^()|]*?\bto\b\s*[-−]?').match(self.s, self.i)
        if not m:
            return None
        s = Scan(self.s)
        s.i = m.end()
        r = s.raw()
        return r[1] if r else None

    def bounds(self):
        if self.take('at'):
            w = self.need('least', 'most')
            l = self.length(minus=True)
            return (l, None) if w == 'least' else (None, l)
        a = self.length(minus=True, unit=self.unit_ahead())
        self.need('to')
        return (a, self.length(minus=True))

    def size_pair(self):
        """A x B unit"""
        a = self.raw()
        self.need('x', '×')
        b = self.raw()
        unit = b[1] or a[1]
        if unit is None:
            self.fail('expected a unit')
        return tuple(v if u else v * UNITS[unit] for v, u in (a, b))

    def sheets(self):
        out = []
        while True:
            m = self.match(re.compile(r'\d+x\d+(?!\w)'))
            if m:
                out.append(m.group())
            elif self.maybe_name():
                out.append(self.name())
            else:
                out.append(self.size_pair())
            if not self.take('or'):
                return out

    # ---- formulas ----

    def formula(self):
        a = self.term()
        while True:
            w = self.take('+', '-', '−')
            if not w:
                return a
            a = ('add' if w == '+' else 'sub', a, self.term())

    def term(self):
        a = self.factor()
        while True:
            w = self.take('*', '/')
            if not w:
                return a
            a = ('mul' if w == '*' else 'div', a, self.factor())

    def factor(self):
        if self.take('-', '−'):
            return ('neg', self.factor())
        if self.take('('):
            a = self.formula()
            self.need(')')
            return a
        self.skip()
        if self.i < len(self.s) and (self.s[self.i].isdigit() or self.s[self.i] in VULGAR):
            here = self.i
            v, u = self.raw()
            if u is None:
                return ('num', v)
            self.i = here
            return self.length()
        n = self.name()
        if n in ('min', 'max', 'abs', 'sqrt'):
            self.need('(')
            args = [self.formula()]
            while self.take(','):
                args.append(self.formula())
            self.need(')')
            return (n, args)
        if n == 'pi':
            return ('pi',)
        if n in ('total', 'outside'):
            a = self.name()
            if self.take('.'):
                return (n, a, self.name())
            return (n, None, a)
        if self.take('.'):
            return ('dot', n, self.name())
        return ('name', n)


# ---- statements ----

def strip_comment(line):
    inside = None
    for i, c in enumerate(line):
        if inside:
            if c in CLOSE:
                inside = None
        elif c in OPEN and not (i and (line[i - 1].isdigit() or line[i - 1] in VULGAR)):
            inside = c
        elif c == '#' and (i == 0 or line[i - 1] in ' \t'):
            return line[:i].rstrip()
    return line.rstrip()


def statements(text):
    text = text.lstrip('\ufeff').replace('\r\n', '\n').replace('\xa0', ' ').replace('\u202f', ' ')
    text = text.replace('+-', '±').replace('+/-', '±')
    out, going = [], False
    for line in text.split('\n'):
        s = strip_comment(line).strip()
        if not s:
            continue
        if going:
            out[-1] += ' ' + s
        else:
            out.append(s)
        going = out[-1].endswith('|')
    return out


def own_name(s):
    """what an unnamed demand is called: the statement after its keyword"""
    return re.sub(r'[ \t]+', ' ', s).strip().replace('×', 'x')


class Design(object):
    def __init__(self):
        self.title = ''
        self.names = {}          # measures, stocks, lets, pieces, openings, punches
        self.pieces = []         # pieces of panels, mats, pieces from punches
        self.chosen = []         # openings and pieces from punches, in file order
        self.statements = []     # what lays down demands or lengths, in file order
        self.editions = []

    def add(self, o):
        if o.name in self.names:
            raise Unread('%s twice' % o.name)
        self.names[o.name] = o
        return o


def size(c):
    """a size that something lies on"""
    a = c.name()
    return ('dot', a, c.name()) if c.take('.') else ('name', a)


def on(c):
    """('piece', name) or ('pair', a, b) or ('across', a) or ('down', b)"""
    a = size(c)
    if c.take('x', '×'):
        return ('pair', a, size(c))
    w = c.take('across', 'down')
    return (w, a) if w else ('piece', a[1])


def read_measure(d, c):
    o = Obj(kind='measure', name=c.name(), label=c.quoted(), off=Q(0), range=None)
    o.size = c.length(twin=False)[1]
    while not c.end():
        if c.take('±'):
            o.off = c.length(twin=False)[1]
        elif c.take('read'):
            c.need('to')
            o.off = c.length(twin=False)[1] / 2
        elif c.take('from'):
            a = c.length(twin=False, unit=c.unit_ahead())[1]
            c.need('to')
            o.range = (a, c.length(twin=False)[1])
        else:
            c.fail('measure')
    d.add(o)


def read_stock(d, c):
    o = Obj(kind='stock', name=c.name(), label=c.quoted(), off=Q(0), size=None)
    while not c.end():
        if c.take('thickness'):
            o.size = c.length(twin=False)[1]
            if c.take('±'):
                o.off = c.length(twin=False)[1]
        elif c.take('weight'):
            c.raw()
            if c.take('lb'):
                c.name()
            else:
                c.need('gsm')
        elif c.take('sheet'):
            o.sheets = c.sheets()
        elif c.take('grain'):
            c.need('long', 'short')
        else:
            c.fail('stock')
    d.add(o)


def copies_of(c):
    n = c.integer() or 1
    c.need('of')
    return n, c.name()


def panel(c):
    n = c.name()
    p = Obj(name=n, how='again', formula=None, clear=None, bounds=None, glue=False)
    w = c.take('=', 'over', 'inside')
    if w:
        p.how, p.formula = w, c.formula()
        if w != '=':
            c.need('clear')
            p.clear = c.length(minus=True)
            c.need('(')
            p.bounds = c.bounds()
            c.need(')')
    p.glue = bool(c.take('glue'))
    return p


def read_list(d, piece, c, way):
    """one list; the piece keeps all stretches of a direction, list by list. `bar`: the sign before a stretch; a rest is a
    panel without a name"""
    out, bar = [], None
    while True:
        if c.take('rest'):
            out.append(Obj(name=None, how='rest', glue=False))
        else:
            out.append(panel(c))
        out[-1].bar = bar
        bar = c.take('||', '|')
        if not bar:
            break
    beside = None
    if c.take('beside'):
        beside = [c.name()]
        while c.take(','):
            beside.append(c.name())
    if not c.end():
        c.fail('list')
    all_ = piece.lists.setdefault(way, [])
    row = Obj(first=len(all_), end=len(all_) + len(out), beside=beside)
    for p in out:
        p.row = len(piece.rows[way])
    piece.rows[way].append(row)
    all_ += out
    if way not in piece.order:
        piece.order.append(way)
    return row


def read_piece(d, c):
    o = Obj(kind='piece', name=c.name(), label=c.quoted(), lists={}, rows={'across': [], 'down': []}, order=[], edge={'across': 'first', 'down': 'first'})
    o.copies, o.stock = copies_of(c)
    if c.take('from'):
        o.kind, o.punches = 'punched', c.name()
        d.chosen.append(o)
        d.statements.append(o)
    elif c.take('grain'):
        c.need('across', 'down')
    if not c.end():
        c.fail('piece')
    o.label = o.label or o.name
    d.add(o)
    d.pieces.append(o)
    return o


def read_mat(d, c):
    o = Obj(kind='mat', name=c.name(), label=c.quoted(), shows=None)
    o.copies, o.stock = copies_of(c)
    c.need('on')
    o.on = on(c)
    c.take(',')
    c.need('smaller')
    c.need('by')
    o.by = c.formula()
    while not c.end():
        c.take(',')
        if c.take('shows'):
            o.shows = c.bounds()
        elif c.take('ends'):
            c.need('mitred')
        else:
            c.fail('mat')
    o.label = o.label or o.name
    d.add(o)
    d.pieces.append(o)
    d.statements.append(o)


def read_demand(d, word, c, text):
    o = Obj(kind=word)
    o.name = c.quoted()
    if o.name is None:
        o.name = own_name(text)
    if word == 'fit':
        o.a = c.formula()
        c.need('over')
        o.b = c.formula()
        c.need('clear')
        o.bounds = c.bounds()
    elif word == 'keep':
        o.a = c.formula()
        c.need('at', 'exactly')
        o.how = 'exactly' if c.s[:c.i].endswith('exactly') else c.need('least', 'most')
        o.b = c.formula()
    else:
        o.piece = c.name()
        c.need('on')
        o.on = on(c)
        c.take(',')
        c.need('shows')
        o.bounds = c.bounds()
        o.even = bool(c.take('even'))
        o.whole = bool(c.take('whole'))
    if not c.end():
        c.fail(word)
    d.statements.append(o)


def read_edition(d, c):
    o = Obj(name=c.name(), unit=None, step=None, scores=None, cut=Q(2, 10), place=Q(0), reach=None, as_designed=False)
    while not c.end():
        w = c.need('unit', 'marks', 'scores', 'cut', 'place', 'reach', 'sheet', 'as')
        if w == 'unit':
            o.unit = c.need('mm', 'cm', 'in')
        elif w == 'as':
            c.need('designed')
            o.as_designed = True
        elif w == 'sheet':
            o.sheets = c.sheets()
        else:
            if w in ('cut', 'place'):
                c.need('±')
            here = c.i
            u = c.raw()[1]
            c.i = here
            l = c.length()
            setattr(o, {'marks': 'step'}.get(w, w), l)
            if w == 'marks':
                o.inch_marks = u in INCHES
    return o


def settle_twins(o):
    i = 2 if o.unit == 'in' else 1
    for k in ('step', 'scores', 'cut', 'place', 'reach'):
        v = getattr(o, k)
        if isinstance(v, tuple):
            setattr(o, k, v[i])
    return o


BUILT_IN = ['metric unit mm marks 1 mm', 'imperial unit in marks 1/16 in']


def read(text):
    d, piece = Design(), None
    for s in statements(text):
        c = Scan(s)
        w = c.name()
        if w == 'design':
            d.title = c.quoted()
        elif w == 'measure':
            read_measure(d, c)
        elif w == 'stock':
            read_stock(d, c)
        elif w == 'let':
            o = Obj(kind='let', name=c.name())
            c.need('=')
            o.formula = c.formula()
            d.add(o)
        elif w == 'piece':
            piece = read_piece(d, c)
        elif w in ('across', 'down'):
            row = read_list(d, piece, c, w)
            d.statements.append(Obj(kind='list', piece=piece, way=w, row=row))
        elif w == 'score':
            ways = [c.take('across', 'down')]
            c.need('from')
            e = c.need('first', 'last', 'both')
            for x in (ways if ways[0] else ('across', 'down')):
                piece.edge[x] = e
        elif w in ('corners', 'ends', 'say'):
            continue
        elif w == 'mat':
            read_mat(d, c)
        elif w in ('fit', 'border', 'keep'):
            read_demand(d, w, c, s[len(w):])
        elif w == 'punches':
            o = Obj(kind='punches', name=c.name(), sizes=[c.size_pair()])
            while c.take(','):
                o.sizes.append(c.size_pair())
            d.add(o)
        elif w == 'opening':
            o = Obj(kind='opening', name=c.name())
            c.need('from')
            o.punches = c.name()
            d.add(o)
            d.chosen.append(o)
            d.statements.append(o)
        elif w == 'edition':
            d.editions.append(settle_twins(read_edition(d, c)))
        else:
            c.fail('unknown statement')
    for o in d.pieces:
        if o.kind == 'piece' and set(o.lists) != {'across', 'down'}:
            raise Unread('piece %s has not both lists' % o.name)
    have = {e.name for e in d.editions}
    d.built_in = [settle_twins(read_edition(d, Scan(t))) for t in BUILT_IN if t.split()[0] not in have]
    return d


def edition(d, name):
    for e in d.editions + d.built_in:
        if e.name == name:
            return e
    raise Unread('no edition %s' % name)
