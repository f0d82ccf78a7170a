// One item: may it be used? The whole screen in words, and a way to stop it at the first tap.

import { codeForm } from "./home.js";
import { dayWords, timeWords } from "../days.js";
import { answerLine, button, drawing, element, field } from "../dom.js";
import { known, verdictOf } from "../known.js";
import * as packs from "../packs.js";
import { write } from "../queue.js";
import { read, shown } from "../tags.js";
import { className, phrase, reasons, say } from "../words.js";

const MAY_STOP = [undefined, "received", "in-service"]; // undefined: in no pack
const FINAL = ["withdrawn", "destroyed", "left"];
const AGAIN = ["stopped-here", "part-stopped-here"];

export async function show(root, [text = "", secret = ""]) {
  const typed = read(text);
  if (!typed.code) return showMistyped(root, text, typed.problem);
  const found = await packs.find(typed.code);
  const verdict = verdictOf(found, await known());
  root.append(
    verdictSection(verdict, found),
    ...asOf(verdict, found.pack),
    facts(found, typed.code),
    ...noticesOf(found),
    stopping(root, found, verdict, secret),
    foot(found.item),
  );
  return verdict.usable ? watched(typed.code) : null;
}

// "OK to use" left open is asked again: the day turns, the pack grows too old, the clock goes wrong.
// A stop of this screen is not: its words are being written.
function watched(code) {
  const ask = async () => {
    const now = verdictOf(await packs.find(code), await known());
    if (!now.usable && !AGAIN.includes(now.code)) dispatchEvent(new Event("hashchange"));
  };
  const timer = setInterval(ask, 15_000);
  document.addEventListener("visibilitychange", ask);
  return () => {
    clearInterval(timer);
    document.removeEventListener("visibilitychange", ask);
  };
}

function showMistyped(root, text, problem) {
  const said = say(problem, { text: text.slice(0, 40) });
  root.append(wordsSection({ sentence: said, todo: "" }), codeForm());
}

// The words of the verdict, as on the page behind the tag.
function verdictSection(verdict, { pack }) {
  if (!verdict.usable) return wordsSection(wordsOf(verdict, pack));
  const restricted = verdict.code === "usable-restricted" ? pack.sentences[verdict.spell[4]] : "";
  return element(
    "section",
    { class: "verdict is-whole", role: "status" },
    element(
      "div",
      { class: "verdict-head" },
      drawing("tag-whole"),
      element("h1", { class: "verdict-words" }, element("small", {}, say("ok-until")), ` ${dayWords(verdict.through)}`),
    ),
    restricted ? element("p", { class: "verdict-why" }, `${restricted}.`) : null,
  );
}

function wordsSection({ sentence, todo }) {
  return element(
    "section",
    { class: "verdict is-struck", role: "alert" },
    element(
      "div",
      { class: "verdict-head" },
      drawing("tag-struck"),
      element("h1", { class: "verdict-words" }, say("do-not-use")),
    ),
    element("p", { class: "verdict-why" }, sentence),
    todo ? element("p", { class: "verdict-do" }, element("b", {}, say("what-to-do")), ` ${todo}`) : null,
  );
}

// {sentence, todo} of what is not usable; the head says "do not use" already.
export function wordsOf(verdict, pack) {
  const [said, todo] = verdict.spell
    ? [pack.sentences[verdict.spell[4]], pack.sentences[verdict.spell[5]] ?? ""]
    : phrase(verdict.code);
  const reason = said.slice(said.indexOf(": ") + 2);
  return { sentence: `${reason.slice(0, 1).toUpperCase()}${reason.slice(1)}.`, todo };
}

// A verdict of a pack is as old as the pack.
function asOf({ usable }, pack) {
  if (!pack) return [];
  const when = timeWords(Date.parse(pack.made_at), pack.site.zone);
  return [element("p", { class: "quiet" }, say(usable ? "usable-as-of" : "as-of", { when }))];
}

function facts({ pack, code, item }, asked) {
  const lines = [["fact-code", shown(code), "code"]];
  if (item) lines.push(...particulars(item, pack));
  const replaced = code === asked ? null : say("tag-replaced", { old: shown(asked), code: shown(code) });
  const list = lines
    .filter(([, value]) => value)
    .flatMap(([name, value, kind]) => [
      element("dt", {}, say(name)),
      element("dd", { class: kind }, value),
    ]);
  return element(
    "div",
    { class: "acts" },
    replaced ? element("p", {}, element("b", {}, replaced)) : null,
    element("dl", { class: "tag-facts" }, list),
  );
}

function particulars(item, pack) {
  const where = [item.custody, item.place, pack.arrests.zones[item.zone] ?? item.zone];
  return [
    ["fact-what", item.is_kit ? say("is-kit", { kit: item.is_kit }) : className(item.class)],
    ["fact-product", item.name],
    ["fact-size", item.size],
    ["fact-serial", item.serial, "code"],
    ["fact-kit", item.kit && say("kit-part", { kit: item.kit })],
    ["fact-place", where.filter(Boolean).join(", ")],
    ["fact-holder", pack.people[item.held_by]],
    ["fact-site", pack.site.name],
  ];
}

function noticesOf({ pack, code }) {
  const meant = (pack?.notices ?? []).filter((one) => one.items.some(([tag]) => tag === code));
  return meant.map((one) =>
    element(
      "p",
      {},
      element("b", {}, say("notice", { name: one.name })),
      one.instructions ? ` ${one.instructions}` : "",
    ),
  );
}

// The button that stops the item; once that is kept, the words that help whoever looks next.
function stopping(root, { code, item }, verdict, secret) {
  if (AGAIN.includes(verdict.code)) return wordsForm(code, secret);
  // what a pack that cannot be trusted says of its condition bars no stop
  const may = verdict.spell ? MAY_STOP.includes(item?.condition) : !FINAL.includes(item?.condition);
  if (!may) return "";
  const answer = answerLine();
  const press = () => stop(root, code, secret, answer);
  return element(
    "div",
    { class: "stopper" },
    answer,
    button(say("stop"), press, { class: "is-danger is-stop" }),
  );
}

async function stop(root, code, secret, answer) {
  if (!(await kept({ item: code, reason: "damage-found", note: "", ...tagged(secret) }, answer))) return;
  root.replaceChildren();
  await show(root, [code, secret]);
  const said = element("p", { class: "answer", role: "status" }, say("stopped"));
  root.querySelector(".verdict").after(said);
  scrollTo(0, 0);
}

const tagged = (secret) => (secret ? { secret } : {});

// Whether it is on the disk; if it is not, the answer says so as loud as can be.
async function kept(body, answer) {
  try {
    await write("quarantine", body);
    return true;
  } catch (error) {
    answer.classList.add("is-bad");
    answer.setAttribute("role", "alert");
    answer.textContent = say("stop-failed", { why: error?.name ?? String(error) });
    return false;
  }
}

// Why, and what was seen: a second record beside the first, which stands already.
function wordsForm(code, secret) {
  const answer = answerLine();
  const note = element("input", { maxlength: 200, autocomplete: "off" });
  const chips = reasons().map(({ slug, name }) => chip(slug, name));
  const add = async (event) => {
    event.preventDefault();
    const chosen = form.querySelector("input:checked");
    const body = { item: code, reason: chosen.value, note: note.value.trim(), ...tagged(secret) };
    if (!(await kept(body, answer))) return;
    answer.textContent = say("stop-added", { reason: chosen.parentElement.textContent });
    form.reset();
  };
  const form = element(
    "form",
    { class: "form", on: { submit: add } },
    element("fieldset", { class: "chips" }, element("legend", {}, say("stop-words")), chips),
    field(say("stop-note"), note, say("stop-note-help")),
    element("button", { type: "submit" }, say("stop-add")),
    answer,
  );
  return form;
}

function chip(slug, name) {
  const input = element("input", { type: "radio", name: "reason", value: slug, required: true });
  return element("label", { class: "chip" }, input, name);
}

function foot(item) {
  return element(
    "footer",
    { class: "tag-foot" },
    item ? element("p", {}, say("check-serial")) : null,
    element("p", {}, say("not-fit")),
  );
}
