// Meter readings: what to short, what must be read, what was read.

function buildMeter() {
  const blocks = [el('h2', {}, 'Loop resistance')];
  blocks.push(el('p', {}, 'Lift the conductors at the panel before metering; remove the end-of-line resistors of the circuit under test and put them back. Follow the equipment’s instructions.'));
  for (const c of data.circuits) {
    if (!c.ends || c.ends.length === 0) continue;
    blocks.push(el('div', { class: 'group' }, el('div', { class: 'head' }, el('h2', {}, c.circuit), el('p', {}, c.detail)), c.ends.map((e) => endForm(c, e))));
  }
  fill(byId('meter'), blocks);
}

let endNumber = 0;

function endForm(c, e) {
  const id = 'end-' + endNumber++;
  const kept = state.readings[rowKey(c.circuit, e.id)] || {};
  const ohm = el('input', { id, inputmode: 'decimal', autocomplete: 'off', maxlength: 12, 'aria-describedby': id + '-said' });
  ohm.value = kept.ohm === null || kept.ohm === undefined ? '' : kept.ohm;
  const initials = el('input', { id: id + '-who', maxlength: 12, autocomplete: 'off' });
  initials.value = kept.initials || '';
  const said = el('p', { class: 'said', id: id + '-said' });
  const refresh = () => {
    const v = ohmOf(ohm.value);
    const [verdict, bad] = judge(e, v, ohm.value);
    said.textContent = verdict;
    said.classList.toggle('bad', bad);
    ohm.setAttribute('aria-invalid', bad);
  };
  ohm.addEventListener('input', () => {
    const v = ohmOf(ohm.value);
    if (v !== undefined) changeReading(c.circuit, e.id, { ohm: v });
    refresh();
  });
  initials.addEventListener('input', () => changeReading(c.circuit, e.id, { initials: initials.value.trim() }));
  refresh();
  return el('div', { class: 'end' }, el('h3', {}, e.title), e.place ? el('p', { dir: 'auto' }, e.place) : null, el('p', {}, e.do), el('p', { class: 'expect' }, 'Must read ' + e.expect),
    el('div', { class: 'pair' },
      el('div', {}, el('label', { for: id }, 'Reading, ohm'), ohm),
      el('div', {}, el('label', { for: id + '-who' }, 'Initials'), initials)),
    said);
}

// ohmOf reads a number with point or comma: null for nothing, undefined for what is no reading.
function ohmOf(text) {
  const t = text.trim().replace(',', '.');
  if (t === '') return null;
  return /^(\d+\.?\d*|\.\d+)$/.test(t) ? Number(t) : undefined;
}

function judge(e, v, typed) {
  if (v === undefined) return ['A number in ohms only: entry not kept.', true];
  if (v === null) return ['', false];
  if (e.limit && v > e.limit) return ['Over the limit of ' + e.limit + ' ohm.', true];
  const low = Math.min(e.ohm20 || e.ohm, e.ohm), high = Math.max(e.ohm20 || e.ohm, e.ohm);
  if (v < low * (1 - data.far) - data.far_ohm) return ['Far below the computed value: look for a short before the end, or a different cable route.', true];
  if (v > high * (1 + data.far) + data.far_ohm) return ['Far above the computed value: look for a bad joint, a longer run or thinner wire.', true];
  return ['As computed.', false];
}
