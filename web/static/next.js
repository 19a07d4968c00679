import { el, store } from "./dom.js";
import { inline } from "./markdown.js";
import { sign } from "./turn.js";

const kinds = { question: "Question", test: "Next check", look: "Next look", "look-round": "Look-round", condition: "Question", repair: "Repair to try", proof: "Proof of the cure", which: "Which do you mean?", context: "About that reading", complaint: "To begin", "hand-over": "Hand over", none: "Done" };

const minutes = (m) => (m >= 90 ? `${Math.round(m / 6) / 10} hours` : m === 1 ? "1 minute" : `${Math.round(m * 10) / 10} minutes`);
const tenths = (p) => (p >= 0.095 ? `about ${Math.round(p * 10)} in 10` : p >= 0.01 ? `about ${Math.round(p * 100)} in 100` : "hardly at all");

// quick is one answer to tap.
function quick(q, say) {
  return el("button", { type: "button", class: "big", onclick: () => say({ text: q.text, tap: q.tap }, true) }, q.text);
}

function cautions(list) {
  return list?.length ? el("div", { class: "cautions", role: "group", "aria-label": "Cautions before you begin" },
    el("p", { class: "sign" }, "Caution"), el("ul", {}, list.map((c) => el("li", {}, inline(c))))) : null;
}

// steps can be ticked; the ticks stay on this device.
function steps(list, place) {
  if (!list?.length) return null;
  const done = new Set(store.get(place, []));
  return [el("h3", {}, "Steps"), el("ol", { class: "ticksteps" }, list.map((s, i) => {
    const id = "step-" + i;
    const box = el("input", { type: "checkbox", id, checked: done.has(i), onchange: (e) => {
      if (e.target.checked) done.add(i); else done.delete(i);
      store.set(place, [...done]);
    } });
    return el("li", {}, el("label", { for: id }, box, el("span", {}, inline(s))));
  }))];
}

// basis tells on tap where the figures beside it come from.
const basis = (words) => el("details", { class: "basis" }, el("summary", {}, "basis"), el("p", {}, words));

// reading is the field for a number, with what is expected said before it.
function reading(n, say) {
  const r = n.reading;
  const unit = sign(r.unit);
  const field = el("input", { id: "reading", inputmode: "decimal", autocomplete: "off", "aria-describedby": "expect reading-wrong", enterkeyhint: "send" });
  const wrong = el("p", { id: "reading-wrong", class: "wrong", role: "alert" });
  const finding = n.quick.find((q) => q.tap.finding)?.tap.finding || n.id;
  return el("form", { class: "meter", "aria-label": "Reading", onsubmit: (e) => {
    e.preventDefault();
    const typed = field.value.trim();
    const value = Number(typed.replace(",", "."));
    if (!typed || !Number.isFinite(value)) {
      wrong.textContent = `A number, please, such as ${r.possible[1] > 20 ? "12.4" : "0.4"}. Anything else goes into the words below.`;
      field.focus();
      return;
    }
    if (r.possible[0] < r.possible[1] && (value < r.possible[0] || value > r.possible[1])) {
      wrong.textContent = `A meter can show ${r.possible[0]} to ${r.possible[1]} ${unit} here. Is the range or the decimal point right?`;
      field.focus();
      return;
    }
    say({ text: `${typed} ${unit}`, tap: { finding, value, unit: r.unit } }, true);
  } },
    el("div", { class: "expect" }, el("strong", {}, "If nothing is wrong: "), el("span", { id: "expect" }, r.expect || "see the article"), r.basis && basis(r.basis)),
    el("dl", { class: "facts" }, r.meter && el("div", {}, el("dt", {}, "Meter"), el("dd", {}, r.meter)), r.terminals && el("div", {}, el("dt", {}, "Leads"), el("dd", {}, r.terminals))),
    el("label", { for: "reading" }, `Your reading (${r.quantity})`),
    el("div", { class: "readrow" }, field, el("span", { class: "unit", "aria-hidden": "true" }, unit), el("button", { class: "send" }, "Enter", el("span", { class: "hidden" }, ` reading in ${unit}`))), wrong);
}

// ticks is a look-round: several things seen in one go.
function ticks(n, say) {
  const form = el("form", { class: "looks", "aria-label": "What you saw", onsubmit: (e) => {
    e.preventDefault();
    const got = [], said = [];
    n.ticks.forEach((t, i) => {
      const chosen = form.querySelector(`input[name="look-${i}"]:checked`);
      if (!chosen) return;
      const q = t.quick[Number(chosen.value)];
      got.push({ finding: t.finding, outcome: q.tap.outcome });
      said.push(q.text);
    });
    if (!got.length) { wrong.textContent = "Tap at least one thing that you saw."; return; }
    say({ text: said.join("; "), tap: { ticks: got } }, true);
  } });
  const wrong = el("p", { class: "wrong", role: "alert" });
  form.append(...n.ticks.map((t, i) => el("fieldset", {}, el("legend", {}, t.ask),
    t.quick.map((q, k) => el("label", { class: "pick" }, el("input", { type: "radio", name: "look-" + i, value: k }), el("span", {}, q.text))))),
    el("button", { class: "send wide" }, "That is what I saw"), wrong);
  return form;
}

function why(n) {
  const rows = (n.splits || []).filter((s) => s.probability >= 0.005);
  return el("details", { class: "why" }, el("summary", {}, "Why this?"),
    n.why && el("p", {}, inline(n.why[0].toUpperCase() + n.why.slice(1) + (/[.?!]$/.test(n.why) ? "" : "."))),
    n.minutes > 0 && el("p", {}, `It takes ${minutes(n.minutes)}.`),
    n.saves > 0 && el("p", {}, `What it tells saves ${minutes(n.saves)} on average, its own time counted.`),
    rows.length > 0 && el("ul", { class: "splits" }, rows.map((s) => el("li", {}, el("strong", {}, `“${s.outcome}”`), ` (${tenths(s.probability)}) leaves `,
      (s.leaves || []).slice(0, 3).map((l) => `${l.system}, ${tenths(l.probability)}`).join("; ") || "nothing", "."))));
}

async function drawing(box, article) {
  try {
    const r = await fetch("/page/drawings/" + encodeURIComponent(article));
    if (!r.ok) return;
    for (const d of (await r.json()).drawings) {
      // The drawings come from the program's own files and are parsed as SVG, not as HTML.
      const doc = new DOMParser().parseFromString(d.svg, "image/svg+xml");
      if (doc.documentElement.localName !== "svg") continue;
      box.append(el("details", { class: "see" }, el("summary", {}, "Drawing: " + d.title), el("figure", {}, document.importNode(doc.documentElement, true))));
    }
  } catch { /* without a line there is no drawing */ }
}

// next fills the section with the one thing to do next.
export function next(section, n, place, say) {
  section.hidden = !n;
  if (!n) { section.dataset.step = ""; return; }
  // A number half typed outlasts what another person says meanwhile.
  const typed = section.dataset.step === n.kind + n.id ? section.querySelector("#reading")?.value : "";
  section.dataset.step = n.kind + n.id;
  section.className = "next " + n.kind;
  const pictures = el("div", { class: "pictures" });
  const asks = n.quick || [];
  section.replaceChildren(...[
    el("p", { class: "label" }, kinds[n.kind] || "Next", n.minutes > 0 && el("span", { class: "minutes" }, minutes(n.minutes))),
    el("h2", { id: "next-title", tabindex: "-1" }, inline(n.title)),
    n.kind === "complaint" || n.kind === "which" ? el("p", { class: "because" }, n.why) : null,
    n.needs?.length ? el("p", { class: "needs" }, el("strong", {}, "Needs: "), n.needs.join(", ")) : null,
    n.access?.length ? el("p", { class: "needs" }, el("strong", {}, "Opens: "), n.access.join(", ")) : null,
    cautions(n.cautions),
    pictures,
    steps(n.steps, place),
    n.alone ? el("p", { class: "alone" }, el("strong", {}, "Alone: "), n.alone) : null,
    n.reading ? reading(n, say) : null,
    n.ticks?.length ? ticks(n, say) : null,
    asks.length ? el("ul", { class: "quick", "aria-label": n.reading ? "Or answer in words" : "Answers" }, asks.map((q) => el("li", {}, quick(q, say)))) : null,
    el("div", { class: "under" }, n.kind !== "complaint" && why(n), n.article && el("a", { class: "readmore", href: "/articles/" + encodeURIComponent(n.article) }, "Read the article")),
  ].flat(2).filter(Boolean));
  if (typed) section.querySelector("#reading").value = typed;
  if (n.article && n.kind !== "question") drawing(pictures, n.article);
}
