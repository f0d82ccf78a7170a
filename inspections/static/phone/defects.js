// The fields for what is wrong with an item: each defect, how bad, where, and its photograph.

import { choice, day, field, oneOf, text } from "./asking.js";
import { button, element } from "./dom.js";
import { pointsFor } from "./answering.js";
import { plainPhotograph } from "./photographs.js";
import { say } from "./words.js";

const MOST = 6; // as in inspections/forms/defects.py
const GRADES = ["A", "B", "C"];

// {fields, told(), photos(), problem()}. `wanted`: there must be one. `point` is one begun by a tap.
export function defectFields({ checklist, kind, today, passing, wanted, point }) {
  const parts = pointsFor(checklist, kind);
  const asked = { parts, today, grades: passing ? GRADES.slice(1) : GRADES };
  const host = element("div", { class: "form" });
  const list = [];
  const add = (first = "") => {
    const one = defect(asked, first, list.length + 1);
    list.push(one);
    host.append(one.fields);
    more.hidden = list.length >= MOST;
  };
  const more = button(say("defect-more"), () => add());
  add(point);
  const written = () => list.filter((one) => one.isWritten());
  return {
    fields: element("div", { class: "form" }, host, more),
    told: () => written().map((one) => one.told()),
    photos: () => written().map((one) => one.photo()).filter(Boolean),
    problem() {
      if (wanted && !written().length) return say("defect-missing");
      return written().map((one) => one.problem()).find(Boolean) ?? "";
    },
  };
}

function defect({ parts, today, grades }, begun, number) {
  const known = parts.flatMap((part) => part.points.map((point) => ({ ...point, part: part.name })));
  const first = known.find(({ slug }) => slug === begun);
  const grade = oneOf(say("defect-grade"), grades.map((one) => [one, `${one}: ${say(`grade-${one}`)}`]), first?.grade ?? "");
  const what = text(200);
  const place = text(80, { value: first?.part ?? "" });
  const action = text(200);
  const by = day(today);
  const groups = parts.map((part) => [part.name, part.points.map(({ slug, look }) => [slug, look])]);
  const point = choice([], { empty: say("defect-no-point"), groups });
  point.value = first?.slug ?? "";
  const photo = photoField();
  const fields = element(
    "fieldset",
    { class: "group" },
    element("legend", {}, say("defect", { n: number })),
    field(say("defect-what"), what), grade.group, field(say("defect-by"), by, say("defect-by-help")),
    field(say("defect-place"), place), photo.field,
    element("details", {}, element("summary", {}, say("defect-further")),
      field(say("defect-point"), point), field(say("defect-action"), action)),
  );
  const told = () => ({
    grade: grade.value(), what: what.value.trim(), place: place.value.trim(), point: point.value,
    action: action.value.trim(), danger_by_on: grade.value() === "B" ? by.value : "",
    photo: photo.found()?.sha256 ?? "",
  });
  const isWritten = () => Boolean(first || what.value.trim() || photo.found() || !photo.isRead() || grade.value());
  const problem = () => (photo.isRead() ? problemOf(told(), today) : say("photo-reading"));
  return { fields, told, isWritten, photo: photo.found, problem };
}

function problemOf({ what, grade, danger_by_on: by }, today) {
  if (!what) return say("defect-unsaid");
  if (!grade) return say("defect-ungraded");
  if (grade === "B" && !by) return say("defect-without-day");
  return by && by < today ? say("defect-day-passed") : "";
}

// One photograph from the camera or a file, drawn anew at once; gives {field, found(), isRead()}: while
// one is being drawn nothing is kept, for it would be kept without it.
function photoField() {
  let found = null;
  let drawn = 0; // how many are being drawn
  const input = element("input", { type: "file", accept: "image/*", capture: "environment" });
  const shown = element("div", { class: "photograph", role: "status" });
  input.addEventListener("change", async () => {
    const [file] = input.files;
    drawn += 1;
    const made = file ? await plainPhotograph(file).catch(() => null) : null;
    drawn -= 1;
    if (file !== input.files[0]) return; // another one was chosen meanwhile
    found = made;
    const trouble = file && !found ? element("p", { class: "answer is-bad" }, say("photo-unreadable")) : "";
    shown.replaceChildren(found ? picture(found) : trouble);
  });
  const asked = field(say("defect-photo"), input, say("defect-photo-help"));
  asked.append(shown);
  return { field: asked, found: () => found, isRead: () => !drawn };
}

function picture({ blob }) {
  const src = URL.createObjectURL(blob);
  const image = element("img", { src, alt: say("defect-photo-kept", { n: Math.ceil(blob.size / 1000) }) });
  image.addEventListener("load", () => URL.revokeObjectURL(src));
  return image;
}
