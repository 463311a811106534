// Jars as figures and tables, and the worksheet that prints.

const KINDS = ['a1', 'a2', 'a3', 'a4'];
const grams = share => Math.round(100 * share);
// "30 g", or "ties up 5 g" where microbes hold more than the feed brought.
const freed = share => grams(share) < 0 ? `ties up ${-grams(share)} g` : `${grams(share)} g`;

// Curves of the jars, labelled at their ends; guesses as marks on the day they are for. Nothing drawn where `curves` is empty.
function jarFigure(id, title, curves, lastDay, guesses, askedDay) {
  const lowest = Math.min(0, ...curves.flatMap(c => c.freed)), least = -20 * Math.ceil(Math.max(0, -100 * lowest) / 20);
  const a = new Axes({x: [0, lastDay], y: [least, 100], right: 130, top: 22, tall: 290, bottom: 32});
  const parts = [a.levels(20, v => v + ' g')];
  for (let d = 0; d <= lastDay; d += 28) parts.push(a.text(a.x(d), a.tall - a.bottom + 19, d === 0 ? '0' : d === 28 ? '4 weeks' : d / 7, 'middle'));
  const ends = apart(curves.map(c => a.y(100 * c.freed[c.freed.length - 1])), 19, a.top + 4, a.tall - a.bottom - 2);
  curves.forEach((c, i) => {
    parts.push(a.line(c.days.map((d, k) => [d, 100 * c.freed[k]]), KINDS[i % 4]), a.text(a.wide - a.right + 6, ends[i] + 4, c.short || c.label));
    if (guesses) parts.push(mark('circle', {cx: a.x(askedDay), cy: a.y(guesses[i]), r: 5, class: 'early'}));
  });
  const said = curves.map(c => `${c.label}: ${freed(c.freed[c.days.indexOf(askedDay)])} after ${askedDay} days, ${freed(c.freed[c.freed.length - 1])} after ${lastDay}`).join('; ') || 'Empty axes';
  return [a.figure(id, title, said + '.', ...parts), said + '.'];
}

// What is free after so many days against warmth or moisture: points of [x, share].
function againstFigure(id, title, points, words, day) {
  const lowest = Math.min(0, ...points.map(([, share]) => share)), least = -20 * Math.ceil(Math.max(0, -100 * lowest) / 20);
  const a = new Axes({x: [points[0][0], points[points.length - 1][0]], y: [least, 100], right: 74, top: 22, tall: 230, bottom: 32});
  const parts = [a.levels(20, v => v + ' g'), a.line(points.map(([x, share]) => [x, 100 * share]), 'a2')];
  points.forEach(([x], i) => { if (i % 2 === 0) parts.push(a.text(a.x(x), a.tall - a.bottom + 19, words(x), 'middle')); });
  const best = points.reduce((p, q) => q[1] > p[1] ? q : p), said = `After ${day} days: ${points.map(([x, share]) => `${freed(share)} at ${words(x)}`).join(', ')}; most at ${words(best[0])}.`;
  return el('figure', {}, el('h3', {}, title), a.figure(id, title, said, ...parts), el('figcaption', {}, said));
}

// Empty axes to draw on.
function blankAxes(id, lastDay, low) {
  const a = new Axes({x: [0, lastDay], y: [low, 100], right: 60, top: 16, tall: 260, bottom: 32});
  const parts = [a.levels(20, v => v + ' g')];
  for (let d = 0; d <= lastDay; d += 28)
    parts.push(mark('path', {d: `M${a.x(d)} ${a.top}V${a.tall - a.bottom}`, class: 'grid'}), a.text(a.x(d), a.tall - a.bottom + 19, d === 0 ? '0' : d === 28 ? '4 weeks' : d / 7, 'middle'));
  return a.figure(id, 'Empty axes to draw on', `Weeks 0 to ${lastDay / 7} across, grams freed of each 100, from ${-low} tied up to 100 free.`, ...parts);
}

function showWorksheet(place, preset, curves) {
  const day = preset.day, answers = curves.map(c => freed(c.freed[c.days.indexOf(day)]));
  const jars = preset.jars.map(j => j.label);
  const ask = `Grams free of each 100 g of nitrogen after ${day} days`;
  place.replaceChildren(
    el('h2', {}, 'Worksheet: ' + preset.title),
    el('p', {}, 'Name and day: ______________________________'), el('p', {}, 'Guess with a pen before you look. A guess cannot be wrong, only early.'),
    el('p', {}, preset.story),
    table(ask, [['the jar'], ['my guess'], ['the jar says'], ['why, I think']], jars.map(j => [j, '', '', ''])),
    el('h3', {}, 'Draw the lines as you expect them, then as they are'), blankAxes('blank', preset.last, preset.low || -20),
    el('p', {}, preset.wonder), el('div', {class: 'blank'}), el('div', {class: 'blank'}),
    el('section', {id: 'overleaf', class: 'overleaf', hidden: true}, el('h2', {}, 'Overleaf: what the jars say'),
      table(ask, [['the jar'], ['the jar says']], jars.map((j, i) => [j, answers[i]])), jarFigure('answers', ask, curves, preset.last, null, day)[0], el('p', {}, preset.because)));
}
