// Elements and figures. Every text goes in as text: nothing that a user wrote is ever read as markup.

const SVG = 'http://www.w3.org/2000/svg';
const MONTHS = ['January', 'February', 'March', 'April', 'May', 'June', 'July', 'August', 'September', 'October', 'November', 'December'];

function el(tag, attributes, ...children) {
  const made = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes || {}))
    if (value !== undefined && value !== null && value !== false) made.setAttribute(name, value === true ? '' : value);
  made.append(...children.filter(c => c !== null && c !== undefined).map(c => c instanceof Node ? c : String(c)));
  return made;
}

function mark(tag, attributes, ...children) {
  const made = document.createElementNS(SVG, tag);
  for (const [name, value] of Object.entries(attributes || {})) made.setAttribute(name, typeof value === 'number' ? Math.round(value * 100) / 100 : value);
  made.append(...children.map(c => c instanceof Node ? c : String(c)));
  return made;
}

// A table that scrolls by itself where the page is too narrow, by keyboard too. Heads: [words, isNumber]. The first cell heads its row.
function table(caption, heads, rows) {
  const head = el('tr', {role: 'row'}, ...heads.map(([words, number]) => el('th', {scope: 'col', role: 'columnheader', class: number ? 'n' : null}, words)));
  const body = rows.map(cells => el('tr', {role: 'row'}, ...cells.map((cell, i) =>
    i === 0 ? el('th', {scope: 'row', role: 'rowheader'}, cell) : el('td', {role: 'cell', class: heads[i][1] ? 'n' : null}, cell))));
  return el('div', {class: 'wide', tabindex: '0', role: 'region', 'aria-label': caption},
            el('table', {role: 'table'}, el('caption', {}, caption), el('thead', {role: 'rowgroup'}, head), el('tbody', {role: 'rowgroup'}, ...body)));
}

// "2024-07-03" and "07-03" as "3 July".
function dayWords(iso) {
  const [month, day] = iso.slice(-5).split('-').map(Number);
  return `${day} ${MONTHS[month - 1]}`;
}
const dayNumber = iso => Math.round(Date.parse(iso + 'T00:00Z') / 864e5);
const isoOf = number => new Date(number * 864e5).toISOString().slice(0, 10);

// 1, 2 or 5 times a power of ten, so that about `parts` of them reach `most`.
function roundStep(most, parts) {
  const rough = most / parts, ten = 10 ** Math.floor(Math.log10(rough));
  return [1, 2, 5, 10].map(k => k * ten).find(step => step >= rough * 0.999);
}

// Axes with room for labels; x and y turn values into places. `wide` and `tall` are of the whole figure, in its own units.
class Axes {
  constructor({x, y, wide = 560, tall = 260, left = 58, right = 74, top = 36, bottom = 30}) {
    Object.assign(this, {wide, tall, left, right, top, bottom, xs: x, ys: y});
  }
  x(v) { return this.left + (this.wide - this.left - this.right) * (v - this.xs[0]) / ((this.xs[1] - this.xs[0]) || 1); }
  y(v) { return this.tall - this.bottom - (this.tall - this.top - this.bottom) * (Math.min(this.ys[1], Math.max(this.ys[0], v)) - this.ys[0]) / ((this.ys[1] - this.ys[0]) || 1); }
  path(points) { return points.map(([x, y], i) => (i ? 'L' : 'M') + this.x(x).toFixed(1) + ' ' + this.y(y).toFixed(1)).join(''); }
  line(points, kind) { return mark('path', {d: this.path(points), class: 'line ' + kind}); }
  between(upper, lower, kind) { return mark('path', {d: this.path(upper) + this.path([...lower].reverse()).replace('M', 'L') + 'Z', class: kind}); }
  text(x, y, words, anchor = 'start', kind = '') { return mark('text', {x, y, 'text-anchor': anchor, class: kind}, words); }
  levels(step, words = v => String(Math.round(v * 1000) / 1000)) {
    const out = mark('g', {});
    for (let v = Math.ceil(this.ys[0] / step) * step; v <= this.ys[1] + 1e-9; v += step)
      out.append(mark('path', {d: `M${this.left} ${this.y(v)}H${this.wide - this.right}`, class: Math.abs(v) < 1e-9 ? 'axis' : 'grid'}),
                 this.text(this.left - 6, this.y(v) + 4, words(v), 'end'));
    return out;
  }
  // Names of months under days that count from 1970.
  months() {
    const out = mark('g', {});
    for (let d = this.xs[0]; d <= this.xs[1]; ++d) {
      const [, month, day] = isoOf(d).split('-').map(Number);
      if (day === 1) out.append(mark('path', {d: `M${this.x(d)} ${this.top}V${this.tall - this.bottom + 4}`, class: 'grid'}));
      if (day === 15) out.append(this.text(this.x(d), this.tall - this.bottom + 19, MONTHS[month - 1].slice(0, 3), 'middle'));
    }
    return out;
  }
  // A figure with a name and a description that say what it shows now.
  figure(id, title, description, ...parts) {
    return mark('svg', {viewBox: `0 0 ${this.wide} ${this.tall}`, role: 'img', 'aria-labelledby': `${id}-t ${id}-d`},
                mark('title', {id: id + '-t'}, title), mark('desc', {id: id + '-d'}, description), ...parts);
  }
}

// Hatching for what is missing or lost; an id of its own for each figure.
function hatching(id) {
  return mark('defs', {}, mark('pattern', {id, width: 6, height: 6, patternUnits: 'userSpaceOnUse', patternTransform: 'rotate(45)'},
                               mark('path', {d: 'M0 0V6', class: 'hatch'})));
}

// Labels side by side that would lie on one another, moved apart: y of each, in their order.
function apart(places, room, low, high) {
  const order = places.map((y, i) => [y, i]).sort((a, b) => a[0] - b[0]);
  const out = [];
  let before = low - room;
  for (const [y, i] of order) before = out[i] = Math.max(y, before + room);
  let after = high + room;
  for (const [, i] of order.reverse()) after = out[i] = Math.min(out[i], after - room);
  return out;
}

// Hands a text to the reader as a file; nothing leaves the machine.
function save(name, text, type) {
  const address = URL.createObjectURL(new Blob([text], {type}));
  const link = el('a', {href: address, download: name});
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(address), 10000);
}
