// The queue in words: what is still only on this phone, what became of the rest, and the file of last resort.

import { post } from "../contact.js";
import { timeWords } from "../days.js";
import { addresses, answerLine, button, element } from "../dom.js";
import { signInLink } from "../head.js";
import { rows, savedQueue, unsentCount } from "../queue.js";
import { send } from "../sending.js";
import * as store from "../store.js";
import { shown } from "../tags.js";
import { kindName, say, verdictName } from "../words.js";

const ORDER = ["unsent", "refused", "kept", "waits", "dropped", "done"];
const MOST_SHOWN = 100;

export async function show(root) {
  const answer = answerLine();
  const [head, list] = [element("div", { class: "acts" }), element("div", { class: "acts" })];
  // made once, so that no button goes away under the thumb
  const acts = element(
    "div",
    { class: "acts" },
    button(say("send-now"), () => send({ forced: true }), { class: "is-primary" }),
    button(say("save-file"), () => save(answer)),
  );
  root.append(element("h1", {}, say("queue")), head, acts, answer, list);
  root.append(button(say("sign-out"), () => signOut(answer)));
  const refill = () => fill(head, acts, list).catch(console.error);
  addEventListener("tallyhook:changed", refill);
  await refill();
  return () => removeEventListener("tallyhook:changed", refill);
}

async function fill(head, acts, list) {
  const [all, unsent, trouble, photos] = await Promise.all([
    rows(),
    unsentCount(),
    store.fact("trouble"),
    store.all("photos"),
  ]);
  const groups = ORDER.map((state) => [state, all.filter((row) => row.state === state)]);
  acts.hidden = !unsent;
  head.replaceChildren(
    element("p", {}, unsent ? say("only-here", {}, unsent) : say("all-sent")),
    ...troubleLines(trouble),
    ...photoLines(photos),
  );
  list.replaceChildren(
    ...groups.filter(([, found]) => found.length).flatMap(([state, found]) => group(state, found)),
  );
}

function troubleLines(trouble) {
  if (!trouble) return [];
  const said = trouble.sentence || say(trouble.code);
  const signedOut = trouble.code === "no-answer" ? [] : [" ", signInLink("queue")];
  return [element("p", { class: "answer is-bad", role: "alert" }, said, ...signedOut)];
}

function photoLines(photos) {
  const unsent = photos.filter((one) => one.state === "unsent").length;
  const refused = photos.filter((one) => one.state === "refused");
  return [
    ...(unsent ? [element("p", {}, say("photos-here", {}, unsent))] : []),
    ...refused.map((one) => element("p", { class: "answer is-bad" }, say("photo-refused", { why: one.sentence }))),
  ];
}

function group(state, found) {
  const newest = found.slice(-MOST_SHOWN).reverse();
  return [
    element("h2", {}, say(`state-${state}`)),
    element("ul", { class: "lines" }, newest.map(line)),
  ];
}

function line({ event, answer, written_at: at }) {
  const { kind, body } = event;
  const items = body.item ? [body.item] : (body.items ?? []);
  const about = items.length > 3 ? [say("found", {}, items.length)] : items.map(shown);
  const name = body.verdict ? verdictName(body.verdict) : kindName(kind);
  const said = [body.reason && say(`reason-${body.reason}`), body.note, body.text, body.account];
  return element(
    "li",
    {},
    element("b", {}, [name, ...about].join(", ")),
    element("span", {}, [...said, timeWords(at)].filter(Boolean).join("; ")),
    answer?.sentence ? element("span", {}, answer.sentence) : null,
  );
}

async function save(answer) {
  const text = await savedQueue();
  const url = URL.createObjectURL(new Blob([text], { type: "application/x-ndjson" }));
  const name = `tallyhook-${new Date().toISOString().slice(0, 16).replace(/\D/g, "")}.jsonl`;
  element("a", { href: url, download: name }).click();
  setTimeout(() => URL.revokeObjectURL(url), 60_000);
  answer.textContent = say("saved-file", { name });
}

// Signing out loses nothing, yet nothing could be sent after it: so it waits until all is sent.
async function signOut(answer) {
  const unsent = await unsentCount();
  if (unsent) {
    answer.textContent = say("sign-out-unsent", {}, unsent);
    return;
  }
  try {
    await leave();
    await store.keepFact("user", null);
    answer.textContent = say("signed-out");
  } catch {
    answer.textContent = say("no-answer");
  }
}

// The page answers with a redirect; any other answer leaves whoever it was signed in, and 401 says that
// nobody is.
async function leave() {
  const greeting = await fetch(addresses.events, { cache: "no-store" });
  const { token } = await greeting.json();
  if (greeting.status === 401) return;
  const headers = { "X-CSRFToken": token };
  const reply = await fetch(addresses.signOut, { method: "POST", headers, redirect: "manual" });
  if (reply.type !== "opaqueredirect") throw new Error(String(reply.status));
}
