import "./plain.js";
import { byId, el, store } from "./dom.js";
import { Wire } from "./wire.js";
import { turn } from "./turn.js";
import { next } from "./next.js";
import { stand } from "./stand.js";
import { Tree } from "./tree.js";
import { pathHead, pathLine } from "./path.js";
import { sheet } from "./sheet.js";
import { dictation } from "./dictate.js";
import { facts, names } from "./names.js";
import { before, inline, plain } from "./markdown.js";

const main = byId("main"), words = byId("words"), line = byId("line");
// The address says which job, also when a kept page of another is shown.
const named = /^\/cases\/([^/]+)$/.exec(location.pathname);
const wire = new Wire(named ? decodeURIComponent(named[1]) : "");
const tree = new Tree();
let turns = [], opening = null, tapped = false, closedAt = 0;

const last = () => turns[turns.length - 1]?.reply || opening;

// A fact of the vehicle or about a tool has no number.
function stillTold(n) {
  const [kind, id] = [n.finding.slice(0, n.finding.indexOf(":")), n.finding.slice(n.finding.indexOf(":") + 1)];
  if (kind === "vehicle") return last().vehicle?.[id] === n.outcome;
  return kind !== "tool" || last().tools?.[id] === (n.outcome === "at hand");
}

// standing tells what has become of an observation: as it is now, or null
// when it was struck.
function standing(n) {
  if (!n.number) return stillTold(n) ? n : null;
  return last().so_far.find((s) => s.number === n.number) || null;
}

// say sends a turn; moved tells that a control was tapped that will be gone.
function say(t, moved = false) {
  tapped = moved;
  wire.say(t);
  if (!wire.up) byId("pending").lastElementChild?.scrollIntoView({ block: "end" });
}

function again() {
  show("talk");
  words.placeholder = "Another way";
  words.focus();
}

const onChip = (group, now) => sheet(group, now, say, again);

// A stop-now answer takes the whole width: on a wide screen above both
// columns, on a narrow one at the head of the exchange that brought it.
const wide = matchMedia("(min-width: 60rem)");
wide.addEventListener("change", draw);
new ResizeObserver(() => {
  const stays = getComputedStyle(byId("stop")).position === "sticky";
  document.documentElement.style.setProperty("--band", (stays ? byId("stop").offsetHeight : 0) + "px");
}).observe(byId("stop"));

function stopBand(r) {
  return el("div", { class: "stop" }, el("p", { class: "stopword" }, "Stop now"), el("p", {}, inline(r.stop.text)),
    el("p", { class: "stoplinks" }, r.stop.article && el("a", { href: "/articles/" + encodeURIComponent(r.stop.article) }, "Why it is dangerous"),
      r.next && el("a", { href: "#next-title" }, "Done: next step")));
}

function draw() {
  const focus = document.activeElement, within = main.contains(focus);
  byId("first").hidden = turns.length > 0 || wire.queue().length > 0;
  byId("turns").replaceChildren(...turns.map((x) => turn(x, standing, onChip)));
  const r = last();
  const open = turns.length > 0;
  const band = open && r?.stop ? stopBand(r) : "";
  byId("stop").replaceChildren(wide.matches ? band : "");
  if (!wide.matches) byId("turns").lastElementChild?.prepend(band);
  next(byId("next"), open ? r?.next : null, `steps:${wire.id}:${r?.next?.id}`, say);
  stand(byId("stand-body"), r, tree, say);
  byId("path").replaceChildren(...(r?.path ? [pathHead(r.path), pathLine(r.path)] : []));
  card(r);
  queue();
  // What had the focus may have been drawn anew or be gone.
  if (within && !focus.isConnected) (focus.id && byId(focus.id) || byId("next-title") || words).focus({ preventScroll: true });
}

// card fills the head of the job card: the complaint and the vehicle; and the
// leader's share on the way to where we stand.
async function card(r) {
  byId("job-number").textContent = wire.id || "new";
  const lead = r?.so_far.length ? r.suspects[0] : null;
  const scale = byId("lead");
  scale.hidden = !lead;
  scale.firstElementChild.style.transform = `scaleX(${lead?.probability || 0})`;
  byId("lead-words").textContent = lead ? `, ${lead.title} leads, ${lead.plain}` : "";
  const n = r?.chief || r?.vehicle ? await names() : null;
  if (r !== last()) return;
  const chief = r?.so_far.find((x) => x.finding === r.chief)?.title || n?.symptoms[r.chief];
  const parts = [chief, ...facts(r?.vehicle, n).map((f) => (f.id === "engine-litres" ? f.words + " l" : f.words)), r?.closed && "closed: " + r.closed, r?.supposing && "supposing " + r.supposing.what].filter(Boolean);
  byId("job-facts").textContent = parts.join(" · ") || "Nothing noted yet.";
}

// queue shows the turns that the program does not have yet.
function queue() {
  byId("pending").replaceChildren(...wire.queue().map((t) => el("p", { class: "waiting" }, el("span", {}, t.text || "(tapped)"),
    el("span", { class: "kind" }, wire.up ? " being read" : " waits on this device and is sent once the laptop answers"))));
}

function news(x) {
  const r = x.reply;
  byId("announce").textContent = [r.stop ? "Stop. " + r.stop.text : "", plain(before(r)), r.next?.title || ""].filter(Boolean).join(" ");
  const heading = byId("next-title");
  // After typing on glass the keyboard goes, so that the answer can be seen.
  const typed = document.activeElement === words && !words.value && matchMedia("(pointer: coarse)").matches;
  if ((tapped || typed) && heading) heading.focus({ preventScroll: true });
  tapped = false;
  bring(r.stop);
}

// bring scrolls to the last exchange, and further until the next step is in
// sight: all of it if it is short, its head and most of the screen if not. A
// stop-now answer is never scrolled past.
function bring(stop) {
  const from = byId("turns").lastElementChild, step = byId("next"), bar = byId("say"), band = byId("stop").firstElementChild;
  if (!from) return;
  const at = (e) => e.getBoundingClientRect();
  const above = band && getComputedStyle(byId("stop")).position === "sticky" ? band.offsetHeight + 12 : 8;
  const height = innerHeight - above - (getComputedStyle(bar).position === "sticky" ? bar.offsetHeight : 0);
  let by = at(from).top - above;
  if (!step.hidden && (wide.matches || !stop)) by = Math.max(by, Math.min(at(step).bottom + 8 - above - height, at(step).top - above - height * 0.3));
  scrollBy({ top: by, behavior: matchMedia("(prefers-reduced-motion: reduce)").matches ? "auto" : "smooth" });
}

wire.addEventListener("begun", (e) => {
  history.replaceState(null, "", "/cases/" + encodeURIComponent(e.detail));
  store.set("case", e.detail);
});
wire.addEventListener("case", (e) => {
  const fresh = e.detail.turns.length !== turns.length || !opening;
  opening = e.detail.opening;
  const more = opening && turns.length > 0 && e.detail.turns.length > turns.length;
  turns = e.detail.turns;
  closedAt = 0;
  line.textContent = "";
  line.className = "line";
  store.set("case", wire.id);
  store.set("kept", e.detail);
  if (fresh) draw(); else queue();
  if (more) news(turns[turns.length - 1]);
});
wire.addEventListener("exchange", (e) => {
  if (e.detail.number <= turns.length) return;
  turns.push(e.detail);
  store.set("kept", { id: wire.id, opening, turns });
  draw();
  news(e.detail);
});
wire.addEventListener("queue", queue);
wire.addEventListener("refused", (e) => {
  line.textContent = `${e.detail.error}. ${e.detail.mend || ""}`;
  line.className = "line bad";
});
wire.addEventListener("down", () => {
  closedAt ||= Date.now();
  line.textContent = "The laptop does not answer. What you say is kept here and sent when it is back.";
  line.className = "line down";
  queue();
});

// What was seen last can be read while the laptop sleeps.
const kept = store.get("kept");
if (wire.id && kept?.id === wire.id) {
  turns = kept.turns;
  opening = kept.opening;
  draw();
  opening = null;
} else queue();

byId("say").addEventListener("submit", (e) => {
  e.preventDefault();
  const text = words.value.trim();
  if (!text) { words.focus(); return; }
  words.value = "";
  words.placeholder = "Your words";
  grow();
  show("talk");
  byId("first").hidden = true;
  say({ text });
});
words.addEventListener("keydown", (e) => {
  if (e.key === "Enter" && !e.shiftKey && !e.isComposing) {
    e.preventDefault();
    byId("say").requestSubmit();
  }
});
// Some keyboards send the line break by itself.
let shifted = false;
for (const type of ["keydown", "keyup"]) words.addEventListener(type, (e) => { shifted = e.shiftKey; });
words.addEventListener("beforeinput", (e) => { if (e.inputType === "insertLineBreak" && !shifted) e.preventDefault(); });
function grow() {
  words.style.height = "auto";
  words.style.height = Math.min(words.scrollHeight + 2, innerHeight * 0.3) + "px";
}
words.addEventListener("input", grow);
for (const b of document.querySelectorAll("[data-example]")) b.addEventListener("click", () => {
  byId("first").hidden = true;
  say({ text: b.textContent }, true);
});

// On a narrow screen one side is shown at a time.
function show(side) {
  main.dataset.side = side;
  byId("show-talk").setAttribute("aria-pressed", String(side === "talk"));
  byId("show-stand").setAttribute("aria-pressed", String(side === "stand"));
}
byId("show-talk").addEventListener("click", () => show("talk"));
byId("show-stand").addEventListener("click", () => { show("stand"); byId("stand-title").focus(); });
show("talk");
dictation(byId("dictate"), words);
