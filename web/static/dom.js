// el makes an element. Text always goes in as text: nothing that a person or
// an article wrote is ever parsed as HTML here.
export function el(name, attributes = {}, ...children) {
  return fill(document.createElement(name), attributes, children);
}

// svg makes an element of a drawing.
export function svg(name, attributes = {}, ...children) {
  return fill(document.createElementNS("http://www.w3.org/2000/svg", name), attributes, children);
}

function fill(node, attributes, children) {
  for (const [key, value] of Object.entries(attributes)) {
    if (value === undefined || value === null || value === false) continue;
    if (key.startsWith("on")) node.addEventListener(key.slice(2), value);
    else node.setAttribute(key, value === true ? "" : value);
  }
  node.append(...children.flat(3).filter((c) => c !== null && c !== undefined && c !== false && c !== ""));
  return node;
}

export const byId = (id) => document.getElementById(id);

// key is a name for a turn that no other turn has. It works on plain HTTP too.
export function key() {
  return Array.from(crypto.getRandomValues(new Uint8Array(12)), (b) => b.toString(16).padStart(2, "0")).join("");
}

// store keeps small things on the device; without storage they last as long
// as the page.
const memory = new Map();
export const store = {
  get(name, otherwise = null) {
    try {
      const v = localStorage.getItem(name);
      return v === null ? (memory.get(name) ?? otherwise) : JSON.parse(v);
    } catch { return memory.get(name) ?? otherwise; }
  },
  set(name, value) {
    memory.set(name, value);
    try { localStorage.setItem(name, JSON.stringify(value)); } catch { /* full or forbidden */ }
  },
  drop(name) {
    memory.delete(name);
    try { localStorage.removeItem(name); } catch { /* forbidden */ }
  },
};
