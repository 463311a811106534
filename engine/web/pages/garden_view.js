// The garden page's answers on the page: tables, figures and lists from the engine's JSON. Nothing here computes what the engine could say.

// Of each planting: what the season says, and how often in the years of the file.
function showAnswers(place, page, lasts) {
  const years = lasts ? new Map(lasts.plantings.map(p => [p.name, p])) : new Map();
  const often = name => {
    const p = years.get(name);
    if (!p) return lasts ? '' : '…';
    return `${p.kept_years} of ${p.years.length}`;
  };
  const until = name => {
    const p = years.get(name);
    if (!p) return lasts ? '' : '…';
    return p.kept_nine_in_ten_until === 'season' ? 'the season’s end' : dayWords(p.kept_nine_in_ten_until);
  };
  place.replaceChildren(table('The answer for each planting, worst first',
    [['planting'], ['lasts'], ['why'], ['years it lasts', true], ['in 9 years of 10 until', true]],
    page.answers.map(a => [a.planting, a.word, [a.why, a.second].filter(Boolean).join('; '), often(a.planting), until(a.planting)])));
}

function showAdvice(place, {words, answers}) {
  const list = (title, lines) => lines.length ? [...(title ? [el('h3', {}, title)] : []), el('ul', {}, ...lines.map(line => el('li', {}, line)))] : [];
  place.replaceChildren(...list('', words.to_do), ...list('What to look at', words.checks), ...list('What the mulch gave and held back', words.mulch), ...list(words.leave_alone, answers.filter(a => a.leave_alone).map(a => `${a.planting}: ${a.why}`)));
}

// What a planting has against what it wants, with the soil's warmth below.
function showSupply(place, days, answer, season) {
  const first = dayNumber(days.from), n = days.has_g.length, x = [first, first + n - 1];
  const most = Math.max(0.01, ...days.has_g, ...days.needs_g), step = roundStep(most * 1.1, 4);
  const a = new Axes({x, y: [0, Math.ceil(most * 1.12 / step) * step], right: 64});
  const at = values => values.map((v, i) => [first + i, v]);
  const has = at(days.has_g), needs = at(days.needs_g);
  const parts = [hatching('lack'), a.levels(step), a.months(), a.between(has, has.map(([d]) => [d, 0]), 'held')];
  for (let i = 0; i < n; ++i) {
    let j = i;
    while (j < n && days.has_g[j] < 0.9 * days.needs_g[j]) ++j;
    if (j > i) parts.push(a.between(needs.slice(i, j + 1), has.slice(i, j + 1), 'lack'));
    i = Math.max(i, j);
  }
  parts.push(a.line(needs, 'needs'), a.line(has, 'has'));
  const asked = dayNumber(season.carry_to);
  if (asked >= x[0] && asked <= x[1])
    parts.push(mark('path', {d: `M${a.x(asked)} ${a.top}V${a.tall - a.bottom}`, class: 'asked'}), a.text(a.x(asked), a.top - 9, dayWords(season.carry_to), 'middle'));
  const fed = (days.fed_on || []).map(dayNumber).filter(d => d >= x[0] && d <= x[1]);
  for (const d of fed) parts.push(mark('path', {d: `M${a.x(d) - 5} ${a.top - 4}l5 8l5 -8z`, class: 'fed'}));
  const labels = apart([a.y(days.needs_g[n - 1]), a.y(days.has_g[n - 1])], 16, a.top + 6, a.tall - a.bottom - 4), right = a.wide - a.right + 6;
  parts.push(a.text(right, labels[0] + 4, 'needs'), a.text(right, labels[1] + 4, 'has', 'start', 'has-word'), a.text(2, 18, 'g a plant'));
  const on = Math.min(n - 1, Math.max(0, asked - first)), grams = v => v.toFixed(1) + ' g';
  const said = `${days.planting}: ${answer.word}${answer.why ? ', ' + answer.why : ''}. On ${dayWords(isoOf(first + on))} each holds ${grams(days.has_g[on])} of nitrogen and needs ${grams(days.needs_g[on])} to grow at full speed.` +
    (fed.length ? ` Fed ${fed.length === 1 ? 'on ' + dayWords(isoOf(fed[0])) : fed.length + ' times from ' + dayWords(isoOf(fed[0]))}.` : ' Not fed.');
  place.replaceChildren(el('figure', {}, el('h3', {}, days.title), a.figure('supply', days.title, said, ...parts), soilFigure(days, x),
    el('figcaption', {}, said + ' Solid line: what it has; broken: what one of its size needs; hatched: less than nine tenths of that; triangles: fed.'), inNumbers(days, first)));
}

function soilFigure(days, x) {
  const at = values => values.map((v, i) => [x[0] + i, v]);
  const warmest = Math.max(...days.soil_c), a = new Axes({x, y: [Math.min(0, ...days.soil_c), Math.max(20, 5 * Math.ceil(warmest / 5))], tall: 140, right: 64, top: 38});
  const day = isoOf(x[0] + days.soil_c.indexOf(warmest));
  return a.figure('soil', 'How warm is the soil?', `Warmest on ${dayWords(day)}, ${warmest.toFixed(0)} degrees, 5 to 15 cm down.`,
    a.levels(10), a.months(), a.line(at(days.soil_c), 'warm'), a.text(2, 18, 'How warm is the soil? °C, 5 to 15 cm down'));
}

// The figure for those who do not see it, or want to read numbers off.
function inNumbers(days, first) {
  const rows = [];
  days.has_g.forEach((has, i) => {
    const iso = isoOf(first + i);
    if (iso.endsWith('-01')) rows.push([dayWords(iso), has.toFixed(1), days.needs_g[i].toFixed(1), days.soil_c[i].toFixed(0), (100 * days.water_frac[i]).toFixed(0)]);
  });
  const made = el('details', {}, el('summary', {}, 'The same in numbers: ' + days.planting),
    table(days.planting + ', on the first of each month', [['day'], ['has, g', true], ['needs, g', true], ['soil, °C', true], ['water, %', true]], rows));
  made.open = inNumbers.open === true;
  made.addEventListener('toggle', () => { inNumbers.open = made.open; });
  return made;
}

// When the planting ran short in each year of the file: one mark a year, those that were kept on the right.
function showYears(place, name, lasts, starts) {
  const p = lasts && lasts.plantings.find(q => q.name === name);
  if (!p) return place.replaceChildren(el('p', {class: 'said'}, lasts ? 'Nothing to say of it.' : 'Working through the years …'));
  // All years on one: days before and after the date asked about, which lies in the year the season ends in unless that is over by then.
  const start = dayNumber(`2001-${lasts.carry_to}`), late = lasts.carry_to >= starts ? 1 : 0;
  const startOf = y => y.first_short ? start + dayNumber(y.first_short) - dayNumber(`${y.season - late}-${lasts.carry_to}`) : null;
  const days = p.years.map(startOf).filter(d => d !== null);
  const low = Math.min(start - 120, ...days) - 5, high = Math.max(start, ...days) + 25, tall = 62 + 20 * p.years.length;
  const a = new Axes({x: [low, high], y: [0, p.years.length], tall, left: 58, right: 112, top: 30, bottom: 30});
  const parts = [a.months(), mark('path', {d: `M${a.x(start)} ${a.top}V${tall - a.bottom}`, class: 'asked'}), a.text(a.x(start), a.top - 9, dayWords(lasts.carry_to), 'middle')];
  const words = {'never-woke': 'never woke', carried: 'lasted', 'just-carried': 'just lasted', 'water-limited': 'water, not feed'};
  p.years.forEach((y, i) => {
    const row = a.y(p.years.length - i - 0.5), d = startOf(y);
    parts.push(a.text(a.left - 6, row + 4, y.season, 'end'));
    if (d !== null) parts.push(mark('path', {d: `M${a.left} ${row}H${a.x(d)}`, class: 'line has thin'}), mark('circle', {cx: a.x(d), cy: row, r: 4, class: d <= start ? 'early' : 'late'}));
    else if (y.outcome !== 'never-woke') parts.push(mark('path', {d: `M${a.left} ${row}H${a.wide - a.right}`, class: 'line has thin'}));
    parts.push(a.text(a.wide - a.right + 6, row + 4, d !== null ? dayWords(y.first_short) : words[y.outcome] || y.outcome));
  });
  const said = `${name}: lasts to ${dayWords(lasts.carry_to)} in ${p.kept_years} years of ${p.years.length}; unfed it would in ${p.kept_years_unfed}.` +
    (p.usual_first_short ? ` Where it runs short, usually from ${dayWords(p.usual_first_short)}.` : '') +
    (p.kept_nine_in_ten_until === 'season' ? '' : ` In 9 years of 10 it lasts until ${dayWords(p.kept_nine_in_ten_until)}.`);
  place.replaceChildren(el('figure', {}, el('h3', {}, 'When does it run short, year by year?'), a.figure('years-drawn', 'When does it run short, year by year?', said, ...parts), el('figcaption', {}, said)));
}

const WHERE = ['taken up', 'still to come', 'loose in the soil', 'washed below the roots', 'lost to the air', 'in the soil’s life'];
const LOST = [false, false, false, true, true, false];

function showWhere(place, page) {
  const {words, season} = page;
  if (!words.of_hundred) return place.replaceChildren(el('p', {}, 'Nothing is fed.'));
  const parts = words.of_hundred, wide = 560, names = 236, scale = (wide - names - 60) / Math.max(50, ...parts), tall = parts.length * 22 + 6;
  const bars = parts.flatMap((part, i) => [
    mark('text', {x: names - 8, y: 16 + i * 22, 'text-anchor': 'end'}, WHERE[i]),
    mark('rect', {x: names, y: 4 + i * 22, width: Math.max(0.5, part * scale), height: 15, class: LOST[i] ? 'bar lost' : i ? 'bar' : 'bar taken'}),
    mark('text', {x: names + part * scale + 6, y: 16 + i * 22}, `${part} g`)]);
  const said = parts.map((part, i) => `${part} ${WHERE[i]}`).join(', ') + '.';
  const title = 'Of each 100 g of nitrogen given, by the season’s end';
  const figure = mark('svg', {viewBox: `0 0 ${wide} ${tall}`, role: 'img', 'aria-labelledby': 'where-t where-d'}, mark('title', {id: 'where-t'}, title),
                      mark('desc', {id: 'where-d'}, said), hatching('loss'), ...bars);
  const g = v => v.toFixed(1);
  const feedings = season.feedings.map((line, i) => [line, season.by_feeding_g_n[i]]).filter(([, l]) => l && Object.values(l).some(v => v > 0)).map(([line, l]) => {
    const cells = [l.plant + l.reserve + l.litter, l.unfreed, l.mineral, l.leached, l.volatilised + l.denitrified, l.microbes + l.humus];
    return [line, g(cells.reduce((x, y) => x + y, 0)), ...cells.map(g)];
  });
  const plantings = season.columns.filter(c => c.verdict).map(c =>
    [c.name, g(c.area_m2), g(c.ledger_kg_n_ha.taken / 10), g(c.ledger_kg_n_ha.leached / 10), c.fed ? g(c.gain_g_n) : 'unfed', c.fed ? season.currency + c.cost.toFixed(2) : 'none']);
  const l = season.ledger_g_n, ledger = [
    ['in: fed', l.given], ['in: freed by the soil', l.from_soil], ['in: loose at the start', l.start_mineral], ['in: in the plants at the start', l.start_plant], ['in: fixed from the air', l.fixed],
    ['out: in plants and their stores', l.plant + l.reserve], ['out: fallen leaves', l.litter], ['out: still in the feed', l.unfreed], ['out: loose in the soil', l.mineral],
    ['out: in the soil’s life', l.microbes + l.humus], ['out: washed below the roots', l.leached], ['out: lost to the air', l.volatilised + l.denitrified]];
  place.replaceChildren(el('figure', {}, el('h3', {}, title), figure, el('figcaption', {}, words.where + ' Hatched: lost to the garden.')),
    table('Grams of nitrogen of each feeding, by the season’s end', [['feeding'], ['given', true], ['taken up', true], ['to come', true], ['loose', true], ['washed', true], ['to the air', true], ['soil’s life', true]], feedings),
    table('The whole garden’s ledger, grams of nitrogen', [['what'], ['g', true]], ledger.map(([name, v]) => [name, g(v)])),
    table('What each planting made of it', [['planting'], ['ground, m²', true], ['taken up, g/m²', true], ['washed, g/m²', true], ['gained by feeding, g', true], ['cost', true]], plantings));
}

function showCost(place, page, titles) {
  const {words, season} = page;
  if (!words.cost) return place.replaceChildren(el('p', {}, 'Nothing is bought.'));
  place.replaceChildren(table('What the season takes', [['feed'], ['to carry', true], ['to buy', true], ['cost of what is used', true]],
    season.carried.map(c => [titles.get(c.material) || c.material, c.kg < 1 ? `${Math.round(1000 * c.kg)} g` : `${c.kg.toFixed(1)} kg`,
                             c.bags ? `${c.bags} ${c.bags === 1 ? 'bag' : 'bags'}` : 'loose', season.currency + c.cost.toFixed(2)])),
    el('p', {}, words.cost), el('p', {}, words.beside));
}

const items = (place, lines) => place.replaceChildren(...lines.map(line => el('li', {}, line)));
