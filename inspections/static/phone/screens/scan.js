// Scanning: one tag after another. A stop stays until somebody puts it away; the next is read meanwhile.

import { button, drawing, element, to } from "../dom.js";
import { judged } from "../judging.js";
import { scanPanel } from "../panel.js";
import * as signals from "../signals.js";
import { shown } from "../tags.js";
import { say } from "../words.js";

const BEFORE = 3; // reads that stand below the present one

export function show(root) {
  const board = new Board();
  root.append(element("h1", { class: "scan-title" }, say("scan")));
  const panel = scanPanel(root, { onCode: (read) => board.take(read) });
  panel.answer.append(board.present, board.stops);
  root.append(board.before);
  return panel.stop;
}

class Board {
  present = element("div", { "aria-live": "assertive" }, hint());
  stops = element("div", { class: "scan-list" });
  before = element("div", { class: "scan-list" });
  #current = null; // what was read last: a judged tag, or {problem, text}
  #held = []; // stops that were read before it and are not put away
  #reads = []; // judged tags, the newest first, each once
  #turn = Promise.resolve();

  // One after the other, in the order in which they were read.
  take(read) {
    this.#turn = this.#turn.then(() => this.#take(read)).catch((error) => this.#fail(error));
    return this.#turn;
  }

  // What cannot be judged must not stand under the verdict of the tag before it.
  #fail(error) {
    console.error(error);
    if (isStop(this.#current) && !this.#held.includes(this.#current)) this.#held.unshift(this.#current);
    this.#current = null;
    this.present.replaceChildren(problemLine({ problem: "broken", why: String(error) }));
    this.#drawRest();
  }

  async #take(read) {
    const found = read.code ? await judged(read) : read;
    if (found.usable) signals.good();
    else signals.bad();
    const others = (one) => one.code !== found.code;
    const asides = found.code ? asidesOf(found, this.#reads) : [];
    if (isStop(this.#current)) this.#held.unshift(this.#current);
    this.#held = this.#held.filter(others);
    this.#current = found;
    if (found.code) this.#reads = [found, ...this.#reads.filter(others)].slice(0, BEFORE + 1);
    this.present.replaceChildren(found.code ? this.#card(found, asides) : problemLine(found));
    this.#drawRest();
  }

  #card(found, asides) {
    const { usable } = found;
    return element(
      "section",
      { class: `scan-read ${usable ? "is-whole" : "is-struck"}` },
      drawing(usable ? "tag-whole" : "tag-struck"),
      element("h2", {}, bigWords(found)),
      [found.why, ...asides].filter(Boolean).map((line) => element("p", {}, line)),
      whatLink(found),
      usable ? null : button(say("scan-seen"), () => this.#putAway(found)),
    );
  }

  #putAway(found) {
    this.#held = this.#held.filter((one) => one !== found);
    if (this.#current === found) {
      this.#current = null;
      this.present.replaceChildren(hint());
    }
    this.#drawRest();
  }

  #drawRest() {
    const rows = this.#held.map((one) =>
      element(
        "li",
        { class: "scan-held" },
        whatLink({ ...one, what: "" }, element("b", {}, one.words)),
        button(say("scan-seen"), () => this.#putAway(one)),
      ),
    );
    this.stops.replaceChildren(...listOf(say("scan-stops"), rows));
    const shownAbove = [this.#current, ...this.#held];
    const earlier = this.#reads.filter((one) => !shownAbove.includes(one)).slice(0, BEFORE);
    this.before.replaceChildren(...listOf(say("scan-before"), earlier.map(earlierRow)));
  }
}

const hint = () => element("p", { class: "scan-hint" }, say("scan-hint"));
const isStop = (one) => one?.usable === false;

const problemLine = ({ problem, ...facts }) =>
  element("p", { class: "answer is-bad" }, say(problem, facts));

// What else there is to say of a tag that was read: once more, of another site, replaced.
function asidesOf(found, reads) {
  const lines = [];
  if (reads.some((one) => one.code === found.code)) lines.push(say("scan-again"));
  const before = reads.find((one) => one.site);
  if (found.site && before && before.site !== found.site)
    lines.push(say("scan-other-site", { site: found.site }));
  if (found.replaced)
    lines.push(say("tag-replaced", { old: shown(found.replaced), code: shown(found.code) }));
  return lines;
}

const bigWords = ({ lead, words }) => [lead ? element("small", {}, lead, " ") : null, words];

// Which item it is, and the way to all that is known of it.
function whatLink({ code, secret, what, size, tail }, head = null) {
  const serial = tail ? element("span", { class: "scan-serial" }, say("scan-serial-tail", { tail })) : "";
  const told = [what, size, serial].filter(Boolean).flatMap((one, at) => (at ? [", ", one] : [one]));
  const parts = [head, element("span", { class: "code" }, shown(code)), " ", ...told];
  return element("a", { class: "scan-what", href: to("item", code, ...(secret ? [secret] : [])) }, parts);
}

function listOf(title, rows) {
  return rows.length ? [element("h2", {}, title), element("ul", { class: "lines" }, rows)] : [];
}

const earlierRow = (found) =>
  element("li", {}, element("b", { class: "scan-was" }, bigWords(found)), whatLink(found));
