// Which sites this phone carries, and how old each is; loading one, and taking it off.

import { greet, NoAnswer, SaysNo } from "../contact.js";
import { timeWords } from "../days.js";
import { answerLine, button, element } from "../dom.js";
import { signInLink } from "../head.js";
import * as packs from "../packs.js";
import { unsentCount } from "../queue.js";
import { send } from "../sending.js";
import * as store from "../store.js";
import { say } from "../words.js";

export async function show(root) {
  const lists = element("div", { class: "acts" });
  const answer = answerLine();
  root.append(element("h1", {}, say("packs")), element("p", {}, say("packs-lead")), answer, lists);
  await fill(lists, answer);
  askForSites(lists, answer).catch(console.error);
}

// The list as it was known; then asked for anew, and told where that cannot be.
async function askForSites(lists, answer) {
  try {
    await greet();
    await fill(lists, answer);
  } catch (error) {
    tell(answer, error);
  }
}

function tell(answer, error) {
  if (error instanceof SaysNo) answer.replaceChildren(error.sentence, " ", signInLink("packs"));
  else if (error instanceof NoAnswer) answer.textContent = say("no-signal");
  else throw error;
}

async function fill(lists, answer) {
  const [carried, sites] = await Promise.all([packs.list(), store.fact("sites")]);
  const here = new Set(carried.map((row) => row.site));
  const others = (sites ?? []).filter((site) => !here.has(site.code));
  const press = (site) => () => load(site, lists, answer);
  lists.replaceChildren(
    ...carried.map((row) => carriedSite(row, press(row.pack.site), lists, answer)),
    ...(others.length ? [element("h2", {}, say("to-load"))] : []),
    ...others.map((site) => button(say("load", { site: site.name }), press(site))),
    ...(sites?.length === 0 ? [element("p", {}, say("no-sites"))] : []),
  );
}

function carriedSite({ site, pack }, press, lists, answer) {
  const zone = pack.site.zone;
  const until = Date.parse(pack.good_until_at);
  const isOld = Date.now() >= until;
  return element(
    "section",
    { class: "pack" },
    element("h2", {}, pack.site.name),
    element("p", {}, say("as-of", { when: timeWords(Date.parse(pack.made_at), zone) })),
    element("p", {}, say(isOld ? "too-old" : "good-until", { when: timeWords(until, zone) })),
    button(say("load-anew", { site: pack.site.name }), press, { class: "is-primary" }),
    button(say("take-off", { site: pack.site.name }), () => takeOff(site, pack, lists, answer)),
  );
}

async function load(site, lists, answer) {
  answer.textContent = say("loading", { site: site.name });
  try {
    await greet();
    const { outcome, pack, status, why } = await packs.take(site.code);
    const when = pack && timeWords(Date.parse(pack.made_at), pack.site.zone);
    answer.textContent = say(outcome, { site: site.name, when, status, why });
    await fill(lists, answer);
    send().catch(console.error); // what was open is asked about after each new pack
  } catch (error) {
    tell(answer, error);
  }
}

async function takeOff(site, pack, lists, answer) {
  const unsent = await unsentCount();
  if (unsent) {
    answer.textContent = say("take-off-unsent", {}, unsent);
    return;
  }
  await packs.drop(site);
  answer.textContent = say("taken-off", { site: pack.site.name });
  await fill(lists, answer);
}
