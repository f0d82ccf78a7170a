// Keeps the page of the phone for when there is no signal. The line before this one, written by the
// server, names the files and their version. Pages with data are never kept here.

const CACHE = `tallyhook-${SHELL.version}`;
const PATIENCE = 2500; // ms until the phone answers for a tag by itself
const TAG = /^\/t\/[^/]+(\/[^/]+)?\/?$/i;
const OWN = new Set([...SHELL.files, ...SHELL.extras]);
const MATCH = { ignoreVary: true, ignoreSearch: true };

self.addEventListener("install", (event) => event.waitUntil(keepAll()));
self.addEventListener("activate", (event) => event.waitUntil(dropOld()));

async function keepAll() {
  const cache = await caches.open(CACHE);
  const anew = (files) => files.map((file) => new Request(file, { cache: "reload" }));
  await cache.addAll(anew(SHELL.files)); // all of them, or the worker before stays
  await Promise.allSettled(anew(SHELL.extras).map((request) => cache.add(request)));
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
  else if (OWN.has(pathname)) event.respondWith(keptOrAsked(pathname, request));
});

async function keptOrAsked(pathname, request) {
  return (await kept(pathname)) ?? fetch(request);
}

// The register's own page if it comes in time; else the phone's, which reads the address. Where this
// phone put the item out and has not sent it yet, it knows worse than the register, and answers itself.
async function tagPage(request) {
  if (await isStoppedHere(request.url).catch(() => false)) return (await kept(SHELL.page)) ?? fetch(request);
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

const STOPS = ["quarantine", "arrest", "event", "fail", "refer", "not-identified"]; // as in verdict.js
const stops = ({ kind, body }) => STOPS.includes(kind === "look" ? body.verdict : kind);

// By what the event names, and by what it puts out besides. A pass not sent yet is no reason to answer
// for the register, which may know worse by now.
async function isStoppedHere(url) {
  const code = decodeURIComponent(new URL(url).pathname.split("/")[2]).toUpperCase();
  const plain = code.replace(/[^0-9A-Z]/g, "");
  const rows = await writtenHere().catch(() => []);
  const told = rows.filter((row) => row.state === "unsent" && stops(row.event));
  return told.some((row) => JSON.stringify([row.event.body, row.also_out]).includes(plain));
}

// The events of the page's own store; where it has not made one yet, none is made here.
function writtenHere() {
  return new Promise((resolve, reject) => {
    const asked = indexedDB.open("tallyhook", 1);
    asked.onupgradeneeded = () => asked.transaction.abort();
    asked.onerror = () => reject(asked.error);
    asked.onsuccess = () => {
      const found = asked.result.transaction("events").objectStore("events").getAll();
      found.onsuccess = () => resolve(found.result);
      found.onerror = () => reject(found.error);
      asked.result.close(); // once the reading is done
    };
  });
}
