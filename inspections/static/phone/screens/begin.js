// A round is begun: where, what kind of look, and what it is to see.

import { choice, field, form, oneOf, tick } from "../asking.js";
import { element, link, to } from "../dom.js";
import { MOST_ITEMS, begin, packsOnPhone, whyNotBegun } from "../rounds.js";
import { dayAt } from "../days.js";
import { className, say } from "../words.js";

const KINDS = [
  "detailed", "thorough-examination", "interim", "pre-use", "kit-check", "after-event",
  "installation", "acceptance", "maker-service", "special", "sighting",
];
const PLANS = ["due-14", "due-42", "all", "open"];

export async function show(root, [asked]) {
  const packs = await packsOnPhone();
  root.append(element("h1", {}, say("round-begin")));
  if (!packs.length)
    return void root.append(
      element("p", {}, say("begin-no-pack")),
      link(say("manage-packs"), to("packs"), { class: "button is-primary" }),
    );
  const pack = packs.find(({ site }) => site.code === asked) ?? packs[0];
  if (!pack.user.person) root.append(element("p", { class: "caution" }, say("no-inspector")));
  root.append(plan(packs, pack));
}

function plan(packs, pack) {
  const site = choice(packs.map((one) => [one.site.code, one.site.name]));
  site.value = pack.site.code;
  site.addEventListener("change", () => (location.href = to("begin", site.value)));
  const kind = choice(KINDS.map((slug) => [slug, say(`inspection-${slug}`)]));
  const covers = tick(say("covers-periodic"));
  const what = oneOf(say("begin-what"), PLANS.map((one) => [one, say(`begin-${one}`)]), "due-14");
  const narrow = narrowing(pack);
  const save = async () => {
    const why = await whyNotBegun(pack);
    if (why) return say(why);
    const told = { kind: kind.value, covers: covers.input.checked, ...chosen(pack, what.value(), narrow) };
    if (what.value() !== "open" && !told.codes.length) return say("begin-nothing", told);
    if (told.codes.length > MOST_ITEMS)
      return say("begin-too-many", { n: told.codes.length, most: MOST_ITEMS });
    location.href = to("round", await begin(pack, told));
  };
  const fields = [
    field(say("fact-site"), site), field(say("begin-kind"), kind), covers.label, what.group,
    element("details", {}, element("summary", {}, say("begin-narrow")), ...narrow.fields),
  ];
  return form(fields, say("begin-go"), save);
}

// A zone, a class, a person: each narrows what is on the list.
function narrowing({ items, arrests, people }) {
  const classes = [...new Set(Object.values(items).map((item) => item.class))];
  const named = classes.map((slug) => [slug, className(slug)]).sort(byWords);
  const zone = choice(Object.entries(arrests.zones), { empty: say("every-zone") });
  const kind = choice(named, { empty: say("every-class") });
  const holder = choice(Object.entries(people).sort(byWords), { empty: say("everybody") });
  const fields = [
    field(say("zone"), zone), field(say("class"), kind), field(say("fact-holder"), holder),
  ].map((one) => element("div", { class: "form" }, one));
  return { zone, kind, holder, fields };
}

const byWords = ([, a], [, b]) => a.localeCompare(b);

// The tags on the list, and in words what was asked for.
function chosen(pack, plan, { zone, kind, holder }) {
  const asked = [say(`begin-${plan}`)];
  if (plan === "open") return { codes: [], chosen: asked[0] };
  for (const one of [zone, kind, holder]) if (one.value) asked.push(one.selectedOptions[0].text);
  const fits = (item) =>
    item && item.condition === "in-service" && !item.site &&
    (!zone.value || item.zone === zone.value) &&
    (!kind.value || item.class === kind.value) &&
    (!holder.value || String(item.held_by) === holder.value);
  const codes = due(pack, plan).filter((code) => fits(pack.items[code]));
  return { codes, chosen: asked.join(", ").slice(0, 300) };
}

// What falls due in so many days by the pack, the earliest first; or all that is there.
function due(pack, plan) {
  if (plan === "all") return Object.keys(pack.items);
  const days = Number(plan.split("-")[1]);
  const last = dayAt(Date.now() + days * 86_400_000, pack.site.zone);
  return pack.due.filter(([, through]) => through <= last).map(([code]) => code);
}
