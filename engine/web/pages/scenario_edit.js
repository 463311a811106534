// A scenario with a few of its values changed, as the page's controls stand. Plain objects in and out; the file's other keys stay as they are.

// Days from the season's start, of a month and day; 29 February counts as a day, for files may name it.
const YEAR = [31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];
function dayOfLeapYear(monthDay) {
  const [month, day] = monthDay.split('-').map(Number);
  return YEAR.slice(0, month - 1).reduce((a, b) => a + b, 0) + day - 1;
}
function monthDayOf(number) {
  let rest = ((number % 366) + 366) % 366, month = 0;
  while (rest >= YEAR[month]) rest -= YEAR[month++];
  return String(month + 1).padStart(2, '0') + '-' + String(rest + 1).padStart(2, '0');
}
const intoSeason = (monthDay, starts) => (dayOfLeapYear(monthDay) - dayOfLeapYear(starts) + 366) % 366;
const fromSeason = (days, starts) => monthDayOf(dayOfLeapYear(starts) + days);

// The bed that a feeding goes to, or the first of those that its plantings stand in.
function bedOf(scenario, feeding) {
  return scenario.beds.find(b => feeding.bed ? b.name === feeding.bed : b.plantings.some(p => (feeding.plantings || []).includes(p.name)));
}

// change: {times, on, material, everyDays, mulchMm} of one feeding; those left out stay. `amount` is as the engine read it.
function withFeeding(scenario, index, amount, change) {
  const feeding = scenario.feedings[index];
  if (change.material) feeding.material = change.material;
  if (change.on) {
    // A series that would end before it began ends on the day it begins.
    feeding.on = change.on;
  }
  if (change.times !== undefined && change.times !== 1) {
    const value = Math.max(1e-6, Math.round(amount.value * change.times * 1e6) / 1e6);
    feeding.amount = {[amount.measure]: value, per: amount.per};
  }
  if (change.everyDays === 0) delete feeding.again;
  if (change.everyDays > 0) feeding.again = {every_days: change.everyDays, until: feeding.again ? feeding.again.until : change.until};
  if (feeding.again && intoSeason(feeding.again.until, change.starts) < intoSeason(feeding.on, change.starts)) feeding.again.until = feeding.on;
  const bed = bedOf(scenario, feeding);
  if (change.mulchMm !== undefined && bed && !bed.container) {
    if (change.mulchMm > 0 || bed.mulch) bed.mulch = {...bed.mulch, depth_mm: change.mulchMm};
  }
}

// A copy of the scenario with every feeding's changes; a feeding whose dose is 0 is left out.
function edited(scenario, amounts, changes, starts) {
  const copy = JSON.parse(JSON.stringify(scenario));
  const until = (copy.question && copy.question.carry_to) || fromSeason(304, starts);
  changes.forEach((change, i) => { if (change) withFeeding(copy, i, amounts[i], {...change, starts, until}); });
  copy.feedings = copy.feedings.filter((_, i) => !(changes[i] && changes[i].times === 0));
  return copy;
}
