// The safety notices of the packs, what each means here, and that a holder was told.

import { field, form, text } from "../asking.js";
import { dayWords } from "../days.js";
import { element } from "../dom.js";
import { rows, write } from "../queue.js";
import { packsOnPhone } from "../rounds.js";
import { shown } from "../tags.js";
import { whereabouts } from "../telling.js";
import { className, say } from "../words.js";

export async function show(root) {
  const [packs, written] = await Promise.all([packsOnPhone(), rows()]);
  const stands = written.filter(({ state }) => !["refused", "dropped"].includes(state));
  const told = stands.map(({ event }) => event).filter(({ kind }) => kind === "acknowledge");
  const said = new Set(told.map(({ body }) => `${body.notice} ${body.item}`));
  root.append(element("h1", {}, say("notices")));
  const found = packs.flatMap((pack) => pack.notices.map((notice) => shownNotice(notice, pack, said)));
  root.append(...(found.length ? found : [element("p", {}, say("notices-none"))]));
}

function shownNotice(notice, pack, said) {
  const lines = notice.items.map(([code, certainty, told]) =>
    line({ notice, code, certainty, told: told || said.has(`${notice.id} ${code}`) }, pack));
  return element(
    "section",
    { class: "form" },
    element("h2", {}, notice.name),
    element("p", {}, notice.text),
    element("p", {}, notice.instructions),
    notice.deadline ? element("p", { class: "caution" }, say("notice-deadline", { day: dayWords(notice.deadline) })) : null,
    element("ul", { class: "lines" }, lines),
  );
}

function line({ notice, code, certainty, told }, pack) {
  const item = pack.items[code];
  const state = element("span", { role: "status" }, told ? say("notice-told") : say(`match-${certainty}`));
  const made = element("li", {}, element("b", {}, `${item ? className(item.class) : ""} ${shown(code)}`),
    element("span", {}, item ? whereabouts(item, pack) : ""), state);
  if (!told) made.append(telling(notice, code, state));
  return made;
}

function telling(notice, code, state) {
  const how = text(120);
  const save = async () => {
    await write("acknowledge", { item: code, notice: notice.id, how: how.value.trim() || say("notice-how-phone") });
    state.textContent = say("notice-told");
    asked.remove();
  };
  const asked = element("details", {}, element("summary", {}, say("notice-tell")),
    form([field(say("notice-how"), how, say("notice-how-help"))], say("notice-tell-go"), save));
  return asked;
}
