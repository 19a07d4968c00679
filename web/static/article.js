import "./plain.js";
import { byId, el, store } from "./dom.js";
import { pathLine } from "./path.js";

// A table too wide for a phone is stacked there, one of many columns anywhere;
// the roles keep it a table for a screen reader.
const phone = matchMedia("(max-width: 40rem)");
for (const table of document.querySelectorAll(".prose table")) {
  const names = [...table.querySelectorAll("thead th")].map((th) => th.textContent);
  if (names.length < 3) continue;
  const stack = () => table.classList.toggle("stack", phone.matches || names.length > 5);
  stack();
  phone.addEventListener("change", stack);
  table.setAttribute("role", "table");
  for (const part of table.querySelectorAll("thead, tbody")) part.setAttribute("role", "rowgroup");
  for (const row of table.querySelectorAll("tr")) {
    row.setAttribute("role", "row");
    [...row.cells].forEach((cell, i) => {
      cell.setAttribute("role", cell.localName === "th" ? "columnheader" : "cell");
      cell.dataset.label = names[i] || "";
    });
  }
}

// Where this article came up in the job that is open.
const id = store.get("case"), article = byId("main").dataset.article;
const line = byId("path");
if (line) line.replaceChildren(pathLine(JSON.parse(line.dataset.path)));
if (id) {
  try {
    const r = await fetch("/api/cases/" + encodeURIComponent(id));
    if (r.ok) {
      const c = await r.json();
      const at = c.turns.filter((x) => x.reply.cites.includes(article) || x.reply.next?.article === article || x.reply.noted.some((n) => n.finding === article));
      const last = c.turns[c.turns.length - 1]?.reply;
      const suspect = last?.suspects.find((s) => s.id === article), out = last?.ruled_out.find((s) => s.id === article);
      if (line && last?.path?.id === article) line.replaceChildren(pathLine(last.path));
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
