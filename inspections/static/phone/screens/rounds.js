// The rounds on this phone, a new one, and what happens beside rounds.

import { element, link, to } from "../dom.js";
import { allRounds, signedState } from "../rounds.js";
import { clockTime, countOf, roundName } from "../telling.js";
import { dayAt, dayWords } from "../days.js";
import { say } from "../words.js";

const SHOWN_SIGNED = 10;

export async function show(root) {
  const found = await allRounds();
  const states = await signedState();
  const open = found.filter(({ round }) => !round.signed_at);
  const signed = found.filter(({ round }) => round.signed_at).slice(0, SHOWN_SIGNED);
  root.append(
    element("h1", {}, say("rounds")),
    open.length ? list(open, states) : element("p", {}, say("rounds-none")),
    link(say("round-begin"), to("begin"), { class: open.length ? "button" : "button is-primary" }),
    ...(signed.length ? [element("h2", {}, say("rounds-signed")), list(signed, states)] : []),
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

const list = (found, states) =>
  element("ul", { class: "lines" }, found.map((one) => shown(one, states)));

function shown({ round, pack }, states) {
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
      element("span", {}, round.signed_at ? say(states(round)) : countOf(round)),
    ),
  );
}
