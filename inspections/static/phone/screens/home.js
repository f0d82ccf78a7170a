// The first screen: a code to type, and what the phone carries.

import { timeWords } from "../days.js";
import { answerLine, element, field, link, to } from "../dom.js";
import { list } from "../packs.js";
import { read } from "../tags.js";
import { say } from "../words.js";

export async function show(root) {
  const packs = await list();
  root.append(
    element("h1", {}, say("home")),
    codeForm(),
    element("h2", {}, say("carried")),
    packs.length ? element("ul", { class: "lines" }, packs.map(line)) : element("p", {}, say("carries-nothing")),
    element(
      "div",
      { class: "acts" },
      link(say("manage-packs"), to("packs"), { class: packs.length ? "button" : "button is-primary" }),
      packs.length ? link(say("see-sheets"), to("sheets"), { class: "button" }) : null,
      link(say("to-office"), "/", { class: "button" }),
    ),
  );
}

function line({ pack }) {
  const count = Object.keys(pack.items).length;
  const when = timeWords(Date.parse(pack.made_at), pack.site.zone);
  return element(
    "li",
    {},
    element("b", {}, pack.site.name),
    element("span", {}, say("items-of-site", {}, count)),
    element("span", {}, say("as-of", { when })),
  );
}

// A code that is typed, checked here by its check character, leads to the item.
export function codeForm() {
  const input = element("input", {
    id: "code",
    autocomplete: "off",
    autocapitalize: "characters",
    spellcheck: "false",
    enterkeyhint: "go",
    class: "code",
  });
  const answer = answerLine();
  const go = (event) => {
    event.preventDefault();
    const { code, secret, problem } = read(input.value);
    if (code) location.href = to("item", code, ...(secret ? [secret] : []));
    else answer.textContent = say(problem, { text: input.value.trim().slice(0, 40) });
  };
  return element(
    "form",
    { class: "form", on: { submit: go } },
    field(say("code-label"), input, say("code-help")),
    element("button", { type: "submit", class: "is-primary" }, say("code-go")),
    answer,
  );
}
