/* A piece at the viewer's own size as a diagram. */

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
