/* The viewer's own size: reads what is typed, goes by the rule card of the chosen edition, shows the cut list and diagrams.
 *
 * All reckoning is in whole numbers (BigInt) and fractions of them; a floating number appears only where something is
 * drawn. Text goes into the page as text, never as markup. Without this script the page shows everything but this. */
(function () {
"use strict";

const data = JSON.parse(document.getElementById("nearmark-data").textContent);

/* ---- fractions: {n, d}, d > 0, not always in lowest terms ---- */

const frac = (n, d) => d < 0n ? { n: -n, d: -d } : { n, d };
const parse = text => {
    const [n, d] = text.split("/");
    return frac(BigInt(n), d ? BigInt(d) : 1n);
};
const add = (a, b) => frac(a.n * b.d + b.n * a.d, a.d * b.d);
const mul = (a, b) => frac(a.n * b.n, a.d * b.d);
const div = (a, b) => frac(a.n * b.d, a.d * b.n);
const whole = n => frac(BigInt(n), 1n);
const more = (a, b) => a.n * b.d > b.n * a.d;
const floor = a => a.n >= 0n || a.n % a.d === 0n ? a.n / a.d : a.n / a.d - 1n;
const ceil = a => -floor(frac(-a.n, a.d));
const near = a => floor(frac(2n * a.n + a.d, 2n * a.d)); /* a tie upward */
const gcd = (a, b) => { while (b) [a, b] = [b, a % b]; return a < 0n ? -a : a; };
const lowest = a => { const g = gcd(a.n, a.d) || 1n; return frac(a.n / g, a.d / g); };
const number = a => { const l = lowest(a); return Number(l.n) / Number(l.d); }; /* to draw with */

const MM = { mm: whole(1), cm: whole(10), in: frac(254n, 10n) };

/* ---- reading a length ---- */

const VULGAR = { "¼": "1/4", "½": "1/2", "¾": "3/4", "⅐": "1/7", "⅑": "1/9", "⅒": "1/10", "⅓": "1/3", "⅔": "2/3", "⅕": "1/5",
                 "⅖": "2/5", "⅗": "3/5", "⅘": "4/5", "⅙": "1/6", "⅚": "5/6", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8" };

function plain(text) {
    return text.replace(/[¼½¾⅐-⅞]/g, c => " " + (VULGAR[c] || c)).replace(/(\d)([⁰¹²³⁴-⁹])/g, "$1 $2").normalize("NFKC")
        .replace(/[\u2044\u2215]/g, "/").replace(/[\u2010-\u2015\u2212]/g, "-").replace(/[″”“]|''|′′|’’/g, '"')
        .replace(/[′’‘]/g, "'").replace(/\s+/g, " ").trim();
}

function readNumber(text) {
    let m = text.match(/^(?:(\d+)(?: | ?- ?))?(\d+) ?\/ ?(\d+)$/);
    if (m) {
        if (!BigInt(m[3]))
            return { error: "A fraction cannot have 0 below the line." };
        return { value: add(whole(m[1] || 0), frac(BigInt(m[2]), BigInt(m[3]))) };
    }
    m = text.match(/^(\d+)(?:([.,])(\d+))?$/);
    if (!m)
        return null;
    if (m[2] === "," && m[3].length === 3 && m[1] !== "0")
        return { error: `${text} can be read in two ways: type ${m[1]}.${m[3]} or ${m[1]}${m[3]}.` };
    const digits = m[3] || "";
    return { value: frac(BigInt(m[1] + digits), 10n ** BigInt(digits.length)) };
}

const UNITS = [[/ ?(?:mm|millimet(?:re|er)s?)\.?$/i, "mm"], [/ ?(?:cm|centimet(?:re|er)s?)\.?$/i, "cm"], [/ ?(?:inch(?:es)?|in|")\.?$/i, "in"]];

function readFeet(text) {
    const m = text.match(/^([^'a-z]+?) ?(?:'|ft|feet|foot)\.? ?(.*)$/i);
    if (!m)
        return null;
    const feet = readNumber(m[1]), rest = m[2].replace(UNITS[2][0], "");
    const inches = rest ? readNumber(rest) : { value: whole(0) };
    if (!feet || !inches || feet.error || inches.error)
        return null;
    return { mm: mul(add(mul(feet.value, whole(12)), inches.value), MM.in), unit: "in" };
}

/* {mm, unit}, or {error}, or null where nothing was typed. `bare`: the unit of a number without one. */
function readLength(typed, bare) {
    const text = plain(typed);
    if (!text)
        return null;
    const help = "Type a size such as 10.5 cm, 105 mm, 4 1/8 in or 4-1/8\".";
    if (text.length > 60)
        return { error: help };
    let unit = bare, figure = text;
    for (const [ending, name] of UNITS)
        if (ending.test(text)) {
            unit = name;
            figure = text.replace(ending, "");
            break;
        }
    const read = readNumber(figure);
    if (read)
        return read.error ? read : { mm: mul(read.value, MM[unit]), unit, bare: figure === text };
    return readFeet(text) || { error: `I cannot read “${typed.trim()}”. ${help}` };
}

/* ---- writing a length ---- */

/* A figure without its unit: [whole part, numerator, denominator] or a decimal of at most four places. */
function figureOf(mm, unit) {
    const value = lowest(div(mm, MM[unit]));
    if (unit === "in" && value.d > 1n && value.d <= 1024n && (value.d & (value.d - 1n)) === 0n)
        return { whole: value.n / value.d, n: value.n % value.d, d: value.d };
    const tens = near(mul(value, whole(10000)));
    const digits = String(tens).padStart(5, "0");
    return { text: (digits.slice(0, -4) + "." + digits.slice(-4)).replace(/\.?0+$/, "") };
}

function textOf(mm, unit) {
    const f = figureOf(mm, unit);
    return (f.text || (f.whole ? `${f.whole} ${f.n}/${f.d}` : `${f.n}/${f.d}`)) + " " + unit;
}

const marksMM = (edition, marks) => mul(whole(marks), edition.step);
const markText = (edition, marks) => textOf(marksMM(edition, marks), edition.unit);

/* ---- the rule card ---- */

for (const edition of data.editions) {
    if (edition.none !== undefined)
        continue;
    edition.step = parse(edition.step);
    edition.reading = parse(edition.reading);
    for (const m of edition.measures) {
        m.from = parse(m.from);
        m.to = parse(m.to);
    }
    for (const l of edition.lengths)
        if (l.terms)
            l.terms = l.terms.map(([m, times]) => [m, parse(times)]);
}

/* The number of reading steps that a size is read as. */
function readingOf(edition, i, mm) {
    const steps = div(mm, edition.reading), way = edition.measures[i].read;
    return way === "up" ? ceil(steps) : way === "down" ? floor(steps) : near(steps);
}

const inRange = (edition, i, reading) => edition.measures[i].first !== null &&
    reading >= BigInt(edition.measures[i].first) && reading <= BigInt(edition.measures[i].last);

/* The marks of a length: multiples of the readings, rounded once, and so many marks more. null: by the chart only. */
function lengthMarks(edition, length, readings) {
    if (!length.terms)
        return null;
    let sum = whole(0);
    for (const [m, times] of length.terms)
        sum = add(sum, mul(times, whole(readings[m] * BigInt(edition.marks))));
    const rounded = length.round === "up" ? ceil(sum) : length.round === "nearest" ? near(sum) : floor(sum);
    return rounded + BigInt(length.plus);
}

/* The lines of a direction in marks from the first edge; null: by the chart only. */
function linesOf(lengths, list) {
    if (list.sum) {
        let size = 0n;
        for (const [i, times] of list.sum) {
            if (lengths[i] === null)
                return null;
            size += lengths[i] * BigInt(times);
        }
        return [0n, size];
    }
    const lines = [0n];
    for (const i of list.lengths) {
        if (lengths[i] === null)
            return null;
        lines.push(lines[lines.length - 1] + lengths[i]);
    }
    return lines;
}

function settle(edition, readings) {
    const lengths = edition.lengths.map(l => lengthMarks(edition, l, readings));
    return edition.pieces.map(p => p.punched ? null : { across: linesOf(lengths, p.across), down: linesOf(lengths, p.down) });
}

/* ---- building the page ---- */

function make(name, attributes, ...inside) {
    const e = document.createElement(name);
    for (const key in attributes || {})
        e.setAttribute(key, attributes[key]);
    e.append(...inside);
    return e;
}

function figureNode(mm, unit, withUnit) {
    const f = figureOf(mm, unit), tail = withUnit ? " " + unit : "";
    if (f.text)
        return make("span", { class: "fig" }, f.text + tail);
    const shown = make("span", { "aria-hidden": "true" }, f.whole ? f.whole + "\u2009" : "", make("sup", null, String(f.n)),
                       "\u2044", make("sub", null, String(f.d)), tail);
    return make("span", { class: "fig" }, shown, make("span", { class: "vh" }, textOf(mm, unit)));
}

/* Text in which fractions are written with U+2044, as nodes. */
function textNodes(text) {
    const nodes = [];
    text.split(/(\d+\u2044\d+)/).forEach((part, i) => {
        const [n, d] = part.split("\u2044");
        nodes.push(...(i % 2 ? [make("sup", null, n), "\u2044", make("sub", null, d)] : [part]));
    });
    return nodes;
}

/* ---- how to find a mark: counted from the nearest easy one (as the cut lists of the program do) ---- */

const COUNTS = ["no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"];
const PLACES = ["", "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth"];
const EASY = { in: [127n, 254n, 508n, 1016n], mm: [40n, 200n, 400n, 2000n, 4000n] }; /* in 1/40 mm */

function easyRatio(edition) {
    for (const easy of EASY[edition.unit === "in" ? "in" : "mm"]) {
        const ratio = lowest(div(frac(easy, 40n), edition.step));
        if (ratio.d === 1n && ratio.n >= 2n && ratio.n <= 20n)
            return ratio.n;
    }
    return 0n;
}

function hintOf(edition, marks) {
    const ratio = easyRatio(edition), over = ratio && marks > 0n ? marks % ratio : 0n;
    if (!over)
        return "";
    const less = over * 2n > ratio, steps = Number(less ? ratio - over : over), base = less ? marks - over + ratio : marks - over;
    if (!base)
        return `the ${PLACES[steps]} mark`;
    return `${COUNTS[steps]} mark${steps === 1 ? "" : "s"} ${less ? "less" : "more"} than ${markText(edition, base).replace(/ [a-z]+$/, "")}`;
}

const EDGES = { across: ["left", "right"], down: ["upper", "lower"] };

function rowsOf(edition, piece, way, lines) {
    const body = make("tbody", null, make("tr", null, make("th", { colspan: "2", scope: "rowgroup" }, way === "across" ? "Across" : "Down")));
    const row = (marks, what, kind) => {
        const hint = hintOf(edition, marks), cell = make("td", null, what);
        if (hint)
            cell.append(make("span", { class: "find" }, hint));
        body.append(make("tr", { class: kind }, make("td", { class: "mark" }, figureNode(marksMM(edition, marks), edition.unit, true)), cell));
    };
    if (!lines) {
        body.append(make("tr", null, make("td", { colspan: "2" }, "by the size chart only: no rule gives this size")));
        return body;
    }
    const size = lines[lines.length - 1];
    row(size, "cut", "is-cut");
    for (let i = 1; i + 1 < lines.length; i++) {
        const last = piece[way].last[i];
        row(last ? size - lines[i] : lines[i], `score from the ${EDGES[way][last ? 1 : 0]} edge`, "is-score");
    }
    return body;
}

function notesOf(edition, piece, lines) {
    const notes = [...piece.notes];
    for (const way of ["across", "down"])
        for (const i of piece[way].glue || [])
            if (lines[way])
                notes.push(`Glue: the ${markText(edition, lines[way][i + 1] - lines[way][i]).replace("/", "\u2044")} at the ${EDGES[way][i ? 1 : 0]} edge`);
    return notes;
}

/* What a piece of that size does not go with: the sheets it comes from, the reach of the trimmer. */
function troubles(edition, piece, lines) {
    const said = [];
    if (!lines.across || !lines.down)
        return said;
    const a = marksMM(edition, lines.across[lines.across.length - 1]), d = marksMM(edition, lines.down[lines.down.length - 1]);
    const fits = piece.sheets.some(s => {
        const w = parse(s.width), h = parse(s.height);
        return (!more(a, w) && !more(d, h)) || (!more(a, h) && !more(d, w));
    });
    if (!fits)
        said.push(`At your size this piece outgrows its sheet (${piece.sheets.map(s => s.name).join(" or ")}): take a larger one, or join two parts.`);
    if (edition.reach && (more(a, parse(edition.reach)) || more(d, parse(edition.reach))))
        said.push("At your size this piece is longer than the trimmer reaches: cut it from its other edge, or with a ruler and knife.");
    return said;
}

/* ---- drawing ---- */

const NS = "http://www.w3.org/2000/svg", TEXT = 3.4, PITCH = 5.4, START = 3.4;

function svg(name, attributes, ...inside) {
    const e = document.createElementNS(NS, name);
    for (const key in attributes)
        e.setAttribute(key, attributes[key]);
    e.append(...inside);
    return e;
}

const round = x => Math.round(x * 1000) / 1000;
const pathOf = (points, closed) => "M" + points.map(p => round(p[0]) + " " + round(p[1])).join("L") + (closed ? "Z" : "");
const widthOf = text => text.length * TEXT * 0.64;

function outlineOf(piece, x, y) {
    const w = x[x.length - 1], h = y[y.length - 1];
    if (piece.snipped && x.length > 2 && y.length > 2) {
        const turned = piece.snipped === "across", u = turned ? y : x, v = turned ? x : y;
        const a = u[1], b = u[u.length - 2], width = u[u.length - 1], c = v[1], d = v[v.length - 2], depth = v[v.length - 1];
        const t1 = Math.min(piece.taper, 0.8 * a), t2 = Math.min(piece.taper, 0.8 * (width - b));
        const p = [[0, 0], [a - t1, 0], [a, c], [a, 0], [b, 0], [b, c], [b + t2, 0], [width, 0], [width, depth], [b + t2, depth],
                   [b, d], [b, depth], [a, depth], [a, d], [a - t1, depth], [0, depth]];
        return turned ? p.map(q => [q[1], q[0]]) : p;
    }
    if (piece.mitred) {
        const turned = h > w, length = Math.max(w, h), wide = Math.min(w, h), inset = Math.min(wide, length / 2);
        const p = [[0, 0], [length, 0], [length - inset, wide], [inset, wide]];
        return turned ? p.map(q => [q[1], q[0]]) : p;
    }
    return [[0, 0], [w, 0], [w, h], [0, h]];
}

/* Where a score begins and ends: snips, mitres. */
function spanOf(piece, way, line, x, y, outline) {
    const own = way === "across" ? x : y, other = way === "across" ? y : x;
    if (piece.snipped)
        return piece.snipped !== way && (line === 1 || line === own.length - 2) ? [other[1], other[other.length - 2]] : [0, other[other.length - 1]];
    const k = way === "across" ? 0 : 1, at = own[line], hits = [];
    outline.forEach((p, i) => {
        const q = outline[(i + 1) % outline.length];
        if ((p[k] < at) !== (q[k] < at))
            hits.push(p[1 - k] + (q[1 - k] - p[1 - k]) * (at - p[k]) / (q[k] - p[k]));
    });
    return [Math.min(...hits), Math.max(...hits)];
}

/* The dimensions of a direction, each in the first row where it is free: {from, to, figure, row, at, anchor}. */
function dimensionsOf(list, lines, figures) {
    const end = lines[lines.length - 1], all = [], rows = [];
    if (lines.length <= 14)
        for (let i = 1; i + 1 < lines.length; i++)
            all.push({ from: list.last[i] ? lines[i] : 0, to: list.last[i] ? end : lines[i], last: list.last[i], figure: figures[i] });
    all.sort((a, b) => a.to - a.from - (b.to - b.from));
    all.push({ from: 0, to: end, whole: true, figure: figures[lines.length - 1] });
    for (const d of all) {
        const wide = widthOf(d.figure);
        d.at = (d.from + d.to) / 2;
        let low = d.from, high = d.to;
        if (wide + 3 > d.to - d.from && !d.whole) {
            d.at = d.last ? d.from - 1.4 - wide / 2 : d.to + 1.4 + wide / 2;
            low = Math.min(low, d.at - wide / 2 - 1);
            high = Math.max(high, d.at + wide / 2 + 1);
        }
        d.row = d.whole ? rows.length : rows.findIndex(row => row.every(r => high <= r[0] || low >= r[1]));
        if (d.row < 0)
            d.row = rows.length;
        (rows[d.row] = rows[d.row] || []).push([low, high]);
    }
    return { all, rows: rows.length };
}

/* A fraction with raised and lowered digits, as in the other diagrams. */
function figureSpans(figure) {
    const m = figure.match(/^(?:(\d+) )?(\d+)\/(\d+)$/), small = TEXT * 0.62, raise = TEXT * 0.3;
    if (!m)
        return [figure];
    return [...(m[1] ? [m[1] + "\u2009"] : []), svg("tspan", { dy: -raise, "font-size": small }, m[2]), svg("tspan", { dy: raise }, "\u2044"),
            svg("tspan", { "font-size": small }, m[3])];
}

function drawDimensions(into, dims, turned) {
    const place = (along, out) => turned ? [-out, along] : [along, -out];
    const lines = svg("g", { class: "dimension" }), arrows = svg("g", { class: "arrow" }), words = svg("g", { class: "ink" });
    for (const d of dims.all) {
        const out = START + (d.row + 1) * PITCH - 1.5, tip = 1.5;
        for (const end of [d.from, d.to])
            lines.append(svg("path", { d: pathOf([place(end, 1), place(end, out + 1)]) }));
        lines.append(svg("path", { d: pathOf([place(d.from, out), place(d.to, out)]) }));
        if (d.to - d.from > 4 * tip)
            for (const [end, sign] of [[d.from, 1], [d.to, -1]])
                arrows.append(svg("path", { d: pathOf([place(end, out), place(end + sign * tip, out - 0.5), place(end + sign * tip, out + 0.5)], true) }));
        const [x, y] = place(d.at, out + 0.9);
        const text = svg("text", { x: round(x), y: round(y), "font-size": TEXT, "text-anchor": "middle" }, ...figureSpans(d.figure));
        if (turned)
            text.setAttribute("transform", `rotate(-90 ${round(x)} ${round(y)})`);
        words.append(text);
    }
    into.append(lines, arrows, words);
}

function drawHatch(into, box) {
    const g = svg("g", { class: "glue" }), step = 2.2;
    for (let c = step - box.h; c < box.w; c += step) { /* lines x - y = c within the box */
        const x1 = Math.max(c, 0), x2 = Math.min(c + box.h, box.w);
        if (x2 > x1)
            g.append(svg("path", { d: pathOf([[box.x + x1, box.y + x1 - c], [box.x + x2, box.y + x2 - c]]) }));
    }
    into.append(g);
}

function drawNames(into, piece, x, y) {
    const across = piece.across.names, down = piece.down.names, g = svg("g", { class: "quiet" });
    if (!across || (across.length < 2 && down.length < 2))
        return;
    const tallest = y.slice(1).reduce((best, _, i) => y[i + 1] - y[i] > y[best + 1] - y[best] ? i : best, 0);
    const widest = x.slice(1).reduce((best, _, i) => x[i + 1] - x[i] > x[best + 1] - x[best] ? i : best, 0);
    const put = (name, i, k) => {
        const w = x[i + 1] - x[i], h = y[k + 1] - y[k], flat = widthOf(name) + 2 <= w && h >= TEXT + 1;
        if (!flat && (widthOf(name) + 2 > h || w < TEXT + 1))
            return;
        const cx = round((x[i] + x[i + 1]) / 2), cy = round((y[k] + y[k + 1]) / 2);
        const text = svg("text", { x: cx, y: round(cy + 0.35 * TEXT), "font-size": TEXT, "text-anchor": "middle" }, name);
        if (!flat)
            text.setAttribute("transform", `rotate(-90 ${cx} ${cy})`);
        g.append(text);
    };
    across.forEach((name, i) => put(name, i, tallest));
    down.forEach((name, k) => k !== tallest && put(name, widest, k));
    into.append(g);
}

let drawings = 0;

function drawPiece(edition, piece, lines) {
    const mm = way => lines[way].map(m => number(marksMM(edition, m)));
    const figures = way => lines[way].map((m, i) => {
        const size = lines[way][lines[way].length - 1];
        return textOf(marksMM(edition, i < lines[way].length - 1 && piece[way].last[i] ? size - m : m), edition.unit).replace(/ [a-z]+$/, "");
    });
    let x = mm("across"), y = mm("down");
    const longest = Math.max(x[x.length - 1], y[y.length - 1]), scale = Math.min(130 / longest, 2.5);
    x = x.map(v => v * scale);
    y = y.map(v => v * scale);
    const drawn = { ...piece, taper: scale * number(parse(piece.taper)) }, id = `own-drawing-${++drawings}`;
    const top = dimensionsOf(piece.across, x, figures("across")), left = dimensionsOf(piece.down, y, figures("down"));
    const outline = outlineOf(drawn, x, y), w = x[x.length - 1], h = y[y.length - 1];
    const body = svg("g", {}, svg("path", { class: "card", d: pathOf(outline, true) }));
    for (const way of ["across", "down"])
        for (const i of piece[way].glue || [])
            drawHatch(body, way === "across" ? { x: x[i], y: 0, w: x[i + 1] - x[i], h } : { x: 0, y: y[i], w, h: y[i + 1] - y[i] });
    const scores = svg("g", { class: "score" });
    for (const way of ["across", "down"]) {
        const own = way === "across" ? x : y;
        for (let i = 1; i + 1 < own.length; i++) {
            const [from, to] = spanOf(drawn, way, i, x, y, outline);
            scores.append(svg("path", { d: pathOf(way === "across" ? [[own[i], from], [own[i], to]] : [[from, own[i]], [to, own[i]]]) }));
        }
    }
    body.append(scores, svg("path", { class: "cut", d: pathOf(outline, true) }));
    const middle = (lines, i) => i < 0 ? lines[lines.length - 1] / 2 : (lines[i] + lines[i + 1]) / 2;
    for (const o of piece.openings) {
        const ow = number(parse(o.across)) * scale, oh = number(parse(o.down)) * scale;
        body.append(svg("rect", { class: "cut", x: round(middle(x, o.at[0]) - ow / 2), y: round(middle(y, o.at[1]) - oh / 2), width: round(ow),
                                  height: round(oh), rx: round(Math.min(ow, oh) * 0.36) }));
    }
    drawNames(body, piece, x, y);
    drawDimensions(body, top, false);
    drawDimensions(body, left, true);
    const over = dims => Math.max(0, ...dims.all.map(d => widthOf(d.figure) / 2 - d.at)), past = (dims, end) => Math.max(0, ...dims.all.map(d => d.at + widthOf(d.figure) / 2 - end));
    const leftEdge = Math.max(START + left.rows * PITCH + TEXT, over(top)) + 1, topEdge = Math.max(START + top.rows * PITCH + TEXT, over(left)) + 1;
    const width = leftEdge + w + past(top, w) + 2, height = topEdge + h + past(left, h) + 2;
    body.setAttribute("transform", `translate(${round(leftEdge)} ${round(topEdge)})`);
    return svg("svg", { class: "nearmark-diagram drawn", viewBox: `0 0 ${round(width)} ${round(height)}`, width: round(width) + "mm",
                        height: round(height) + "mm", role: "img", "aria-labelledby": id },
               svg("title", { id }, `${piece.label} at your size; the table beside it has the figures`), body);
}

/* ---- a piece of the result ---- */

function pieceNode(edition, piece, lines) {
    const article = make("article", { class: "piece" }, make("h3", { dir: "auto" }, piece.label), make("p", { class: "task" }, piece.task));
    const both = make("div", { class: "both" }), words = make("div", { class: "list" });
    if (piece.punched) {
        words.append(make("p", { class: "punched" }, piece.punched));
    } else {
        for (const said of piece.above)
            words.append(make("p", { class: "say", dir: "auto" }, said));
        words.append(make("table", null, make("caption", { class: "vh" }, `${piece.label} at your size`),
                          rowsOf(edition, piece, "across", lines.across), rowsOf(edition, piece, "down", lines.down)));
        for (const said of troubles(edition, piece, lines))
            words.append(make("p", { class: "trouble" }, said));
        const notes = notesOf(edition, piece, lines);
        if (notes.length)
            words.append(make("ul", { class: "notes" }, ...notes.map(n => make("li", { dir: "auto" }, ...textNodes(n)))));
    }
    both.append(words);
    if (!piece.punched && lines.across && lines.down)
        both.append(make("div", { class: "picture" }, drawPiece(edition, piece, lines)));
    article.append(both);
    return article;
}

/* ---- what was typed ---- */

const boxes = [...document.querySelectorAll("input[data-measure]")], unitBox = document.getElementById("own-unit");
const result = document.getElementById("own-result"), told = document.getElementById("own-told");
let chosen = 0, unitChosen = false;

const WAYS = { nearest: "nearest mark", up: "rounded up to a mark", down: "rounded down to a mark" };

/* A size that would be in range had it another unit. */
function otherUnit(edition, i, read) {
    if (!read.bare)
        return "";
    for (const unit of ["mm", "cm", "in"]) {
        const mm = mul(div(read.mm, MM[read.unit]), MM[unit]);
        if (unit !== read.unit && inRange(edition, i, readingOf(edition, i, mm)))
            return ` If you mean ${textOf(mm, unit)}, type the unit behind it.`;
    }
    return "";
}

function sizeRange(edition, i) {
    const m = edition.measures[i];
    return m.first === null ? null : [BigInt(m.first), BigInt(m.last)].map(n => textOf(mul(whole(n), edition.reading), edition.unit));
}

/* {reading} or {error} or {} where nothing was typed; `say`: what stands below the box. */
function judge(edition, box) {
    const i = Number(box.dataset.measure), read = readLength(box.value, unitBox.value), range = sizeRange(edition, i);
    if (!range)
        return { error: "In this edition no size of it is sure to come out right.", say: "" };
    const meant = `from ${range[0]} to ${range[1]}`;
    if (!read)
        return { say: meant };
    if (read.error)
        return { error: read.error };
    const reading = readingOf(edition, i, read.mm);
    if (!inRange(edition, i, reading))
        return { error: `${textOf(read.mm, read.unit)} is outside of what the design is made for, ${meant}.${otherUnit(edition, i, read)}` };
    const typed = textOf(read.mm, read.unit), taken = textOf(mul(whole(reading), edition.reading), edition.unit);
    return { reading, say: typed === taken ? `${typed}, on a mark` : `${typed}; ${WAYS[edition.measures[i].read]}: ${taken}` };
}

/* Sizes are not broken at the end of a line; what stands there already is not said again. */
function put(where, text) {
    const shown = text.replace(/(\d) (?=\d|mm\b|cm\b|in\b)/g, "$1\u00a0");
    if (where.textContent !== shown)
        where.textContent = shown;
}

function show(box, judged) {
    const say = document.getElementById(box.id + "-say"), text = judged.error || judged.say;
    box.setAttribute("aria-invalid", judged.error ? "true" : "false");
    say.classList.toggle("is-wrong", Boolean(judged.error));
    put(say, text);
}

function tell(text) {
    put(told, text);
}

function refresh() {
    const edition = data.editions[chosen];
    if (!result)
        return;
    document.getElementById("own-form").hidden = edition.none !== undefined;
    result.replaceChildren();
    drawings = 0;
    if (edition.none !== undefined) {
        tell(edition.none);
        return;
    }
    const readings = {};
    let missing = 0, wrong = 0;
    for (const box of boxes) {
        const judged = judge(edition, box);
        show(box, judged);
        wrong += judged.error ? 1 : 0;
        missing += judged.reading === undefined ? 1 : 0;
        readings[box.dataset.measure] = judged.reading;
    }
    if (missing) {
        tell(wrong ? "There is no cut list for this size: see what stands below the box." :
             missing < boxes.length ? "One more: fill in every box." : "Your cut list appears here as soon as every box is filled in.");
        return;
    }
    const sizes = boxes.map(box => `${box.labels[0].querySelector("bdi").textContent} ${textOf(mul(whole(readings[box.dataset.measure]), edition.reading), edition.unit)}`);
    tell(`Your own cut list, for ${sizes.join(", ")}.`);
    if (edition.warnings.length)
        result.append(make("ul", { class: "warnings" }, ...edition.warnings.map(w => make("li", { dir: "auto" }, w))));
    settle(edition, readings).forEach((lines, i) => result.append(pieceNode(edition, edition.pieces[i], lines)));
}

/* ---- which edition is shown ---- */

function choose(i) {
    chosen = i;
    document.querySelectorAll("[data-edition]").forEach(e => { e.hidden = e.dataset.edition !== String(i); });
    const radio = document.querySelector(`input[name="edition"][value="${i}"]`);
    if (radio)
        radio.checked = true;
    if (unitBox && !unitChosen)
        unitBox.value = data.editions[i].unit === "in" ? "in" : "cm";
    refresh();
}

function first() {
    const named = data.editions.findIndex(e => "#" + e.id === location.hash);
    const inches = data.editions.findIndex(e => e.unit === "in");
    return named >= 0 ? named : /^en-US/i.test(navigator.language) && inches >= 0 ? inches : 0;
}

document.documentElement.classList.add("has-script");
document.querySelectorAll("input[name=edition]").forEach(r => r.addEventListener("change", () => choose(Number(r.value))));
boxes.forEach(box => box.addEventListener("input", refresh));
if (unitBox)
    unitBox.addEventListener("change", () => { unitChosen = true; refresh(); });
addEventListener("hashchange", () => {
    const named = data.editions.findIndex(e => "#" + e.id === location.hash);
    if (named >= 0)
        choose(named);
});
choose(first());

/* For whoever checks it: the marks of every line, for an edition and one typed size a measure, in their order. */
window.nearmark = Object.freeze({
    cuts(i, typed, bare) {
        const edition = data.editions[i], readings = {};
        const measures = boxes.map(box => Number(box.dataset.measure)).sort((a, b) => a - b);
        for (let k = 0; k < boxes.length; k++) {
            const read = readLength(typed[k], bare), m = measures[k];
            if (!read || read.error)
                return { error: read ? read.error : "nothing" };
            readings[m] = readingOf(edition, m, read.mm);
            if (!inRange(edition, m, readings[m]))
                return { error: "range" };
        }
        const plain = lines => lines && lines.map(String);
        return settle(edition, readings).map(p => p && { across: plain(p.across), down: plain(p.down) });
    },
    choose
});
})();
