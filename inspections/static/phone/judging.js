// A tag that was read, judged: what a screen with the camera shows of it, in short.

import { dayWords } from "./days.js";
import { known, verdictOf } from "./known.js";
import * as packs from "./packs.js";
import { wordsOf } from "./screens/item.js";
import { say } from "./words.js";

const TAIL = 4; // characters of a serial, as on the tag

// {code, replaced, secret, usable, lead, words, why, what, size, tail, site} of a tag's code; `replaced`
// is the code that was read where the item carries another one now.
export async function judged({ code: asked, secret = null }) {
  const found = await packs.find(asked);
  const { code, item, pack } = found;
  const verdict = verdictOf(found, await known());
  return {
    ...(verdict.usable ? goodWords(verdict, pack) : badWords(verdict, pack)),
    code,
    secret,
    replaced: code === asked ? null : asked,
    usable: verdict.usable,
    what: item?.name ?? "",
    size: item?.size ?? "",
    tail: item?.serial?.slice(-TAIL) ?? "",
    site: item ? pack.site.name : "",
  };
}

function goodWords({ code, through, spell }, pack) {
  const why = code === "usable-restricted" ? `${pack.sentences[spell[4]]}.` : "";
  return { lead: say("ok-until"), words: dayWords(through), why };
}

const badWords = (verdict, pack) => ({
  lead: "",
  words: say("do-not-use"),
  why: wordsOf(verdict, pack).sentence,
});
