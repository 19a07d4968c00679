// Keeps the program's own files and the articles that were read, so that they
// open while the laptop sleeps. Nothing that was said is kept here.
const files = "files-VERSION";
const read = "read";
const list = ["/asleep", ..."FILES".split(" ")];

self.addEventListener("install", (e) => {
  e.waitUntil(caches.open(files).then((c) => c.addAll(list)).then(() => self.skipWaiting()));
});

self.addEventListener("activate", (e) => {
  e.waitUntil((async () => {
    for (const name of await caches.keys()) if (name.startsWith("files-") && name !== files) await caches.delete(name);
    await self.clients.claim();
  })());
});

self.addEventListener("fetch", (e) => {
  const url = new URL(e.request.url);
  if (e.request.method !== "GET" || url.origin !== location.origin) return;
  if (url.pathname.startsWith("/static/")) {
    e.respondWith(caches.match(e.request).then((r) => r || keep(e.request, files)));
  } else if (url.pathname.startsWith("/articles/") || url.pathname === "/articles" && !url.search || url.pathname === "/" || url.pathname.startsWith("/cases/") || url.pathname.startsWith("/page/")) {
    e.respondWith(fresh(e.request));
  } else if (e.request.mode === "navigate") {
    e.respondWith(fetch(e.request).catch(() => gone()));
  }
});

async function keep(request, name) {
  const r = await fetch(request);
  if (r.ok) await (await caches.open(name)).put(request, r.clone());
  return r;
}

// The laptop's answer if it comes in time, else what was kept.
async function fresh(request) {
  const kept = await caches.match(request, { ignoreVary: true });
  const stop = new AbortController();
  const timer = kept && setTimeout(() => stop.abort(), 3000);
  try {
    const r = await fetch(request, { signal: stop.signal });
    // A page reached by a redirect is the pairing page, not what was asked for.
    if (r.ok && !r.redirected) await (await caches.open(read)).put(request, r.clone());
    return r;
  } catch (err) {
    if (kept) return kept;
    if (request.mode === "navigate") return new URL(request.url).pathname.startsWith("/cases/") ? (await caches.match("/")) || gone() : gone();
    throw err;
  } finally {
    clearTimeout(timer);
  }
}

// A page that is not on the device: what is, and a way to try again.
async function gone() {
  const page = await caches.match("/asleep");
  return page ? new Response(await page.text(), { status: 503, headers: page.headers }) : Response.error();
}
