// The workshop page: guesses first, jars afterwards, a jar of one's own, and the worksheet.

const $ = id => document.getElementById(id);
const engine = new Engine();
const DAYS = Array.from({length: 71}, (_, i) => 2 * i);  // to 140 days
const titles = new Map();

const warmths = (material, pairs) => pairs.map(([t, where]) => ({material, temperature: t, moisture: null, label: `${t} °C, ${where}`, short: `${t} °C`}));
const PRESETS = [
  {key: 'warmth', title: 'the same feed, three shelves', day: 12, last: 140,
   story: 'Three jars of dried blood in moist loam. One stands at 8 °C, like soil in a cold April; one at 15 °C, like soil in June; one at 22 °C, in a greenhouse.',
   jars: warmths('dried-blood', [[8, 'a cold April'], [15, 'June'], [22, 'a greenhouse']]),
   wonder: 'What does warmth decide, and what does the feed decide?',
   because: 'In the first weeks warmth counts for a great deal. Months later the lines all but meet, and part of the nitrogen stays put: microbes have built it into themselves and into humus. Warmth decides how soon, the feed decides how much.'},
  {key: 'feeds', title: 'the same shelf, four feeds', day: 28, last: 140, low: -120,
   story: 'Four jars at 15 °C: dried blood, manure powder, alfalfa pellets and straw, each with 100 g of nitrogen.',
   jars: [['dried-blood', 'dried blood'], ['concentrated-manure-powder', 'manure powder'], ['alfalfa-pellets', 'alfalfa pellets', 'alfalfa'], ['straw', 'straw']]
     .map(([material, label, short]) => ({material, temperature: 15, moisture: null, label, short})),
   wonder: 'Which jar has less nitrogen free than before? Why?',
   because: 'Microbes live on carbon and need nitrogen with it. Where a feed brings more nitrogen than they need, the rest is set free; straw brings far less, so they take what they miss out of the soil.'},
  {key: 'moisture', title: 'the same feed, dry to drowned', day: 28, last: 140,
   story: 'Four jars of manure powder at 15 °C. In one a tenth of the pores hold water, then three tenths, six tenths, and all of them.',
   jars: [[0.1, 'a tenth: dust-dry', 'a tenth'], [0.3, 'three tenths', 'three tenths'], [0.6, 'six tenths: moist', 'six tenths'], [1, 'all: drowned', 'all']]
     .map(([moisture, label, short]) => ({material: 'concentrated-manure-powder', temperature: 15, moisture, label, short})),
   wonder: 'What would you do with a bed that is dust-dry in May?',
   because: 'Soil in which about half to six tenths of the pores hold water suits microbes best. The drier or the wetter beyond that, the slower they work, and at either end they stop. Water it in, or wait for rain.'},
  {key: 'spring', title: 'a cold spring and a warm one', day: 14, last: 140,
   story: 'The same handful of manure powder, in the soil of a cold spring (7 °C) and of a warm one (13 °C).',
   jars: warmths('concentrated-manure-powder', [[7, 'a cold spring'], [13, 'a warm spring']]),
   wonder: 'How many days does the cold spring lose?',
   because: 'Read it along the line: find where the warm jar stood, and count the days until the cold one stands there. It is days rather than weeks. What a cold spring loses beyond that, the plants lose, which wait for warmth of their own.'},
];
let preset = PRESETS[0], moved = new Set();

function fault(text) {
  $('fault').textContent = text;
  $('fault').hidden = !text;
}

// The curves of a preset's jars, one question for each warmth, feed and moisture that differ.
async function curvesOf(jars, days) {
  const out = [];
  for (const jar of jars) {
    const said = await engine.ask({ask: 'curves', materials: [jar.material], temperature_c: [jar.temperature], moisture: [jar.moisture], days});
    if (said.status !== 0) throw new Error(said.text);
    out.push({label: jar.label, short: jar.short, days, freed: JSON.parse(said.text).curves[0].freed_frac, ms: said.ms});
  }
  return out;
}

// What is free on day 28 as one of the two is varied and the other stays: [[value, share], ...].
async function against(jar, varied, key) {
  const said = await engine.ask({ask: 'curves', materials: [jar.material], temperature_c: [jar.temperature], moisture: [jar.moisture], days: [28], ...varied});
  if (said.status !== 0) throw new Error(said.text);
  return JSON.parse(said.text).curves.map(c => [c[key], c.freed_frac[0]]);
}

function showPreset() {
  moved = new Set();
  $('story').textContent = preset.story;
  $('ask').textContent = `How many grams of each 100 g of nitrogen are free after ${preset.day} days? Below nought means: less than before the feed came.`;
  $('guesses').replaceChildren(...preset.jars.map((jar, i) => {
    const said = el('output', {id: `said-${i}`, for: `guess-${i}`}, 'not guessed yet');
    const slider = el('input', {id: `guess-${i}`, type: 'range', min: preset.low || -20, max: 100, step: 1, value: 0, 'aria-describedby': `said-${i}`});
    slider.addEventListener('input', () => { moved.add(i); said.textContent = `${slider.value} g`; slider.setAttribute('aria-valuetext', `${slider.value} grams`); showLeft(); });
    return el('div', {class: 'control'}, el('label', {for: `guess-${i}`}, jar.label), slider, said);
  }));
  $('seen').replaceChildren();
  $('closed').hidden = false;
  showLeft();
  worksheet().catch(e => fault(e.message));
}

function showLeft() {
  const left = preset.jars.length - moved.size;
  $('look').disabled = left > 0;
  $('left').textContent = left ? `${left} ${left === 1 ? 'guess' : 'guesses'} to go.` : 'All guessed.';
}

async function look() {
  const curves = await curvesOf(preset.jars, DAYS), at = curves.map(c => c.freed[c.days.indexOf(preset.day)]);
  const guesses = preset.jars.map((_, i) => Number($(`guess-${i}`).value));
  const title = 'Grams free of each 100 g of nitrogen given';
  const [figure, said] = jarFigure('seen-figure', title, curves, preset.last, guesses, preset.day);
  $('closed').hidden = true;
  $('seen').replaceChildren(el('figure', {}, el('h3', {}, title), figure, el('figcaption', {}, said + ' Rings: your guesses.')),
    table(`After ${preset.day} days`, [['the jar'], ['you said', true], ['the jar says', true], ['apart by', true]],
      preset.jars.map((jar, i) => [jar.label, `${guesses[i]} g`, freed(at[i]), `${Math.abs(guesses[i] - grams(at[i]))} g`])),
    el('p', {}, preset.because));
}

async function worksheet() {
  const shown = preset, curves = await curvesOf(shown.jars, DAYS);
  if (shown === preset) showWorksheet($('sheet'), shown, curves);
}

// One's own jar: opened once a guess is made; from then on it follows the sliders.
let opened = false;
const draw = new Newest(async () => {
  const jar = {material: $('feed').value, temperature: Number($('warmth').value), moisture: Number($('moisture').value) / 100, label: 'the jar'};
  const began = performance.now();
  const [curve] = await curvesOf([jar], DAYS);
  const byWarmth = await against(jar, {temperature_c: [0, 5, 10, 15, 20, 25, 30, 35]}, 'temperature_c');
  const byMoisture = await against(jar, {moisture: [0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1]}, 'moisture');
  const heard = performance.now();
  const title = `${titles.get(jar.material)} at ${jar.temperature} °C, ${Math.round(100 * jar.moisture)} of 100 pores with water`;
  const [figure, said] = jarFigure('jar-figure', title, [curve], 140, [Number($('guess').value)], 28);
  $('jar').replaceChildren(el('figure', {}, el('h3', {}, title), figure, el('figcaption', {}, said + ` Ring: your guess, ${$('guess').value} g.`)),
    againstFigure('by-warmth', 'The same jar on warmer and colder shelves', byWarmth, t => `${t} °C`, 28),
    againstFigure('by-moisture', 'The same jar drier and wetter', byMoisture.map(([w, share]) => [100 * w, share]), w => `${Math.round(w)} of 100`, 28));
  document.body.dataset.jar = JSON.stringify({engine_ms: curve.ms, whole_ms: performance.now() - began, redraw_ms: performance.now() - heard});
});

function follow() {
  $('warmth-said').textContent = `${$('warmth').value} °C`;
  $('moisture-said').textContent = `${$('moisture').value} of 100`;
  for (const id of ['warmth', 'moisture']) $(id).setAttribute('aria-valuetext', $(id + '-said').textContent);
  if (opened) draw.wish().catch(e => fault(e.message));
}

function listen() {
  $('preset').replaceChildren(...PRESETS.map(p => el('option', {value: p.key}, p.title)));
  $('preset').addEventListener('change', () => { preset = PRESETS.find(p => p.key === $('preset').value); showPreset(); });
  $('look').addEventListener('click', () => look().catch(e => fault(e.message)));
  for (const id of ['warmth', 'moisture']) $(id).addEventListener('input', follow);
  $('feed').addEventListener('change', follow);  // a list may say 'input' before it has its new value
  $('guess').addEventListener('input', () => {
    $('guess-said').textContent = `${$('guess').value} g`;
    $('open').disabled = false;
    $('own-left').textContent = '';
    if (opened) follow();
  });
  $('open').addEventListener('click', () => { opened = true; follow(); });
  for (const [id, withAnswers] of [['print', false], ['print-answers', true]])
    $(id).addEventListener('click', () => { $('overleaf').hidden = !withAnswers; window.print(); });
}

async function begin() {
  listen();
  showPreset();
  follow();
  const list = await engine.ask({ask: 'list', what: 'materials'});
  for (const entry of JSON.parse(list.text).entries) titles.set(entry.id, entry.title);
  $('feed').replaceChildren(...[...titles].sort((a, b) => a[1].localeCompare(b[1], 'en')).map(([id, title]) => el('option', {value: id}, title)));
  $('feed').value = 'concentrated-manure-powder';
  document.body.dataset.ready = engine.inWorker ? 'worker' : 'page';
}
begin().catch(e => fault(String(e && e.message || e)));
