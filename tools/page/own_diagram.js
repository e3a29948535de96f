/* A piece at the viewer's own size as a diagram: laid out as the program lays out its own (tools/draw: dimension, panel_name,
 * diagram), so that both look alike. Everything is in millimetres of the drawing; here alone are floating numbers. */

const NS = "http://www.w3.org/2000/svg", FACES = "'DejaVu Sans',Verdana,'Noto Sans',Arial,sans-serif";
const TEXT = 3.4, UP = 0.95, DOWN = 0.27, TALL = UP + DOWN, LINE = 0.085 * TEXT;
const WIDEST = 88, TALLEST = 125, LARGEST = 74, ENLARGED = 1.35, SHORTEST = 0.6; /* as page_piece.c */

const LOOKS = { /* as scene_look */
    card: { fill: "#f8f4ec" }, glue: { stroke: "#9e9480", weight: 0.5 }, score: { stroke: "#056687", weight: 1 },
    cut: { stroke: "currentColor", weight: 2 }, centre: { stroke: "#66707d", weight: 0.5, dash: [24, 6, 3, 6] },
    dimension: { stroke: "#66707d", weight: 0.5 }, arrow: { fill: "#66707d" }, ink: { fill: "currentColor" }, quiet: { fill: "#57616e" }
};

function svg(name, attributes, ...inside) {
    const e = document.createElementNS(NS, name);
    for (const key in attributes)
        e.setAttribute(key, attributes[key]);
    e.append(...inside);
    return e;
}

const round = x => Math.round(x * 10000) / 10000;

/* ---- texts ---- */

const FRACTION = /(\d+)\u2044(\d+)/, pen = document.createElement("canvas").getContext("2d");

/* [text, size, raised by] of each part; the digits of a fraction are small, the upper ones raised. */
function runsOf(text, size) {
    const m = text.match(FRACTION);
    if (!m)
        return text ? [[text, size, 0]] : [];
    return [...runsOf(text.slice(0, m.index), size), [m[1], 0.62 * size, 0.3 * size], ["\u2044", size, 0], [m[2], 0.62 * size, 0],
            ...runsOf(text.slice(m.index + m[0].length), size)];
}

function widthOf(text, size, bold) {
    pen.font = `${bold ? "bold " : ""}100px ${FACES}`;
    return runsOf(text, size).reduce((sum, [part, s]) => sum + pen.measureText(part).width / 100 * s, 0) * 1.02;
}

/* ---- a scene: paths and texts of roles ---- */

class Scene {
    constructor() {
        this.marks = [];
    }

    path(role, points, closed) {
        this.marks.push({ role, points, closed });
    }

    line(role, x1, y1, x2, y2) {
        this.path(role, [[x1, y1], [x2, y2]]);
    }

    /* A level or upright line, left out where a text stands, or in one of the boxes. */
    lineBetweenTexts(role, x1, y1, x2, y2, boxes = []) {
        const level = x1 !== x2, at = level ? y1 : x1, k = level ? ["y", "h", "x", "w"] : ["x", "w", "y", "h"];
        let left = [level ? [Math.min(x1, x2), Math.max(x1, x2)] : [Math.min(y1, y2), Math.max(y1, y2)]];
        for (const box of [...boxes, ...this.marks.filter(m => m.text).map(m => m.box)])
            if (at > box[k[0]] && at < box[k[0]] + box[k[1]])
                left = left.flatMap(([a, b]) => [[a, Math.min(b, box[k[2]])], [Math.max(a, box[k[2]] + box[k[3]]), b]]).filter(([a, b]) => a < b);
        for (const [a, b] of left)
            level ? this.line(role, a, at, b, at) : this.line(role, at, a, at, b);
    }

    arrow(x, y, dx, dy, length) {
        const half = 0.17 * length, bx = x - dx * length, by = y - dy * length;
        this.path("arrow", [[x, y], [bx - dy * half, by + dx * half], [bx + dy * half, by - dx * half]], true);
    }

    round(role, box, radius) {
        this.marks.push({ role, box, radius });
    }

    text(x, y, text, { size = TEXT, bold = false, role = "ink", anchor = "middle", turned = false } = {}) {
        const along = widthOf(text, size, bold), before = anchor === "start" ? 0 : anchor === "middle" ? along / 2 : along;
        const box = turned ? { x: x - UP * size, y: y + before - along, w: TALL * size, h: along } : { x: x - before, y: y - UP * size, w: along, h: TALL * size };
        this.marks.push({ role, text, x, y, size, bold, anchor, turned, box });
    }

    /* All that it covers, 0, 0 included. */
    covered() {
        const all = { left: 0, top: 0, right: 0, low: 0 };
        const widen = (x, y) => {
            all.left = Math.min(all.left, x), all.right = Math.max(all.right, x);
            all.top = Math.min(all.top, y), all.low = Math.max(all.low, y);
        };
        for (const m of this.marks) {
            (m.points || []).forEach(p => widen(p[0], p[1]));
            if (m.box) {
                widen(m.box.x, m.box.y);
                widen(m.box.x + m.box.w, m.box.y + m.box.h);
            }
        }
        return all;
    }

    nodes() {
        const groups = [];
        for (const m of this.marks) {
            if (!groups.length || groups[groups.length - 1].getAttribute("class") !== m.role)
                groups.push(groupOf(m.role));
            groups[groups.length - 1].append(m.text ? textNode(m) : pathNode(m));
        }
        return groups;
    }
}

function groupOf(role) {
    const look = LOOKS[role], g = svg("g", { class: role, fill: look.fill || "none" });
    if (look.stroke) {
        g.setAttribute("stroke", look.stroke);
        g.setAttribute("stroke-width", round(look.weight * LINE));
        g.setAttribute("stroke-linejoin", "round");
        g.setAttribute("stroke-linecap", look.dash ? "butt" : "round");
        if (look.dash)
            g.setAttribute("stroke-dasharray", look.dash.map(d => round(d * look.weight * LINE)).join(" "));
    } else {
        g.setAttribute("fill-rule", "evenodd");
    }
    return g;
}

/* A box with round corners, clockwise. */
function roundPath({ x, y, w, h }, r) {
    const arc = (dx, dy) => `a${round(r)} ${round(r)} 0 0 1 ${round(dx)} ${round(dy)}`;
    return `M${round(x + r)} ${round(y)}h${round(w - 2 * r)}${arc(r, r)}v${round(h - 2 * r)}${arc(-r, r)}h${round(2 * r - w)}${arc(-r, -r)}v${round(2 * r - h)}${arc(r, -r)}Z`;
}

const cornerOf = box => 0.36 * Math.min(box.w, box.h);

function pathNode(m) {
    const own = m.box ? roundPath(m.box, m.radius) : "M" + m.points.map(p => round(p[0]) + " " + round(p[1])).join("L") + (m.closed ? "Z" : "");
    return svg("path", { d: own + (m.holes || []).map(box => roundPath(box, cornerOf(box))).join("") });
}

function textNode(m) {
    const text = svg("text", { x: round(m.x), y: round(m.y), "font-size": round(m.size) });
    if (m.anchor !== "start")
        text.setAttribute("text-anchor", m.anchor);
    if (m.bold)
        text.setAttribute("font-weight", "bold");
    if (m.turned)
        text.setAttribute("transform", `rotate(-90 ${round(m.x)} ${round(m.y)})`);
    let raised = 0;
    for (const [part, size, up] of runsOf(m.text, m.size)) {
        const plain = size === m.size && up === raised;
        text.append(plain ? part : svg("tspan", { "font-size": round(size), dy: round(raised - up) }, part));
        raised = up;
    }
    return text;
}

/* ---- the shape of a piece ---- */

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
    if (piece.snipped && x.length > 2 && y.length > 2)
        return piece.snipped !== way && (line === 1 || line === own.length - 2) ? [other[1], other[other.length - 2]] : [0, other[other.length - 1]];
    const k = way === "across" ? 0 : 1, at = own[line], hits = [];
    outline.forEach((p, i) => {
        const q = outline[(i + 1) % outline.length];
        if ((p[k] < at) !== (q[k] < at))
            hits.push(p[1 - k] + (q[1 - k] - p[1 - k]) * (at - p[k]) / (q[k] - p[k]));
    });
    return [Math.min(...hits), Math.max(...hits)];
}

/* What openings leave of [from, to] of a score. */
function spansBeside(openings, way, at, from, to) {
    const k = way === "across" ? ["x", "w", "y", "h"] : ["y", "h", "x", "w"];
    let left = [[from, to]];
    for (const { box } of openings)
        if (at > box[k[0]] && at < box[k[0]] + box[k[1]])
            left = left.flatMap(([a, b]) => [[a, Math.min(b, box[k[2]])], [Math.max(a, box[k[2]] + box[k[3]]), b]]).filter(([a, b]) => a < b);
    return left;
}

/* ---- rows: where lines run, what is left of the card ---- */

/* What is left beside a stretch of the other direction, whose row `r` of this one runs beside it. */
function leftBeside(list, r, own) {
    const first = list.first[r], last = first + list.rows[r].count - 1;
    return [own[list.at[first][list.rows[r].rests[0]]], own[list.at[last][1 - list.rows[r].rests[1]]]];
}

/* [from, to, whether cut] along a line of the direction `way`, joined where they go on; in marks (BigInt) or as drawn. */
function lineRuns(piece, way, line, x, y) {
    const list = piece[way], other = piece[way === "across" ? "down" : "across"], along = way === "across" ? y : x, runs = [], end = list.lineRow.length - 1;
    const add = (from, to, cut) => {
        const before = runs[runs.length - 1];
        if (from >= to)
            return;
        if (before && before[1] === from && before[2] === cut)
            before[1] = to;
        else
            runs.push([from, to, cut]);
    };
    if (other.rowCount === 1) {
        other.at.forEach(([a, b], i) => {
            const r = other.beside[i], [first, last] = list.rows[r].rests;
            if (line === 0 ? !first : line === end ? !last : list.lineRow[line] === r)
                add(along[a], along[b], list.cuts[line]);
        });
        return runs;
    }
    const start = along[0], none = [start, start], sides = [line > 0 ? leftBeside(other, list.beside[line - 1], along) : none, line < end ? leftBeside(other, list.beside[line], along) : none];
    const ends = [...new Set([start, ...sides.flat()])].sort((a, b) => a < b ? -1 : a > b ? 1 : 0), holds = (side, from) => side[0] <= from && from < side[1];
    for (let i = 0; i + 1 < ends.length; i++) {
        const before = holds(sides[0], ends[i]), behind = holds(sides[1], ends[i]);
        if (before || behind)
            add(ends[i], ends[i + 1], list.cuts[line] || before !== behind);
    }
    return runs;
}

/* Down along the far sides of the stretches of the direction with one row, and up again along the near ones. */
function rowOutline(piece, x, y) {
    const rows = piece.down.rowCount > 1 ? "down" : "across", list = piece[rows === "down" ? "across" : "down"], [u, v] = rows === "down" ? [y, x] : [x, y];
    const sides = list.at.map((at, i) => [at, leftBeside(piece[rows], list.beside[i], u)]);
    const points = [...sides.flatMap(([at, left]) => at.map(l => [left[1], v[l]])), ...sides.reverse().flatMap(([at, left]) => [[left[0], v[at[1]]], [left[0], v[at[0]]]])];
    return rows === "down" ? points.map(p => [p[1], p[0]]) : points;
}

/* Of each line where it runs; the settings that are told by another line, and how far from the edge the first of a place begins. */
function layRows(piece, way, x, y) {
    const own = way === "across" ? x : y, end = own.length - 1, runs = own.map((_, line) => lineRuns(piece, way, line, x, y));
    const told = own.map((at, line) => !runs[line].length || (line > 0 && line < end && (at <= 0 || at >= own[end])));
    const starts = runs.map(r => r.length ? r[0][0] : 0), order = own.map((_, i) => i).slice(1, end).sort((a, b) => own[a] - own[b] || a - b);
    for (let first = 0, next; first < order.length; first = next) {
        let start = Infinity;
        const here = [false, false];
        for (next = first; next < order.length && own[order[next]] <= own[order[first]]; next++) {
            const line = order[next], last = piece[way].last[line] ? 1 : 0;
            start = told[line] ? start : Math.min(start, starts[line]);
            told[line] = told[line] || here[last];
            here[last] = here[last] || !told[line];
        }
        for (let i = first; i < next; i++)
            starts[order[i]] = start;
    }
    return { runs, told, starts };
}

const isCell = (piece, i, k) => piece.across.names[i] && piece.down.names[k] && piece.across.row[i] === piece.down.beside[k] && piece.down.row[k] === piece.across.beside[i];

/* The cells of a stretch along the other direction, neighbours as one: [from, to]. */
function cellsOf(piece, way, stretch, x, y) {
    const [other, along] = way === "across" ? [piece.down, y] : [piece.across, x], cells = [];
    other.at.forEach(([a, b], i) => {
        if (!(way === "across" ? isCell(piece, stretch, i) : isCell(piece, i, stretch)))
            return;
        if (cells.length && along[a] <= cells[cells.length - 1][1])
            cells[cells.length - 1][1] = along[b];
        else
            cells.push([along[a], along[b]]);
    });
    return cells;
}

/* ---- dimensions ---- */

const ARROW = 0.75, GAP = 0.35, FREE = 0.45, BEYOND = 0.3, ROW = 1.5, TAIL = 1.05, NEAR = 0.6, MOST_DIMENSIONS = 40;

class Dimensions {
    /* `list`: which scores are from the last edge; lines and figures as in a piece; `rows`: as layRows, if it has any. */
    constructor(way, list, lines, figures, turned, rows) {
        this.upright = way === "down" && !turned;
        this.way = way;
        this.turned = turned;
        this.whole = lines[lines.length - 1];
        this.list = [];
        const told = i => rows && i + 1 < lines.length && rows.told[i], settings = lines.filter((_, i) => i && !told(i)).length;
        for (let i = settings > MOST_DIMENSIONS ? lines.length - 1 : 1; i < lines.length; i++) {
            const end = i === lines.length - 1, last = !end && list.last[i], start = rows ? rows.starts[i] : 0;
            if (!told(i))
                this.list.push({ starts: [rows && end ? rows.starts[0] : start, start], from: last ? lines[i] : 0, to: last ? this.whole : lines[i], last, whole: end, figure: figures[i], width: widthOf(figures[i], TEXT, end) });
        }
        this.list.sort((a, b) => a.whole - b.whole || a.to - a.from - (b.to - b.from));
        for (const d of this.list)
            this.inside(d) || this.inner(d) || this.aside(d) || this.outside(d);
        this.stack();
        this.space();
        this.before = Math.max(0, ...this.list.map(d => -d.low));
    }

    along(d) {
        return this.upright ? TEXT * TALL : d.width;
    }

    inside(d) {
        const half = this.along(d) / 2 + GAP * TEXT, head = ARROW * TEXT * 1.25;
        for (const part of [0.5, 0.35, 0.65, 0.2, 0.8]) {
            const middle = d.from + part * (d.to - d.from), low = middle - half, high = middle + half;
            const crossed = this.list.some(o => o !== d && !o.whole && o.last !== d.last && (o.last ? o.from : o.to) > low && (o.last ? o.from : o.to) < high);
            if (low >= d.from + head && high <= d.to - head && !crossed)
                return Object.assign(d, { middle, low: d.from, high: d.to });
        }
        return null;
    }

    /* Behind its score, in the half of the piece that is its own. */
    inner(d) {
        const half = this.along(d) / 2, gap = GAP * TEXT, tight = d.to - d.from < 2.2 * ARROW * TEXT, tail = (tight ? TAIL : 0.4) * ARROW * TEXT;
        const middle = d.last ? d.from - tail - gap - half : d.to + tail + gap + half, low = middle - half - gap, high = middle + half + gap;
        if (d.whole || (d.last ? low < this.whole / 2 : high > this.whole / 2))
            return null;
        const far = o => o.last ? o.from : o.to;
        if (this.list.some(o => o !== d && !o.whole && far(o) > (d.last ? low : d.to) && far(o) < (d.last ? d.from : high)))
            return null;
        const out = tight ? tail : 0;
        return Object.assign(d, { middle, tight, isInner: true, low: d.last ? low : d.from - out, high: d.last ? d.to + out : high });
    }

    /* The whole size of a low piece stands outside of its line. */
    aside(d) {
        if (!d.whole || !this.upright)
            return null;
        const half = this.along(d) / 2, tight = d.to - d.from < 2.2 * ARROW * TEXT, tail = tight ? TAIL * ARROW * TEXT : 0, middle = (d.from + d.to) / 2;
        return Object.assign(d, { middle, tight, isAside: true, low: Math.min(middle - half, d.from - tail), high: Math.max(middle + half, d.to + tail) });
    }

    outside(d) {
        const half = this.along(d) / 2, gap = GAP * TEXT, tight = d.to - d.from < 2.2 * ARROW * TEXT, tail = tight ? TAIL * ARROW * TEXT : 0;
        const middle = d.last ? d.to + tail + gap + half : d.from - tail - gap - half;
        return Object.assign(d, { middle, tight, isOutside: true, low: d.last ? d.from - tail : middle - half - gap, high: d.last ? middle + half + gap : d.to + tail });
    }

    stack() {
        this.rows = 0;
        this.list.forEach((d, i) => {
            d.row = d.whole ? this.rows : 0;
            while (this.list.slice(0, i).some(o => o.row === d.row && d.low < o.high && o.low < d.high))
                d.row++;
            this.rows = Math.max(this.rows, d.row + 1);
        });
    }

    /* Upright figures need as much as the widest of the row. */
    space() {
        this.offset = [];
        for (let row = 0, at = 0, behind = 0; row < this.rows; row++) {
            const own = this.list.filter(d => this.upright && d.row === row).map(d => (d.isAside ? 0 : d.width / 2) + GAP * TEXT);
            const half = Math.max(ROW / 2 * TEXT, ...own);
            this.offset.push(at += behind + half);
            behind = half;
        }
    }

    depth() {
        const last = this.offset[this.rows - 1], before = this.rows > 1 ? this.offset[this.rows - 2] : 0;
        return last + (this.rows > 1 && this.upright ? (last - before) / 2 : last) + this.list.reduce((sum, d) => sum + (d.isAside ? d.width : 0), 0);
    }

    /* How near to the edge a figure or an arrow comes that stands out beyond the first edge. */
    near(start) {
        const out = this.list.filter(d => (d.isOutside && !d.last) || (d.tight && d.low < 0));
        return Math.min(1e9, ...out.map(d => start + this.offset[d.row] - (!(d.isOutside && !d.last) ? 0.2 * TEXT : this.upright ? d.width / 2 : TEXT * TALL / 2)));
    }

    draw(scene, start) {
        const across = this.way === "across";
        const line = (u1, v1, u2, v2) => across ? scene.line("dimension", u1, -v1, u2, -v2) : scene.line("dimension", -v1, u1, -v2, u2);
        const extend = (u, start, v) => { /* where the card begins further in, it may pass what is written there */
            const from = FREE * TEXT - start, to = v + BEYOND * TEXT;
            if (!(start > 0))
                line(u, from, u, to);
            else
                across ? scene.lineBetweenTexts("dimension", u, -from, u, -to) : scene.lineBetweenTexts("dimension", -from, u, -to, u);
        };
        const arrow = (u, v, points) => across ? scene.arrow(u, -v, points, 0, ARROW * TEXT) : scene.arrow(-v, u, 0, points, ARROW * TEXT);
        for (const d of this.list) {
            const v = start + this.offset[d.row];
            if (d.whole)
                extend(d.from, d.starts[0], v);
            extend(d.whole || !d.last ? d.to : d.from, d.starts[1], v);
            this.drawLine(d, v, line);
            arrow(d.from, v, d.tight ? 1 : -1);
            arrow(d.to, v, d.tight ? -1 : 1);
            this.drawFigure(scene, d, v);
        }
    }

    drawLine(d, v, line) {
        const half = this.along(d) / 2 + GAP * TEXT * (this.upright ? 0.3 : 1), tail = d.tight ? TAIL * ARROW * TEXT : 0, from = d.from - tail, to = d.to + tail;
        if (d.isInner)
            line(d.last ? d.middle + half : from, v, d.last ? to : d.middle - half, v);
        else if (d.isAside)
            line(from, v, to, v);
        else if (d.isOutside)
            line(d.last ? from : d.middle + half, v, d.last ? d.middle - half : to, v);
        else
            [[d.from, d.middle - half], [d.middle + half, d.to]].forEach(([a, b]) => line(a, v, b, v));
    }

    drawFigure(scene, d, v) {
        const drop = 0.36 * TEXT, type = { bold: d.whole, turned: this.turned };
        if (this.way === "across")
            scene.text(d.middle, -v + drop, d.figure, type);
        else if (d.isAside)
            scene.text(-v - GAP * TEXT - d.width / 2, d.middle + drop, d.figure, type);
        else if (this.turned)
            scene.text(-v + drop, d.middle, d.figure, type);
        else
            scene.text(-v, d.middle + drop, d.figure, type);
    }
}

/* ---- names of panels ---- */

const NAME = 0.92 * TEXT, SMALLER = 0.75 * TEXT, INSET = 0.45 * TEXT, LEADING = 1.25, MOST_NAMES = 80;

/* Filled into lines, broken at spaces, else behind `_`; null where a word would have to be torn, or for more than three. */
function linesIn(text, width, size) {
    const lines = [];
    while (text) {
        let fits = 0;
        for (const c of text) {
            if (widthOf(text.slice(0, fits + c.length), size) > width)
                break;
            fits += c.length;
        }
        let take = fits;
        if (fits < text.length) {
            const space = Math.max(text.lastIndexOf(" ", fits), 0), under = text.lastIndexOf("_", fits - 1) + 1;
            take = space || (fits ? under : 0);
        }
        if (!take || lines.length === 3)
            return null;
        lines.push(text.slice(0, take).trim());
        text = text.slice(take).trimStart();
    }
    return lines;
}

function elided(text, width, size) {
    if (widthOf(text, size) <= width)
        return text;
    const letters = [...text];
    while (letters.length && widthOf(letters.join("") + "…", size) > width)
        letters.pop();
    return letters.join("").trim() + "…";
}

class Names {
    constructor(scene, x, y, piece, openings) {
        Object.assign(this, { scene, x, y, piece, openings, holes: [] });
        const across = piece.across.names, down = piece.down.names;
        if (!across || !down || across.length + down.length > MOST_NAMES)
            return;
        this.out = { across: across.map(() => false), down: down.map(() => false) };
        this.nameRows();
        this.out.across[0] = this.out.across[0] && across.length > 1;
        this.out.down[0] = this.out.down[0] && down.length > 1;
        this.leadDown(this.out.across, this.leadRight(this.out.down));
    }

    width(way, i) {
        const at = this.piece[way].at[i], lines = way === "across" ? this.x : this.y;
        return lines[at[1]] - lines[at[0]];
    }

    middle(way, i) {
        const at = this.piece[way].at[i], lines = way === "across" ? this.x : this.y;
        return (lines[at[0]] + lines[at[1]]) / 2;
    }

    /* Of the stretches of a row (`which`: "row"), or of those beside which a row runs; -1: none. */
    widest(way, which, row) {
        const list = this.piece[way];
        return list.names.reduce((best, name, i) => name && list[which][i] === row && (best < 0 || this.width(way, i) > this.width(way, best) + 1e-9) ? i : best, -1);
    }

    /* Is there such a panel in the same place in an earlier row? */
    isNamed(way, i, done) {
        const { names, at } = this.piece[way], lines = way === "across" ? this.x : this.y;
        return names.some((name, k) => done[k] && k !== i && name === names[i] && [0, 1].every(e => Math.abs(lines[at[k][e]] - lines[at[i][e]]) < 1e-9));
    }

    putIn(way, own, other, name) {
        return way === "across" ? this.put(own, other, name) : this.put(other, own, name);
    }

    /* The largest panel of all bears both its names; of two alike one. */
    putMiddle(column, row) {
        const across = this.piece.across.names[column], down = this.piece.down.names[row], alike = across === down;
        if (alike || !this.put(column, row, `${across} × ${down}`)) {
            this.out.across[column] = !this.put(column, row, across);
            this.out.down[row] = !alike || this.out.across[column];
        }
    }

    /* The names of one row of the direction `way` in its widest panel of the other one, and those of the panels it is beside in its
     * own widest one. */
    nameRow(way, row, done) {
        const over = way === "across" ? "down" : "across", list = this.piece[way], other = this.piece[over];
        const own = this.widest(way, "row", row), at = this.widest(over, "beside", row), inMiddle = own >= 0 && at >= 0 && !this.isNamed(way, own, done);
        list.names.forEach((name, i) => {
            if (at < 0 || list.row[i] !== row || !name || this.isNamed(way, i, done))
                return;
            if (i !== own)
                this.out[way][i] = !this.putIn(way, i, at, name);
            done[i] = true;
        });
        other.names.forEach((name, i) => {
            if (own >= 0 && other.beside[i] === row && (i !== at || !inMiddle))
                this.out[over][i] = !this.putIn(over, i, own, name);
        });
        if (inMiddle)
            way === "across" ? this.putMiddle(own, at) : this.putMiddle(at, own);
    }

    nameRows() {
        const way = this.piece.down.rowCount > 1 ? "down" : "across", over = way === "across" ? "down" : "across", done = this.piece[way].names.map(() => false);
        const first = this.piece[over].beside[this.widest(over, "row", 0)];
        this.nameRow(way, first, done);
        for (let row = 0; row < this.piece[way].rowCount; row++)
            if (row !== first)
                this.nameRow(way, row, done);
    }

    put(i, k, name) {
        const { x, y, piece, scene } = this, before = scene.marks.length, [left, right] = piece.across.at[i], [top, low] = piece.down.at[k];
        const room = { x: x[left] + INSET, y: y[top] + INSET, w: x[right] - x[left] - 2 * INSET, h: y[low] - y[top] - 2 * INSET };
        const set = room.w > 0 && room.h > 0 && [false, true].some(split => { /* rather smaller, or turned, than broken at `_` */
            this.split = split;
            return this.beside(room, name, NAME) || this.beside(room, name, SMALLER);
        });
        if (!set)
            return false;
        if ((piece.across.glue || []).includes(i) || (piece.down.glue || []).includes(k))
            for (const { box } of scene.marks.slice(before))
                this.holes.push({ x: box.x - 0.2 * TEXT, y: box.y, w: box.w + 0.4 * TEXT, h: box.h });
        return true;
    }

    /* In the room, or in what an opening leaves of it. What one has left is not asked about it again: rounded, it may touch it. */
    beside(room, name, size, first = 0) {
        const clear = 0.72 * NAME;
        for (let n = first; n < this.openings.length; n++) {
            const { box } = this.openings[n], left = box.x - clear, top = box.y - clear, right = box.x + box.w + clear, low = box.y + box.h + clear;
            if (left >= room.x + room.w || right <= room.x || top >= room.y + room.h || low <= room.y)
                continue;
            return [{ ...room, h: top - room.y }, { ...room, y: low, h: room.y + room.h - low }, { ...room, w: left - room.x }, { ...room, x: right, w: room.x + room.w - right }]
                .some(part => part.w > 0 && part.h > 0 && this.beside(part, name, size, n + 1));
        }
        return this.level(room, name, size) || this.turned(room, name, size);
    }

    level(room, name, size) {
        const lines = linesIn(name, room.w, size), tall = lines && ((lines.length - 1) * LEADING + TALL) * size;
        if (!lines || tall > room.h || (!this.split && lines.slice(0, -1).some(line => line.endsWith("_"))))
            return false;
        lines.forEach((line, n) => this.scene.text(room.x + room.w / 2, room.y + (room.h - tall) / 2 + (UP + n * LEADING) * size, line, { size }));
        return true;
    }

    turned(room, name, size) {
        if (TALL * size > room.w || widthOf(name, size) > room.h)
            return false;
        this.scene.text(room.x + room.w / 2 + size * (UP - TALL / 2), room.y + room.h / 2, name, { size, turned: true });
        return true;
    }

    dot(x, y) {
        const r = 0.14 * NAME;
        this.scene.round("arrow", { x: x - r, y: y - r, w: 2 * r, h: 2 * r }, r);
    }

    /* The edge of the card there; rows end before that of the whole. */
    edge(way, i) {
        const whole = way === "across" ? this.y : this.x;
        return this.piece.across.rows ? Math.max(0, ...cellsOf(this.piece, way, i, this.x, this.y).map(c => c[1])) : whole[whole.length - 1];
    }

    /* From its dot to where it leaves the whole piece: what it passes there stays readable. */
    lead(x1, y1, x2, y2) {
        if (this.piece.across.rows)
            this.scene.lineBetweenTexts("dimension", x1, y1, x2, y2, this.openings.map(o => o.box));
        else
            this.scene.line("dimension", x1, y1, x2, y2);
    }

    /* The stretches as they lie, which those of rows are not in their list. */
    inOrder(way) {
        return this.piece[way].names.map((_, i) => i).sort((a, b) => this.middle(way, a) - this.middle(way, b) || a - b);
    }

    /* To the right, one under the other; the lower end of them. */
    leadRight(out) {
        const { x, y, scene } = this, edge = x[x.length - 1], inside = 0.3 * NAME;
        let next = -1e9, lower = y[y.length - 1];
        for (const k of this.inOrder("down")) {
            if (!out[k])
                continue;
            const at = this.middle("down", k), to = Math.max(at, next, TALL / 2 * NAME), from = this.edge("down", k) - inside;
            this.dot(from, at);
            this.lead(from, at, edge + 0.8 * NAME, at);
            scene.line("dimension", edge + 0.8 * NAME, at, edge + 1.6 * NAME, to);
            scene.text(edge + 1.9 * NAME, to + 0.36 * NAME, elided(this.piece.down.names[k], 13 * NAME, NAME), { size: NAME, anchor: "start" });
            next = to + TALL * NAME;
            lower = Math.max(lower, to + TALL / 2 * NAME);
        }
        return lower;
    }

    /* Below, each in a row below all those to its right that it would reach under. */
    leadDown(out, below) {
        const { scene } = this, inside = 0.3 * NAME, rows = [], order = this.inOrder("across").filter(i => out[i]), middle = i => this.middle("across", i);
        for (let j = order.length - 1; j >= 0; j--) {
            const i = order[j], name = elided(this.piece.across.names[i], 13 * NAME, NAME), end = middle(i) + NAME + widthOf(name, NAME);
            rows[j] = 0;
            for (let k = j + 1; k < order.length; k++)
                if (middle(order[k]) < end && rows[k] >= rows[j])
                    rows[j] = rows[k] + 1;
            const at = below + (1.1 + LEADING * rows[j] + UP) * NAME, from = this.edge("across", i) - inside;
            this.dot(middle(i), from);
            this.lead(middle(i), from, middle(i), at);
            scene.text(middle(i) + 0.4 * NAME, at, name, { size: NAME, anchor: "start" });
        }
    }
}

/* ---- glue, openings, grain ---- */

/* Lines x + y = c within a box and the outline, left out behind what is written. */
function drawHatch(scene, box, outline, holes) {
    const step = 0.55 * TEXT * Math.SQRT2, within = (b, c) => [Math.max(b.y, c - b.x - b.w), Math.min(b.y + b.h, c - b.x)];
    for (let c = box.x + box.y + step / 2; c < box.x + box.w + box.y + box.h; c += step) {
        const ends = [];
        outline.forEach((p, i) => {
            const q = outline[(i + 1) % outline.length], dp = p[0] + p[1] - c, dq = q[0] + q[1] - c;
            if ((dp < 0) !== (dq < 0))
                ends.push(p[1] + (q[1] - p[1]) * dp / (dp - dq));
        });
        ends.sort((a, b) => a - b);
        let spans = [], [low, high] = within(box, c);
        for (let i = 0; i + 1 < ends.length; i += 2)
            spans.push([Math.max(low, ends[i]), Math.min(high, ends[i + 1])]);
        for (const hole of holes) {
            const [from, to] = within(hole, c);
            if (from < to)
                spans = spans.flatMap(([a, b]) => [[a, Math.min(b, from)], [Math.max(a, to), b]]);
        }
        for (const [a, b] of spans)
            if (a < b)
                scene.line("glue", c - a, a, c - b, b);
    }
}

function drawOpening(scene, opening, single, w, h) {
    const { box, text } = opening, beyond = 0.7 * TEXT, x = box.x + box.w / 2, y = box.y + box.h / 2;
    const size = widthOf(text, TEXT) + 0.8 * TEXT > box.w ? 0.85 * TEXT : TEXT, wide = widthOf(text, size) + 0.8 * TEXT, tall = size * TALL + 0.8 * TEXT;
    const shown = single && tall <= Math.min(box.h, 2 * y, 2 * (h - y)) && wide <= Math.min(box.w, 2 * x, 2 * (w - x)), left = shown ? wide / 2 : 0, up = shown ? size * TALL / 2 : 0;
    scene.round("cut", box, cornerOf(box));
    scene.line("centre", box.x - beyond, y, x - left, y);
    scene.line("centre", box.x + box.w + beyond, y, x + left, y);
    scene.line("centre", x, box.y - beyond, x, y - up);
    scene.line("centre", x, box.y + box.h + beyond, x, y + up);
    if (shown)
        scene.text(x, y + 0.36 * size, text, { size });
}

function drawGrain(scene, grain) {
    const t = 0.85 * TEXT, half = 0.85 * t, all = scene.covered(), across = grain === "across", dx = across ? half : 0, dy = across ? 0 : half;
    const x = all.left + (across ? half : 0.4 * t), y = all.low + 0.7 * TEXT + 0.85 * t;
    scene.line("dimension", x - dx, y - dy, x + dx, y + dy);
    scene.arrow(x + dx, y + dy, across ? 1 : 0, across ? 0 : 1, 0.7 * t);
    scene.arrow(x - dx, y - dy, across ? -1 : 0, across ? 0 : -1, 0.7 * t);
    scene.text(x + dx + 0.8 * t, y + 0.36 * t, `grain runs ${grain}`, { size: t, role: "quiet", anchor: "start" });
}

/* ---- the whole ---- */

const withFractions = text => text.replace(/(\d)\/(\d)/g, "$1\u2044$2").replace(/(\d) (?=\d+\u2044)/g, "$1\u2009");

const middleOf = (list, lines, i) => i < 0 ? lines[lines.length - 1] / 2 : (lines[list.at[i][0]] + lines[list.at[i][1]]) / 2;

function openingsOf(piece, x, y, scale) {
    return piece.openings.map(o => {
        const w = number(parse(o.across)) * scale, h = number(parse(o.down)) * scale;
        const text = withFractions(o.text.replace(/ (\S+) × (.* \1)$/, " × $2"));
        return { text, box: { x: middleOf(piece.across, x, o.at[0]) - w / 2, y: middleOf(piece.down, y, o.at[1]) - h / 2, w, h } };
    });
}

function drawDimensions(scene, piece, x, y, figures, rows) {
    const start = NEAR * TEXT, across = new Dimensions("across", piece.across, x, figures.across, false, rows.across);
    let down = new Dimensions("down", piece.down, y, figures.down, false, rows.down);
    if (down.depth() > 11 * TEXT)
        down = new Dimensions("down", piece.down, y, figures.down, true, rows.down);
    down.draw(scene, start);
    const meet = across.before > down.near(start) - 0.1 * TEXT;
    across.draw(scene, meet && down.before > start ? down.before : start);
}

/* The tabs; of a piece with rows in their cells alone. */
function drawGlue(scene, piece, x, y, outline, holes) {
    const w = x[x.length - 1], h = y[y.length - 1];
    for (const way of ["across", "down"])
        for (const i of piece[way].glue || []) {
            const [a, b] = piece[way].at[i], box = ([from, to]) => way === "across" ? { x: x[a], y: from, w: x[b] - x[a], h: to - from } : { x: from, y: y[a], w: to - from, h: y[b] - y[a] };
            for (const cell of piece[way].rows ? cellsOf(piece, way, i, x, y) : [[0, way === "across" ? h : w]]) {
                const tab = box(cell), corners = [[tab.x, tab.y], [tab.x + tab.w, tab.y], [tab.x + tab.w, tab.y + tab.h], [tab.x, tab.y + tab.h]];
                drawHatch(scene, tab, piece[way].rows ? corners : outline, holes);
            }
        }
}

/* {scene, width, height, left, top} of a piece with lines in millimetres of card, so many times as large. */
function layOut(piece, sizes, figures, scale) {
    const x = sizes.across.map(v => v * scale), y = sizes.down.map(v => v * scale), w = x[x.length - 1], h = y[y.length - 1], hasRows = Boolean(piece.across.rows);
    const rows = hasRows ? { across: layRows(piece, "across", x, y), down: layRows(piece, "down", x, y) } : {};
    const drawn = { ...piece, taper: scale * number(parse(piece.taper)) }, outline = hasRows ? rowOutline(piece, x, y) : outlineOf(drawn, x, y), openings = openingsOf(piece, x, y, scale);
    const scene = new Scene(), written = new Scene(), names = new Names(written, x, y, piece, openings);
    const whole = { x: 0, y: 0, w, h }, outer = role => piece.punched ? scene.round(role, whole, cornerOf(whole)) : scene.path(role, outline, true);
    const drawRun = (role, way, at, from, to) => {
        for (const [a, b] of spansBeside(openings, way, at, from, to))
            way === "across" ? scene.line(role, at, a, at, b) : scene.line(role, a, at, b, at);
    };
    const drawRuns = cuts => {
        for (const way of ["across", "down"])
            rows[way].runs.forEach((runs, line) => runs.filter(r => r[2] === cuts).forEach(([from, to]) => drawRun(cuts ? "cut" : "score", way, (way === "across" ? x : y)[line], from, to)));
    };
    outer("card");
    scene.marks[0].holes = openings.map(o => o.box);
    drawGlue(scene, piece, x, y, outline, names.holes);
    for (const way of hasRows ? [] : ["across", "down"]) {
        const own = way === "across" ? x : y;
        for (let i = 1; i + 1 < own.length; i++)
            drawRun("score", way, own[i], ...spanOf(drawn, way, i, x, y, outline));
    }
    if (hasRows)
        drawRuns(false);
    for (const o of openings)
        drawOpening(scene, o, openings.length === 1, w, h);
    hasRows ? drawRuns(true) : outer("cut");
    scene.marks.push(...written.marks);
    drawDimensions(scene, piece, x, y, figures, rows);
    if (piece.grain)
        drawGrain(scene, piece.grain);
    return { scene, ...scene.covered() };
}

/* A figure as the other diagrams have it: fractions with U+2044 behind a narrow space, no unit. */
function figureText(edition, marks) {
    const f = figureOf(marksMM(edition, marks), edition.unit);
    return f.text || `${f.whole ? f.whole + "\u2009" : ""}${f.n}\u2044${f.d}`;
}

let drawings = 0;

/* Sizes in millimetres and figures of every line: of a piece that is cut, of one from a punch. */
function cutSizes(edition, piece, lines) {
    const told = { sizes: {}, figures: {} };
    for (const way of ["across", "down"]) {
        const end = lines[way][lines[way].length - 1];
        told.sizes[way] = lines[way].map(m => number(marksMM(edition, m)));
        told.figures[way] = lines[way].map((m, i) => figureText(edition, i + 1 < lines[way].length && piece[way].last[i] ? end - m : m));
    }
    return told;
}

function punchedSizes(piece) {
    const told = { sizes: {}, figures: {} }, texts = withFractions(piece.punched).split(" × ");
    ["across", "down"].forEach((way, i) => {
        told.sizes[way] = [0, number(parse(piece.punched_mm[i]))];
        told.figures[way] = ["", texts[i]];
    });
    return told;
}

function drawPiece(edition, given, lines) {
    const piece = given.punched ? { ...given, across: { last: [] }, down: { last: [] }, taper: "0" } : given, id = `own-drawing-${++drawings}`;
    const { sizes, figures } = given.punched ? punchedSizes(given) : cutSizes(edition, piece, lines);
    const longest = Math.max(sizes.across[sizes.across.length - 1], sizes.down[sizes.down.length - 1]);
    let scale = Math.max(Math.min(LARGEST / longest, 1), Math.min(0.4 * LARGEST / longest, 1e3)), laid = layOut(piece, sizes, figures, scale);
    while (scale > SHORTEST * LARGEST / longest && (laid.right - laid.left > WIDEST || laid.low - laid.top > TALLEST))
        laid = layOut(piece, sizes, figures, scale *= 0.93);
    const own = laid.right - laid.left, width = Math.max(own, WIDEST) + 2, height = laid.low - laid.top + 2;
    const beside = (list, line) => list.rowCount > 1 ? ` beside ${list.rows[list.lineRow[line]].beside}` : "";
    const said = ["across", "down"].map(way => `${figures[way][figures[way].length - 1]} ${way}` + figures[way].slice(1, -1).map((f, i) =>
        `, ${piece[way].cuts && piece[way].cuts[i + 1] ? "cut" : "score"} at ${f} from the ${EDGES[way][piece[way].last[i + 1] ? 1 : 0]} edge${beside(piece[way], i + 1)}`).join(""));
    return svg("svg", { class: "nearmark-diagram", viewBox: `${round(laid.left - (width - own) / 2)} ${round(laid.top - 1)} ${round(width)} ${round(height)}`,
                        width: round(width * ENLARGED) + "mm", height: round(height * ENLARGED) + "mm", role: "img", "font-family": FACES,
                        "aria-labelledby": `${id} ${id}-about` },
               svg("title", { id }, `${piece.label} at your size`), svg("desc", { id: `${id}-about` }, said.join("; ") + "."), ...laid.scene.nodes());
}
