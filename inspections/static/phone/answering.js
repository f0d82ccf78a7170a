// What the phone asks before it writes a pass; bad news waits for none of it.
// A part of inspections/rules/answering.py and contents.py: tests/vectors/phone_answers.json holds both.

const PASSES = ["pass", "pass-with-conditions"];

// The parts of a checklist with the points of this kind of look.
export function pointsFor(checklist, kind) {
  return (checklist?.parts || [])
    .map((part) => ({ ...part, points: part.points.filter((p) => belongs(p, kind)) }))
    .filter((part) => part.points.length);
}

const belongs = (point, kind) => !point.kinds || point.kinds.includes(kind);
const flat = (checklist, kind) => pointsFor(checklist, kind).flatMap((part) => part.points);

// The points without whose measurement this kind cannot pass.
export const mustMeasure = (checklist, kind) =>
  flat(checklist, kind).filter((point) => point.must_for?.includes(kind));

// A number as it is typed, with a comma or a point; null where it is none.
export function amount(text) {
  const plain = String(text).trim().replace(",", ".");
  return /^-?\d{1,9}(\.\d{1,6})?$/.test(plain) ? plain : null;
}

const isWithin = (point, measured) =>
  (point.least === undefined || measured >= Number(point.least)) &&
  (point.most === undefined || measured <= Number(point.most)) &&
  (point.under === undefined || measured < Number(point.under));

// Why a pass cannot be written with these answers: {code, points}; null where it can.
// `measured` are texts by point, `answers` what was said of single points.
export function misfit(checklist, kind, verdict, { answers = {}, measured = {} }) {
  if (!PASSES.includes(verdict)) return null;
  const asked = flat(checklist, kind);
  const isBad = (point) => answers[point.slug] === "not-ok";
  const outside = asked.filter(
    (p) => !isBad(p) && p.slug in measured && !isWithin(p, Number(measured[p.slug])),
  );
  const settled = (p) => p.slug in measured || answers[p.slug] === "not-applicable";
  const checks = [
    ["outside-limits", outside],
    ["point-takes-it-out", asked.filter((p) => isBad(p) && p.if_not === "fail")],
    ["not-a-plain-pass", verdict === "pass" ? asked.filter(isBad) : []],
    ["unmeasured", mustMeasure(checklist, kind).filter((p) => !settled(p))],
  ];
  const [code, points] = checks.find(([, found]) => found.length) || [];
  return code ? { code, points } : null;
}

// Why a kit cannot pass as it was looked at: 'was-opened', 'not-ticked', or ''.
// `pieces` are the tags on its card, `seen` those in the hand.
export function contentsProblem(verdict, kind, pieces, { seen, leftShut, sealed }) {
  if (!PASSES.includes(verdict)) return "";
  if (leftShut) return kind === "kit-check" && sealed ? "" : "was-opened";
  return pieces.length && pieces.every((code) => seen.includes(code)) ? "" : "not-ticked";
}

// Why defects and verdict do not go together: a code, or null. The classes of LOLER 1998 reg 10:
// a danger now cannot pass, one to come must have its day. The same as verdict.contradiction.
export function contradiction(verdict, defects) {
  if (defects.some((one) => one.grade === "B" && !one.danger_by_on)) return "defect-without-day";
  const danger = PASSES.includes(verdict) && defects.some((one) => one.grade === "A");
  return danger ? "pass-with-danger" : null;
}
