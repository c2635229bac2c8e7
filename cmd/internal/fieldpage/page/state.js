// What was entered lives in the browser's own store under the job's name and
// revision. It is read once, written at every change, and leaves as a file.

const data = JSON.parse(byId('data').textContent);
const storeKey = 'loopwright field ' + JSON.stringify([data.job, data.revision]);
const rowKey = (circuit, id) => JSON.stringify([circuit, id]);
const circuitName = (c) => (c < 0 ? '' : data.circuits[c].circuit);
const isObject = (v) => v !== null && typeof v === 'object' && !Array.isArray(v);

for (const r of data.rows) r.key = rowKey(circuitName(r.c), r.id);

// entries by row key, readings by [circuit, end].
let state = { entries: {}, readings: {} };
let storeWorks = true;
const changed = new Set(); // listeners

function warn(text) {
  const p = byId('warn');
  p.textContent = text;
  p.hidden = text === '';
}

function loadState() {
  let text = null;
  try {
    text = localStorage.getItem(storeKey);
    localStorage.setItem(storeKey + ' test', '1');
    localStorage.removeItem(storeKey + ' test');
  } catch (e) {
    storeWorks = false;
    warn('This browser does not store entries for this page. Save a file (tab File) before you close it.');
    return;
  }
  if (text === null) return;
  try {
    const s = JSON.parse(text);
    if (!isObject(s) || !isObject(s.entries) || !isObject(s.readings)) throw new Error('shape');
    state = s;
  } catch (e) {
    try { localStorage.setItem(storeKey + ' damaged', text); } catch (e2) { /* nothing more can be done */ }
    warn('The stored entries for this page are damaged and were set aside. Load the last saved file (tab File).');
  }
}

function saveState() {
  if (!storeWorks) return;
  try {
    localStorage.setItem(storeKey, JSON.stringify(state));
  } catch (e) {
    storeWorks = false;
    warn('The browser has no room to keep entries. Save a file (tab File) before you close the page.');
  }
}

const blankEntry = { found: null, done: false, problem: false, note: '' };
const entryOf = (r) => state.entries[r.key] || blankEntry;

// isStale tells a tick that was set while another address was planned.
function isStale(r) {
  const e = entryOf(r);
  return e.done && (e.address || 0) !== (r.a || 0);
}

// statusOf is one of open, done, problem.
function statusOf(r) {
  const e = entryOf(r);
  if (e.problem || differs(r) || isStale(r)) return 'problem';
  return e.done ? 'done' : 'open';
}

// differs tells a found address that is not the planned one.
function differs(r) {
  const e = entryOf(r);
  return e.found !== null && e.found !== undefined && e.found !== (r.a || 0);
}

function change(r, values) {
  const e = Object.assign({}, entryOf(r), values, { at: new Date().toISOString() });
  e.address = r.a || 0;
  if (e.found === null && !e.done && !e.problem && !e.note) delete state.entries[r.key];
  else state.entries[r.key] = e;
  saveState();
  for (const f of changed) f(r);
}

function changeReading(circuit, end, values) {
  const key = rowKey(circuit, end);
  const e = Object.assign({ ohm: null, initials: '' }, state.readings[key], values, { at: new Date().toISOString() });
  if (e.ohm === null && e.initials === '') delete state.readings[key];
  else state.readings[key] = e;
  saveState();
}

// tally counts the rows of a circuit, or of all.
function tally(c) {
  const n = { all: 0, done: 0, problem: 0 };
  for (const r of data.rows) {
    if (c !== undefined && r.c !== c) continue;
    n.all++;
    const s = statusOf(r);
    if (s !== 'open') n[s]++;
  }
  return n;
}

const tallyText = (n) => n.done + ' of ' + n.all + ' done' + (n.problem ? ', ' + plural(n.problem, 'problem', 'problems') : '');
