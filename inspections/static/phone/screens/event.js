// Something happened to equipment that is no fall: all that it happened to is out at once.

import { choice, field, form, text, words } from "../asking.js";
import { element } from "../dom.js";
import { gathered } from "../gathering.js";
import { withContents } from "../happenings.js";
import { write } from "../queue.js";
import { packsOnPhone } from "../rounds.js";
import { done, moment, siteField } from "./arrest.js";
import { say } from "../words.js";

const KINDS = ["load", "drop", "flood", "chemical", "heat", "lightning", "storage", "found", "load-test"];

export async function show(root, [asked]) {
  const packs = await packsOnPhone();
  const pack = packs.find(({ site }) => site.code === asked) ?? packs[0];
  root.append(element("h1", {}, say("event")), element("p", { class: "caution" }, say("event-lead")));
  if (!pack) return void root.append(element("p", {}, say("begin-no-pack")));
  const items = gathered(pack);
  const told = fields(pack);
  const save = async () => {
    const body = told.body(items.codes());
    if (!body.items.length) return say("event-nothing");
    if (!body.what) return say("event-choose");
    const out = withContents(pack, body.items);
    await write("event", body, { alsoOut: out });
    done(root, out, pack);
  };
  root.append(siteField(packs, pack, "event"), items.fields, form(told.fields, say("event-go"), save));
  return () => items.stop();
}

function fields(pack) {
  const kind = choice(KINDS.map((one) => [one, say(`event-${one}`)]), { empty: say("event-choose") });
  const zone = choice(Object.entries(pack.arrests.zones), { empty: say("zone-none") });
  const [place, account, when] = [text(120), words(2000, 4), moment()];
  const body = (items) => ({
    site: pack.site.code, items, account: account.value.trim(), happened_at: when.value(),
    zone: zone.value, place: place.value.trim(), what: kind.value,
  });
  const asked = [
    field(say("event-kind"), kind), field(say("when"), when.input), field(say("zone"), zone),
    field(say("where-exactly"), place), field(say("what-happened"), account, say("account-help")),
  ];
  return { fields: asked, body };
}
