// The plan: moved and zoomed by a CSS transform while fingers are down, drawn
// anew once at the end. The drawing is twice as wide and high as its window, so
// that moving it shows no empty edge.

const stage = byId('stage');
const planes = []; // {svg, view, marks}
const hidden = { layers: new Set(['aside', 'out', 'findings']), types: new Set() };
let level = 0;
let move = null; // the gesture under way: {x, y, s} in CSS pixels from the window's middle

const hitRadius = 22; // a target of 44 CSS pixels (WCAG 2.2, success criterion 2.5.5)

function buildPlans() {
  for (const svg of stage.querySelectorAll('svg.level')) {
    const i = Number(svg.dataset.level);
    planes[i] = { svg, view: null };
    const box = svg.querySelector('.marks');
    data.marks.forEach((m, k) => { if (m.l === i) box.append(buildMark(m, k)); });
    data.findings.forEach((f) => { if (f.l === i) box.append(buildFlag(f)); });
    byId('levels').append(el('button', { type: 'button', 'aria-pressed': 'false', onclick: () => setLevel(i) }, data.levels[i].level));
  }
  for (const r of data.rows) {
    const m = data.marks[r.m];
    (m.rows = m.rows || []).push(r);
  }
  data.marks.forEach(refreshMark);
}

function scaled(x, y, cls, ...children) {
  return sv('g', { class: cls, transform: 'translate(' + x + ' ' + y + ')' }, sv('g', { class: 'k' }, children));
}

function buildMark(m) {
  const t = data.types[m.t];
  const shape = m.out ? sv('path', { class: 'ring', d: 'M-7 -7L7 7M-7 7L7 -7' })
    : t && t.address ? sv('circle', { class: 'ring', r: 9 }) : sv('rect', { class: 'ring', x: -8, y: -8, width: 16, height: 16 });
  m.glyph = sv('text', { class: 'glyph', y: 5 });
  m.label = sv('text', { class: 'label', x: 13, y: 4 });
  m.node = scaled(m.x, m.y, 'mark', sv('circle', { class: 'hit', r: hitRadius }), shape, m.glyph, m.label);
  return m.node;
}

function buildFlag(f) {
  f.node = scaled(f.x, f.y, 'flag', sv('circle', { class: 'hit', r: hitRadius }), sv('path', { d: 'M0 -12L11 8H-11Z' }), sv('text', { class: 'glyph', y: 5 }, '!'));
  return f.node;
}

// markStatus is the gravest of its rows; done only when all are.
function markStatus(m) {
  const all = (m.rows || []).map(statusOf);
  if (all.includes('problem')) return 'problem';
  return all.length && all.every((s) => s === 'done') ? 'done' : 'open';
}

function refreshMark(m) {
  const s = m.out ? 'out' : markStatus(m);
  const off = hidden.types.has(m.t) || (m.out && hidden.layers.has('out'));
  m.node.setAttribute('class', 'mark ' + s + (selected && data.marks[selected.m] === m ? ' chosen' : '') + (off ? ' off' : ''));
  m.glyph.textContent = m.out ? '' : glyphs[s];
  const r = (m.rows || []).find((x) => x.a);
  m.label.textContent = m.out ? m.out : r ? addressText(r) : '';
}

const size = () => ({ w: Math.max(1, stage.clientWidth), h: Math.max(1, stage.clientHeight) });

function fitView(i) {
  const v = data.levels[i], s = size();
  return { x: v.x + v.w / 2, y: v.y + v.h / 2, k: Math.max(v.w / s.w, v.h / s.h, 0.01) };
}

// drawLevel sets the level's view for good.
function drawLevel() {
  const p = planes[level];
  if (!p || stage.clientWidth === 0) return;
  const v = p.view = p.view || fitView(level);
  const w = 2 * stage.clientWidth * v.k, h = 2 * stage.clientHeight * v.k;
  p.svg.setAttribute('viewBox', [v.x - w / 2, v.y - h / 2, w, h].map((n) => n.toFixed(2)).join(' '));
  p.svg.style.setProperty('--k', v.k.toFixed(4));
  p.svg.style.transform = '';
  p.svg.classList.toggle('far', v.k > 6);
}

function setLevel(i) {
  level = i;
  planes.forEach((p, k) => p.svg.toggleAttribute('hidden', k !== i));
  byId('levels').querySelectorAll('button').forEach((b, k) => b.setAttribute('aria-pressed', k === i));
  drawLevel();
  refreshLayers();
}

function showMove() {
  const m = move;
  planes[level].svg.style.transform = 'translate(' + m.x + 'px,' + m.y + 'px) scale(' + m.s + ')';
}

// endMove turns the transform into a view.
function endMove() {
  if (!move || !planes[level]) return;
  const v = planes[level].view, m = move;
  move = null;
  const k = Math.min(Math.max(v.k / m.s, 0.05), fitView(level).k * 8);
  planes[level].view = { x: v.x - m.x * k, y: v.y - m.y * k, k };
  drawLevel();
}

function panBy(dx, dy) {
  move = move || { x: 0, y: 0, s: 1 };
  move.x += dx;
  move.y += dy;
  const s = size();
  showMove();
  if (Math.abs(move.x) > s.w * 0.45 || Math.abs(move.y) > s.h * 0.45) endMove();
}

// zoomBy zooms about a place in pixels from the window's middle.
function zoomBy(f, x, y) {
  move = move || { x: 0, y: 0, s: 1 };
  move.x = x - (x - move.x) * f;
  move.y = y - (y - move.y) * f;
  move.s *= f;
  showMove();
}

function zoomNow(f) {
  zoomBy(f, 0, 0);
  endMove();
}

const fingers = new Map();
let pressed = null; // where a tap began
let wheelTimer = 0;

function fromMiddle(e) {
  const b = stage.getBoundingClientRect();
  return { x: e.clientX - b.left - b.width / 2, y: e.clientY - b.top - b.height / 2 };
}

stage.addEventListener('pointerdown', (e) => {
  fingers.set(e.pointerId, fromMiddle(e));
  pressed = fingers.size === 1 ? fromMiddle(e) : null;
  try { stage.setPointerCapture(e.pointerId); } catch (err) { /* a pointer that is gone already */ }
});

stage.addEventListener('pointermove', (e) => {
  const was = fingers.get(e.pointerId);
  if (!was) return;
  const now = fromMiddle(e);
  if (pressed && Math.hypot(now.x - pressed.x, now.y - pressed.y) < 8) return;
  pressed = null;
  const other = [...fingers.entries()].find(([id]) => id !== e.pointerId);
  fingers.set(e.pointerId, now);
  if (!other) return panBy(now.x - was.x, now.y - was.y);
  const o = other[1];
  const before = Math.hypot(was.x - o.x, was.y - o.y), after = Math.hypot(now.x - o.x, now.y - o.y);
  panBy((now.x - was.x) / 2, (now.y - was.y) / 2);
  if (before > 4) zoomBy(after / before, (now.x + o.x) / 2, (now.y + o.y) / 2);
});

function lift(e) {
  if (!fingers.delete(e.pointerId)) return;
  if (pressed && e.type === 'pointerup') tap(pressed);
  pressed = null;
  if (fingers.size === 0) endMove();
}
stage.addEventListener('pointerup', lift);
stage.addEventListener('pointercancel', lift);

stage.addEventListener('wheel', (e) => {
  e.preventDefault();
  const at = fromMiddle(e);
  zoomBy(Math.exp(-Math.max(-200, Math.min(200, e.deltaY)) / 400), at.x, at.y);
  clearTimeout(wheelTimer);
  wheelTimer = setTimeout(endMove, 160);
}, { passive: false });

// tap chooses the nearest device within its target; a further tap on a spot with several, the next.
function tap(at) {
  const v = planes[level].view;
  const near = [];
  const offer = (x, y, what) => {
    const d = Math.hypot((x - v.x) / v.k - at.x, (y - v.y) / v.k - at.y);
    if (d <= hitRadius) near.push({ d, what });
  };
  data.marks.forEach((m) => { if (m.l === level && !m.node.classList.contains('off')) offer(m.x, m.y, { m }); });
  if (!hidden.layers.has('findings')) data.findings.forEach((f) => { if (f.l === level) offer(f.x, f.y, { f }); });
  if (near.length === 0) return tell(null);
  near.sort((a, b) => a.d - b.d);
  const spot = near.filter((n) => n.d < near[0].d + 3);
  const at0 = spot.findIndex((n) => n.what.m && selected && data.marks[selected.m] === n.what.m);
  const what = spot[(at0 + 1) % spot.length].what;
  if (what.f) return tell(what.f.code + ' ' + what.f.severity + ': ' + what.f.message);
  if (what.m.out) return tell(what.m.id + ' is not counted: ' + what.m.out);
  tell(null);
  if (what.m.rows) select(what.m.rows[0], true);
}

function tell(text) {
  const p = byId('told');
  p.hidden = text === null;
  fill(p, text || '', text ? el('button', { type: 'button', class: 'icon', 'aria-label': 'Close', onclick: () => tell(null) }, '×') : null);
}

// showOnPlan marks the chosen device and, if asked, brings it into view.
let chosenMark = null;
function showOnPlan(r, bring) {
  const m = data.marks[r.m];
  if (chosenMark) refreshMark(chosenMark);
  chosenMark = m;
  refreshMark(m);
  m.node.parentNode.append(m.node); // on top of its neighbors
  refreshCable();
  if (!bring) return;
  if (level !== m.l) setLevel(m.l);
  const p = planes[level];
  if (!p.view) drawLevel();
  if (!p.view) return;
  const s = size(), v = p.view;
  const dx = (m.x - v.x) / v.k, dy = (m.y - v.y) / v.k;
  if (isPhone()) p.view = { x: m.x, y: m.y, k: Math.min(v.k, 3) };
  else if (Math.abs(dx) > s.w * 0.42 || Math.abs(dy) > s.h * 0.42) p.view = { x: m.x, y: m.y, k: v.k };
  drawLevel();
}
