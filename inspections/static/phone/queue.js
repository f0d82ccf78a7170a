// The queue: what was written on this phone, kept before anything is said, and sent once.
// A row of the store is {id, event, state, written_at, answer, answered_at, applied_at, also_out}; the
// event in it is never changed, for the register knows it by its very words.

import { isoMoment } from "./days.js";
import { writtenOf } from "./known.js";
import * as store from "./store.js";
import { putsOut } from "./verdict.js";

// What each answer makes of a row; any other answer leaves it as it is.
const BECOMES = { applied: "done", dropped: "dropped", kept: "kept", refused: "refused", waits: "waits" };
const IN_REGISTER = ["done", "dropped"];
const KEPT_DAYS = 14; // rows that are done stay to be read for so long

// Write one event; resolves once it is on the disk with its photographs and its round, and not before.
// A photograph is {sha256, blob}. `id` where the caller needs it beforehand, such as a round's.
// `alsoOut` are tags that it puts out here without naming them: what a fall puts out besides.
export async function write(kind, body, { id = newId(), photos = [], round = null, alsoOut = [] } = {}) {
  const user = await store.fact("user");
  const now = Date.now();
  const event = { id, kind, claimed_at: isoMoment(now), user: user?.id ?? null, body };
  const row = { id, event, state: "unsent", written_at: now, answer: null, answered_at: null };
  const pictures = photos.map((one) => ({ ...one, state: "unsent" }));
  await store.keep({ event: { ...row, applied_at: null, also_out: alsoOut }, photos: pictures, round });
  dispatchEvent(new Event("tallyhook:written"));
  return event;
}

// An id that nobody else makes; pages without https lack the short way.
export function newId() {
  if (crypto.randomUUID) return crypto.randomUUID();
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  bytes[6] = (bytes[6] & 15) | 64;
  bytes[8] = (bytes[8] & 63) | 128;
  const text = [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
  return text.replace(/(.{8})(.{4})(.{4})(.{4})(.{12})/, "$1-$2-$3-$4-$5");
}

// All rows in the order in which they were written.
export async function rows() {
  return (await store.all("events")).sort((a, b) => a.written_at - b.written_at);
}

// How many records are safe nowhere but here, photographs among them.
export async function unsentCount() {
  const [events, photos] = await Promise.all([store.all("events"), store.all("photos")]);
  return [...events, ...photos].filter((one) => one.state === "unsent").length;
}

const stops = (row) => writtenOf(row).some((one) => putsOut(one.kind, one.verdict));

// What goes with the next sending. Bad news that a person has yet to decide is asked about again
// after each new pack: the answer tells whether it was decided. `made` is the newest pack's moment.
export function toSend(all, made) {
  const fresh = all.filter((row) => row.state === "unsent");
  const open = all.filter((row) => ["kept", "refused"].includes(row.state) && stops(row));
  const asked = [...open, ...all.filter((row) => row.state === "waits")];
  return [...fresh, ...asked.filter((row) => made > Date.parse(row.answered_at))];
}

// The row with the answer of the register. "later" and what is unknown leave it to be sent.
export function answered(row, answer, answeredAt) {
  const state = BECOMES[answer.outcome] ?? row.state;
  const applied = IN_REGISTER.includes(state) ? answeredAt : null;
  return { ...row, state, answer, answered_at: answeredAt, applied_at: applied };
}

// Take off what is done, old, and in every pack already. What puts an item out never goes before that.
export async function tidy(oldestPack) {
  const before = Date.now() - KEPT_DAYS * 86_400_000;
  const gone = (await rows()).filter(
    (row) =>
      row.state !== "unsent" &&
      row.state !== "waits" &&
      row.written_at < before &&
      (!stops(row) || (row.applied_at && Date.parse(row.applied_at) < oldestPack)),
  );
  if (gone.length) await store.remove("events", ...gone.map((row) => row.id));
}

// The file of last resort: a line an event, as the page 'Bring in a saved queue' reads it.
export async function savedQueue() {
  const unsent = (await rows()).filter((row) => row.state === "unsent");
  const head = { queue_of: await deviceName(), saved_at: isoMoment(Date.now()) };
  return [head, ...unsent.map((row) => row.event)].map((one) => JSON.stringify(one)).join("\n");
}

// A name for this phone, made once: so that a person can tell two phones apart.
export async function deviceName() {
  const known = await store.fact("device");
  if (known) return known;
  const made = `P-${newId().slice(0, 6).toUpperCase()}`;
  await store.keepFact("device", made);
  return made;
}
