import { byId, store } from "./dom.js";

// What every page does: keep the worker, and lead back to the open job.
if ("serviceWorker" in navigator) navigator.serviceWorker.register("/sw.js").catch(() => { /* plain HTTP: nothing is kept */ });
const open = store.get("case");
if (open && !byId("say")) document.querySelector("[data-talk]")?.setAttribute("href", "/cases/" + encodeURIComponent(open));
