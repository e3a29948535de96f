/* The viewer's own size: reads what is typed, goes by the rule card of the chosen edition, shows the cut list and diagrams.
 *
 * All reckoning is in whole numbers (BigInt) and fractions of them; a floating number appears only where something is
 * drawn (own_diagram.js). Text goes into the page as text, never as markup. Without this script the page shows everything but
 * this. */

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

/* "from the left edge to 15 mm": where a score is cut, or a cut that is none all along it; as row_words has it. */
function cutParts(edition, piece, way, lines, line) {
    const along = way === "across" ? "down" : "across", last = lines[along] && lines[along][lines[along].length - 1];
    if (!(piece[along].rowCount > 1) || !last)
        return "";
    const place = at => at === 0n || at === last ? `the ${EDGES[along][at ? 1 : 0]} edge` : markText(edition, at).replace("/", "\u2044");
    const cut = lineRuns(piece, way, line, lines.across, lines.down).filter(([from, to, is]) => is && (!piece[way].cuts[line] || from !== 0n || to !== last));
    return cut.map(([from, to]) => `from ${place(from)} to ${place(to)}`).join(", and ");
}

function rowsOf(edition, piece, way, all) {
    const lines = all[way], title = way === "across" ? "Across" : "Down";
    let body = make("tbody", null, make("tr", null, make("th", { colspan: "2", scope: "rowgroup" }, title)));
    const row = (marks, what, kind, parts) => {
        const hint = hintOf(edition, marks), cell = make("td", null, what);
        if (hint)
            cell.append(make("span", { class: "find" }, hint));
        if (parts)
            cell.append(make("span", { class: "parts" }, ...textNodes(parts.replace(/(\d) /g, "$1\u00a0"))));
        body.append(make("tr", { class: kind }, make("td", { class: "mark" }, figureNode(marksMM(edition, marks), edition.unit, true)), cell));
    };
    if (!lines) {
        body.append(make("tr", null, make("td", { colspan: "2" }, "by the size chart only: no rule gives this size")));
        return [body];
    }
    const size = lines[lines.length - 1], list = piece[way], bodies = [body];
    row(size, "cut", "is-cut");
    for (let i = 1; i + 1 < lines.length; i++) {
        const last = list.last[i], cut = list.cuts && list.cuts[i];
        if (cut && (lines[i] <= 0n || lines[i] >= size))
            continue; /* nothing is left to be cut away */
        if (list.rowCount > 1 && (bodies.length === 1 || list.lineRow[i] !== list.lineRow[i - 1])) {
            body = make("tbody", null, make("tr", null, make("th", { colspan: "2", scope: "rowgroup" }, title + ", only", make("bdi", null, " beside " + list.rows[list.lineRow[i]].beside))));
            bodies.push(body);
        }
        const parts = cutParts(edition, piece, way, all, i), what = `${cut ? "cut" : "score"} from the ${EDGES[way][last ? 1 : 0]} edge`;
        row(last ? size - lines[i] : lines[i], what, "is-score", parts && `${cut ? "only" : "cut through"} ${parts}`);
    }
    return bodies;
}

/* What is cut away of each row, and what is glued. */
function endNotes(edition, list, way, lines) {
    const between = i => lines[list.at[i][1]] - lines[list.at[i][0]], size = marks => markText(edition, marks).replace("/", "\u2044");
    const beside = r => list.rowCount > 1 ? `, beside ${list.rows[r].beside}` : "", notes = { away: [], glue: [] };
    for (let r = 0; list.rows && r < list.rowCount; r++) {
        const ends = [list.first[r], list.first[r] + list.rows[r].count - 1];
        const rests = [0, 1].filter(e => list.rows[r].rests[e] && between(ends[e]) > 0n).map(e => `the ${size(between(ends[e]))} at the ${EDGES[way][e]} edge`);
        if (rests.length)
            notes.away.push(`Cut away ${rests.join(" and ")}${beside(r)}`);
    }
    for (const i of list.glue || []) {
        const r = list.row[i], last = i > list.first[r] + (list.rows ? list.rows[r].rests[0] : 0);
        notes.glue.push(`Glue: the ${size(between(i))} at the ${EDGES[way][last ? 1 : 0]} edge${beside(r)}`);
    }
    return notes;
}

function notesOf(edition, piece, lines) {
    const notes = [...piece.notes, ...piece.punched ? ["The outline stands for the shape of your punch"] : []];
    const ways = piece.punched ? [] : ["across", "down"].filter(way => lines[way] && piece[way].lengths);
    const ends = ways.map(way => endNotes(edition, piece[way], way, lines[way]));
    return [...notes, ...ends.flatMap(e => e.away), ...piece.late || [], ...ends.flatMap(e => e.glue)];
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

/* ---- a piece of the result ---- */

function pieceNode(edition, piece, lines) {
    const article = make("article", { class: "piece" }, make("h3", { dir: "auto" }, piece.label), make("p", { class: "task" }, piece.task));
    const both = make("div", { class: "both" }), words = make("div", { class: "list" });
    for (const said of piece.above)
        words.append(make("p", { class: "say", dir: "auto" }, said));
    if (piece.punched)
        words.append(make("p", { class: "punched" }, ...textNodes(withFractions(piece.punched))));
    else
        words.append(make("table", null, make("caption", { class: "vh" }, `${piece.label} at your size`),
                          ...rowsOf(edition, piece, "across", lines), ...rowsOf(edition, piece, "down", lines)));
    for (const said of piece.punched ? [] : troubles(edition, piece, lines))
        words.append(make("p", { class: "trouble" }, said));
    const notes = notesOf(edition, piece, lines);
    if (notes.length)
        words.append(make("ul", { class: "notes" }, ...notes.map(n => make("li", { dir: "auto" }, ...textNodes(n)))));
    both.append(words);
    if (piece.punched || (lines.across && lines.down))
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

/* What the rules do not promise for every size: judged at this one where it can be. */
function demandNodes(edition, readings) {
    const lengths = lengthsOf(edition, readings), lists = [];
    const said = edition.judged.map(d => sayDemand(edition, d, judgeDemand(edition, d, readings, lengths)));
    const wrong = [...said.filter(s => s.state !== "holds").map(s => s.text), ...edition.warnings], right = said.filter(s => s.state === "holds");
    if (wrong.length)
        lists.push(make("ul", { class: "warnings" }, ...wrong.map(w => make("li", { dir: "auto" }, w))));
    if (right.length)
        lists.push(make("ul", { class: "promises" }, ...right.map(s => make("li", { dir: "auto" }, s.text))));
    return lists;
}

/* The key that stands over the edition's own diagrams, again. */
function keyNodes() {
    const key = document.querySelector(`[data-edition="${chosen}"] .key`), copy = key && key.cloneNode(true);
    for (const e of copy ? copy.querySelectorAll("[id], [aria-labelledby]") : []) {
        e.removeAttribute("id");
        e.removeAttribute("aria-labelledby");
    }
    return copy ? [copy] : [];
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
    result.append(...demandNodes(edition, readings), ...keyNodes());
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

/* The readings of typed sizes, one a measure in their order, or {error}. */
function readAll(edition, typed, bare) {
    const readings = {}, measures = boxes.map(box => Number(box.dataset.measure)).sort((a, b) => a - b);
    for (let k = 0; k < measures.length; k++) {
        const read = readLength(typed[k], bare), m = measures[k];
        if (!read || read.error)
            return { error: read ? read.error : "nothing" };
        readings[m] = readingOf(edition, m, read.mm);
        if (!inRange(edition, m, readings[m]))
            return { error: "range" };
    }
    return readings;
}

/* For whoever checks it: the marks of every line, for an edition and one typed size a measure, in their order. */
window.nearmark = Object.freeze({
    cuts(i, typed, bare) {
        const edition = data.editions[i], readings = readAll(edition, typed, bare), plain = lines => lines && lines.map(String);
        return readings.error ? readings : settle(edition, readings).map(p => p && { across: plain(p.across), down: plain(p.down) });
    },
    /* And what becomes of the demands that the rules do not promise: [title, state, chance, nominal clearance in mm]. */
    judge(i, typed, bare) {
        const edition = data.editions[i], readings = readAll(edition, typed, bare), text = f => f && (f = lowest(f), f.d === 1n ? String(f.n) : `${f.n}/${f.d}`);
        return readings.error ? readings : edition.judged.map(d => {
            const told = judgeDemand(edition, d, readings, lengthsOf(edition, readings));
            return [d.title, told.state, text(told.chance), text(told.nominal)];
        });
    },
    choose
});
