// Packs: what the register knows of a site, loaded where there is signal, to work where there is none.

import { ask, NoAnswer } from "./contact.js";
import { addresses } from "./dom.js";
import * as store from "./store.js";

const FORMAT = 2; // as in inspections/packs/making.py

let kept = null;
addEventListener("tallyhook:changed", ({ detail }) => detail.includes("packs") && (kept = null));

// The packs on this phone, the newest first: [{site, etag, pack}]. One of another format says nothing
// that these scripts can read for sure, so it is as if it were not here.
export async function list() {
  kept ??= store.all("packs").then(readable);
  return kept;
}

const readable = (rows) =>
  rows.filter(({ pack }) => pack.format === FORMAT).sort((a, b) => madeAt(b) - madeAt(a));

export const madeAt = (row) => Date.parse(row.pack.made_at);

// Load a site: {outcome: "loaded" | "unchanged" | "load-refused" | "load-failed" | "load-other-format" |
// "not-kept-pack"}.
export async function take(site) {
  const old = await store.get("packs", site);
  const headers = old?.etag && !(await saysMoreThan(old)) ? { "If-None-Match": old.etag } : {};
  try {
    const reply = await ask(addresses.pack.replace("SITE", site), { headers });
    if (reply.status === 304) return { outcome: "unchanged", pack: old.pack };
    if (!reply.ok) return { outcome: "load-refused", status: reply.status };
    return await keepPack(site, reply);
  } catch (error) {
    if (error instanceof NoAnswer) return { outcome: "load-failed" };
    throw error;
  }
}

async function keepPack(site, reply) {
  const pack = await reply.json().catch(() => null);
  if (!pack?.made_at) return { outcome: "load-failed" };
  if (pack.format !== FORMAT) return { outcome: "load-other-format" };
  try {
    await store.put("packs", { site, etag: reply.headers.get("etag"), pack });
  } catch (error) {
    return { outcome: "not-kept-pack", why: error.name };
  }
  navigator.storage?.persist?.();
  return { outcome: "loaded", pack };
}

// Whether the register has taken something since that is not in this pack: then it is asked for whole.
async function saysMoreThan(row) {
  const rows = await store.all("events");
  return rows.some(({ applied_at: at }) => at && Date.parse(at) >= madeAt(row));
}

export const drop = (site) => store.remove("packs", site);

// {pack, code, item} by a tag, also one that was replaced since; item null where no pack has it.
export async function find(code) {
  const rows = await list();
  for (const { pack } of rows) {
    const now = pack.old_tags[code] ?? code;
    if (pack.items[now]) return { pack, code: now, item: pack.items[now] };
  }
  return { pack: rows[0]?.pack ?? null, code, item: null };
}

// The kit of this name in a pack, as find gives it.
export function kitNamed(pack, name) {
  const [code, item] = Object.entries(pack.items).find(([, one]) => one.is_kit === name) ?? [];
  return item ? { pack, code, item } : null;
}

// A serial as it is compared: no blanks, dashes and slashes, capitals, and O read as 0.
export const serialKey = (text) =>
  text
    .normalize("NFKC")
    .toUpperCase()
    .replace(/[\s\-‐‑‒–—―−/\\⁄∕_]/g, "")
    .replaceAll("O", "0");

// Items by what people say of them: [{pack, code, item}], those with the very serial or code first.
export async function search(text) {
  const plain = text.trim().toLowerCase();
  const key = serialKey(text);
  const found = new Map();
  for (const { pack } of await list())
    for (const [code, item] of Object.entries(pack.items))
      if (!found.has(code)) {
        const rank = rankOf({ pack, code, item }, plain, key);
        if (rank) found.set(code, { pack, code, item, rank });
      }
  return [...found.values()].sort((a, b) => a.rank - b.rank || a.code.localeCompare(b.code));
}

function rankOf({ pack, code, item }, plain, key) {
  const serial = serialKey(item.serial ?? "");
  if (key && (serial === key || code === key)) return 1;
  if (key && (serial.includes(key) || code.includes(key))) return 2;
  const zone = pack.arrests?.zones?.[item.zone] ?? "";
  const holder = pack.people?.[item.held_by] ?? "";
  const said = [holder, item.zone, zone, item.kit, item.is_kit, item.place, item.name];
  return said.some((one) => one?.toLowerCase().includes(plain)) ? 3 : 0;
}
