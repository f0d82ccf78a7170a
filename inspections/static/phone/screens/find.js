// Finding an item by what people say of it: its serial, who has it, where it is, its kit.

import { dayWords } from "../days.js";
import { element, field, link, to } from "../dom.js";
import { known, verdictOf } from "../known.js";
import * as packs from "../packs.js";
import { shown } from "../tags.js";
import { say } from "../words.js";

const SHOWN = 40;
const LEAST = 2;

export async function show(root, [begun = ""]) {
  const input = element("input", {
    type: "search",
    autocomplete: "off",
    spellcheck: "false",
    enterkeyhint: "search",
    value: begun,
  });
  const count = element("p", { class: "answer", role: "status" });
  const list = element("ul", { class: "lines" });
  const look = () => fill(input.value, count, list).catch(console.error);
  const go = (event) => {
    event.preventDefault();
    input.blur(); // the keyboard goes, the answers stay
    look();
  };
  root.append(
    element("h1", {}, say("find")),
    element(
      "form",
      { class: "form", role: "search", on: { submit: go, input: look } },
      field(say("find-label"), input, say("find-help")),
    ),
    count,
    list,
  );
  if (begun) await look();
}

async function fill(text, count, list) {
  if (text.trim().length < LEAST) {
    count.textContent = text.trim() ? say("find-short") : "";
    list.replaceChildren();
    return;
  }
  const [found, now] = [await packs.search(text), await known()];
  const more = found.length - SHOWN;
  count.textContent = found.length ? say("found", {}, found.length) : say("find-none", { text });
  list.replaceChildren(...found.slice(0, SHOWN).map((one) => line(one, now)));
  if (more > 0) list.append(element("li", {}, say("found-more", {}, more)));
}

function line({ pack, code, item }, now) {
  const verdict = verdictOf({ pack, code, item }, now);
  const word = verdict.usable
    ? say("usable-short", { day: dayWords(verdict.through) })
    : say("do-not-use");
  const zone = pack.arrests.zones[item.zone] ?? item.zone;
  const kit = item.is_kit ?? item.kit;
  const where = [pack.people[item.held_by], item.place, zone, kit, pack.site.name];
  return element(
    "li",
    {},
    link("", to("item", code), { class: "row" }, [
      element("b", {}, `${shown(code)} ${item.name}`),
      item.serial ? element("span", { class: "code" }, say("serial-is", { serial: item.serial })) : null,
      element("span", {}, where.filter(Boolean).join(", ")),
      element("span", { class: verdict.usable ? "word" : "word is-no" }, word),
    ]),
  );
}
