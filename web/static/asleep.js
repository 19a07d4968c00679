import "./plain.js";
import { byId, el } from "./dom.js";

// What was read before and is kept on this device, by title.
byId("again").hidden = false;
byId("again").addEventListener("click", () => location.reload());
const found = [];
for (const request of await (await caches.open("read")).keys()) {
  const path = new URL(request.url).pathname;
  if (!path.startsWith("/articles/")) continue;
  const page = new DOMParser().parseFromString(await (await caches.match(request)).text(), "text/html");
  found.push([page.querySelector("h1")?.textContent || path, path]);
}
found.sort();
byId("kept").append(el("h2", {}, "Articles on this device"), found.length ? el("ul", { class: "links" }, found.map(([title, path]) => el("li", {}, el("a", { href: path }, title))))
  : el("p", { class: "empty" }, "None yet. Every article that you open is kept from then on."));
