import { el } from "./dom.js";
import { facts, names } from "./names.js";
import { describe } from "./turn.js";

const link = (id, title) => el("a", { href: "/articles/" + encodeURIComponent(id) }, title);
export const plainly = (p) => (p >= 0.995 ? "almost surely" : p >= 0.095 ? `about ${Math.round(p * 10)} in 10` : p >= 0.01 ? `about ${Math.round(p * 100)} in 100` : "less than 1 in 100");

// bar is a scale like a meter's: ten marks, filled to the share.
function bar(p) {
  const fill = el("span", { class: "fill" });
  fill.style.transform = `scaleX(${Math.max(0.005, Math.min(1, p))})`;
  return el("span", { class: "bar", "aria-hidden": "true" }, fill);
}

// rests leads from a reason to the row of the table it rests on, where no
// article says it.
function rests(w, words) {
  if (!w.rests) return words;
  const [id, row] = w.rests.split("#");
  return el("a", { href: "/articles/" + encodeURIComponent(id) + (row ? "#" + row : "") }, words);
}

function weights(title, list, sense) {
  if (!list?.length) return null;
  return [el("h4", {}, title), el("ul", {}, list.map((w) => el("li", {}, rests(w, `${w.title}: ${w.outcome}`), " ", el("span", { class: "kind" }, `${sense} ${Math.abs(w.decibans)} decibans` + (w.basis ? `, basis: ${w.basis}` : "")))))];
}

function suspect(s, open) {
  return el("li", { class: "suspect" }, el("details", { "data-id": s.id, open: open.has(s.id) },
    el("summary", {}, el("span", { class: "title" }, s.title), el("span", { class: "plain" }, s.plain || plainly(s.probability)), bar(s.probability)),
    el("div", { class: "weights" },
      weights("Speaks for it", s.for, "for by"), weights("Speaks against it", s.against, "against by"),
      !s.for?.length && !s.against?.length && el("p", {}, "Nothing told so far sets it apart from the leader."),
      el("p", {}, s.derived && "Follows from the part itself. ", link(s.id, "Read about it")))));
}

function ruledOut(list) {
  const by = new Map();
  for (const r of list) {
    const reason = `${r.by_title}: ${r.by_outcome}`;
    if (!by.has(reason)) by.set(reason, []);
    by.get(reason).push(r);
  }
  return [...by].sort((a, b) => a[1].length - b[1].length).map(([reason, all]) => el("details", { class: "outs" },
    el("summary", {}, el("span", {}, reason), el("span", { class: "count" }, `${all.length} out`)),
    el("ul", {}, all.map((r) => el("li", {}, el("s", {}, link(r.id, r.title)), el("span", { class: "hidden" }, ` is ruled out by ${reason}`), r.rests && [" ", rests(r, "why")])))));
}

// stand shows the whole state of the reasoning after a reply.
export function stand(box, reply, tree, say) {
  const open = new Set([...box.querySelectorAll(".suspect details[open]")].map((d) => d.dataset.id));
  if (!reply || !reply.so_far.length) {
    box.replaceChildren(el("p", { class: "empty" }, "Nothing is suspected yet. The bars appear with your first words."));
    return;
  }
  const out = reply.ruled_out || [];
  if (!tree.node.isConnected || tree.node.parentElement?.parentElement !== box) {
    box.replaceChildren(el("div", { class: "above" }), el("section", { class: "treebox", "aria-labelledby": "tree-title" }, el("h3", { id: "tree-title" }, "Fault tree"), tree.node), el("div", { class: "below" }));
  }
  const [above, , below] = box.children;
  const parts = [
    reply.none_of_these >= 0.25 && el("p", { class: "note" }, `${plainly(reply.none_of_these)} that it is something the articles do not hold.`),
    el("h3", {}, "Suspects"),
    el("ol", { class: "suspects" }, reply.suspects.map((s) => suspect(s, open))),
    el("dl", { class: "rest" },
      (reply.pairs || []).slice(0, 3).map((p) => el("div", {}, el("dt", {}, "Two at once: " + p.title), el("dd", {}, plainly(p.probability), bar(p.probability)))),
      el("div", {}, el("dt", {}, "None of these"), el("dd", {}, plainly(reply.none_of_these), bar(reply.none_of_these)))),
  ];
  above.replaceChildren(...parts.filter(Boolean));
  below.replaceChildren(...[
    el("h3", {}, `Ruled out (${out.length})`),
    out.length ? ruledOut(out) : el("p", { class: "empty" }, "Nothing yet."),
    el("h3", {}, "Noted so far"),
    noted(reply.so_far, say),
    told(reply, say), eras(reply),
  ].flat(2).filter(Boolean));
  tree.show(reply);
}

// noted lists what stands, each once however often it was told; striking it
// strikes all its tellings.
function noted(list, say) {
  const same = new Map();
  for (const n of list) {
    const words = describe(n) + (n.note ? ` (${n.note})` : "");
    if (!same.has(words)) same.set(words, []);
    same.get(words).push(n.number);
  }
  return el("ol", { class: "noted" }, [...same].map(([words, numbers]) => el("li", {}, el("span", {}, words),
    numbers.some((n) => n > 0) && el("button", { type: "button", class: "small", onclick: () => { for (const n of numbers) say({ text: "strike: " + words, tap: { strike: n } }); } }, "Strike", el("span", { class: "hidden" }, " " + words)))));
}

// told lists the facts about the vehicle and the tools; each can be struck.
function told(reply, say) {
  const box = el("div", {});
  names().then((n) => {
    const rows = facts(reply.vehicle, n);
    for (const [id, have] of Object.entries(reply.tools || {}).sort()) rows.push({ finding: "tool:" + id, title: n?.tools[id] || id, outcome: have, words: have ? "at hand" : "not at hand" });
    if (!rows.length) return;
    box.append(el("h3", {}, "Vehicle and tools"), el("ol", { class: "noted" }, rows.map((f) => el("li", {}, el("span", {}, el("span", { class: "kind" }, f.title), " ", f.words),
      el("button", { type: "button", class: "small", onclick: () => say({ text: `strike: ${f.title} ${f.words}`, tap: { finding: f.finding, outcome: "unknown" } }) }, "Strike", el("span", { class: "hidden" }, ` ${f.title}`))))));
  });
  return box;
}

// eras is the time line: what was done to the car, and what was known when.
function eras(reply) {
  const list = reply.eras || [];
  if (!list.length) return null;
  return [el("h3", {}, "Time line"), el("ol", { class: "eras" },
    el("li", {}, el("strong", {}, "As it came"), el("span", { class: "kind" }, ` turns 1 to ${list[0].turn}`)),
    list.map((e, i) => el("li", {}, el("strong", {}, e.began), el("span", { class: "kind" }, ` turn ${e.turn}` + (list[i + 1] ? ` to ${list[i + 1].turn}` : " until now")))))];
}
