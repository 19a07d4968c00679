import { el } from "./dom.js";

// inline turns **bold**, `answers` and [title](article:ID) into elements.
export function inline(text) {
  const out = [];
  const mark = /\*\*(.+?)\*\*|`([^`]+)`|\[([^\]]+)\]\(article:([A-Za-z0-9._-]+)(#[A-Za-z0-9-]+)?\)/g;
  let at = 0;
  for (const m of text.matchAll(mark)) {
    out.push(text.slice(at, m.index));
    if (m[1] !== undefined) out.push(el("strong", {}, inline(m[1])));
    else if (m[2] !== undefined) out.push(el("span", { class: "choice" }, m[2]));
    else out.push(el("a", { href: "/articles/" + encodeURIComponent(m[4]) + (m[5] || "") }, m[3]));
    at = m.index + m[0].length;
  }
  out.push(text.slice(at));
  return out.filter((x) => x !== "");
}

// blocks turns light Markdown into paragraphs and lists.
export function blocks(text) {
  const out = [];
  for (const para of text.split(/\n{2,}/)) {
    let list = null;
    for (const line of para.split("\n")) {
      const item = /^(?:- |(\d+)\. )(.*)$/.exec(line);
      if (item) {
        const name = item[1] ? "ol" : "ul";
        if (!list || list.localName !== name) out.push(list = el(name, {}));
        list.append(el("li", {}, inline(item[2])));
      } else if (line.trim()) {
        list = null;
        out.push(el("p", line.startsWith("⚠") ? { class: "caution" } : {}, inline(line)));
      }
    }
  }
  return out;
}

// plain is the text without its marks, to be read aloud.
export function plain(text) {
  return text.replace(/\*\*|`/g, "").replace(/\[([^\]]+)\]\(article:[^)]+\)/g, "$1");
}

// before is the part of a reply that comes before its next step, which the
// page shows in a form of its own; the stop-now answer has one too.
export function before(reply) {
  const title = reply.next ? reply.next.title.toLowerCase().replace(/[.?!]+$/, "") : "";
  const out = [];
  for (const para of reply.reply.split(/\n{2,}/)) {
    if (reply.stop && para.startsWith("**Stop.**")) continue;
    const first = para.split("\n")[0].toLowerCase();
    if (title && first.includes("**") && first.includes(title) && !first.startsWith("why ")) break;
    out.push(para);
  }
  return out.join("\n\n");
}
