// Every sentence of the phone, as the server gives them; no other module holds one.

import { addresses } from "./dom.js";

let told = { language: "en", words: {}, phrases: {}, reasons: [] };
let plural = new Intl.PluralRules("en");

// Ask for the words once; the worker answers where there is no signal.
export async function loadWords() {
  const reply = await fetch(addresses.words);
  told = await reply.json();
  plural = new Intl.PluralRules(told.language);
}

// The sentence of the code; %(name)s in it becomes facts.name. With a count, its form for that number.
export function say(code, facts = {}, count = null) {
  const word = told.words[code];
  if (word === undefined) return code;
  const text = typeof word === "string" ? word : formFor(word, count ?? facts.n ?? 0);
  const filled = count === null ? facts : { n: count, ...facts };
  return text.replace(/%\((\w+)\)[sd]|%%/g, (found, name) =>
    name ? String(filled[name] ?? "") : "%",
  );
}

// Forms come by sample numbers: the one whose number counts as this one does.
function formFor(forms, count) {
  const alike = Object.keys(forms).find((n) => plural.select(Number(n)) === plural.select(count));
  return forms[alike] ?? Object.values(forms).pop();
}

// [what is said, what to do] by the phone's own code of a verdict.
export const phrase = (code) => told.phrases[code] ?? [code, ""];
export const className = (slug) => say(`class-${slug}`);
export const classes = () =>
  Object.keys(told.words).filter((code) => code.startsWith("class-")).map((code) => code.slice(6));
export const kindName = (kind) => say(`kind-${kind}`);
export const verdictName = (verdict) => say(`verdict-${verdict}`);
// [{slug, name}] of what somebody on site can see to be wrong.
export const reasons = () => told.reasons.map((slug) => ({ slug, name: say(`reason-${slug}`) }));
export const language = () => told.language;
