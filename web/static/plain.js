import { byId, store } from "./dom.js";

// What every page does: keep the worker, and lead back to the open job.
// The worker fetches what it keeps once the page itself is there.
const keep = () => navigator.serviceWorker?.register("/sw.js").catch(() => { /* plain HTTP: nothing is kept */ });
if (document.readyState === "complete") keep(); else addEventListener("load", keep);
const open = store.get("case");
if (open && !byId("say")) document.querySelector("[data-talk]")?.setAttribute("href", "/cases/" + encodeURIComponent(open));
