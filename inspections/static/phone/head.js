// The head of every screen: how old the register on the phone is, and what is still to be sent.

import { timeWords } from "./days.js";
import { element, link, to } from "./dom.js";
import * as store from "./store.js";
import { say } from "./words.js";

const ages = document.getElementById("age");
const counts = document.getElementById("unsent");
const trouble = document.getElementById("trouble");

// Filled now, and again whenever something is kept.
export function showHead() {
  addEventListener("tallyhook:changed", fill);
  fill();
}

async function fill() {
  const [packs, events, clock] = await Promise.all([
    store.all("packs"),
    store.all("events"),
    store.fact("clock"),
  ]);
  ages.textContent = ageWords(packs);
  const unsent = events.filter((one) => one.state === "unsent").length;
  const words = unsent ? say("to-send", {}, unsent) : say("nothing-to-send");
  counts.replaceChildren(link(words, to("queue")));
  counts.classList.toggle("is-waiting", unsent > 0);
  trouble.replaceChildren(...troubles(clock).map((text) => element("p", {}, text)));
}

export function ageWords(packs) {
  if (!packs.length) return say("no-pack-here");
  const oldest = packs.reduce((a, b) => (Date.parse(a.pack.made_at) < Date.parse(b.pack.made_at) ? a : b));
  const { made_at: made, site } = oldest.pack;
  return say("as-of-oldest", { when: timeWords(Date.parse(made), site.zone) }, packs.length);
}

function troubles(clock) {
  const found = [];
  if (!globalThis.isSecureContext) found.push(say("needs-https"));
  const minutes = Math.round((clock?.offset_seconds ?? 0) / 60);
  if (clock?.differs && minutes > 0) found.push(say("clock-behind", {}, minutes));
  if (clock?.differs && minutes < 0) found.push(say("clock-ahead", {}, -minutes));
  return found;
}
