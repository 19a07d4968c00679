import "./plain.js";
import { byId, el } from "./dom.js";

const bytes = new TextEncoder(), chars = new TextDecoder();

// snippet marks the byte ranges that matched.
function snippet(text, marks) {
  const raw = bytes.encode(text), out = [];
  let at = 0;
  for (const [a, b] of marks || []) {
    if (a < at || b > raw.length) continue;
    out.push(chars.decode(raw.slice(at, a)), el("mark", {}, chars.decode(raw.slice(a, b))));
    at = b;
  }
  out.push(chars.decode(raw.slice(at)));
  return out;
}

// Searching as you type: the last question asked is the one that is shown.
const field = byId("q");
let asked = 0, timer = null;
async function search() {
  const words = field.value.trim(), mine = ++asked;
  byId("browse").hidden = words !== "";
  history.replaceState(null, "", words ? "/articles?q=" + encodeURIComponent(words) : "/articles");
  if (!words) { byId("found").replaceChildren(); byId("found-count").textContent = ""; return; }
  let hits;
  try {
    const r = await fetch("/api/articles?q=" + encodeURIComponent(words));
    if (!r.ok) throw new Error();
    hits = (await r.json()).hits;
  } catch {
    if (mine === asked) byId("found").replaceChildren(el("p", { class: "empty" }, "Searching needs the laptop; articles you have read still open."));
    return;
  }
  if (mine !== asked) return;
  byId("found").replaceChildren(el("h2", {}, `Found for “${words}”`), hits.length ? el("ul", { class: "found" }, hits.map((h) => el("li", {}, el("a", { href: "/articles/" + encodeURIComponent(h.id) }, h.title), " ", el("span", { class: "kind" }, `${h.kind} · ${h.system}`), el("p", {}, snippet(h.snippet, h.marks)))))
    : el("p", { class: "empty" }, "No article has these words. Fewer or plainer words often help."));
  byId("found-count").textContent = `${hits.length} ${hits.length === 1 ? "article" : "articles"} found`;
}
field.addEventListener("input", () => { clearTimeout(timer); timer = setTimeout(search, 150); });

// A link to a system opens its shelf.
function openShelf() {
  const shelf = location.hash.startsWith("#system-") && byId(location.hash.slice(1));
  if (shelf) { shelf.open = true; shelf.scrollIntoView(); }
}
addEventListener("hashchange", openShelf);
openShelf();
