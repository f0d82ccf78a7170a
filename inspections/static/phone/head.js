// The head of every screen: how old the register on the phone is, and what is still to be sent.

import { timeWords } from "./days.js";
import { addresses, element, link, to } from "./dom.js";
import { list as packsHere } from "./packs.js";
import { unsentCount } from "./queue.js";
import * as store from "./store.js";
import { say } from "./words.js";

const ages = document.getElementById("age");
const counts = document.getElementById("unsent");
const trouble = document.getElementById("trouble");

let soon = null;

// Filled now, and again soon after something is kept.
export function showHead() {
  addEventListener("tallyhook:changed", () => {
    clearTimeout(soon);
    soon = setTimeout(fill, 50);
  });
  addEventListener("beforeunload", warn);
  addEventListener("click", noteWay);
  fill();
}

async function fill() {
  const [packs, unsent, clock] = await Promise.all([
    packsHere(),
    unsentCount(),
    store.fact("clock"),
  ]);
  ages.textContent = ageWords(packs);
  const words = unsent ? say("to-send", {}, unsent) : say("nothing-to-send");
  counts.replaceChildren(link(words, to("queue")));
  counts.classList.toggle("is-waiting", unsent > 0);
  trouble.replaceChildren(...troubles(clock).map((text) => element("p", {}, text)));
  tellOffice(unsent);
}

// The office pages read this before they sign anybody out.
function tellOffice(unsent) {
  try {
    localStorage.setItem("tallyhook-unsent", String(unsent));
  } catch {
    // a browser that forbids it keeps the queue all the same
  }
}

// Whoever closes the page while something is to be sent is asked by the browser, in its own words.
function warn(event) {
  if (counts.classList.contains("is-waiting") && !staysHere) event.preventDefault();
}

let staysHere = false;

// From the address of a tag to the phone's other screens, and to sign in: that loses nothing.
function noteWay({ target }) {
  const way = target.closest("a")?.pathname;
  staysHere = way !== location.pathname && [addresses.page, addresses.signIn].includes(way);
}

// The way to sign in, and back to a screen.
export function signInLink(screen) {
  const back = encodeURIComponent(to(screen));
  return link(say("sign-in"), `${addresses.signIn}?next=${back}`, { class: "button" });
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
