// The garden page: controls change a scenario, the engine answers, the answers are drawn anew.

const $ = id => document.getElementById(id);
const engine = new Engine();
const titles = new Map();

// What is looked at: the scenario as its file has it, its name, and how the controls stand for each feeding.
const garden = {scenario: null, name: '', files: [], read: null, changes: [], feeding: 0, warmer: 0, season: null, planting: null, lasts: null, page: null};
const SHOWN = '.page.json';  // the name of the edited scenario among the engine's files; faults name the reader's own

const question = ask => ({ask, file: SHOWN, warmer_c: garden.warmer, season: garden.season});
const sentence = text => text.replaceAll(SHOWN, garden.name);

function fault(text) {
  $('fault').textContent = text;
  $('fault').hidden = !text;
}

const now = () => edited(garden.scenario, garden.read.amounts, garden.changes, garden.read.season_starts);
const asText = scenario => JSON.stringify(scenario, null, 2) + '\n';

// First the bed that is drawn, which is quick; then the whole season; then all years. Whoever moves on meanwhile waits for one of them at most.
const redraw = new Newest(async overtaken => {
  const name = garden.name, files = [[SHOWN, asText(now())]];
  if (garden.page && garden.planting) {
    const began = performance.now(), quick = await engine.ask({...question('glance'), only: garden.planting}, files);
    if (quick.status !== 0) return fault(sentence(quick.text));
    const heard = performance.now();
    fault('');
    drawSupply(JSON.parse(quick.text));
    document.body.dataset.quick = JSON.stringify({engine_ms: quick.ms, whole_ms: performance.now() - began, redraw_ms: performance.now() - heard});
    if (overtaken()) return;
  }
  const began = performance.now(), said = await engine.ask(question('page'), files);
  if (said.status !== 0) return fault(sentence(said.text));
  const heard = performance.now();
  fault('');
  garden.page = JSON.parse(said.text);
  garden.lasts = null;
  show();
  document.body.dataset.season = JSON.stringify({engine_ms: said.ms, whole_ms: performance.now() - began, redraw_ms: performance.now() - heard});
  if (overtaken()) return;
  const years = await engine.ask(question('lasts'));
  if (overtaken() || name !== garden.name) return;
  if (years.status !== 0) return fault(sentence(years.text));
  garden.lasts = JSON.parse(years.text);
  show();
  document.body.dataset.years = JSON.stringify({engine_ms: years.ms});
  document.body.dataset.shown = String(Number(document.body.dataset.shown || 0) + 1);
  $('status').textContent = summary();
});

function summary() {
  const answer = garden.page.answers.find(a => a.planting === garden.planting), years = garden.lasts.plantings.find(p => p.name === garden.planting);
  return answer ? `${answer.planting}: ${answer.word}${answer.why ? ', ' + answer.why : ''}. It lasts in ${years.kept_years} years of ${years.years.length}.` : '';
}

function show() {
  const {page, lasts} = garden, {season} = page;
  const asked = `${season.garden}, ${season.season}: does the feed last until ${dayWords(season.carry_to)}?`;
  $('question').textContent = asked;
  document.title = asked;
  $('note').textContent = season.note;
  $('weather-note').textContent = season.weather_note + (garden.warmer ? ` Every day ${warmthWords(garden.warmer)} than in its file.` : '');
  showAnswers($('answers'), page, lasts);
  showAdvice($('advice'), page);
  choosePlanting(page);
  if (drawSupply(page)) {
    showYears($('years'), garden.planting, lasts, garden.read.season_starts);
  } else {
    $('figure').replaceChildren(el('p', {}, 'Nothing grows here.'));
  }
  showWhere($('where'), page);
  showCost($('cost'), page, titles);
  items($('care'), season.cautions.map(c => c.words));
  items($('how'), [
    'Short means: the nitrogen in the plant sank below 0.90 of the critical nitrogen for its size on 5 growing days running.',
    'Day by day, from season’s start to season’s end: water and warmth of the soil’s layers, what the feed frees in them, what roots take, what is washed down or lost. Every gram is followed.',
    ...season.notes]);
}

function drawSupply(page) {
  const days = page.days.find(d => d.planting === garden.planting);
  if (days) showSupply($('figure'), days, page.answers.find(a => a.planting === garden.planting), page.season);
  return Boolean(days);
}

// The worst planting that the chosen feed goes to, until the reader chooses another.
function choosePlanting(page) {
  const names = page.days.map(d => d.planting);
  if (!names.includes(garden.planting)) {
    const f = garden.scenario.feedings[garden.feeding], bed = f && bedOf(garden.scenario, f);
    const fed = new Set(!f ? [] : f.plantings || (bed ? bed.plantings.map(p => p.name) : []));
    garden.planting = names.find(n => fed.has(n)) || names[0];
  }
  fill($('planting'), names.map(n => [n, n]), garden.planting);
}

// Options anew only where they differ, so that an open list stays open.
function fill(select, options, chosen) {
  const before = [...select.options].map(o => o.value + '\n' + o.textContent).join('\n');
  if (before !== options.map(([value, words]) => value + '\n' + words).join('\n'))
    select.replaceChildren(...options.map(([value, words]) => el('option', {value}, words)));
  select.value = chosen;
}

const warmthWords = by => `${Math.abs(by)} ${Math.abs(by) === 1 ? 'degree' : 'degrees'} ${by > 0 ? 'warmer' : 'colder'}`;
const few = v => String(Math.round(v * 100) / 100);
const PER = {m2: 'a square metre', plant: 'a plant', bed: 'in all'};

// The controls as the chosen feeding stands, with its changes.
function showControls() {
  const {scenario, read, feeding} = garden, f = scenario.feedings[feeding], starts = read.season_starts;
  const change = garden.changes[feeding] || {};
  $('row-feeding').hidden = scenario.feedings.length < 2;
  fill($('feeding'), scenario.feedings.map((g, i) => [String(i), `${dayWords(g.on)}, ${titles.get(g.material) || g.material}: ${g.bed || (g.plantings || []).join(', ')}`]), String(feeding));
  for (const id of ['dose', 'date', 'interval', 'material', 'mulch']) $(id).disabled = !f;
  if (!f) return;
  const amount = read.amounts[feeding], times = change.times ?? 1, bed = bedOf(scenario, f);
  const days = change.everyDays ?? (f.again ? f.again.every_days : 0), mulch = change.mulchMm ?? ((bed && bed.mulch && bed.mulch.depth_mm) || 0);
  const on = change.on || f.on;
  set('dose', times, times === 0 ? 'nothing' : `${few(amount.value * times)} ${amount.measure} ${PER[amount.per]}`);
  set('date', intoSeason(on, starts), dayWords(on));
  set('interval', days, days ? `every ${days} days until ${dayWords(f.again ? f.again.until : (scenario.question || {}).carry_to || fromSeason(304, starts))}` : 'once');
  $('material').value = change.material || f.material;
  $('mulch').disabled = !bed || !!bed.container;
  set('mulch', mulch, !bed || bed.container ? 'none on a pot' : mulch ? `${mulch} mm on ${bed.name}` : `none on ${bed.name}`);
  set('warmth', garden.warmer, garden.warmer ? warmthWords(garden.warmer) : 'as its file has it');
}

function set(id, value, words) {
  const slider = $(id);
  if (Number(slider.value) !== Number(value)) slider.value = value;
  $(id + '-said').textContent = words;
  slider.setAttribute('aria-valuetext', words);
}

function changed(key, value) {
  garden.changes[garden.feeding] = {...garden.changes[garden.feeding], [key]: value};
  showControls();
  redraw.wish();
}

function listen() {
  const number = id => Number($(id).value);
  $('dose').addEventListener('input', () => changed('times', number('dose')));
  $('date').addEventListener('input', () => changed('on', fromSeason(number('date'), garden.read.season_starts)));
  $('interval').addEventListener('input', () => changed('everyDays', number('interval')));
  $('material').addEventListener('change', () => changed('material', $('material').value));
  $('mulch').addEventListener('input', () => changed('mulchMm', number('mulch')));
  $('warmth').addEventListener('input', () => { garden.warmer = number('warmth'); showControls(); redraw.wish(); });
  $('season').addEventListener('change', () => { garden.season = number('season'); redraw.wish(); });
  $('feeding').addEventListener('change', () => { garden.feeding = number('feeding'); garden.planting = null; showControls(); show(); });
  $('planting').addEventListener('change', () => { garden.planting = $('planting').value; show(); if (garden.lasts) $('status').textContent = summary(); });
  $('reset').addEventListener('click', () => { garden.changes = []; garden.warmer = 0; garden.season = garden.read.season; $('season').value = garden.season; showControls(); redraw.wish(); });
  $('print').addEventListener('click', () => window.print());
  $('save').addEventListener('click', saveScenario);
  $('file').addEventListener('change', async () => { await open([...$('file').files]); $('file').value = ''; });
  const over = e => { e.preventDefault(); $('drop').classList.toggle('over', e.type === 'dragover'); };
  for (const type of ['dragover', 'dragleave']) document.addEventListener(type, over);
  document.addEventListener('drop', e => { over(e); open([...e.dataTransfer.files]); });
  window.addEventListener('beforeprint', () => document.querySelectorAll('details').forEach(d => { d.dataset.was = d.open; }));
}

// Warmth that was moved is saved as weather of its own, for a scenario has no key for it.
async function saveScenario() {
  const scenario = now(), stem = garden.name.replace(/\.json$/, '');
  if (garden.warmer) {
    const weather = await engine.ask({ask: 'weather', file: SHOWN, warmer_c: garden.warmer});
    if (weather.status !== 0) return fault(sentence(weather.text));
    const name = `${stem}-weather.csv`;
    const {wind_height_m, evapotranspiration, comment} = scenario.weather;
    scenario.weather = {file: name, ...(wind_height_m && {wind_height_m}), ...(evapotranspiration && {evapotranspiration}), ...(comment && {comment})};
    save(name, weather.text, 'text/csv');
  }
  if (garden.season !== garden.read.season) scenario.question = {...scenario.question, season: garden.season};
  save(`${stem}-changed.json`, asText(scenario), 'application/json');
}

// Files that the reader opened: a scenario takes the place of the one shown; a weather file is laid beside it under the name it asks for.
async function open(files) {
  const texts = await Promise.all(files.map(async f => [f.name, await f.text()]));
  const put = texts.filter(([name]) => !/\.json$/i.test(name)), scenarios = texts.filter(([name]) => /\.json$/i.test(name));
  if (scenarios.length > 1) return fault('Two scenarios at once: open one garden at a time.');
  let [name, text] = scenarios[0] || [garden.name, garden.text];
  // A file here lies in no folder, so the weather of one's own folders is asked for by its bare name.
  const folder = /("file"\s*:\s*")[^"]*\/([^"\/]+")/;
  if (scenarios.length) text = text.replace(folder, '$1$2');
  if (!scenarios.length && put.length === 1) {
    // The weather of the garden shown, whatever it was called.
    const scenario = JSON.parse(text);
    scenario.weather = {...scenario.weather, file: put[0][0]};
    for (const key of ['place', 'years', 'seed', 'start']) delete scenario.weather[key];
    text = asText(scenario);
  }
  await load(name, text, put);
}

async function load(name, text, files) {
  const said = await engine.ask({ask: 'scenario', file: name}, [...files, [name, text]]);
  if (said.status !== 0) return fault(said.text);
  const read = JSON.parse(said.text);
  Object.assign(garden, {scenario: JSON.parse(text), name, text, read, changes: [], feeding: 0, warmer: 0, season: read.season, planting: null, lasts: null, page: null});
  // The catalogue's materials, and the scenario's own.
  const own = Object.entries(garden.scenario.materials || {}).filter(([id]) => id !== 'comment').map(([id, m]) => [id, (m && m.title) || titles.get(id) || id]);
  const all = new Map([...titles, ...own]);
  for (const [id, title] of own) titles.set(id, title);
  fill($('material'), [...all].sort((a, b) => a[1].localeCompare(b[1], 'en')), '');
  fill($('season'), read.seasons.map(s => [String(s), String(s)]), String(read.season));
  showControls();
  await redraw.wish();
}

async function begin() {
  listen();
  const start = JSON.parse($('start').textContent);
  const list = await engine.ask({ask: 'list', what: 'materials'});
  for (const entry of JSON.parse(list.text).entries) titles.set(entry.id, entry.title);
  await load(start.name, start.scenario, start.files);
  document.body.dataset.ready = engine.inWorker ? 'worker' : 'page';
}
begin().catch(e => fault(String(e && e.message || e)));
