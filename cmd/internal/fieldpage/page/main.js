// Views, colors and keys.

const views = ['list', 'plan', 'meter', 'file'];

function setView(v) {
  document.body.dataset.view = v;
  for (const b of document.querySelectorAll('[data-go]')) b.setAttribute('aria-pressed', b.dataset.go === v);
  if (v === 'plan') drawLevel();
}

function refreshAll() {
  for (const r of data.rows) refreshRow(r);
  data.marks.forEach(refreshMark);
  refreshProgress();
  filterList();
  buildMeter();
  if (selected) buildDetail(selected);
}

const themes = { auto: ['◐', 'Colors: follow this device'], light: ['○', 'Light colors'], dark: ['●', 'Dark colors'] };
let theme = 'auto';

function setTheme(t) {
  theme = themes[t] ? t : 'auto';
  document.documentElement.dataset.theme = theme;
  byId('theme').textContent = themes[theme][0];
  byId('theme').setAttribute('aria-label', themes[theme][1] + ': change');
  byId('theme').title = themes[theme][1];
}

byId('theme').addEventListener('click', () => {
  const names = Object.keys(themes);
  setTheme(names[(names.indexOf(theme) + 1) % names.length]);
  try { localStorage.setItem('loopwright field theme', theme); } catch (e) { /* it lasts until the page closes */ }
});

// typing tells that keys belong to a field.
function typing(node) {
  return node && (node.tagName === 'TEXTAREA' || node.tagName === 'SELECT' || (node.tagName === 'INPUT' && node.type !== 'checkbox' && node.type !== 'file'));
}

function onKey(e) {
  if (e.ctrlKey || e.altKey || e.metaKey) return;
  const at = document.activeElement;
  if (e.key === 'Escape') return escape(at);
  if (typing(at)) {
    if (at.id === 'search' && (e.key === 'ArrowDown' || e.key === 'Enter')) { e.preventDefault(); selected = selected && !selected.item.node.hidden ? selected : null; step(selected ? 1 : 0); }
    return;
  }
  const act = at === stage ? planKeys[e.key] || pageKeys[e.key] : pageKeys[e.key];
  if (!act) return;
  // A button or a tick box that has the focus keeps its own space bar.
  if (e.key === ' ' && at && at !== document.body && at !== stage && !at.classList.contains('open')) return;
  e.preventDefault();
  act();
}

const planKeys = {
  ArrowLeft: () => { panBy(80, 0); endMove(); }, ArrowRight: () => { panBy(-80, 0); endMove(); },
  ArrowUp: () => { panBy(0, 80); endMove(); }, ArrowDown: () => { panBy(0, -80); endMove(); },
};

const pageKeys = {
  ArrowUp: () => step(-1), ArrowDown: () => step(1),
  '/': () => { if (isPhone()) setView('list'); byId('search').focus(); byId('search').select(); },
  ' ': () => { if (selected) { toggleDone(selected); buildDetail(selected); } },
  p: () => { if (selected) { toggleProblem(selected); buildDetail(selected); } },
  '+': () => zoomNow(1.5), '=': () => zoomNow(1.5), '-': () => zoomNow(1 / 1.5),
};

function escape(at) {
  if (!byId('told').hidden) return tell(null);
  if (!byId('layers').hidden) { byId('layers-open').click(); byId('layers-open').focus(); return; }
  if (at && at.id === 'search' && at.value !== '') { at.value = ''; return filterList(); }
  if (document.body.classList.contains('open')) return closeDetail();
  if (at && at !== document.body) at.blur();
}

function start() {
  try { setTheme(localStorage.getItem('loopwright field theme') || 'auto'); } catch (e) { setTheme('auto'); }
  loadState();
  buildList();
  buildPlans();
  buildLayers();
  buildFile();
  setLevel(0);
  for (const b of document.querySelectorAll('[data-go]')) b.addEventListener('click', () => { closeDetail(); setView(b.dataset.go); });
  byId('search').addEventListener('input', filterList);
  byId('circuit').addEventListener('change', filterList);
  for (const b of document.querySelectorAll('[data-show]')) {
    b.addEventListener('click', () => {
      showing = b.dataset.show;
      for (const o of document.querySelectorAll('[data-show]')) o.setAttribute('aria-pressed', o === b);
      filterList();
    });
  }
  byId('zoom-in').addEventListener('click', () => zoomNow(1.5));
  byId('zoom-out').addEventListener('click', () => zoomNow(1 / 1.5));
  byId('zoom-fit').addEventListener('click', () => { planes[level].view = null; drawLevel(); });
  document.addEventListener('keydown', onKey);
  let width = 0, height = 0;
  new ResizeObserver(() => {
    if (stage.clientWidth === width && stage.clientHeight === height) return;
    width = stage.clientWidth;
    height = stage.clientHeight;
    drawLevel();
  }).observe(stage);
  changed.add((r) => {
    refreshRow(r);
    refreshMark(data.marks[r.m]);
    refreshProgress();
  });
  window.addEventListener('storage', (e) => { if (e.key === storeKey) { state = { entries: {}, readings: {} }; loadState(); refreshAll(); } });
  window.addEventListener('beforeunload', (e) => { if (!storeWorks && Object.keys(state.entries).length) e.preventDefault(); });
  refreshAll();
  if (data.rows.length && !isPhone()) select(data.rows[0], false);
  setView('list');
}

let readyAt = 0; // when the first picture stood; asked for by those who measure

start();
requestAnimationFrame(() => setTimeout(() => {
  readyAt = performance.now();
  document.documentElement.dataset.ready = 'yes';
}));
