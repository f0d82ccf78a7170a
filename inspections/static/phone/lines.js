// The lines of a round: what one may become, how they are counted, what hinders the signature.
// The same rule as inspections/rules/round_lines.py; tests/vectors/round_lines.json holds both to it.

export const EXPECTED = "expected";
export const SEEN = "seen";
export const OUT = "out";
export const NOT_PRESENTED = "not-presented";
export const UNKNOWN = "unknown";
export const ELSEWHERE = "elsewhere";

const BECOMES = {
  "pass": SEEN,
  "pass-with-conditions": SEEN,
  "fail": OUT,
  "refer": OUT,
  "not-identified": OUT,
  "not-presented": NOT_PRESENTED,
  "not-accessible": NOT_PRESENTED,
};
const WORST_FIRST = [OUT, SEEN, NOT_PRESENTED, EXPECTED, UNKNOWN, ELSEWHERE];
const isInHand = (state) => state === SEEN || state === OUT;

// What a line is once this verdict is given on it.
export const stateAfter = (verdict) => BECOMES[verdict];

// Whether a line takes the verdict; what was in the hand once stays told as it was.
export const takes = (state, verdict) =>
  verdict in BECOMES && (state === EXPECTED || state === NOT_PRESENTED);

// Whether 'not there' is said of an item that was in the hand in this very round.
export const contradicts = (states, verdict) =>
  BECOMES[verdict] === NOT_PRESENTED && states.some(isInHand);

// What the signature makes of a line: 'on the list' becomes 'not presented', never 'seen'.
export const atSigning = (state) => (state === EXPECTED ? NOT_PRESENTED : state);

// The lines after one more look; null where the verdict contradicts what was in the hand.
// `told` is what else the line keeps: the look, its moment, its verdict.
export function withLook(lines, key, verdict, told = {}) {
  const mine = lines.filter((line) => line.key === key);
  if (contradicts(mine.map((line) => line.state), verdict)) return null;
  const state = stateAfter(verdict);
  const begun = told.look && mine.find((line) => line.look === told.look);
  const taking = begun || mine.find((line) => takes(line.state, verdict));
  if (!taking) return [...lines, { key, state, listed: false, ...told }];
  return lines.map((line) => (line === taking ? { ...line, ...told, state } : line));
}

// The counts of a round, whatever the order of its lines. An item with several lines counts once,
// by the worst: no second look makes what is out good.
export function tally(lines) {
  const found = new Map();
  const listed = new Set(lines.filter((line) => line.listed).map((line) => line.key));
  for (const line of lines) found.set(line.key, [...(found.get(line.key) || []), line.state]);
  const worst = [...found].map(([key, states]) => [
    listed.has(key),
    WORST_FIRST.find((state) => states.includes(state)),
  ]);
  const count = (wanted) => worst.filter(([isListed, state]) => wanted(state, isListed)).length;
  const holding = (state) => [...found.values()].filter((states) => states.includes(state)).length;
  return {
    listed: listed.size,
    done: count((state, isListed) => isListed && isInHand(state)),
    out: count((state) => state === OUT),
    notSeen: count((state, isListed) => isListed && state === EXPECTED),
    notPresented: count((state) => state === NOT_PRESENTED),
    besides: count((state, isListed) => !isListed && isInHand(state)),
    unknown: holding(UNKNOWN),
    elsewhere: holding(ELSEWHERE),
  };
}

// '47 of 60, 2 out, 3 not seen, 1 not on the register', as an inspector calls it out.
export function tallyWords(found, say) {
  const said = [say("tally-done", found)];
  if (found.besides) said.push(say("tally-besides", { n: found.besides }, found.besides));
  said.push(say("tally-out", { n: found.out }), say("tally-not-seen", { n: found.notSeen }));
  if (found.notPresented) said.push(say("tally-not-presented", { n: found.notPresented }));
  if (found.unknown) said.push(say("tally-unknown", { n: found.unknown }));
  if (found.elsewhere) said.push(say("tally-elsewhere", { n: found.elsewhere }));
  return said.join(", ");
}

// Why the round cannot be signed, as a code; null where it can.
export function whyNotSigned({ isOpen, own, told, unwritten, stated }) {
  if (!isOpen) return "round-closed";
  if (!own) return "round-of-another";
  if (!told) return "nothing-done";
  if (unwritten) return "words-missing";
  return stated ? null : "not-stated";
}

// How long the passes took, from the scan to the verdict: the middle one in seconds, and how many
// were under QUICK; null before the first. Shown to the inspector, it judges nothing.
export function pace(lines) {
  const took = lines.filter((line) => line.took > 0).map((line) => line.took / 1000);
  if (!took.length) return null;
  const sorted = took.sort((a, b) => a - b);
  const half = Math.floor(sorted.length / 2);
  const middle = sorted.length % 2 ? sorted[half] : (sorted[half - 1] + sorted[half]) / 2;
  return { median: Math.round(middle), quick: sorted.filter((one) => one < QUICK).length };
}

const QUICK = 20; // seconds; as in inspections/rules/rounds.py
