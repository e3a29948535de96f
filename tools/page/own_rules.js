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
    const lines = [0n];
    for (const i of list.lengths) {
        if (lengths[i] === null)
            return null;
        lines.push(lines[lines.length - 1] + lengths[i]);
    }
    return lines;
}

const lengthsOf = (edition, readings) => edition.lengths.map(l => lengthMarks(edition, l, readings));

function settle(edition, readings) {
    const lengths = lengthsOf(edition, readings);
    return edition.pieces.map(p => p.punched ? null : { across: linesOf(lengths, p.across), down: linesOf(lengths, p.down) });
}
