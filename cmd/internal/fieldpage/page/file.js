// What was entered leaves as a file and comes in again.

function exportValue() {
  const entries = Object.entries(state.entries).map(([key, e]) => {
    const [circuit, id] = JSON.parse(key);
    const out = { id, circuit, address: e.address || 0 };
    if (e.found !== null && e.found !== undefined) out.found = e.found;
    out.done = Boolean(e.done);
    out.problem = Boolean(e.problem);
    if (e.note) out.note = e.note;
    if (e.at) out.at = e.at;
    return out;
  });
  const readings = Object.entries(state.readings).map(([key, e]) => {
    const [circuit, end] = JSON.parse(key);
    const out = { circuit, end };
    if (e.ohm !== null && e.ohm !== undefined) out.ohm = e.ohm;
    if (e.initials) out.initials = e.initials;
    if (e.at) out.at = e.at;
    return out;
  });
  const order = new Map(data.rows.map((r, i) => [r.key, i]));
  const at = (e) => { const i = order.get(rowKey(e.circuit, e.id)); return i === undefined ? Infinity : i; };
  entries.sort((a, b) => (at(a) < at(b) ? -1 : at(a) > at(b) ? 1 : a.id < b.id ? -1 : 1));
  readings.sort((a, b) => (rowKey(a.circuit, a.end) < rowKey(b.circuit, b.end) ? -1 : 1));
  return { format: data.format, version: data.version, job: data.job, revision: data.revision, exported: new Date().toISOString(), entries, readings };
}

const exportText = () => JSON.stringify(exportValue(), null, 2) + '\n';

function fileName() {
  const plain = (s) => s.toLowerCase().replace(/[^a-z0-9]+/g, '-').replace(/^-+|-+$/g, '').slice(0, 40);
  return ['field', plain(data.job), plain(data.revision)].filter((s) => s !== '').join('-') + '.json';
}

function saveFile() {
  const url = URL.createObjectURL(new Blob([exportText()], { type: 'application/json' }));
  const a = el('a', { href: url, download: fileName(), hidden: true });
  document.body.append(a);
  a.click();
  a.remove();
  setTimeout(() => URL.revokeObjectURL(url), 60000);
  announce('Saved ' + fileName());
}

// readExport checks a file's text as far as the page depends on it.
function readExport(text) {
  let e;
  try { e = JSON.parse(text); } catch (err) { return 'This is not a file from this page, or it is damaged.'; }
  if (!isObject(e) || e.format !== data.format) return 'This is not a file from this page.';
  if (e.version !== data.version) return 'The file has version ' + e.version + '; this page reads version ' + data.version + '.';
  if (e.job !== data.job) return 'The file belongs to another job: ' + e.job;
  if (!Array.isArray(e.entries) || (e.readings !== undefined && !Array.isArray(e.readings))) return 'The file is damaged.';
  const whole = (v) => Number.isSafeInteger(v) && v >= 0;
  for (const x of e.entries) {
    if (!isObject(x) || typeof x.id !== 'string' || typeof x.circuit !== 'string' || (x.found !== undefined && !whole(x.found)) || (x.note !== undefined && typeof x.note !== 'string')) return 'The file is damaged: an entry cannot be read.';
  }
  for (const x of e.readings || []) {
    if (!isObject(x) || typeof x.circuit !== 'string' || typeof x.end !== 'string' || (x.ohm !== undefined && !(Number.isFinite(x.ohm) && x.ohm >= 0))) return 'The file is damaged: a reading cannot be read.';
  }
  return e;
}

// mergeEntry puts an entry of a file beside what is here. Nothing is lost: what
// contradicts goes into the note, and the device is marked as a problem.
function mergeEntry(x) {
  const key = rowKey(x.circuit, x.id);
  const here = state.entries[key];
  const come = { address: x.address || 0, found: x.found === undefined ? null : x.found, done: Boolean(x.done), problem: Boolean(x.problem), note: x.note || '', at: x.at };
  if (!here) {
    state.entries[key] = come;
    return 'new';
  }
  const notes = [here.note || ''];
  const add = (s) => { if (s !== '' && !notes.join('\n').includes(s)) notes.push(s); };
  add(come.note);
  let clash = false;
  if (here.found !== null && here.found !== undefined && come.found !== null && come.found !== here.found) {
    add('Loaded file says: found ' + come.found);
    clash = true;
  }
  const merged = Object.assign({}, here, {
    found: here.found === null || here.found === undefined ? come.found : here.found,
    done: here.done || come.done, problem: here.problem || come.problem || clash,
    note: notes.filter((n) => n !== '').join('\n'),
    at: [here.at || '', come.at || ''].sort().pop(),
  });
  if (come.done && !here.done) merged.address = come.address;
  const same = JSON.stringify(merged) === JSON.stringify(here);
  state.entries[key] = merged;
  return clash ? 'clash' : same ? 'same' : 'changed';
}

function mergeReading(x) {
  const key = rowKey(x.circuit, x.end);
  const here = state.readings[key];
  const come = { ohm: x.ohm === undefined ? null : x.ohm, initials: x.initials || '', at: x.at };
  if (here && here.ohm !== null && come.ohm !== null && here.ohm !== come.ohm) return x.circuit + ' ' + x.end + ': ' + here.ohm + ' ohm here, ' + come.ohm + ' ohm in the file';
  state.readings[key] = here ? { ohm: here.ohm === null ? come.ohm : here.ohm, initials: here.initials || come.initials, at: here.at || come.at } : come;
  return '';
}

function importText(text) {
  const e = readExport(text);
  if (typeof e === 'string') return e;
  const n = { new: 0, changed: 0, same: 0, clash: 0 };
  for (const x of e.entries) n[mergeEntry(x)]++;
  const clashes = (e.readings || []).map(mergeReading).filter((s) => s !== '');
  saveState();
  refreshAll();
  let said = plural(n.new, 'entry', 'entries') + ' new, ' + n.changed + ' changed, ' + n.same + ' as here.';
  if (e.revision !== data.revision) said = 'The file is from revision “' + e.revision + '”, this page of “' + data.revision + '”. ' + said;
  if (n.clash) said += ' ' + plural(n.clash, 'contradiction', 'contradictions') + ': kept here, the other in the note; see Problems.';
  if (clashes.length) said += ' Readings that contradict were not taken: ' + clashes.join('; ') + '.';
  return said;
}

function buildFile() {
  const said = el('p', { class: 'said', role: 'status' });
  const text = el('textarea', { id: 'export-text', rows: 6, readonly: true, spellcheck: 'false' });
  const show = () => { text.value = exportText(); };
  const pick = el('input', { id: 'import', type: 'file', accept: '.json,application/json' });
  pick.addEventListener('change', async () => {
    if (!pick.files.length) return;
    if (pick.files[0].size > 64 << 20) { said.textContent = 'This file is too large to be from this page.'; return; }
    said.textContent = importText(await pick.files[0].text());
    pick.value = '';
    show();
  });
  fill(byId('file'),
    el('h2', {}, 'Hand over'),
    el('p', {}, 'Saves everything entered on this device as a file for “loopwright reconcile”.'),
    el('button', { type: 'button', id: 'save', class: 'wide main', onclick: saveFile }, 'Save file'),
    el('details', { ontoggle: show }, el('summary', {}, 'Cannot save a file here? Copy the text'), el('label', { for: 'export-text' }, 'The file’s text'), text,
      el('button', { type: 'button', class: 'wide', onclick: () => { show(); text.focus(); text.select(); try { document.execCommand('copy'); } catch (e) { /* it stays selected */ } } }, 'Select and copy')),
    el('h2', {}, 'Take over'),
    el('label', { for: 'import' }, 'Load a file from this page, saved here or on another device. Entries made here stay.'), pick, said,
    eraseBox(said),
    el('h2', {}, 'Findings of the program (' + data.findings.length + ')'),
    el('ul', { class: 'facts' }, data.findings.map(findingItem)),
    el('h2', {}, 'Keys at a desk'),
    el('ul', { class: 'facts' }, ['↑ ↓  previous and next device', 'Space  done or not', 'P  problem or not', '/  search', 'Esc  back', '+ −  zoom of the plan, arrows move it while it has the focus'].map((s) => el('li', {}, s))));
}

function findingItem(f) {
  return el('li', { dir: 'auto' }, el('b', {}, f.code + ' ' + f.severity), ': ' + f.message + ' ',
    f.l < 0 ? null : el('button', { type: 'button', class: 'link', onclick: () => showFinding(f) }, 'Show'));
}

function showFinding(f) {
  setView('plan');
  setLevel(f.l);
  hidden.layers.delete('findings');
  buildLayers();
  planes[level].view = { x: f.x, y: f.y, k: 3 };
  drawLevel();
  refreshLayers();
  tell(f.code + ' ' + f.severity + ': ' + f.message);
}

// eraseBox asks twice.
function eraseBox(said) {
  const sure = el('button', { type: 'button', class: 'wide danger', hidden: true }, 'Erase for good');
  sure.addEventListener('click', () => {
    state = { entries: {}, readings: {} };
    saveState();
    refreshAll();
    sure.hidden = true;
    said.textContent = 'Everything entered on this device was erased.';
  });
  const ask = el('button', { type: 'button', class: 'wide', onclick: () => { sure.hidden = !sure.hidden; } }, 'Erase what was entered here …');
  return el('div', {}, ask, sure);
}
