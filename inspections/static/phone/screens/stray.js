// What is on no record: only noted in the round as it stands, or taken on in quarantine.

import { choice, field, form, text } from "../asking.js";
import { element, link, to } from "../dom.js";
import { noteStray, roundOf, takeOn } from "../rounds.js";
import { className, classes, say } from "../words.js";

export async function show(root, [id, typed = "", tag = ""]) {
  const { round, pack, closed } = await roundOf(id);
  if (!round || closed) return void root.append(element("h1", {}, say("round-unknown")));
  const mark = text(60, { value: typed });
  const noted = async () => {
    await noteStray(round, mark.value.trim() || say("no-tag-text"), tag);
    location.href = to("round", id);
  };
  root.append(
    element("p", { class: "count" }, link(say("back-to-round"), to("round", id))),
    element("h1", {}, say(tag ? "stray-elsewhere" : "stray-title")),
    element("p", { class: "caution" }, say(tag ? "stray-elsewhere-lead" : "stray-lead")),
    form([field(say("stray-text"), mark, say("stray-text-help"))], say("stray-note"), noted),
  );
  if (!tag) root.append(element("h2", {}, say("take-on")), taking(round, pack, mark));
}

function taking(round, pack, mark) {
  const serial = text(60);
  const product = choice(pack.products.map(([key, name]) => [key, name]), { empty: say("product-other") });
  const maker = text(80);
  const designation = text(80);
  const kind = choice(classes().map((slug) => [slug, className(slug)]), { empty: say("class-choose") });
  const own = element("div", { class: "form" }, field(say("maker"), maker, say("or-not-marked")),
    field(say("designation"), designation, say("or-not-marked")), field(say("class"), kind));
  product.addEventListener("change", () => (own.hidden = Boolean(product.value)));
  const save = async () => {
    const named = { maker: maker.value.trim(), designation: designation.value.trim(), equipment_class: kind.value };
    if (!product.value && !Object.values(named).every(Boolean)) return say("product-unsaid");
    const what = product.value ? { product: Number(product.value) } : named;
    const told = { text: mark.value.trim(), serial: serial.value.trim(), ...what };
    await takeOn(round, told, named.designation || product.selectedOptions[0].text);
    location.href = to("round", round.id);
  };
  const fields = [
    field(say("take-on-serial"), serial, say("take-on-serial-help")), field(say("fact-product"), product), own,
  ];
  return form(fields, say("take-on-go"), save, { primary: false });
}

