// Several items named one after the other, scanned or typed; what no pack knows is kept as its code.

import { button, element } from "./dom.js";
import { scanPanel } from "./panel.js";
import { bad, good } from "./signals.js";
import { shown } from "./tags.js";
import { className, say } from "./words.js";

// {fields, codes(), stop()}; it has a form of its own, so it stands outside any other.
export function gathered(pack) {
  const codes = new Set();
  const list = element("ul", { class: "lines" });
  const answer = element("p", { class: "answer", role: "status" });
  const scan = element("div", { class: "form" });
  const panel = scanPanel(scan, { onCode: ({ code, problem, text }) => take(code, problem, text) });
  function take(code, problem, text) {
    if (!code) {
      bad();
      answer.textContent = say(problem, { text });
      return;
    }
    good();
    codes.add(pack.old_tags[code] ?? code);
    answer.textContent = say("gathered", { code: shown(code) });
    list.replaceChildren(...[...codes].map(line));
  }
  function line(code) {
    const item = pack.items[code];
    const words = item ? `${className(item.class)}, ${item.name}` : say("gathered-strange");
    const drop = () => {
      codes.delete(code);
      list.replaceChildren(...[...codes].map(line));
    };
    return element("li", {}, element("b", { class: "code" }, shown(code)), element("span", {}, words),
      button(say("gathered-drop", { code: shown(code) }), drop));
  }
  const fields = element("fieldset", { class: "group" }, element("legend", {}, say("gather")), scan, answer, list);
  return { fields, codes: () => [...codes], stop: () => panel.stop() };
}
