// A fall was arrested: the whole load path is out at once, on this phone too, and is evidence.

import { choice, field, form, text, tick, words } from "../asking.js";
import { dayAt, isoMoment } from "../days.js";
import { element, link, to } from "../dom.js";
import { gathered } from "../gathering.js";
import { outAfterFall } from "../happenings.js";
import { write } from "../queue.js";
import { packsOnPhone } from "../rounds.js";
import { shown } from "../tags.js";
import { clockTime } from "../telling.js";
import { className, say } from "../words.js";

export async function show(root, [asked]) {
  const packs = await packsOnPhone();
  const pack = packs.find(({ site }) => site.code === asked) ?? packs[0];
  root.append(element("h1", {}, say("arrest")), element("p", { class: "caution" }, say("arrest-lead")));
  if (!pack) return void root.append(element("p", {}, say("begin-no-pack")));
  const items = gathered(pack);
  const told = fields(pack);
  const save = async () => {
    const body = told.body(items.codes());
    if (!body.items.length && !body.wearer) return say("arrest-nothing");
    const out = outAfterFall(pack, body);
    await write("arrest", body, { alsoOut: out });
    done(root, out, pack);
  };
  root.append(siteField(packs, pack, "arrest"), items.fields, form(told.rest, say("arrest-go"), save));
  return () => items.stop();
}

function fields(pack) {
  const people = Object.entries(pack.people);
  const wearer = choice(people, { empty: say("not-named") });
  const zone = choice(Object.entries(pack.arrests.zones), { empty: say("zone-none") });
  const kits = Object.values(pack.items).map((item) => item.is_kit).filter(Boolean);
  const kit = choice(kits.map((name) => [name, name]), { empty: say("no-kit") });
  const [place, task, account] = [text(120), text(120), words(2000, 4)];
  const when = moment();
  const others = people.map(([key, name]) => [key, tick(name)]);
  const beside = element("details", {}, element("summary", {}, say("others-on-line")),
    ...others.map(([, { label }]) => label));
  const body = (items) => ({
    site: pack.site.code, items, account: account.value.trim(), happened_at: when.value(),
    wearer: Number(wearer.value) || null, zone: zone.value, place: place.value.trim(),
    others: others.filter(([, { input }]) => input.checked).map(([key]) => Number(key)),
    rescue_kit: kit.value, task: task.value.trim(),
  });
  const rest = [
    field(say("wearer"), wearer, say("wearer-help")), field(say("zone"), zone, say("arrest-zone-help")),
    field(say("when"), when.input), field(say("where-exactly"), place), beside,
    field(say("rescue-kit-used"), kit), field(say("task"), task),
    field(say("what-happened"), account, say("account-help")),
  ];
  return { rest, body };
}

// At which site it happened: another one is another screen.
export function siteField(packs, pack, screen) {
  const site = choice(packs.map((one) => [one.site.code, one.site.name]));
  site.value = pack.site.code;
  site.addEventListener("change", () => (location.href = to(screen, site.value)));
  return field(say("fact-site"), site);
}

// A moment by the clock of this phone, now to begin with and never ahead of it.
export function moment() {
  const now = Date.now();
  const input = element("input", { type: "datetime-local", value: `${dayAt(now)}T${clockTime(now)}` });
  const value = () => isoMoment(Math.min(Date.parse(input.value) || Date.now(), Date.now()));
  return { input, value };
}

// What is out now, so that hands can find it.
export function done(root, out, pack) {
  const line = (code) => element("li", {}, element("b", {}, shown(code)),
    element("span", {}, pack.items[code] ? `${className(pack.items[code].class)}, ${pack.items[code].name}` : ""));
  root.replaceChildren(
    element("h1", {}, say("kept-out", {}, out.length)),
    element("p", { class: "caution" }, say("kept-out-lead")),
    element("ul", { class: "lines" }, out.map(line)),
    link(say("to-queue"), to("queue"), { class: "button" }),
  );
  root.querySelector("h1").scrollIntoView();
}
