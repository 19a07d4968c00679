import "./plain.js";
import { byId, el, store } from "./dom.js";

// Where this article came up in the job that is open.
const id = store.get("case"), article = byId("main").dataset.article;
if (id) {
  try {
    const r = await fetch("/api/cases/" + encodeURIComponent(id));
    if (r.ok) {
      const c = await r.json();
      const at = c.turns.filter((x) => x.reply.cites.includes(article) || x.reply.next?.article === article || x.reply.noted.some((n) => n.finding === article));
      const last = c.turns[c.turns.length - 1]?.reply;
      const suspect = last?.suspects.find((s) => s.id === article), out = last?.ruled_out.find((s) => s.id === article);
      if (at.length || suspect || out) {
        byId("used").append(el("section", { class: "used", "aria-labelledby": "used-title" }, el("h2", { id: "used-title" }, "Used in this case"),
          suspect && el("p", {}, `A suspect now: ${suspect.plain}.`),
          out && el("p", {}, `Ruled out by ${out.by_title}: ${out.by_outcome}.`),
          at.length > 0 && el("p", {}, "Turns " + at.map((x) => x.number).join(", ") + "."),
          el("p", {}, el("a", { href: "/cases/" + encodeURIComponent(id) }, "Back to the job"))));
      }
    }
  } catch { /* the laptop sleeps: the article alone */ }
}
