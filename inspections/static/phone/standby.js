// The camera of a round: it stands by while an item is judged, so that the next tag is read at once.

import { element } from "./dom.js";
import { scanPanel } from "./panel.js";

const STANDS_BY = 6 * 60_000; // ms, longer than most items take; then the battery matters more
const MEANWHILE = ["look", "finding"]; // screens in which it stands by

let kept = null; // {place, panel, onCode, timer}

// The panel at the end of the host, with its camera running; leave() is for when the screen is left.
export function roundPanel(host, onCode) {
  const stoodBy = kept !== null;
  kept ??= opened();
  clearTimeout(kept.timer);
  kept.onCode = onCode;
  host.append(kept.place);
  if (stoodBy) kept.panel.resume();
}

function opened() {
  const place = element("div", { class: "form" });
  const made = { place, timer: null };
  made.panel = scanPanel(place, { onCode: (read) => made.onCode(read) });
  return made;
}

// A screen of a round was left: the camera stands by where an item is judged, and else it ends.
export function leave() {
  if (!kept) return;
  const [, next] = location.hash.split("/");
  kept.panel.pause();
  clearTimeout(kept.timer);
  if (next === "round") return;
  if (MEANWHILE.includes(next)) kept.timer = setTimeout(end, STANDS_BY);
  else end();
}

function end() {
  kept?.panel.stop();
  kept = null;
}
