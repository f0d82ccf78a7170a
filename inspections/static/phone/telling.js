// What a round and its items are called on the screens.

import { element } from "./dom.js";
import { known, verdictOf } from "./known.js";
import { tally, tallyWords } from "./lines.js";
import { find } from "./packs.js";
import { shown } from "./tags.js";
import { className, phrase, say, verdictName } from "./words.js";

const TAIL = 4; // characters of a serial that are compared at the item

// "09:14", by the clock of the site.
export const clockTime = (ms, zone) =>
  new Intl.DateTimeFormat("en-GB", {
    timeZone: zone, hour: "2-digit", minute: "2-digit", hourCycle: "h23",
  }).format(ms);

export const kindName = (kind) => say(`inspection-${kind}`);

// "Periodic examination, North yard"
export const roundName = (round, pack) =>
  say("round-name", { kind: kindName(round.kind), site: pack?.site.name ?? round.site });

// "47 of 60, 2 out, 3 not seen, 1 not on the register"
export const countOf = (round) => tallyWords(tally(round.lines), say);

// What came of a line: "Pass", "Out of use, what is wrong is not written down yet".
export function whatCame(line) {
  if (line.unwritten) return say("line-unwritten");
  if (line.taken) return say("line-taken-on");
  return line.verdict ? verdictName(line.verdict) : say(`state-${line.state}`);
}

// "Harness H7K-2PD3", or the text of what is on no record.
export function lineName(line, pack) {
  const item = pack?.items[line.code];
  if (!line.code) return line.text;
  return item ? `${className(item.class)} ${shown(line.code)}` : shown(line.code);
}

// One line of a list: what it is, what tells it apart, and what came of it.
export function lineShown(line, pack, ...more) {
  const item = pack?.items[line.code];
  const told = [item?.name, item?.serial && say("serial-is", { serial: item.serial }), item?.place];
  const time = line.at ? `${clockTime(line.at, pack?.site.zone)}, ` : "";
  return element(
    "li",
    {},
    element("b", {}, lineName(line, pack)),
    element("span", {}, told.filter(Boolean).join(", ")),
    element("span", {}, time + whatCame(line)),
    ...more,
  );
}

// {usable, code, sentence}: what this phone says of the item now.
export async function standing(code) {
  const found = await find(code);
  const { usable, code: why, spell } = verdictOf(found, await known());
  return { usable, code: why, sentence: spell ? found.pack.sentences[spell[4]] : phrase(why)[0] };
}

export const tailOf = (serial) => serial.slice(-TAIL);

// Where the item is, in words: custody, place, zone, kit, holder.
export function whereabouts(item, pack) {
  const told = [
    item.custody,
    item.held_by && pack.people[item.held_by],
    item.kit && say("kit-of", { kit: item.kit }),
    item.zone && (pack.arrests.zones[item.zone] ?? item.zone),
    item.place,
  ];
  return told.filter(Boolean).join(", ");
}

// "Middle time of a pass: 2 min 40 s; 4 took under 20 s."
export function paceWords(found) {
  const [minutes, seconds] = [Math.floor(found.median / 60), found.median % 60];
  const took = say(minutes ? "pace-minutes" : "pace-seconds", { minutes, seconds });
  return say(found.quick ? "pace-quick" : "pace", { took, quick: found.quick });
}
