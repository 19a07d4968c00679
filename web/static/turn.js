import { el } from "./dom.js";
import { before, blocks } from "./markdown.js";

const bytes = new TextEncoder();
const chars = new TextDecoder();

// describe says an observation in a few words.
export function describe(n) {
  if (n.unit || n.value) return `${n.title}: ${n.value ?? ""} ${sign(n.unit)}`.trim();
  if (n.outcome === "present") return n.title;
  if (n.outcome === "absent") return "not: " + n.title;
  return n.title + ": " + (n.outcome_title || n.outcome || "");
}

export const sign = (unit) => ({ ohm: "Ω", degC: "°C" })[unit] || unit || "";

// groups joins the observations of a turn whose words overlap: words that
// overlap are one chip.
function groups(noted) {
  const out = [];
  for (const n of [...noted].sort((a, b) => a.start - b.start || b.end - a.end)) {
    const last = out[out.length - 1];
    if (last && n.start < last.end) {
      last.end = Math.max(last.end, n.end);
      last.all.push(n);
    } else out.push({ start: n.start, end: n.end, all: [n] });
  }
  return out;
}

// words shows the turn itself, byte for byte, with chips on the words that
// were understood and a mark on those that were not used.
function words(x, standing, onChip) {
  const text = bytes.encode(x.turn.text || "");
  const piece = (a, b) => chars.decode(text.slice(a, b));
  const own = x.reply.noted.filter((n) => n.turn === x.reply.turn && n.end > n.start && n.end <= text.length);
  const out = [];
  const plainly = (a, b) => {
    for (const s of x.reply.spans) {
      const from = Math.max(a, s.start), to = Math.min(b, s.end);
      if (from >= to) continue;
      out.push(s.kind === "unread" ? el("span", { class: "unread" }, piece(from, to), el("span", { class: "hidden" }, " (not used) ")) : piece(from, to));
    }
    if (!x.reply.spans.length) out.push(piece(a, b));
  };
  let at = 0;
  for (const g of groups(own)) {
    plainly(at, g.start);
    const now = g.all.map((n) => standing(n));
    const gone = now.every((n) => n === null);
    const meaning = now.map((n, i) => (n ? describe(n) : describe(g.all[i]) + ", struck")).filter((t, i, all) => all.indexOf(t) === i).join(" · ");
    out.push(el("button", { type: "button", class: "chip" + (gone ? " struck" : ""), "aria-haspopup": "dialog", onclick: (e) => onChip(g, now, e.currentTarget) },
      el("span", { class: "said" }, piece(g.start, g.end)), el("span", { class: "hidden" }, ", understood as " + meaning)));
    at = g.end;
  }
  plainly(at, text.length);
  if (!out.length) out.push(x.turn.tap ? "(tapped)" : "(no words)");
  return out;
}

// turn shows one exchange; a reply that is the next step and nothing else
// stands in the slip below alone.
export function turn(x, standing, onChip) {
  const unread = x.reply.unread.length > 0;
  const said = blocks(before(x.reply));
  return el("li", { class: "exchange", "data-turn": x.number },
    el("div", { class: "you" }, el("h3", { class: "who" }, "You"), el("p", { class: "words" }, words(x, standing, onChip)),
      unread && el("p", { class: "legend" }, "Dotted: not used.")),
    said.length > 0 && el("div", { class: "it" }, el("h3", { class: "who" }, "Ruleout"), el("div", { class: "reply" }, said)),
    x.reply.drawing && drawn(x.reply.drawing));
}

// drawn shows a circuit that the reply gives a drawing of.
function drawn(d) {
  const q = new URLSearchParams({ setup: d.setup || "", cause: d.cause || "" });
  const src = `/drawings/${d.circuit}/${d.arrangement}.svg?${q}`;
  const page = `/articles/${d.circuit}?arrangement=${encodeURIComponent(d.arrangement)}&${q}`;
  return el("figure", {}, el("div", { class: "wide", tabindex: "0", role: "group", "aria-label": "Drawing, scrolls sideways" }, el("img", { src, alt: d.title })),
    el("figcaption", {}, el("a", { href: page }, d.title)));
}
