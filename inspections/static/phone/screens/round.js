// One round: what is scanned or typed next, the count, and the list by what came of each.

import { field, form, text } from "../asking.js";
import { button, element, link, to } from "../dom.js";
import { EXPECTED, NOT_PRESENTED, OUT, SEEN, UNKNOWN, ELSEWHERE, pace } from "../lines.js";
import { serialKey } from "../packs.js";
import { lastLook, packsOnPhone, roundOf, takeInHand, unwrittenLook } from "../rounds.js";
import { bad, good } from "../signals.js";
import { leave, roundPanel } from "../standby.js";
import { shown } from "../tags.js";
import { clockTime, countOf, lineName, lineShown, paceWords, roundName, whatCame } from "../telling.js";
import { say } from "../words.js";

const STATES = [EXPECTED, OUT, SEEN, NOT_PRESENTED, UNKNOWN, ELSEWHERE];

export async function show(root, [id]) {
  const { round, pack, closed } = await roundOf(id);
  if (!round) return void root.append(element("h1", {}, say("round-unknown")));
  root.append(
    element("h1", {}, roundName(round, pack)),
    element("p", { class: "count", role: "status" }, countOf(round)),
  );
  if (closed) root.append(element("p", {}, say(closed)));
  else goOn(root, { round, pack });
  root.append(
    ...STATES.map((state) => ofState(state, { round, pack, closed })).filter(Boolean),
    pacing(round),
  );
  if (!closed) root.append(link(say("sign"), to("sign", id), { class: "button" }));
  return leave;
}

// The last result, the scanner, and the ways round a tag that cannot be read.
function goOn(root, told) {
  const last = element("p", { class: "last" });
  const touched = told.round.lines.filter((line) => line.at).sort((a, b) => a.at - b.at).at(-1);
  if (touched) last.textContent = lastWords(touched, told.pack);
  const answer = element("div", { class: "form", role: "alert" });
  root.append(last, answer);
  roundPanel(root, (read) => onCode(read, { ...told, answer }));
  root.append(noTag(told, answer));
}

const lastWords = (line, pack) => `${lineName(line, pack)}: ${whatCame(line)}`;

async function onCode({ code, problem, text: typed }, told) {
  const { pack } = told;
  if (!code) return refuse(told, say(problem, { text: typed }));
  const present = pack.old_tags[code] ?? code;
  const item = pack.items[present];
  if (item && !item.site) return atHand(present, told);
  const there = item?.site ?? (await siteOf(code));
  if (there) return elsewhere(present, there, told);
  bad();
  location.href = to("stray", told.round.id, shown(code));
}

function refuse({ answer }, words, ...more) {
  bad();
  answer.replaceChildren(element("p", { class: "answer is-bad" }, words), ...more);
}

// The site on this phone that has the tag, by name; '' where none has.
async function siteOf(code) {
  const packs = await packsOnPhone();
  return packs.find((one) => one.items[one.old_tags[code] ?? code])?.site.name ?? "";
}

function atHand(code, told) {
  const { round, pack } = told;
  const begun = unwrittenLook(round, code);
  if (begun) {
    const { verdict } = round.lines.find((line) => line.look === begun);
    return void (location.href = to("finding", round.id, code, verdict));
  }
  const go = () => {
    takeInHand(round, code);
    location.href = to("look", round.id, code);
  };
  const last = lastLook(round, code);
  if (last?.state !== SEEN && last?.state !== OUT) {
    good();
    return go();
  }
  const when = { at: clockTime(last.at, pack.site.zone), what: whatCame(last) };
  refuse(told, say("done-already", { item: shown(code), ...when }), button(say("look-again"), go));
}

function elsewhere(code, there, told) {
  const facts = { code: shown(code), there, here: told.pack.site.name };
  refuse(
    told,
    say("round-elsewhere", facts),
    link(say("stray-note-elsewhere"), to("stray", told.round.id, shown(code), code), { class: "button" }),
    link(say("stop-elsewhere"), to("item", code), { class: "button is-danger" }),
  );
}

// No tag, or one that no eye can read: by the serial, or as a piece on no record.
function noTag(told, answer) {
  const serial = text(60);
  const find = () => {
    const key = serialKey(serial.value);
    const { items } = told.pack;
    const found = Object.keys(items).filter((code) => key && serialKey(items[code].serial ?? "") === key);
    if (found.length !== 1) return say(found.length ? "serial-of-several" : "serial-of-none", {
      text: serial.value, codes: found.map(shown).join(", "),
    });
    if (items[found[0]].site) return elsewhere(found[0], items[found[0]].site, { ...told, answer });
    atHand(found[0], { ...told, answer });
  };
  const by = form([field(say("by-serial"), serial, say("by-serial-help"))], say("by-serial-go"), find, { primary: false });
  const none = link(say("stray"), to("stray", told.round.id), { class: "button" });
  return element("details", {}, element("summary", {}, say("no-tag")), by, none);
}

function ofState(state, { round, pack, closed }) {
  const lines = round.lines.filter((line) => line.state === state);
  if (!lines.length) return null;
  const rows = lines.map((line) => lineShown(line, pack, closed ? null : acts(line, round)));
  return element(
    "details",
    {},
    element("summary", {}, say("state-count", { state: say(`state-${state}`), n: lines.length })),
    element("ul", { class: "lines" }, rows),
  );
}

// What can be said of an item that is not in the hand: that it is not there, or bad news.
function acts(line, round) {
  if (!line.code || line.state === ELSEWHERE) return null;
  const where = line.unwritten
    ? to("finding", round.id, line.code, line.verdict)
    : to("look", round.id, line.code);
  return link(say(line.unwritten ? "write-down" : "open-line"), where, { class: "button" });
}

function pacing(round) {
  const found = pace(round.lines);
  return element("p", { class: "quiet" }, found ? paceWords(found) : "");
}
