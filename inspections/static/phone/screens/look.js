// One item in the hand: what it is, what to look at, and the verdict. Something wrong stands at the top
// and acts at the tap; the pass stands at the bottom, for what was scanned or typed in this round alone.

import { tried } from "../asking.js";
import { mustMeasure, pointsFor } from "../answering.js";
import { dayAt, dayWords } from "../days.js";
import { button, element, link, to } from "../dom.js";
import { newId } from "../queue.js";
import { goodUntilIfPassed, whyItWouldNotCount } from "../rights.js";
import { inHandSince, roundOf, stop, unwrittenLook, writeLook } from "../rounds.js";
import { good } from "../signals.js";
import { leave } from "../standby.js";
import { shown } from "../tags.js";
import { countOf, kindName, standing, tailOf, whereabouts } from "../telling.js";
import { className, say } from "../words.js";

const FINAL = ["withdrawn", "destroyed", "left"];
const MAY_PASS = ["in-service", "received"];
const REST_MS = 400; // a second tap meant for the item before passes nothing (common practice, no source)
const LEADS_TO = { fail: "fail", refer: "refer", observation: "pass-with-conditions" };

export async function show(root, [id, code]) {
  const { round, pack, closed } = await roundOf(id);
  const item = pack?.items[code];
  if (!item || closed) return noLook(root, id);
  const told = {
    round, pack, item, code,
    day: dayAt(Date.now(), pack.site.zone),
    checklist: pack.checklists.by_hash[pack.checklists.of_class[item.class]],
    look: unwrittenLook(round, code) ?? newId(),
    answer: element("p", { class: "answer is-bad", role: "alert" }),
  };
  const now = await standing(code);
  root.append(
    element("p", { class: "count" }, link(countOf(round), to("round", id))),
    element("h1", {}, `${className(item.class)} `, element("span", { class: "code" }, shown(code))),
    stopButton("fail", say("wrong"), told, "is-danger is-stop"),
    facts(told),
    element("p", { class: now.usable ? "" : "caution" }, now.sentence),
    ...cautions(told).map((words) => element("p", { class: "caution" }, words)),
    points(told),
    others(told),
    told.answer,
    passing(told),
  );
  return leave;
}

// Said in place of a look that cannot be; gives what to do when the screen is left.
export function noLook(root, id) {
  root.append(
    element("h1", {}, say("look-none")),
    element("p", {}, say("scan-first")),
    link(say("back-to-round"), to("round", id), { class: "button is-primary" }),
  );
  return leave;
}

// Big enough to compare at arm's length: the size, and the end of the serial.
function facts({ item, pack, round, day }) {
  const until = goodUntilIfPassed(pack, item, round, day);
  const serial = item.serial
    ? element("span", { class: "code" }, item.serial.slice(0, -4), element("b", { class: "tail" }, tailOf(item.serial)))
    : say("no-serial");
  const rows = [
    ["fact-serial", serial],
    ["fact-size", item.size && element("b", { class: "tail" }, item.size)],
    ["fact-product", item.name],
    ["fact-place", whereabouts(item, pack)],
    ["fact-if-passed", until && say("good-until-if-passed", { day: dayWords(until) })],
  ];
  const shownRows = rows.filter(([, told]) => told);
  return element(
    "dl",
    { class: "tag-facts" },
    shownRows.flatMap(([word, told]) => [element("dt", {}, say(word)), element("dd", {}, told)]),
  );
}

// What the inspector should know before judging; nothing of it holds bad news up.
function cautions({ item, pack, round, day, code }) {
  const found = [];
  const why = whyItWouldNotCount(pack, item, round.kind, day);
  const facts = { kind: kindName(round.kind), name: className(item.class) };
  if (why) found.push(say(`not-counting-${why}`, facts));
  if (FINAL.includes(item.condition)) found.push(say("look-final"));
  else if (!MAY_PASS.includes(item.condition)) found.push(say("look-out"));
  if (!why && !goodUntilIfPassed(pack, item, round, day)) found.push(say("look-no-date", facts));
  for (const notice of pack.notices)
    if (notice.items.some(([tag]) => tag === code)) found.push(say("notice", { name: notice.name }));
  return found;
}

// The first tap of what is bad: written at once, and the words come after.
function stopButton(verdict, words, told, look = "is-danger", point = "") {
  const press = async () => {
    const { round, code, answer } = told;
    answer.textContent = (await tried(async () => void (await stop(round, code, verdict)))) ?? "";
    if (!answer.textContent)
      location.href = to("finding", round.id, code, verdict, ...(point ? [point] : []));
  };
  return button(words, press, { class: look });
}

function points(told) {
  const parts = pointsFor(told.checklist, told.round.kind).map((part) =>
    element(
      "details",
      {},
      element("summary", {}, `${part.name} (${part.points.length})`),
      element("ul", { class: "lines" }, part.points.map((point) => pointLine(point, told))),
    ),
  );
  return element("section", { class: "points" }, element("h2", {}, say("points")), ...parts,
    element("p", { class: "quiet" }, say("maker-first")));
}

function pointLine(point, told) {
  const verdict = LEADS_TO[point.if_not];
  const notOk = verdict === "pass-with-conditions"
    ? link(say("not-ok"), to("finding", told.round.id, told.code, verdict, point.slug), { class: "button" })
    : stopButton(verdict, say("not-ok-out"), told, "is-danger", point.slug);
  return element("li", {}, element("b", {}, point.look), element("span", {}, point.accept), notOk);
}

// Every other verdict, behind one tap.
function others(told) {
  const { round, code, item } = told;
  const further = (verdict, words) => link(words, to("finding", round.id, code, verdict), { class: "button" });
  const list = [
    stopButton("refer", say("refer-out"), told),
    stopButton("not-identified", say("serial-differs"), told),
    further("not-presented", say("verdict-not-presented")),
    further("not-accessible", say("verdict-not-accessible")),
  ];
  if (inHandSince(round, code) && !FINAL.includes(item.condition))
    list.unshift(further("pass-with-conditions", say("verdict-pass-with-conditions")),
      further("pass", say("pass-with-figures")));
  return element("details", {}, element("summary", {}, say("other-verdict")),
    element("div", { class: "acts" }, list));
}

// The one large button at the bottom.
function passing(told) {
  const { round, code, item, checklist } = told;
  const judge = (...parts) => element("div", { class: "judge" }, ...parts);
  const big = (words, small) => [words, element("small", {}, small)];
  if (FINAL.includes(item.condition))
    return judge(link(say("next"), to("round", round.id), { class: "button is-primary is-pass" }));
  if (!inHandSince(round, code))
    return judge(element("p", {}, say("scan-first")),
      link(say("back-to-round"), to("round", round.id), { class: "button is-primary" }));
  const first = item.is_kit ? "contents-first" : mustMeasure(checklist, round.kind).length ? "measure-first" : "";
  if (first)
    return judge(element("a", { class: "button is-primary is-pass", href: to("finding", round.id, code, "pass") },
      big(say("pass"), say(first))));
  const pass = element("button", { type: "button", class: "is-primary is-pass", disabled: true }, big(say("pass"), say("every-point")));
  pass.addEventListener("click", () => passed(pass, told));
  setTimeout(() => (pass.disabled = false), REST_MS);
  return judge(pass);
}

async function passed(pass, { round, code, look, answer }) {
  if (pass.disabled) return;
  pass.disabled = true;
  answer.textContent = (await tried(() => allGood(round, code, look))) ?? "";
  pass.disabled = false;
}

async function allGood(round, code, look) {
  await writeLook(round, code, { verdict: "pass", statement: "all-good" }, { look });
  good();
  location.href = to("round", round.id);
}

