// What a phone says of an item: the register's verdict as packed, or worse. The same rule as
// inspections/rules/phone_verdict.py; tests/vectors/phone_verdicts.json holds both to the same cases.

import { dayAt } from "./days.js";

const MAY_STEP_BACK = 5 * 60_000; // phones set their clock by the network now and then
const OUT_VERDICTS = new Set(["fail", "refer", "not-identified"]);
const PUTS_OUT = new Set(["quarantine", "arrest", "event"]);

// Whether what was written puts its item out of use at once.
export function putsOut(kind, verdict) {
  return PUTS_OUT.has(kind) || (kind === "look" && OUT_VERDICTS.has(verdict));
}

// pack: {made_at, good_until_at, zone} or null. item: {code, spells: [[from, usable, through, code]],
// parts: [tags]} or null. known: {written: [{item, kind, verdict, applied_at}], latest_at}.
// Moments are texts with a zone, `at` too. Gives {usable, through, code, spell}.
export function phoneVerdict(pack, item, known, { code, at }) {
  const now = Date.parse(at);
  const why =
    whyStopped(pack, known.written, code, item?.parts ?? []) ||
    whyNotTrusted(pack, known, now) ||
    (item ? "" : "not-in-pack");
  if (why) return { usable: false, through: null, code: why, spell: null };
  const spell = spellOn(item, dayAt(now, pack.zone));
  if (!spell) return { usable: false, through: null, code: "clock-wrong", spell: null };
  const [, usable, through, reason] = spell;
  return { usable, through: usable ? through : null, code: reason, spell };
}

function whyStopped(pack, written, code, parts) {
  const out = written.filter((one) => putsOut(one.kind, one.verdict) && !isInPack(pack, one));
  const stopped = new Set(out.map((one) => one.item));
  if (stopped.has(code)) return "stopped-here";
  return parts.some((part) => stopped.has(part)) ? "part-stopped-here" : "";
}

// A pack made after the register had taken it says itself what is so.
function isInPack(pack, one) {
  return Boolean(pack && one.applied_at && Date.parse(one.applied_at) < Date.parse(pack.made_at));
}

// A code, or '' where pack and clock can be trusted at the moment (in ms).
export function whyNotTrusted(pack, known, now) {
  if (!pack) return "no-pack";
  const latest = known.latest_at ? Date.parse(known.latest_at) : now;
  if (!(now >= Date.parse(pack.made_at) && now >= latest - MAY_STEP_BACK)) return "clock-wrong";
  return now < Date.parse(pack.good_until_at) ? "" : "pack-too-old";
}

function spellOn(item, day) {
  return item.spells.filter(([from]) => from <= day).pop() ?? null;
}
