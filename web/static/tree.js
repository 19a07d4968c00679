import { el } from "./dom.js";
import { names } from "./names.js";

// Tree is the fault tree, system → part → failure, drawn as a branching list:
// a branch is as thick as the share it still holds, and what is ruled out
// shrinks to a struck twig. It reads the same as a picture and as a list.
export class Tree {
  constructor() {
    this.node = el("ul", { class: "tree" });
    this.names = null;
    this.items = new Map();
  }

  async show(reply) {
    const mine = (this.latest = reply);
    this.names = await names();
    if (this.names && mine === this.latest) this.draw(this.grow(reply));
  }

  // grow gathers the shares of systems, parts and failures from the suspects.
  grow(reply) {
    const n = this.names;
    const systems = new Map();
    const at = (map, id, title) => {
      if (!map.has(id)) map.set(id, { id, title, p: 0, out: 0, kids: new Map() });
      return map.get(id);
    };
    const hang = (c, p, out) => {
      const s = at(systems, c.system, n.systems[c.system] || c.system);
      const part = at(s.kids, c.part, n.parts[c.part] || c.part);
      const mode = at(part.kids, c.id, n.modes[c.mode] || c.mode);
      for (const x of [s, part, mode]) { x.p += p; x.out += out; }
    };
    for (const s of reply.suspects) hang(s, s.probability, 0);
    for (const r of reply.ruled_out || []) {
      const c = n.causes[r.id];
      if (c) hang({ ...c, id: r.id }, 0, 1);
    }
    return systems;
  }

  draw(systems) {
    const seen = new Set();
    const level = (map, list, path, depth) => {
      const nodes = [...map.values()].sort((a, b) => b.p - a.p || (a.title < b.title ? -1 : 1));
      const live = nodes.filter((x) => x.p > 0.0005), dead = nodes.filter((x) => x.p <= 0.0005);
      const order = [];
      for (const x of live) {
        const key = path + "/" + x.id;
        seen.add(key);
        let item = this.items.get(key);
        if (!item) {
          const fill = el("span", { class: "fill" });
          item = { fill, share: el("span", { class: "share" }), kids: el("ul", {}), li: null };
          item.li = el("li", { class: "d" + depth }, el("span", { class: "twig" }, el("span", { class: "name" }, x.title), item.share, el("span", { class: "bar", "aria-hidden": "true" }, fill)), depth < 3 && item.kids);
          this.items.set(key, item);
        }
        item.share.textContent = x.p >= 0.01 ? `${Math.round(x.p * 100)} in 100` : "under 1 in 100";
        // The next frame, so that a new branch grows and an old one shrinks.
        requestAnimationFrame(() => { item.fill.style.transform = `scaleX(${Math.max(0.005, Math.min(1, x.p))})`; });
        if (depth < 3) level(x.kids, item.kids, key, depth + 1);
        order.push(item.li);
      }
      const count = dead.reduce((t, x) => t + x.out, 0);
      if (count) {
        const names = dead.map((x) => x.title).filter((t, i, all) => all.indexOf(t) === i);
        order.push(el("li", { class: "gone" }, el("s", {}, names.slice(0, 3).join(", ")), names.length > 3 && ` and ${names.length - 3} more`, el("span", { class: "share" }, ` ${count} ruled out`)));
      }
      list.replaceChildren(...order);
    };
    level(systems, this.node, "", 1);
    for (const key of this.items.keys()) if (!seen.has(key)) this.items.delete(key);
  }
}
