// Switches and dials, drawn as they look on the device. What is drawn comes from
// the row that the program computed; nothing is encoded here.

const slotW = 28, slotH = 58, pitch = 44, bankLeft = 46, bankTop = 24;

// setting draws how a device is set.
function setting(r) {
  const c = data.circuits[r.c];
  const parts = [];
  if (r.row && c.dials) parts.push(dials(r));
  else if (r.row) parts.push(bank(c, r));
  else if (r.a) parts.push(el('p', { class: 'plain' }, 'Set electronically to ' + r.a + '. No switches.'));
  if (r.sum) parts.push(el('p', { class: 'sum' }, r.sum));
  for (const o of r.options || []) {
    parts.push(el('div', { class: 'extra' }, oneSwitch(o), el('p', {}, 'Extra switch “' + o.switch + '”: ', el('b', {}, o.on ? 'ON' : 'OFF'))));
  }
  return parts;
}

function slot(x, y, on, attrs) {
  const knob = sv('rect', { class: on ? 'knob on' : 'knob', x: x + 3, y: on ? y + 3 : y + slotH / 2 + 1, width: slotW - 6, height: slotH / 2 - 4, rx: 2 });
  return sv('g', Object.assign({ class: 'switch' }, attrs), sv('rect', { class: 'slot', x, y, width: slotW, height: slotH, rx: 3 }), knob);
}

function word(cls, x, y, s) {
  return sv('text', { class: cls, x, y }, String(s));
}

// bank draws a row of switches: number above, value below, ON up.
function bank(c, r) {
  const n = r.row.length;
  const width = bankLeft + n * pitch + 6;
  const g = sv('svg', { class: 'bank', viewBox: '0 0 ' + width + ' 112', role: 'img' });
  const said = [];
  g.append(word('side', 2, bankTop + 20, 'ON ▲'), word('side', 2, bankTop + 48, 'OFF'));
  g.append(sv('rect', { class: 'body', x: bankLeft - 4, y: bankTop - 6, width: n * pitch + 4, height: slotH + 12, rx: 5 }));
  for (let i = 0; i < n; i++) {
    const on = r.row[i] === '1';
    const x = bankLeft + i * pitch + (pitch - slotW) / 2 - 2;
    const mid = x + slotW / 2;
    g.append(word('number', mid, 13, i + 1), slot(x, bankTop, on, { 'data-switch': i + 1 }));
    g.append(word(on !== Boolean(c.off_counts) ? 'value counts' : 'value', mid, 108, c.values[i]));
    said.push('switch ' + (i + 1) + (on ? ' on' : ' off'));
  }
  g.setAttribute('aria-label', said.join(', '));
  return g;
}

function oneSwitch(o) {
  const g = sv('svg', { class: 'bank one', viewBox: '0 0 86 70', role: 'img', 'aria-label': o.switch + (o.on ? ' on' : ' off') });
  g.append(word('side', 2, 26, 'ON ▲'), word('side', 2, 54, 'OFF'), slot(48, 6, o.on, {}));
  return g;
}

// dials draws tens and ones.
function dials(r) {
  const [tens, ones] = r.row.split('/').map(Number);
  const g = sv('svg', { class: 'bank', viewBox: '0 0 320 172', role: 'img', 'aria-label': 'tens dial ' + tens + ', ones dial ' + ones });
  g.append(dial(82, 80, tens, 16, 'tens'), dial(238, 80, ones, 10, 'ones'));
  return g;
}

function dial(x, y, at, positions, name) {
  const g = sv('g', { class: 'dial', 'data-dial': name }, sv('circle', { class: 'body', cx: x, cy: y, r: 48 }));
  const place = (i, radius) => {
    const a = 2 * Math.PI * i / positions;
    return [x + radius * Math.sin(a), y - radius * Math.cos(a)];
  };
  for (let i = 0; i < positions; i++) {
    const [px, py] = place(i, 61);
    g.append(word(i === at ? 'number counts' : 'number', px.toFixed(1), (py + 4).toFixed(1), i));
  }
  const [px, py] = place(at, 42);
  g.append(sv('line', { class: 'pointer', x1: x, y1: y, x2: px.toFixed(2), y2: py.toFixed(2) }), sv('circle', { class: 'hub', cx: x, cy: y, r: 7 }), word('side mid', x, 166, name));
  return g;
}
