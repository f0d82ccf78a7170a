// The rounds on this phone: those of the packs and those begun here, and each act of one as an event.
// An act and the round after it are kept in one transaction.

import { isoMoment } from "./days.js";
import { EXPECTED, ELSEWHERE, UNKNOWN, atSigning, stateAfter, withLook } from "./lines.js";
import * as packs from "./packs.js";
import { newId, rows, write } from "./queue.js";
import * as store from "./store.js";

export const MOST_ITEMS = 400; // as in inspections/actions/rounds.py
const REASONS = { // as QUARANTINE_AFTER in inspections/actions/inspecting.py
  "fail": "failed-inspection",
  "refer": "referred",
  "not-identified": "identity-in-doubt",
};

// What was scanned or typed here and has no verdict yet: only this can pass. Lost with the page.
const hand = new Map();
export const takeInHand = (round, code) => hand.set(`${round.id} ${code}`, Date.now());
export const inHandSince = (round, code) => hand.get(`${round.id} ${code}`) ?? null;
const letGo = (round, code) => hand.delete(`${round.id} ${code}`);

// All rounds on this phone, the last begun first: [{round, pack, closed}]. `closed` is the code of the
// words on why it cannot be gone on with here, '' where it can.
export async function allRounds() {
  const [carried, kept, written, user] = await Promise.all([
    packsOnPhone(), store.all("rounds"), rows(), store.fact("user"),
  ]);
  const known = new Map(kept.map((round) => [round.id, round]));
  const found = carried.flatMap((pack) =>
    pack.rounds.map((packed) => ({ pack, round: merged(known.get(packed.id), fromPack(pack, packed)) })),
  );
  const told = new Set(found.map(({ round }) => round.id));
  for (const round of kept.filter(({ id }) => !told.has(id)))
    found.push({ round, pack: carried.find(({ site }) => site.code === round.site) ?? null });
  const closed = (one) => whyClosed(one, written, told.has(one.round.id)) || whyNotMine(one.round, user);
  const all = found.map((one) => ({ ...one, closed: closed(one) }));
  return all.sort((a, b) => Date.parse(b.round.began_at) - Date.parse(a.round.began_at));
}

function whyClosed({ round, pack }, written, isPacked) {
  if (round.signed_at) {
    const { state } = written.find(({ event }) => isSignature(event, round)) ?? { state: "done" };
    return SIGNED[state] ?? "round-signed-asked";
  }
  if (!pack) return "round-no-pack";
  if (pack.user.id !== round.user) return "not-signed-round-of-another";
  const begun = written.find(({ id }) => id === round.id);
  const isKnownThere = !begun || Date.parse(begun.applied_at) < Date.parse(pack.made_at);
  return isKnownThere && !isPacked ? "round-closed-there" : "";
}

// A phone is passed on: what is written in a round is its inspector's, so it is theirs who is signed in.
function whyNotMine(round, user) {
  if (!user) return "round-sign-in";
  return user.id === round.user ? "" : "not-signed-round-of-another";
}

// Why whoever is signed in cannot begin a round by this pack, as a code; '' where they can.
export async function whyNotBegun(pack) {
  const why = whyNotMine({ user: pack.user.id }, await store.fact("user"));
  return why === "not-signed-round-of-another" ? "begin-pack-of-another" : why;
}

const SIGNED = { done: "round-signed-there", unsent: "round-signed-here" };
const isSignature = ({ kind, body }, { id }) => kind === "round-sign" && body.round === id;

// {round, pack} by its id; {} where this phone does not know it.
export async function roundOf(id) {
  return (await allRounds()).find(({ round }) => round.id === id) ?? {};
}

export const packsOnPhone = async () => (await packs.list()).map(({ pack }) => pack);

function fromPack(pack, packed) {
  const lines = packed.lines.map(([code, text, state, listed, look, at, verdict, unwritten]) => ({
    key: code || keyOfText(text), code, text, state, listed, look, verdict, unwritten,
    at: at ? Date.parse(at) : null,
  }));
  return { ...packed, site: pack.site.code, user: pack.user.id, person: pack.user.person, lines };
}

// What was done here goes first; a line touched elsewhere meanwhile is taken over.
function merged(kept, packed) {
  if (!kept) return packed;
  const looks = new Set(kept.lines.map(({ look }) => look).filter(Boolean));
  const news = packed.lines.filter(({ look }) => look && !looks.has(look));
  const there = new Map(packed.lines.map((line) => [line.look, line]));
  const lines = kept.lines.map((line) => (!line.here && line.look && there.get(line.look)) || line);
  return { ...kept, lines: news.reduce(withNews, lines) };
}

function withNews(lines, line) {
  const waiting = lines.findIndex((one) => one.key === line.key && one.state === EXPECTED);
  return waiting < 0 ? [...lines, line] : lines.with(waiting, line);
}

const keyOfText = (text) => `text ${text.toUpperCase()}`;

// Begin a round; gives its id.
export async function begin(pack, { kind, covers, chosen, codes }) {
  const id = newId();
  const lines = codes.map((code) => ({ key: code, code, text: "", state: EXPECTED, listed: true }));
  const round = {
    id, site: pack.site.code, kind, covers_periodic: covers, chosen,
    began_at: isoMoment(Date.now()), user: pack.user.id, person: pack.user.person, lines,
  };
  const body = { site: round.site, kind, covers_periodic: covers, chosen, items: codes };
  await write("round-begin", body, { id, round });
  return id;
}

// The first tap of a bad verdict: out of use now, what is wrong comes after. Gives the id of the look.
export async function stop({ id }, code, verdict) {
  const { round } = await roundOf(id);
  const look = unwrittenLook(round, code) ?? newId();
  const told = { look, code, text: "", at: Date.now(), verdict, unwritten: true, here: false };
  const lines = withLook(round.lines, code, verdict, told);
  await write("quarantine", { item: code, reason: REASONS[verdict], note: "" }, { round: { ...round, lines } });
  return look;
}

// The look of a first tap whose words are still missing.
export const unwrittenLook = (round, code) =>
  round.lines.find((line) => line.key === code && line.unwritten)?.look ?? null;

// One whole look: the verdict and all that goes with it. Null where it contradicts what was in the hand.
export async function writeLook({ id }, code, found, { look, photos = [] }) {
  const { round, pack } = await roundOf(id);
  const at = Date.now();
  const since = inHandSince(round, code);
  const took = since && found.verdict.startsWith("pass") ? at - since : 0;
  const told = { look, code, text: "", at, verdict: found.verdict, unwritten: false, here: true, took };
  const lines = withLook(round.lines, code, found.verdict, told);
  if (!lines) return null;
  const checklist = pack?.checklists.of_class[pack.items[code]?.class] ?? "";
  const { kind, covers_periodic } = round;
  const body = { item: code, kind, covers_periodic, checklist, ...found, round: id };
  await write("look", body, { id: look, photos, round: { ...round, lines } });
  letGo(round, code);
  return stateAfter(found.verdict);
}

// A code of no one, or of an item of another site (`elsewhere` is its tag).
export async function noteStray({ id }, text, elsewhere = "") {
  const state = elsewhere ? ELSEWHERE : UNKNOWN;
  await besides(id, "stray", { text }, { code: elsewhere, text, state });
}

// A piece on no record is taken on in quarantine; the register gives it a tag when it hears of it.
export async function takeOn({ id }, told, name) {
  const text = [told.text, told.serial].filter(Boolean).join(", ") || name;
  await besides(id, "take-on", told, { code: "", text: text.slice(0, 60), state: UNKNOWN, taken: true });
}

async function besides(id, kind, body, line) {
  const { round } = await roundOf(id);
  const look = newId();
  const key = line.code || keyOfText(line.text);
  const lines = [...round.lines, { key, listed: false, look, at: Date.now(), here: true, ...line }];
  await write(kind, { ...body, round: id }, { id: look, round: { ...round, lines } });
}

// The signature: all that was written here stood before the inspector.
export async function sign({ id }, note) {
  const { round } = await roundOf(id);
  const looks = round.lines.filter(({ here }) => here).map(({ look }) => look);
  const lines = round.lines.map((line) => ({ ...line, state: atSigning(line.state) }));
  const signed = { ...round, lines, signed_at: isoMoment(Date.now()) };
  await write("round-sign", { round: id, stated: true, note, looks }, { round: signed });
}

// The last look at an item in this round, written to its end; null before the first.
export function lastLook(round, code) {
  const mine = round.lines.filter((line) => line.key === code && line.at && !line.unwritten);
  return mine.sort((a, b) => a.at - b.at).at(-1) ?? null;
}
