import { el, svg } from "./dom.js";

// A path is drawn as a line: its parts as stations, the points where a person
// can get at it as ticks between them. What is cleared is ticked off and
// struck, what is accused carries a mark of its own and the word: neither
// hangs on colour.
const station = 44, point = 28, line = 15, column = 26, left = 20, width = 340;
const words = { cleared: "cleared", accused: "accused", open: "" };

// wrap cuts a text into lines of about so many letters.
function wrap(text, most) {
  const out = [""];
  for (const w of text.split(" ")) {
    if (out.at(-1) && (out.at(-1) + " " + w).length > most) out.push(w);
    else out[out.length - 1] = (out.at(-1) + " " + w).trim();
  }
  return out;
}

// columns gives each part its column: the first that follows a part stays in
// line with it, every other branches off.
function columns(parts) {
  const out = [], taken = new Set();
  let next = 0;
  for (const p of parts) {
    const follows = p.after >= 0 && !taken.has(p.after);
    taken.add(p.after);
    out.push(follows ? out[p.after] : next++);
  }
  return out;
}

function mark(state, x, y) {
  const box = svg("circle", { cx: x, cy: y, r: 10, class: "b" });
  if (state === "cleared") return [box, svg("path", { d: `M${x - 5} ${y}l4 4 6-8`, class: "l" })];
  if (state === "accused") return [svg("path", { d: `M${x} ${y - 13}l13 13-13 13-13-13z`, class: "b red" }), svg("path", { d: `M${x} ${y - 6}v7M${x} ${y + 4}v2`, class: "l red" })];
  return [box];
}

function label(text, x, y, attributes = {}) {
  const most = Math.floor((width - x) / ((/^s/.test(attributes.class) ? 6.4 : 7.2) + (/h$/.test(attributes.class) ? 1 : 0)));
  const rows = wrap(text, most);
  return { rows: rows.length, node: svg("text", { x, y: y + 5 - ((rows.length - 1) * line) / 2, ...attributes }, rows.map((r, i) => svg("tspan", { x, dy: i ? line : 0 }, r))) };
}

// pathLine draws a path in the state it is in.
export function pathLine(p) {
  const at = columns(p.parts), text = left + column * (Math.max(...at) + 1);
  const lines = [], marks = [], ys = [], ends = [];
  let y = 24;
  p.parts.forEach((part, i) => {
    const x = left + column * at[i];
    ys.push(y);
    if (part.after >= 0) {
      const px = left + column * at[part.after], py = ys[part.after];
      lines.push(svg("path", { class: "thick", d: px === x ? `M${x} ${py}V${y}` : `M${px} ${py}C${px} ${py + 26} ${x} ${py + 8} ${x} ${py + 40}V${y}` }));
    }
    const name = part.name + (words[part.state] ? " (" + words[part.state] + ")" : "");
    marks.push(mark(part.state, x, y), label(name, text, y, { class: part.state === "accused" && "h", "text-decoration": part.state === "cleared" && "line-through" }).node);
    y += station - 8;
    for (const k of p.points.filter((k) => k.after === i)) {
      const t = label((k.asked ? "next: " : "") + k.title + (k.outcome ? ": " + k.outcome : ""), text + 8, y, { class: "s" + (k.asked || k.outcome ? " h" : "") });
      const down = ((t.rows - 1) * line) / 2;
      t.node.setAttribute("transform", `translate(0 ${down})`);
      marks.push(svg("path", { class: k.asked ? "probe" : "l", d: `M${x - 7} ${y + down}h14` }), t.node);
      y += point + 2 * down;
      ends[i] = y - point / 2;
    }
    y += 8;
  });
  // A branch that ends in a point still reaches it.
  p.parts.forEach((part, i) => { if (ends[i]) lines.push(svg("path", { class: "thick", d: `M${left + column * at[i]} ${ys[i]}V${ends[i] - 14}` })); });
  const said = p.parts.map((part) => part.name + (words[part.state] ? " " + words[part.state] : ""));
  const found = p.points.filter((k) => k.outcome).map((k) => `${k.title}: ${k.outcome}`);
  const title = `${p.title}. In order: ${said.join(", ")}.` + (found.length ? ` Found: ${found.join("; ")}.` : "");
  const told = p.parts.some((part) => part.state !== "open");
  return el("figure", {},
    svg("svg", { class: "drawing", viewBox: `0 0 ${width} ${y}`, role: "img", "aria-label": title }, lines, marks),
    el("figcaption", {}, `${p.passes[0].toUpperCase()}${p.passes.slice(1)}, from ${p.from} to ${p.to}.` + (told ? " A tick: cleared. A mark in a diamond: accused. Empty: open." : "")));
}

// pathHead names a path above its drawing.
export const pathHead = (p) => el("h3", {}, "On the way: ", el("a", { href: "/articles/" + encodeURIComponent(p.id) }, p.title));
