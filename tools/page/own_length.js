/* Lengths that a viewer types, read and written: fractions of whole numbers (BigInt), never a floating number. The files of
 * the script go into the page one after the other, as one (page_texts.c). */

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
