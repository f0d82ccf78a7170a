// Keeps the page of the phone for when there is no signal. The line before this one, written by the
// server, names the files and their version. Pages with data are never kept here.

const CACHE = `tallyhook-${SHELL.version}`;
const PATIENCE = 2500; // ms until the phone answers for a tag by itself
const TAG = /^\/t\/[^/]+(\/[^/]+)?\/?$/i;
const MATCH = { ignoreVary: true, ignoreSearch: true };

self.addEventListener("install", (event) => event.waitUntil(keepAll()));
self.addEventListener("activate", (event) => event.waitUntil(dropOld()));

async function keepAll() {
  const cache = await caches.open(CACHE);
  await cache.addAll(SHELL.files.map((file) => new Request(file, { cache: "reload" })));
  await self.skipWaiting();
}

async function dropOld() {
  const names = await caches.keys();
  const old = names.filter((name) => name.startsWith("tallyhook-") && name !== CACHE);
  await Promise.all(old.map((name) => caches.delete(name)));
  await self.clients.claim();
}

const kept = async (file) => (await caches.open(CACHE)).match(file, MATCH);

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const { origin, pathname } = new URL(request.url);
  if (request.method !== "GET" || origin !== location.origin) return;
  if (request.mode === "navigate" && TAG.test(pathname)) event.respondWith(tagPage(request));
  else if (SHELL.files.includes(pathname)) event.respondWith(keptOrAsked(pathname, request));
});

async function keptOrAsked(pathname, request) {
  return (await kept(pathname)) ?? fetch(request);
}

// The register's own page if it comes in time; else the phone's, which reads the address.
async function tagPage(request) {
  const asked = fetch(request).then((reply) => {
    if (reply.status >= 500) throw new Error(String(reply.status));
    return reply;
  });
  const late = new Promise((_, reject) => setTimeout(reject, PATIENCE));
  try {
    return await Promise.race([asked, late]);
  } catch {
    return (await kept(SHELL.page)) ?? asked;
  }
}
