import { byId, el } from "./dom.js";
import { describe } from "./turn.js";

// sheet opens over a chip: what was understood, and the ways to set it right.
// The dialog keeps the focus and gives it back when it closes.
export function sheet(group, now, say, again) {
  const box = byId("sheet");
  const close = () => box.close();
  const send = (turn) => { close(); say(turn); };
  const standing = now.filter(Boolean);
  // What stands under a number is struck by it; a fact about the vehicle or a
  // tool has none and becomes unknown.
  const gone = (n) => (n.number > 0 ? { strike: n.number } : { finding: n.finding, outcome: "unknown" });
  const part = (n) => {
    const others = el("ul", { class: "quick" });
    offer(others, n, send);
    return el("section", {}, el("h3", {}, describe(n)), n.note && el("p", { class: "kind" }, n.note),
      el("p", { class: "label" }, "Change it to"), others,
      el("button", { type: "button", class: "big", onclick: () => send({ text: "strike: " + describe(n), tap: gone(n) }) }, "Strike it"));
  };
  box.replaceChildren(...[
    el("h2", { id: "sheet-title" }, "“" + (group.all[0].words || "") + "”"),
    standing.length ? standing.map(part) : el("p", {}, "Struck: it no longer counts. Say it again if it does."),
    standing.length ? el("button", { type: "button", class: "big", onclick: () => {
      close();
      for (const n of standing) say({ text: "that's not what I meant: " + n.words, tap: gone(n) });
      again();
    } }, "That's not what I meant") : null,
    el("button", { type: "button", class: "big", onclick: close }, "Leave it"),
  ].flat().filter(Boolean));
  box.showModal();
}

async function offer(list, n, send) {
  try {
    const r = await fetch("/page/findings/" + encodeURIComponent(n.finding));
    if (!r.ok) throw new Error();
    for (const o of (await r.json()).outcomes) {
      if (o.id === n.outcome) continue;
      list.append(el("li", {}, el("button", { type: "button", class: "big", onclick: () => send({ text: `${n.title}: ${o.title}`, tap: { ...(n.number > 0 && { strike: n.number }), finding: n.finding, outcome: o.id } }) }, o.title)));
    }
    if (!list.children.length) list.append(el("li", {}, n.number > 0 ? "There is nothing else it could be." : "Say it anew, the way it is."));
  } catch {
    list.append(el("li", {}, "The other choices need the laptop; strike it, or say it anew."));
  }
}
