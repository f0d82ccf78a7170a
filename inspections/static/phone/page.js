// The one page of the phone: which screen is shown, what stands in the head, and the bar.

import { addresses, element, link, to } from "./dom.js";
import { showHead } from "./head.js";
import { noteTime } from "./known.js";
import { BAR, SCREENS } from "./screens.js";
import { keepSending } from "./sending.js";
import { loadWords, say } from "./words.js";

const root = document.getElementById("main");
let leave = null;
let shown = 0; // how many screens so far

// Where we are: the hash, or on the address of a tag that the worker answered, the item itself.
function place() {
  const hash = location.hash.replace(/^#\/?/, "");
  if (!hash && !location.pathname.startsWith(addresses.page)) {
    const [, code, secret] = location.pathname.split("/").filter(Boolean);
    return ["item", code ?? "", ...(secret ? [secret] : [])];
  }
  return hash.split("/").map(decodeURIComponent);
}

async function route() {
  const turn = ++shown;
  leave?.();
  leave = null;
  const [name, ...params] = place();
  const fresh = element("div", { class: "screen" });
  const left = await filled(fresh, SCREENS[name], params);
  if (turn !== shown) return left?.(); // the next screen was asked for meanwhile
  leave = left ?? null;
  root.replaceChildren(fresh);
  document.title = `${fresh.querySelector("h1")?.textContent ?? ""} – Tallyhook`;
  showBar(name);
  if (turn > 1) root.focus({ preventScroll: true });
  scrollTo(0, 0);
}

async function filled(fresh, screen, params) {
  if (!screen) return void fresh.append(element("h1", {}, say("no-screen")));
  try {
    return await screen.show(fresh, params);
  } catch (error) {
    console.error(error);
    fresh.replaceChildren(element("h1", { role: "alert" }, say("broken", { why: String(error) })));
  }
}

function showBar(current) {
  const places = BAR.map(([name, word]) =>
    element("li", {}, link(say(word), to(name), current === name ? { "aria-current": "page" } : {})),
  );
  document.getElementById("bar").replaceChildren(...places);
}

// The worker keeps the page for when there is no signal. A browser gives one to https and localhost only.
function keepThePage() {
  if ("serviceWorker" in navigator)
    navigator.serviceWorker.register(addresses.worker, { scope: "/" }).catch(console.error);
}

async function begin() {
  await loadWords();
  addEventListener("hashchange", route);
  await route();
  showHead();
  keepThePage();
  keepSending();
  await noteTime();
  setInterval(noteTime, 60_000);
}

begin();
