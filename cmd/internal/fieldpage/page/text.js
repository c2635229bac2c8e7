// Elements are made one by one and texts are set as text: nothing that stands
// in a drawing or in a note is ever read as markup.

const byId = (id) => document.getElementById(id);

// el makes an element: attributes (on... are listeners), then children.
function el(tag, attrs, ...children) {
  return dress(document.createElement(tag), attrs, children);
}

// sv makes an element of SVG.
function sv(tag, attrs, ...children) {
  return dress(document.createElementNS('http://www.w3.org/2000/svg', tag), attrs, children);
}

function dress(node, attrs, children) {
  for (const [name, value] of Object.entries(attrs || {})) {
    if (value === null || value === undefined || value === false) continue;
    if (name.startsWith('on')) node.addEventListener(name.slice(2), value);
    else node.setAttribute(name, value === true ? '' : value);
  }
  for (const c of children.flat()) {
    if (c !== null && c !== undefined && c !== '') node.append(c);
  }
  return node;
}

// fill replaces what an element holds.
function fill(node, ...children) {
  node.replaceChildren(...children.flat().filter((c) => c !== null && c !== undefined && c !== ''));
}

// announce is heard by people who do not see the page.
function announce(text) {
  byId('live').textContent = text;
}

const plural = (n, one, many) => n + ' ' + (n === 1 ? one : many);
