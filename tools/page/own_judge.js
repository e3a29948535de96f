/* What a demand comes to at a viewer's own size, exactly: its state, and its chance, the part of the box of errors in which it
 * is met. `demand` is one of an edition's `judged`: see put_judged in calculator_json.c. */

for (const edition of data.editions)
    for (const d of edition.judged || []) {
        for (const key of ["low", "high", "constant"])
            d[key] = d[key] === null ? null : parse(d[key]);
        for (const key of ["lengths", "measures"])
            d[key] = d[key].map(([i, times]) => [i, parse(times)]);
        d.cases = d.cases.map(widths => widths.map(parse));
    }

/* Where the true size lies from the reading, in the middle, in reading steps. */
const MIDDLE = { nearest: frac(0n, 1n), up: frac(-1n, 2n), down: frac(1n, 2n), fixed: frac(0n, 1n) };

const less = (a, b) => add(a, frac(-b.n, b.d));
const size = a => a.n < 0n ? frac(-a.n, a.d) : a;
const MOST_TERMS = 1 << 14;

/* prod (1 - x^(2 w)) over whole widths w, as [exponent, factor] with rising exponents; null where there would be too many. */
function expand(widths) {
    let terms = [[0n, 1n]];
    for (const w of widths) {
        const next = [];
        for (let i = 0, j = 0; j < terms.length;) {
            const at = terms[j][0] + 2n * w;
            if (i < terms.length && terms[i][0] < at) {
                next.push(terms[i++]);
                continue;
            }
            const own = i < terms.length && terms[i][0] === at ? terms[i++][1] : 0n, factor = own - terms[j++][1];
            if (factor)
                next.push([at, factor]);
        }
        if (next.length > MOST_TERMS)
            return null;
        terms = next;
    }
    return terms;
}

/* Independent errors, each uniform on +- its width: {below(t)}, the chance that their sum is less than t (a fraction). The sum
 * of n of them has the density of a box cut by a plane: sum factor (t + W - exponent)^n over what is positive, by n! prod 2 w. */
function chanceOf(widths) {
    let d = 1n;
    for (const w of widths)
        d = d / gcd(d, w.d) * w.d;
    const ws = widths.map(w => w.n * (d / w.d)), n = BigInt(ws.length), terms = expand(ws);
    let reach = 0n, share = 1n;
    ws.forEach((w, i) => {
        reach += w;
        share *= 2n * w * BigInt(i + 1);
    });
    return terms && {
        reach: frac(reach, d),
        below(t) {
            const q = t.d, p = t.n * d + reach * q; /* (t + W) d = p / q */
            if (p <= 0n)
                return whole(0);
            if (p >= 2n * reach * q)
                return whole(1);
            let sum = 0n;
            for (const [at, factor] of terms) {
                const base = p - at * q;
                if (base <= 0n)
                    break;
                sum += factor * base ** n;
            }
            return lowest(frac(sum, q ** n * share));
        }
    };
}

/* That nominal + errors lies in [low, high]. */
function chanceWithin(chance, nominal, low, high) {
    if (!chance.reach.n)
        return whole((low && more(low, nominal)) || (high && more(nominal, high)) ? 0 : 1);
    return less(high ? chance.below(less(high, nominal)) : whole(1), low ? chance.below(less(low, nominal)) : whole(0));
}

const rising = (a, b) => more(a, b) ? 1 : more(b, a) ? -1 : 0;

/* {nominal, state, chance}; chance null: too many kinds of errors for it, and then the state is told by the worst case alone. */
function judgeDemand(edition, demand, readings, lengths) {
    let nominal = demand.constant, chance = whole(1), worst = whole(0);
    for (const [i, times] of demand.lengths)
        nominal = add(nominal, mul(times, whole(lengths[i])));
    const own = [];
    for (const [i, times] of demand.measures) {
        const middle = mul(add(whole(readings[i]), MIDDLE[edition.measures[i].read]), edition.reading);
        nominal = add(nominal, mul(times, middle));
        own.push(size(mul(times, div(edition.reading, whole(2)))));
    }
    nominal = lowest(nominal);
    if (demand.exact)
        return { nominal, chance: whole(nominal.n ? 0 : 1), state: nominal.n ? "uneven" : "holds" };
    for (const widths of demand.cases) {
        const errors = chanceOf([...widths, ...own].filter(w => w.n).sort(rising)), reach = [...widths, ...own].reduce(add, whole(0));
        const here = errors && chanceWithin(errors, nominal, demand.low, demand.high);
        worst = more(reach, worst) ? reach : worst;
        chance = chance && here && (more(chance, here) ? here : chance);
    }
    const always = !(demand.low && more(demand.low, less(nominal, worst))) && !(demand.high && more(add(nominal, worst), demand.high));
    const state = demand.low && more(demand.low, nominal) ? "too tight" : demand.high && more(nominal, demand.high) ? "too loose" :
        (chance ? !more(parse(edition.sure), chance) : always) ? "holds" : "at risk";
    return { nominal, chance, state };
}

/* As the program prints a chance: rounded down to a tenth. */
function percentOf(chance) {
    if (!more(whole(1), chance))
        return "always";
    const tenths = String(floor(mul(chance, whole(1000)))).padStart(2, "0");
    return `${tenths.slice(0, -1)}.${tenths.slice(-1)} %`;
}

/* For the maker: {text, state}. */
function sayDemand(edition, demand, judged) {
    const { nominal, chance, state } = judged, title = demand.title;
    if (state === "holds")
        return { state, text: `At your size it holds: ${title}${chance && more(whole(1), chance) ? `, in ${percentOf(chance)} of all cases` : ""}.` };
    if (state === "at risk")
        return { state, text: `At risk at your size: ${title} ${chance ? `comes out right in ${percentOf(chance)} of all cases` : "may not come out right"}.` };
    if (state === "uneven")
        return { state, text: `At your size it is ${demand.words[2]}: ${title}, by ${textOf(size(nominal), edition.unit)}.` };
    const tight = state === "too tight", bound = tight ? demand.low : demand.high;
    return { state, text: `At your size it is ${demand.words[tight ? 0 : 1]}: ${title}, by ${textOf(size(less(nominal, bound)), edition.unit)}.` };
}
