// What the phone knows beside its packs: what it wrote that puts items out, and the latest time it saw.

import { isoMoment } from "./days.js";
import * as store from "./store.js";
import { phoneVerdict } from "./verdict.js";

// {written: [{item, kind, verdict, applied_at}], latest_at} as the verdict asks for it.
export async function known() {
  const [rows, latest] = await Promise.all([store.all("events"), store.fact("latest_at")]);
  return { written: rows.flatMap(writtenOf), latest_at: latest ?? null };
}

// Each item that a written event is about; a look that names a danger puts its item out as a fail does.
export function writtenOf({ event, applied_at: applied, also_out: also = [] }) {
  const { kind, body } = event;
  const danger = (body.defects ?? []).some((one) => one.grade === "A");
  const verdict = kind === "look" && danger ? "fail" : (body.verdict ?? "");
  const items = body.item ? [body.item] : (body.items ?? []);
  const about = kind === "round-begin" ? [] : [...new Set([...items, ...also])];
  return about.map((item) => ({ item, kind, verdict, applied_at: applied ?? null }));
}

// The verdict on what packs.find found, by the phone's clock. What was put out under a tag that was
// replaced since is out under the present one.
export function verdictOf({ pack, code, item }, now, ms = Date.now()) {
  const packed = pack && { ...pack, zone: pack.site.zone };
  const parts = (item?.card ?? []).filter(([, tag, required]) => tag && required);
  const asked = item && { code, spells: item.spells, parts: parts.map(([, tag]) => tag) };
  const present = (tag) => pack?.old_tags[tag] ?? tag;
  const written = now.written.map((one) => ({ ...one, item: present(one.item) }));
  return phoneVerdict(packed, asked, { ...now, written }, { code, at: isoMoment(ms) });
}

// Remember the latest time that the clock has shown: one that goes back cannot be right.
export async function noteTime() {
  const latest = await store.fact("latest_at");
  if (!latest || Date.parse(latest) < Date.now())
    await store.keepFact("latest_at", new Date().toISOString());
}
