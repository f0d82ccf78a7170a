// The rescue sheets of the sites on this phone: what gets whom down from where, now and later.

import { timeWords } from "../days.js";
import { element } from "../dom.js";
import { known, verdictOf } from "../known.js";
import * as packs from "../packs.js";
import { whyNotTrusted } from "../verdict.js";
import { phrase, say } from "../words.js";

export async function show(root) {
  const [carried, now] = [await packs.list(), await known()];
  root.append(element("h1", {}, say("see-sheets")));
  if (!carried.length) root.append(element("p", {}, say("carries-nothing")));
  for (const { pack } of carried) root.append(...siteSheets(pack, now));
}

function siteSheets(pack, now) {
  const why = whyNotTrusted(pack, now, Date.now());
  const when = timeWords(Date.parse(pack.sheets.made_at), pack.site.zone);
  const { fresh, tasks } = pack.sheets;
  return [
    element("h2", {}, pack.site.name),
    element("p", {}, say("sheets-as-of", { when })),
    why ? bad(phrase(why).join(". ")) : null,
    fresh ? null : bad(say("cover-not-known")),
    tasks.length ? null : element("p", {}, say("no-tasks")),
    ...tasks.map((task) => taskSheet(task, pack, now)),
  ].filter(Boolean);
}

const bad = (text) => element("p", { class: "answer is-bad", role: "alert" }, text);

function taskSheet(task, pack, now) {
  const left = task.pieces.filter((piece) => Date.parse(piece.until) > Date.now());
  const [first, ...later] = left;
  return element(
    "section",
    { class: "sheet" },
    element("h3", {}, [task.name, task.zone].filter(Boolean).join(", ")),
    first ? pieceLines(first, pack, now) : element("p", {}, say("no-more-work")),
    later.length
      ? element(
          "details",
          {},
          element("summary", {}, say("later", {}, later.length)),
          later.map((piece) => pieceLines(piece, pack, now)),
        )
      : null,
  );
}

function pieceLines(piece, pack, now) {
  const at = (iso) => timeWords(Date.parse(iso), pack.site.zone);
  const lines = [
    ["sheet-kit", piece.kit],
    ["sheet-people", piece.people?.join(", ")],
    ["sheet-anchor", piece.anchor],
    ["sheet-first-aid", piece.first_aiders?.join(", ")],
    ["sheet-minutes", piece.minutes],
    ["sheet-hangs-on", piece.hangs_on?.join(", ")],
    ["sheet-why-not", piece.why_not?.join(" ")],
    ["sheet-missing", piece.missing?.join(", ")],
  ];
  const told = lines.filter(([, value]) => value).flatMap(pair);
  return element(
    "div",
    { class: "piece" },
    element("p", {}, element("b", {}, piece.words)),
    element("p", {}, say("from-until", { from: at(piece.from), until: at(piece.until) })),
    kitIsOut(piece, pack, now) ? bad(say("kit-is-out", { kit: piece.kit })) : null,
    told.length ? element("dl", { class: "tag-facts" }, told) : null,
  );
}

const pair = ([name, value]) => [element("dt", {}, say(name)), element("dd", {}, String(value))];

// What was put out on this phone, or has run out since, serves nobody, whatever the sheet says.
function kitIsOut(piece, pack, now) {
  const kit = piece.kit && packs.kitNamed(pack, piece.kit);
  return Boolean(kit) && !verdictOf(kit, now).usable;
}
