// Keeps the last answers for where there is no reception: the network first, else the
// copy, marked with its age. The shell is kept from the start; its addresses change
// with every program, and so does the name of its cache.
"use strict";
const version = "VERSION";
const shell = ["SHELL"];
const shellCache = "dewgap-shell-" + version;
const pageCache = "dewgap-pages";
const mostPages = 60;
const patience = 8000; // ms that a weak connection is waited for where there is a copy

self.addEventListener("install", (e) => {
  e.waitUntil((async () => {
    const cache = await caches.open(shellCache);
    for (const at of shell) {
      const r = await fetch(at, { cache: "no-cache" });
      if (r.ok && !r.redirected) await cache.put(at, r); // where nobody is signed in, /offline is not shown
    }
    await self.skipWaiting();
  })());
});

self.addEventListener("activate", (e) => {
  e.waitUntil((async () => {
    for (const name of await caches.keys()) {
      if (name.startsWith("dewgap-shell-") && name !== shellCache) await caches.delete(name);
    }
    await self.clients.claim();
    await keepOpen().catch(() => {}); // with the next visit, then
  })());
});

self.addEventListener("fetch", (e) => {
  const url = new URL(e.request.url);
  if (url.origin !== location.origin || e.request.method !== "GET") return;
  if (url.pathname.startsWith("/assets/")) {
    e.respondWith(asset(e.request));
  } else if (e.request.mode === "navigate") {
    e.respondWith(page(e));
  }
});

async function asset(request) {
  return (await caches.match(request)) || fetch(request);
}

// key leaves out what only says that something was saved.
function key(request) {
  const url = new URL(request.url);
  url.searchParams.delete("saved");
  url.hash = "";
  return url.href;
}

// keepOpen keeps the pages that were opened before there was a worker: the only ones
// that a person has who loses reception after the first look.
async function keepOpen() {
  const cache = await caches.open(pageCache);
  for (const c of await self.clients.matchAll({ type: "window" })) {
    if (await cache.match(key(c))) continue;
    const r = await fetch(c.url);
    if (isPage(r)) await keep(cache, key(c), r);
  }
}

function isPage(r) {
  return r.ok && !r.redirected && (r.headers.get("Content-Type") || "").startsWith("text/html");
}

async function page(e) {
  const cache = await caches.open(pageCache);
  const copy = await cache.match(key(e.request));
  const fresh = fetch(e.request).then(async (r) => {
    const to = new URL(r.url || e.request.url).pathname;
    if (to === "/sign-in") {
      await caches.delete(pageCache); // whoever is not signed in reads nothing
    } else if (isPage(r)) {
      e.waitUntil(keep(cache, key(e.request), r.clone()));
    }
    return r;
  });
  if (!copy) return fresh.catch(async () => (await caches.match("/offline")) || Response.error());
  const late = new Promise((done) => setTimeout(() => done(null), patience));
  const first = await Promise.race([fresh.catch(() => null), late]);
  if (first && (first.status < 502 || first.status > 504)) return first;
  fresh.catch(() => {});
  return aged(copy);
}

async function keep(cache, at, r) {
  const headers = new Headers(r.headers);
  headers.set("X-Kept", new Date().toISOString());
  await cache.put(at, new Response(await r.blob(), { status: 200, headers }));
  const keys = await cache.keys();
  for (const old of keys.slice(0, Math.max(0, keys.length - mostPages))) await cache.delete(old);
}

// aged marks a copy with when it was kept, for the banner.
async function aged(copy) {
  const text = (await copy.text()).replace('data-served="live"', 'data-served="' + copy.headers.get("X-Kept") + '"');
  return new Response(text, { status: 200, headers: { "Content-Type": "text/html; charset=utf-8", "Content-Security-Policy": copy.headers.get("Content-Security-Policy") || "" } });
}
