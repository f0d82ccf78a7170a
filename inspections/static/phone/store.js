// What the phone keeps, in IndexedDB. Nothing counts as kept before its transaction is complete.

const NAME = "tallyhook";
const VERSION = 1;
const STORES = {
  packs: { keyPath: "site" },
  events: { keyPath: "id" },
  photos: { keyPath: "sha256" },
  rounds: { keyPath: "id" },
  kept: { keyPath: "name" },
};

let opened = null;

function open() {
  opened ??= new Promise((resolve, reject) => {
    const asked = indexedDB.open(NAME, VERSION);
    asked.onupgradeneeded = () => {
      for (const [name, options] of Object.entries(STORES))
        asked.result.createObjectStore(name, options);
    };
    asked.onsuccess = () => {
      asked.result.onversionchange = () => asked.result.close();
      asked.result.onclose = () => (opened = null);
      resolve(asked.result);
    };
    asked.onerror = () => reject(asked.error);
  }).catch((error) => {
    opened = null; // ask anew the next time
    throw error;
  });
  return opened;
}

const answerOf = (request) =>
  new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });

// All that `change` does to these stores, or nothing of it. Resolves once it is on the disk.
async function together(names, change) {
  const base = await open();
  await new Promise((resolve, reject) => {
    const transaction = base.transaction(names, "readwrite", { durability: "strict" });
    transaction.oncomplete = resolve;
    transaction.onabort = () => reject(transaction.error ?? new Error("abort"));
    transaction.onerror = () => reject(transaction.error);
    change(Object.fromEntries(names.map((name) => [name, transaction.objectStore(name)])));
  });
  tellChange(names);
}

export async function get(store, key) {
  const base = await open();
  return answerOf(base.transaction(store).objectStore(store).get(key));
}

export async function all(store) {
  const base = await open();
  return answerOf(base.transaction(store).objectStore(store).getAll());
}

export const put = (store, ...values) =>
  together([store], (stores) => values.forEach((value) => stores[store].put(value)));

export const remove = (store, ...keys) =>
  together([store], (stores) => keys.forEach((key) => stores[store].delete(key)));

// An event with its photographs and the round it belongs to: all of it, or nothing.
export function keep({ event, photos = [], round = null }) {
  return together(["events", "photos", "rounds"], (stores) => {
    stores.events.add(event);
    photos.forEach((photo) => stores.photos.put(photo));
    if (round) stores.rounds.put(round);
  });
}

// One small fact by its name, such as who is signed in; undefined where it was never kept.
export const fact = async (name) => (await get("kept", name))?.value;
export const keepFact = (name, value) => put("kept", { name, value });

// Change rows where they stand, so that what another tab wrote meanwhile is not lost.
// `changes` are [key, change(row)].
export function amend(store, changes) {
  return together([store], (stores) => {
    for (const [key, change] of changes) {
      const asked = stores[store].get(key);
      asked.onsuccess = () => asked.result && stores[store].put(change(asked.result));
    }
  });
}

// Screens listen for this, with the names of the stores in its detail; other tabs hear of it too.
const channel = "BroadcastChannel" in globalThis ? new BroadcastChannel(NAME) : null;
const heard = (names) => dispatchEvent(new CustomEvent("tallyhook:changed", { detail: names }));
channel?.addEventListener("message", ({ data }) => heard(data));

function tellChange(names) {
  heard(names);
  channel?.postMessage(names);
}
