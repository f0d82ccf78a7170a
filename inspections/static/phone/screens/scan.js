// Scanning: one tag after another. A stop stays until somebody puts it away; the next may be read meanwhile.

import { button, drawing, element, link, to } from "../dom.js";
import { scanPanel } from "../panel.js";
import * as signals from "../signals.js";
import { say } from "../words.js";
import { judged, shortWords } from "../judging.js";

const READS = 3; // that stand below the present one
const TAIL = 4; // characters of a serial, as on the tag

export function show(root) {
  root.append(element("h1", { class: "sr" }, say("scan")));
  signals.wakeSound();
  const board = new Board();
  const panel = scanPanel(root, { onCode: (read) => board.take(read) });
  board.standIn(panel.answer);
  root.append(board.before);
  return () => panel.stop();
}

// What has been read: the present one, the stops nobody put away, and the last few.
class Board {
  present = element("div", { "aria-live": "assertive" }, element("p", {}, say("scan-hint")));
  stops = element("div", { class: "scan-stops" });
  before = element("div", { class: "scan-before" });
  #reads = []; // the newest first
  #turn = Promise.resolve();

  standIn(host) {
    host.append(this.present, this.stops);
  }

  // One after the other, in the order in which they were read.
  take(read) {
    this.#turn = this.#turn.then(() => this.#take(read));
    return this.#turn;
  }

  async #take(read) {
    const found = read.code ? await judged(read) : null;
    if (found?.usable) signals.good();
    else signals.bad();
    if (!found) return void this.present.replaceChildren(problemLine(read));
    const last = this.#reads[0];
    const isAgain = last?.code === found.code;
    this.#reads = [found, ...this.#reads.filter((one) => one.code !== found.code)].slice(0, READS + 1);
    if (last && !isAgain) this.#hold(last);
    this.present.replaceChildren(this.#card(found, isAgain));
    this.#showBefore();
  }
