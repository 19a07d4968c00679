import { key, store } from "./dom.js";

// Wire is the line to the program: one case, live, with turns that wait on
// the device until the program has them. A turn goes out under its key; sent
// twice it is taken once.
export class Wire extends EventTarget {
  constructor(id) {
    super();
    this.id = id || "";
    this.socket = null;
    this.wait = 500;
    this.sent = new Set();
    this.up = false;
    addEventListener("online", () => this.hurry());
    addEventListener("offline", () => this.lost());
    document.addEventListener("visibilitychange", () => { if (!document.hidden) this.hurry(); });
    if (this.id || this.queue().length) this.connect();
  }

  box() { return "queue:" + (this.id || "new"); }
  queue() { return store.get(this.box(), []); }

  put(list) {
    if (list.length) store.set(this.box(), list); else store.drop(this.box());
    this.tell("queue", list);
  }

  tell(type, detail) { this.dispatchEvent(new CustomEvent(type, { detail })); }

  // say keeps a turn and sends it when there is a line.
  say(turn) {
    this.put([...this.queue(), { key: key(), ...turn }]);
    if (this.up) this.flush(); else this.hurry();
  }

  hurry() {
    if (this.up || !this.id && !this.queue().length) return;
    clearTimeout(this.timer);
    this.timer = null;
    if (!this.socket) this.connect();
  }

  async begin() {
    const r = await fetch("/api/cases", { method: "POST" });
    if (!r.ok) throw new Error("no case");
    const made = await r.json();
    const list = this.queue();
    store.drop(this.box());
    this.id = made.id;
    this.put(list);
    this.tell("begun", made.id);
  }

  async connect() {
    if (this.socket || this.busy) return;
    this.busy = true;
    try {
      if (!this.id) await this.begin();
    } catch {
      this.busy = false;
      this.lost();
      return;
    }
    this.busy = false;
    const s = new WebSocket(`${location.protocol === "https:" ? "wss" : "ws"}://${location.host}/ws?case=${encodeURIComponent(this.id)}`);
    this.socket = s;
    s.onmessage = (e) => this.got(JSON.parse(e.data));
    s.onclose = () => { if (this.socket === s) this.lost(); };
  }

  lost() {
    const s = this.socket;
    this.socket = null;
    this.up = false;
    if (s) { s.onclose = null; s.onmessage = null; s.close(); }
    this.sent.clear();
    this.tell("down");
    clearTimeout(this.timer);
    this.timer = setTimeout(() => { this.timer = null; this.connect(); }, this.wait * (0.75 + Math.random() / 2));
    this.wait = Math.min(this.wait * 1.6, 8000);
  }

  got(m) {
    if (m.type === "case") {
      this.up = true;
      this.wait = 500;
      const have = new Set(m.case.turns.map((x) => x.key).filter(Boolean));
      this.put(this.queue().filter((t) => !have.has(t.key)));
      this.tell("case", m.case);
      this.flush();
    } else if (m.type === "exchange") {
      this.put(this.queue().filter((t) => t.key !== m.exchange.key));
      this.sent.delete(m.exchange.key);
      this.tell("exchange", m.exchange);
      this.flush();
    } else if (m.type === "error") {
      this.sent.delete(m.key);
      this.put(this.queue().filter((t) => t.key !== m.key));
      this.tell("refused", m.error);
    }
  }

  // flush sends the turns one after the other, in the order they were said.
  flush() {
    const next = this.queue()[0];
    if (!next || this.sent.size || !this.socket || this.socket.readyState !== WebSocket.OPEN) return;
    this.sent.add(next.key);
    this.socket.send(JSON.stringify(next));
  }
}
