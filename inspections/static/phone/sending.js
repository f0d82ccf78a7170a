// Sending the queue: in lots, by one tab, again and again until the register has answered for each.

import { greet, NoAnswer, post, SaysNo } from "./contact.js";
import { isoMoment } from "./days.js";
import { addresses } from "./dom.js";
import * as packs from "./packs.js";
import { answered, deviceName, rows, tidy, toSend } from "./queue.js";
import * as store from "./store.js";

const MOST_EVENTS = 200;
const MOST_BYTES = 900_000; // the register takes 1 MB with all that is around the events
const EVERY = 60_000;
const DAMAGED = ["photo-differs", "photo-missing"];
const MOST_PATIENCE = 16; // after failures: so many rounds of EVERY at the most

let waitRounds = 0;
let failures = 0;
let running = null; // what is being sent now
let wanted = null; // asked for meanwhile: once more after it

// Send what there is; done when all that was asked for meanwhile was tried too.
export function send({ forced = false } = {}) {
  wanted = { forced: forced || Boolean(wanted?.forced) };
  running ??= untilNothingIsWanted().finally(() => (running = null));
  return running;
}

async function untilNothingIsWanted() {
  while (wanted) {
    const { forced } = wanted;
    wanted = null;
    await byOneTab(forced);
  }
}

// A second tab leaves it to the first.
async function byOneTab(forced) {
  if (!navigator.locks) return attempt(forced);
  return navigator.locks.request("tallyhook-send", { ifAvailable: true }, (lock) =>
    lock ? attempt(forced) : undefined,
  );
}

async function attempt(forced) {
  try {
    await sendAll(forced);
    failures = 0;
    await keepTrouble(null);
  } catch (error) {
    failures += 1;
    await keepTrouble(troubleOf(error));
    if (!(error instanceof NoAnswer || error instanceof SaysNo)) throw error;
  }
}

// What the screens tell: signed out, no answer, or what the register said.
function troubleOf(error) {
  if (error instanceof SaysNo) return { code: error.code, sentence: error.sentence };
  return { code: "no-answer", sentence: "" };
}

async function keepTrouble(trouble) {
  const before = (await store.fact("trouble")) ?? null;
  if (JSON.stringify(before) !== JSON.stringify(trouble)) await store.keepFact("trouble", trouble);
}

async function sendAll(forced) {
  const carried = await packs.list();
  const made = forced ? Infinity : carried.length ? packs.madeAt(carried[0]) : 0;
  const first = toSend(await rows(), made);
  const photos = (await store.all("photos")).filter((one) => one.state === "unsent");
  if (!first.length && !photos.length) return;
  const { token } = await greet();
  for (const lot of lots(first)) await sendLot(lot, token);
  for (const photo of photos) await sendPhoto(photo, token);
  const waiting = (await rows()).filter((row) => row.state === "waits");
  for (const lot of lots(waiting)) await sendLot(lot, token);
  await tidy(carried.length ? packs.madeAt(carried[carried.length - 1]) : Infinity);
}

// Lots of so many events and bytes as the register takes at once, in the order they were written.
export function lots(all) {
  const found = [];
  let [lot, room] = [null, 0];
  for (const row of all) {
    const size = new TextEncoder().encode(JSON.stringify(row.event)).length;
    if (!lot || size > room || lot.length === MOST_EVENTS) {
      [lot, room] = [[], MOST_BYTES];
      found.push(lot);
    }
    lot.push(row);
    room -= size;
  }
  return found;
}

// One answer stands in the place of each event; a reply of another shape answers nothing.
async function sendLot(lot, token) {
  const device = await deviceName();
  const events = lot.map((row) => row.event);
  const told = { device, sent_at: isoMoment(Date.now()), events };
  const headers = { "Content-Type": "application/json" };
  const reply = await post(addresses.events, JSON.stringify(told), headers, token);
  if (reply.answers?.length !== lot.length) throw new NoAnswer("answers");
  const keep = ({ id }, at) => [id, (row) => answered(row, reply.answers[at], reply.answered_at)];
  await store.amend("events", lot.map(keep));
}

// A photograph that the register has is taken off; one that it cannot keep stays and is not sent again.
async function sendPhoto({ sha256, blob }, token) {
  const form = new FormData();
  form.append("photo", blob, `${sha256.slice(0, 16)}.jpg`);
  form.append("sha256", sha256);
  form.append("device", await deviceName());
  form.append("sent_at", isoMoment(Date.now()));
  try {
    await post(addresses.photos, form, {}, token);
    await store.remove("photos", sha256);
  } catch (error) {
    if (DAMAGED.includes(error.code)) return; // on the way: it is sent again
    if (!(error instanceof SaysNo) || ![400, 413].includes(error.status)) throw error;
    const said = { state: "refused", sentence: error.sentence };
    await store.amend("photos", [[sha256, (row) => ({ ...row, ...said })]]);
  }
}

// Try when something is written, when there is signal again, when the page is looked at, each minute;
// after failures less and less often.
export function keepSending() {
  const now = () => {
    waitRounds = 0;
    send().catch(console.error);
  };
  addEventListener("tallyhook:written", now);
  addEventListener("online", now);
  document.addEventListener("visibilitychange", () => document.hidden || lookedAt(now));
  setInterval(eachMinute, EVERY);
  now();
  greetWhoWasHere().catch(console.error);
}

// Somebody else may have signed in on another page meanwhile.
function lookedAt(now) {
  now();
  greetWhoWasHere().catch(console.error);
}

// Whose clock is right, and who is signed in: asked where somebody ever was.
async function greetWhoWasHere() {
  if (navigator.onLine && (await store.fact("user")) !== undefined) // null: signed out here
    await greet().catch((error) => keepTrouble(troubleOf(error)));
}

function eachMinute() {
  waitRounds += 1;
  if (waitRounds < Math.min(2 ** failures, MOST_PATIENCE)) return;
  waitRounds = 0;
  send().catch(console.error);
}
