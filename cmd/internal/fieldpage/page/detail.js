// One device: how it is set, what was found.

const isPhone = () => matchMedia('(max-width: 899px)').matches;

// select shows a device; full opens it over the list on a phone.
function select(r, full) {
  const before = selected;
  selected = r;
  if (before) refreshRow(before);
  refreshRow(r);
  buildDetail(r);
  showOnPlan(r, !isPhone());
  if (full && isPhone()) openDetail();
}

function openDetail() {
  if (document.body.classList.contains('open')) return;
  document.body.classList.add('open');
  try { history.pushState({ device: true }, ''); } catch (e) { /* then the back key leaves the page */ }
  byId('detail').focus();
  byId('detail').scrollTop = 0;
}

function hideDetail() {
  document.body.classList.remove('open');
  if (selected) {
    selected.item.open.focus({ preventScroll: true });
    selected.item.node.scrollIntoView({ block: 'nearest' });
  }
}

function closeDetail() {
  if (!document.body.classList.contains('open')) return;
  if (history.state && history.state.device) history.back();
  hideDetail();
}

window.addEventListener('popstate', () => { if (document.body.classList.contains('open')) hideDetail(); });

function neighborRow(r, by) {
  const rows = data.rows.filter((x) => x.c === r.c);
  return rows[rows.indexOf(r) + by];
}

function buildDetail(r) {
  const m = data.marks[r.m];
  const c = data.circuits[r.c];
  const previous = neighborRow(r, -1), next = neighborRow(r, 1);
  const go = (x, text, label) => el('button', { type: 'button', class: 'go', disabled: !x, 'aria-label': label, onclick: () => { select(x, true); byId('detail').scrollTop = 0; } }, text);
  const bar = el('div', { class: 'bar' },
    el('button', { type: 'button', class: 'close', onclick: closeDetail }, '‹ List'),
    go(previous, '↑ Previous', 'Previous device on the circuit'), go(next, 'Next ↓', 'Next device on the circuit'));
  const head = el('div', { class: 'who' },
    el('div', { class: 'number' }, el('span', {}, r.a ? 'address' : ''), el('strong', {}, addressText(r) || '–')),
    el('div', {}, el('h2', {}, kindOf(r)), el('p', { class: 'room', dir: 'auto' }, placeText(r)),
      el('p', {}, data.levels[m.l].level + ' · ' + r.id),
      el('p', {}, c ? c.circuit + ', ' + r.o + ' in the walk' : 'on no circuit')));
  fill(byId('detail'), bar, head,
    el('div', { class: 'set' }, c ? settingOrNone(r) : []),
    entryForm(r),
    el('ul', { class: 'facts' }, (r.facts || []).map((f) => el('li', { dir: 'auto' }, f))),
    el('button', { type: 'button', class: 'wide phone', onclick: () => { closeDetail(); setView('plan'); showOnPlan(r, true); } }, 'Show on plan'));
}

function settingOrNone(r) {
  const parts = setting(r);
  return parts.length ? parts : [el('p', { class: 'plain' }, 'Nothing to set on this device.')];
}

function entryForm(r) {
  const e = entryOf(r);
  const done = el('button', { type: 'button', class: 'big done', 'aria-pressed': e.done }, el('span', { 'aria-hidden': 'true' }, '✓'), ' Done');
  const problem = el('button', { type: 'button', class: 'big problem', 'aria-pressed': e.problem }, el('span', { 'aria-hidden': 'true' }, '!'), ' Problem');
  const found = el('input', { id: 'found', inputmode: 'numeric', pattern: '[0-9]*', maxlength: 8, autocomplete: 'off' });
  found.value = e.found === null || e.found === undefined ? '' : e.found;
  const note = el('textarea', { id: 'note', rows: 3, maxlength: 10000, dir: 'auto' });
  note.value = e.note || '';
  const said = el('p', { class: 'said', id: 'found-said' });
  const refresh = () => {
    done.setAttribute('aria-pressed', entryOf(r).done);
    problem.setAttribute('aria-pressed', entryOf(r).problem);
    said.textContent = foundText(r, found.value);
    found.setAttribute('aria-invalid', /\D/.test(found.value.trim()));
  };
  done.addEventListener('click', () => { toggleDone(r); refresh(); });
  problem.addEventListener('click', () => { toggleProblem(r); refresh(); });
  found.addEventListener('input', () => {
    const v = found.value.trim();
    if (v === '') change(r, { found: null });
    else if (/^\d{1,8}$/.test(v)) change(r, { found: Number(v) });
    refresh();
  });
  found.setAttribute('aria-describedby', 'found-said');
  note.addEventListener('input', () => { change(r, { note: note.value }); });
  refresh();
  return el('div', { class: 'form' }, el('div', { class: 'pair' }, done, problem),
    r.a ? [el('label', { for: 'found' }, 'Address found on the device, if different'), found, said] : [said],
    el('label', { for: 'note' }, 'Note'), note);
}

// foundText says what stands against what is entered.
function foundText(r, typed) {
  const e = entryOf(r);
  const c = data.circuits[r.c];
  if (typed.trim() !== '' && !/^\d{1,8}$/.test(typed.trim())) return 'Digits only: entry not kept.';
  if (isStale(r)) return 'Ticked while address ' + (e.address || 'none') + ' was planned; now it is ' + (r.a || 'none') + '. Set it again, then tick again.';
  if (!differs(r)) return '';
  if (c && c.highest && (e.found < c.lowest || e.found > c.highest)) return 'No device of this circuit can be set to ' + e.found + ': ' + c.lowest + ' to ' + c.highest + '.';
  const other = data.rows.find((x) => x.c === r.c && x !== r && x.a && e.found >= x.a && e.found < x.a + x.span);
  return 'Planned is ' + r.a + '.' + (other ? ' ' + e.found + ' is planned for ' + other.id + ': two devices must not share it.' : '');
}
