/* The rule card of an edition at the sizes that a viewer typed: readings, lengths, lines, all in marks. */

const data = JSON.parse(document.getElementById("nearmark-data").textContent);

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

/* Of each stretch of a direction the two lines that bound it and its row, and the row of each line: the edges are of all rows,
 * the others stand row by row. */
function layLines(list) {
    const rows = list.rows || [{ count: list.lengths.length, rests: [0, 0] }];
    Object.assign(list, { at: [], row: [], lineRow: [-1], first: [], rowCount: rows.length, beside: list.beside || list.lengths.map(() => 0) });
    rows.forEach((row, r) => {
        list.first.push(list.at.length);
        for (let i = 0; i < row.count; i++) {
            const before = i ? list.lineRow.length - 1 : 0;
            if (i + 1 < row.count)
                list.lineRow.push(r);
            list.at.push([before, i + 1 < row.count ? list.lineRow.length - 1 : -1]);
            list.row.push(r);
        }
    });
    list.lineRow.push(-1);
    for (const at of list.at)
        if (at[1] < 0)
            at[1] = list.lineRow.length - 1;
}

for (const edition of data.editions)
    for (const piece of edition.pieces || [])
        for (const way of ["across", "down"])
            if (piece[way] && piece[way].lengths)
                layLines(piece[way]);

const marksMM = (edition, marks) => mul(whole(marks), edition.step);
const markText = (edition, marks) => textOf(marksMM(edition, marks), edition.unit);

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
    if (list.lengths.some(i => i !== null && lengths[i] === null))
        return null;
    const marks = list.lengths.map(i => i === null ? 0n : lengths[i]), lines = list.lineRow.map(() => 0n);
    const rowSum = r => marks.reduce((sum, m, i) => list.row[i] === r ? sum + m : sum, 0n), size = rowSum(list.widest || 0);
    lines[lines.length - 1] = size;
    for (let r = 0; r < list.rowCount; r++) {
        const [first, last] = list.rows ? list.rows[r].rests : [0, 0], left = size - rowSum(r);
        let at = !first || left < 0n ? 0n : last ? left / 2n : left; /* of two rests the odd mark goes to the last */
        for (let i = list.first[r]; i + 1 < list.at.length && list.row[i + 1] === r; i++) {
            at += marks[i];
            lines[list.at[i][1]] = at < size ? at : size;
        }
    }
    return lines;
}

const lengthsOf = (edition, readings) => edition.lengths.map(l => lengthMarks(edition, l, readings));

function settle(edition, readings) {
    const lengths = lengthsOf(edition, readings);
    return edition.pieces.map(p => p.punched ? null : { across: linesOf(lengths, p.across), down: linesOf(lengths, p.down) });
}
