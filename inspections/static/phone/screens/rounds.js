// The rounds on this phone, a new one, and what happens beside rounds.

import { element, link, to } from "../dom.js";
import { allRounds } from "../rounds.js";
import { clockTime, countOf, roundName } from "../telling.js";
import { dayAt, dayWords } from "../days.js";
import { say } from "../words.js";

const SHOWN_CLOSED = 10;

export async function show(root) {
  const found = await allRounds();
  const open = found.filter(({ closed }) => !closed);
  const closed = found.filter(({ closed }) => closed).slice(0, SHOWN_CLOSED);
  root.append(
    element("h1", {}, say("rounds")),
    open.length ? list(open) : element("p", {}, say("rounds-none")),
    link(say("round-begin"), to("begin"), { class: open.length ? "button" : "button is-primary" }),
    ...(closed.length ? [element("h2", {}, say("rounds-closed")), list(closed)] : []),
    element("h2", {}, say("happened-here")),
    element(
      "div",
      { class: "acts" },
      link(say("arrest"), to("arrest"), { class: "button is-danger" }),
      link(say("event"), to("event"), { class: "button" }),
      link(say("notices"), to("notices"), { class: "button" }),
    ),
  );
}

const list = (found) => element("ul", { class: "lines" }, found.map(shown));

function shown({ round, pack, closed }) {
  const began = Date.parse(round.began_at);
  const zone = pack?.site.zone;
  const when = { day: dayWords(dayAt(began, zone)), time: clockTime(began, zone) };
  return element(
    "li",
    {},
    element(
      "a",
      { class: "row", href: to("round", round.id) },
      element("b", {}, roundName(round, pack)),
      element("span", {}, say("round-began", when)),
      element("span", {}, closed ? say(closed) : countOf(round)),
    ),
  );
}
