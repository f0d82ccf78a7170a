// The contents card of a kit: each piece scanned, typed or ticked, or the bag left shut, and its seal.

import { contentsProblem } from "./answering.js";
import { field, text, tick } from "./asking.js";
import { element } from "./dom.js";
import { scanPanel } from "./panel.js";
import { shown } from "./tags.js";
import { say } from "./words.js";

// {scan, fields, told(), problem(verdict), stop()}; `scan` has a form of its own and stands before the other.
export function contentsFields({ item, pack, kind }) {
  const pieces = item.card.filter(([, tag]) => tag);
  const rows = new Map(pieces.map(([role, tag]) => [tag, tick(pieceWords(role, tag, pack))]));
  const mayStayShut = kind === "kit-check" && item.sealed;
  const shut = tick(say("left-shut", { seal: item.seal ?? "" }));
  const seal = text(30);
  const scan = element("div", { class: "form" });
  const panel = ticking(scan, rows, pack);
  const labels = [...(mayStayShut ? [shut] : []), ...rows.values()].map(({ label }) => label);
  const told = () => ({
    seen: [...rows].filter(([, { input }]) => input.checked).map(([tag]) => tag),
    left_shut: Boolean(mayStayShut && shut.input.checked),
    seal: seal.value.trim(),
  });
  const problem = (verdict) => {
    const { seen, left_shut: leftShut } = told();
    const code = contentsProblem(verdict, kind, [...rows.keys()], { seen, leftShut, sealed: item.sealed });
    return code && say(`contents-${code}`);
  };
  return { scan, fields: shownFields(item, labels, seal), told, problem, stop: () => panel.stop() };
}

function shownFields(item, labels, seal) {
  const missing = item.card.filter(([, tag, required]) => required && !tag).map(([role]) => role);
  return element(
    "fieldset",
    { class: "group" },
    element("legend", {}, say("contents")),
    missing.length ? element("p", { class: "caution" }, say("card-lacks", { roles: missing.join(", ") })) : null,
    ...labels,
    field(say("new-seal"), seal, say("new-seal-help")),
  );
}

// A piece that is scanned or typed is ticked.
function ticking(scan, rows, pack) {
  const answer = element("p", { class: "answer", role: "status" });
  const panel = scanPanel(scan, {
    onCode: ({ code, text: typed }) => {
      const piece = rows.get(pack.old_tags[code] ?? code);
      if (piece) piece.input.checked = true;
      answer.textContent = say(piece ? "piece-ticked" : "piece-strange", { code: code ? shown(code) : typed });
    },
  });
  scan.append(answer);
  return panel;
}

function pieceWords(role, tag, pack) {
  const serial = pack.items[tag]?.serial;
  return [role, shown(tag), serial && say("serial-is", { serial })].filter(Boolean).join(", ");
}
