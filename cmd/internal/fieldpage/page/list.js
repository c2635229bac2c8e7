// The list: circuit by circuit in walking order.

const listed = []; // {r, node, open, tick, text}
const groups = []; // {c, node, bar, count}
let showing = 'all';
let selected = null; // a row of data

const glyphs = { open: '', done: '✓', problem: '!' };

function kindOf(r) {
  const m = data.marks[r.m];
  return m.t < 0 ? 'unknown' : data.types[m.t].name;
}

function addressText(r) {
  if (!r.a) return '';
  return r.span > 1 ? r.a + '–' + (r.a + r.span - 1) : String(r.a);
}

function placeText(r) {
  const m = data.marks[r.m];
  return m.room || 'no room named';
}

function buildList() {
  const box = byId('rows');
  const choose = byId('circuit');
  choose.append(el('option', { value: '' }, 'All circuits'));
  const circuits = data.circuits.map((c, i) => [i, c.circuit, c.detail]);
  if (data.rows.some((r) => r.c < 0)) circuits.push([-1, 'No circuit', 'devices on no circuit']);
  for (const [c, name, detail] of circuits) {
    const rows = data.rows.filter((r) => r.c === c);
    if (rows.length === 0) continue;
    choose.append(el('option', { value: c }, name));
    const bar = el('progress', { max: rows.length, value: 0, 'aria-label': 'Done on ' + name });
    const count = el('span', { class: 'count' });
    const items = el('ol', {}, rows.map(buildRow));
    const node = el('div', { class: 'group' }, el('div', { class: 'head' }, el('h2', {}, name), count, el('p', {}, detail), bar), items);
    groups.push({ c, node, bar, count });
    box.append(node);
  }
}

function buildRow(r) {
  const m = data.marks[r.m];
  const open = el('button', { type: 'button', class: 'open', onclick: () => select(r, true) },
    el('span', { class: 'order' }, r.o || ''),
    el('span', { class: 'address' }, addressText(r) || '–'),
    el('span', { class: 'what' }, el('b', {}, kindOf(r)), el('span', { dir: 'auto' }, placeText(r)), el('small', {}, r.id + ' · ' + data.levels[m.l].level)));
  const tick = el('button', { type: 'button', class: 'tick', 'aria-label': 'Done: ' + r.id, onclick: () => toggleDone(r) }, el('span', { 'aria-hidden': 'true' }));
  const node = el('li', {}, open, tick);
  const text = [r.id, r.a || '', kindOf(r), m.room || '', data.levels[m.l].level, circuitName(r.c)].join(' ').toLowerCase();
  listed.push({ r, node, open, tick, text });
  r.item = listed[listed.length - 1];
  return node;
}

function toggleDone(r) {
  const e = entryOf(r);
  change(r, { done: isStale(r) ? true : !e.done });
  announceTally(r);
}

function toggleProblem(r) {
  change(r, { problem: !entryOf(r).problem });
  announceTally(r);
}

function announceTally(r) {
  announce((circuitName(r.c) || 'No circuit') + ': ' + tallyText(tally(r.c)));
}

function refreshRow(r) {
  const s = statusOf(r);
  const i = r.item;
  i.node.className = 'is-' + s;
  i.tick.setAttribute('aria-pressed', entryOf(r).done);
  i.tick.firstChild.textContent = glyphs[s];
  i.open.setAttribute('aria-current', r === selected);
}

function refreshProgress() {
  for (const g of groups) {
    const n = tally(g.c);
    g.bar.value = n.done;
    g.count.textContent = tallyText(n);
  }
  byId('total').textContent = tallyText(tally());
}

// filterList hides what the search and the choices leave out. All words must occur;
// a number alone means an address.
function filterList() {
  const words = byId('search').value.toLowerCase().split(/\s+/).filter((w) => w !== '');
  const number = words.length === 1 && /^\d+$/.test(words[0]) ? Number(words[0]) : 0;
  const exact = number > 0 && listed.some((i) => i.r.a === number);
  const c = byId('circuit').value;
  let any = false;
  for (const g of groups) g.some = false;
  for (const i of listed) {
    const r = i.r;
    const fits = (c === '' || r.c === Number(c)) && (showing === 'all' || statusOf(r) === showing) &&
      (exact ? number >= (r.a || 0) && number < (r.a || 0) + (r.span || 0) : words.every((w) => i.text.includes(w)));
    i.node.hidden = !fits;
    if (fits) {
      any = true;
      groups.find((g) => g.c === r.c).some = true;
    }
  }
  for (const g of groups) g.node.hidden = !g.some;
  byId('none').hidden = any;
}

const visibleRows = () => listed.filter((i) => !i.node.hidden);

// step moves the selection along what is listed.
function step(by) {
  const rows = visibleRows();
  if (rows.length === 0) return;
  const at = rows.findIndex((i) => i.r === selected);
  const next = rows[at < 0 ? 0 : Math.min(rows.length - 1, Math.max(0, at + by))];
  select(next.r, false);
  next.open.focus({ preventScroll: true });
  next.node.scrollIntoView({ block: 'nearest' });
}
