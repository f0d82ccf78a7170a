// Fields that several screens of a round ask with.

import { element, field } from "./dom.js";
import { newId } from "./queue.js";
import { say } from "./words.js";

// A list to choose from: [[value, words]], `empty` for nothing chosen; groups: [[name, choices]].
export function choice(choices, { empty = null, groups = [] } = {}) {
  const option = ([value, words]) => element("option", { value }, words);
  const first = empty === null ? [] : [option(["", empty])];
  const grouped = groups.map(([label, some]) => element("optgroup", { label }, some.map(option)));
  return element("select", {}, ...first, ...choices.map(option), ...grouped);
}

export const text = (most, more = {}) =>
  element("input", { maxlength: most, autocomplete: "off", ...more });

export const words = (most, rows = 3) => element("textarea", { maxlength: most, rows });

export const day = (from) => element("input", { type: "date", min: from });

// One box to tick, as large as a thumb.
export function tick(label, { checked = false, on = {} } = {}) {
  const input = element("input", { type: "checkbox", checked, on });
  return { input, label: element("label", { class: "tick" }, input, element("span", {}, label)) };
}

// One of a few: [[value, words]]; gives {group, value()}.
export function oneOf(legend, choices, chosen = "") {
  const name = newId();
  const inputs = choices.map(([value]) =>
    element("input", { type: "radio", name, value, checked: value === chosen }),
  );
  const labels = inputs.map((input, n) =>
    element("label", { class: "tick" }, input, element("span", {}, choices[n][1])),
  );
  const group = element("fieldset", { class: "group" }, element("legend", {}, legend), ...labels);
  return { group, value: () => inputs.find(({ checked }) => checked)?.value ?? "" };
}

// The form of a screen: `save` is tried once at a time, and what goes wrong is said beside the button.
export function form(parts, label, save, { primary = true } = {}) {
  const answer = element("p", { class: "answer is-bad", role: "alert" });
  const go = element("button", { type: "submit", class: primary ? "is-primary" : "" }, label);
  const submit = async (event) => {
    event.preventDefault();
    if (go.disabled) return;
    go.disabled = true;
    answer.textContent = (await tried(save)) ?? "";
    go.disabled = false;
    if (answer.textContent) answer.scrollIntoView({ block: "nearest" });
  };
  return element("form", { class: "form", novalidate: true, on: { submit } }, ...parts, answer, go);
}

// What `act` says is wrong, or that this phone could not keep it; nothing where all went well.
export async function tried(act) {
  try {
    return await act();
  } catch (error) {
    console.error(error);
    return say("not-kept", { why: String(error.message ?? error) });
  }
}

export { field };
