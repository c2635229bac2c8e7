// What the plan shows: layers, types, and how many devices that is.

const layerNames = [['walls', 'Walls'], ['paper', 'The rest of the drawing'], ['aside', 'Drawn outside the plan, and parts the job ignores'], ['rooms', 'Room names'],
  ['cables', 'Cable of the chosen circuit'], ['others', 'Cable of the other circuits'], ['labels', 'Addresses']];

function buildLayers() {
  hidden.layers.add('others');
  const n = data.marks.filter((m) => m.out).length;
  const placed = data.findings.filter((f) => f.l >= 0).length;
  const names = layerNames.concat([['out', 'Symbols left out (' + n + ')'], ['findings', 'Findings (' + placed + ')']]);
  const box = byId('layers');
  fill(box, el('h2', {}, 'Show'), names.map(([key, text]) => checkbox(text, !hidden.layers.has(key), (on) => {
    hidden.layers[on ? 'delete' : 'add'](key);
    refreshLayers();
  })), el('h2', {}, 'Types on this level'), el('div', { id: 'types' }));
  byId('layers-open').addEventListener('click', () => {
    box.hidden = !box.hidden;
    byId('layers-open').setAttribute('aria-expanded', !box.hidden);
  });
}

function checkbox(text, on, act) {
  const box = el('input', { type: 'checkbox' });
  box.checked = on;
  box.addEventListener('change', () => act(box.checked));
  return el('label', { class: 'check' }, box, ' ' + text);
}

function refreshLayers() {
  for (const [key] of layerNames) stage.classList.toggle('no-' + key, hidden.layers.has(key));
  if (!hidden.layers.has('out')) stage.classList.remove('no-aside'); // symbols are left out there above all
  stage.classList.toggle('no-findings', hidden.layers.has('findings'));
  data.marks.forEach(refreshMark);
  refreshCable();
  const counts = new Map();
  let shown = 0;
  for (const m of data.marks) {
    if (m.l !== level || m.out) continue;
    counts.set(m.t, (counts.get(m.t) || 0) + 1);
    if (!hidden.types.has(m.t)) shown++;
  }
  const all = [...counts.values()].reduce((a, b) => a + b, 0);
  byId('shown').textContent = shown === all ? plural(all, 'device', 'devices') + ' on this level' : shown + ' of ' + plural(all, 'device', 'devices') + ' shown';
  const list = [...counts.entries()].sort((a, b) => a[0] - b[0]);
  const setAll = (on) => { for (const [t] of list) hidden.types[on ? 'delete' : 'add'](t); refreshLayers(); };
  fill(byId('types'), el('div', { class: 'choice' }, el('button', { type: 'button', onclick: () => setAll(true) }, 'All'), el('button', { type: 'button', onclick: () => setAll(false) }, 'None')),
    list.map(([t, n]) => checkbox((t < 0 ? 'unknown' : data.types[t].name) + ': ' + n, !hidden.types.has(t), (on) => {
      hidden.types[on ? 'delete' : 'add'](t);
      refreshLayers();
    })));
}

// refreshCable sets the chosen circuit's cable off against the others.
function refreshCable() {
  const c = selected ? selected.c : -1;
  for (const p of stage.querySelectorAll('.cable')) p.classList.toggle('chosen', Number(p.dataset.circuit) === c);
}
