// What belongs to a verdict that is no plain tap: what is wrong, what was measured, what a kit holds.

import { amount, contradiction, misfit, mustMeasure } from "../answering.js";
import { day, field, form, text, tick, words } from "../asking.js";
import { contentsFields } from "../contents.js";
import { dayAt } from "../days.js";
import { defectFields } from "../defects.js";
import { element, link, to } from "../dom.js";
import { contradicts, SEEN } from "../lines.js";
import { newId } from "../queue.js";
import { inHandSince, roundOf, unwrittenLook, writeLook } from "../rounds.js";
import { good } from "../signals.js";
import { leave } from "../standby.js";
import { shown } from "../tags.js";
import { countOf, lineName } from "../telling.js";
import { say, verdictName } from "../words.js";
import { noLook } from "./look.js";

const OUT = ["fail", "refer", "not-identified"];
const PASSES = ["pass", "pass-with-conditions"];

export async function show(root, [id, code, verdict, point = ""]) {
  const { round, pack, closed } = await roundOf(id);
  const item = pack?.items[code];
  const begun = round && unwrittenLook(round, code);
  const isPass = PASSES.includes(verdict);
  const may = item && !closed && (isPass ? inHandSince(round, code) : !OUT.includes(verdict) || begun);
  if (!may) return noLook(root, id);
  const told = {
    id, round, pack, item, code, verdict, point, isPass,
    today: dayAt(Date.now(), pack.site.zone),
    checklist: pack.checklists.by_hash[pack.checklists.of_class[item.class]],
    look: begun ?? newId(),
  };
  root.append(
    element("p", { class: "count" }, link(countOf(round), to("round", id))),
    element("h1", {}, say("finding-of", { verdict: verdictName(verdict), item: lineName({ code }, pack) })),
  );
  if (begun && OUT.includes(verdict)) root.append(element("p", { class: "caution", role: "status" }, say("stopped")));
  const asked = fieldsFor(told);
  if (asked.contents) root.append(asked.contents.scan);
  root.append(form(asked.fields, say(isPass ? "save-pass" : "save"), () => save(told, asked)));
  return () => {
    asked.contents?.stop();
    leave();
  };
}

// The fields that this verdict asks for; the order is that of the hand.
function fieldsFor(told) {
  const { verdict, isPass, item, pack, checklist, round, today, point } = told;
  const isSeen = isPass || OUT.includes(verdict);
  const contents = isPass && item.is_kit ? contentsFields({ item, pack, kind: round.kind }) : null;
  const figures = isPass ? measures(mustMeasure(checklist, round.kind)) : measures([]);
  const wanted = ["fail", "refer"].includes(verdict);
  const defects = isSeen && verdict !== "pass"
    ? defectFields({ checklist, kind: round.kind, today, passing: isPass, wanted, point }) : null;
  const note = words(400);
  const until = day(today);
  const only = text(60);
  const stated = tick(say(verdict === "pass" ? "state-all-good" : "state-rest-good"));
  const fields = [
    ...(contents ? [contents.fields] : []), ...figures.fields, ...(defects ? [defects.fields] : []),
    ...(verdict === "pass-with-conditions"
      ? [field(say("good-until-day"), until, say("good-until-help")), field(say("only-for"), only, say("only-for-help"))] : []),
    field(say(verdict === "not-identified" ? "label-shows" : "note"), note),
    ...(isPass ? [stated.label] : []),
  ];
  return { fields, contents, figures, defects, note, until, only, stated };
}

// What must be measured: a figure each, or that it does not apply.
function measures(points) {
  const rows = points.map((point) => ({ point, input: text(12, { inputmode: "decimal" }), none: tick(say("not-applicable")) }));
  const limits = ({ least, most, under, unit = "" }) =>
    [["limit-least", least], ["limit-most", most], ["limit-under", under]]
      .filter(([, n]) => n !== undefined).map(([word, n]) => say(word, { n, unit })).join(", ");
  const typed = () => rows.filter(({ input, none }) => input.value.trim() && !none.input.checked);
  return {
    fields: rows.flatMap(({ point, input, none }) => [field(`${point.look} (${point.unit ?? ""})`, input, limits(point)), none.label]),
    measured: () => Object.fromEntries(typed().map(({ point, input }) => [point.slug, amount(input.value)])),
    answers: () => Object.fromEntries(rows.filter(({ none }) => none.input.checked).map(({ point }) => [point.slug, "not-applicable"])),
  };
}

async function save(told, asked) {
  const found = foundOf(told, asked);
  const problem = problemOf(told, asked, found);
  if (problem) return problem;
  const photos = asked.defects?.photos() ?? [];
  const state = await writeLook(told.round, told.code, found, { look: told.look, photos });
  if (!state) return say("was-in-the-hand", { item: shown(told.code) });
  if (state === SEEN) good();
  location.href = to("round", told.id);
}

// What the event tells of the look.
function foundOf({ verdict, isPass, checklist, round }, asked) {
  const defects = asked.defects?.told() ?? [];
  const observed = mild(checklist, defects);
  const statement = isPass && asked.stated.input.checked ? (verdict === "pass" ? "all-good" : "rest-good") : "";
  const contents = asked.contents?.told();
  return {
    verdict, statement, defects, note: asked.note.value.trim(),
    answers: { ...(isPass ? observed : {}), ...asked.figures.answers() },
    measured: asked.figures.measured(),
    good_until_on: asked.until.value, restricted_to: asked.only.value.trim(),
    ...(contents ? { contents } : {}),
  };
}

// A point at which an observation was made is not OK; other points bar no pass by a mild defect.
function mild(checklist, defects) {
  const points = (checklist?.parts ?? []).flatMap((part) => part.points);
  const named = points.filter(({ slug, if_not }) => if_not === "observation" && defects.some(({ point }) => point === slug));
  return Object.fromEntries(named.map(({ slug }) => [slug, "not-ok"]));
}

// The first thing that is missing, in words; bad news lacks only what says what is wrong.
function problemOf({ verdict, isPass, checklist, round, code }, asked, found) {
  if (contradicts(round.lines.filter(({ key }) => key === code).map(({ state }) => state), verdict))
    return say("was-in-the-hand", { item: shown(code) });
  const against = contradiction(verdict, found.defects);
  const wrong = asked.defects?.problem() || (against && say(against));
  if (wrong) return wrong;
  if (verdict === "not-identified" && !found.note) return say("label-unsaid");
  if (!isPass) return "";
  if (Object.values(found.measured).includes(null)) return say("not-a-number");
  const unfit = misfit(checklist, round.kind, verdict, found);
  if (unfit) return say(`misfit-${unfit.code}`, { points: unfit.points.map(({ look }) => look).join(", ") });
  const says = found.defects.length || found.good_until_on || found.restricted_to || found.note;
  if (verdict === "pass-with-conditions" && !says) return say("conditions-unsaid");
  return asked.contents?.problem(verdict) || (found.statement ? "" : say("unstated"));
}
