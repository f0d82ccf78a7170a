// The signature under a round: the whole list, the counts, one statement. It works without signal.

import { field, form, tick, words } from "../asking.js";
import { element, link, to } from "../dom.js";
import { EXPECTED, pace, whyNotSigned } from "../lines.js";
import { roundOf, sign } from "../rounds.js";
import { countOf, lineName, lineShown, paceWords, roundName } from "../telling.js";
import { say } from "../words.js";

export async function show(root, [id]) {
  const { round, pack, closed } = await roundOf(id);
  if (!round) return void root.append(element("h1", {}, say("round-unknown")));
  const told = round.lines.filter(({ state }) => state !== EXPECTED).sort((a, b) => (a.at ?? 0) - (b.at ?? 0));
  const expected = round.lines.filter(({ state }) => state === EXPECTED);
  const unwritten = told.filter((line) => line.unwritten);
  const speed = pace(round.lines);
  root.append(
    element("p", { class: "count" }, link(say("back-to-round"), to("round", id))),
    element("h1", {}, say("sign-title")),
    element("p", {}, roundName(round, pack)),
    element("p", { class: "count", role: "status" }, countOf(round)),
    ...unwritten.map((line) => finish(line, round, pack)),
    element("h2", {}, say("sign-looks", {}, told.length)),
    element("ul", { class: "lines" }, told.map((line) => lineShown(line, pack))),
    ...(expected.length ? [missed(expected, pack)] : []),
    ...(speed ? [element("p", { class: "quiet" }, paceWords(speed))] : []),
    closed ? element("p", { class: "caution" }, say(closed)) : signing({ round, pack, told, unwritten }),
  );
}

const finish = (line, round, pack) =>
  element("p", { class: "caution" }, say("sign-finish", { item: lineName(line, pack) }), " ",
    link(say("write-down"), to("finding", round.id, line.code, line.verdict), { class: "button" }));

const missed = (lines, pack) =>
  element("details", {}, element("summary", {}, say("sign-missed", {}, lines.length)),
    element("ul", { class: "lines" }, lines.map((line) => lineShown(line, pack))));

function signing({ round, pack, told, unwritten }) {
  const stated = tick(say("sign-statement"));
  const note = words(400, 2);
  const save = async () => {
    const why = whyNotSigned({
      isOpen: !round.signed_at, own: Boolean(pack) && pack.user.person === round.person,
      told: told.length, unwritten: unwritten.length, stated: stated.input.checked,
    });
    if (why) return say(`not-signed-${why}`, { items: unwritten.map((line) => lineName(line, pack)).join(", ") });
    await sign(round, note.value.trim());
    location.href = to("round", round.id);
  };
  const name = pack?.user.name ?? "";
  return form([stated.label, field(say("note"), note), element("p", {}, say("sign-effect"))], say("sign-as", { name }), save);
}
