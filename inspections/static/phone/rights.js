// Whether the look of whoever loaded the pack would count, told beforehand; nothing is held up by it.

const MOVES_NOTHING = ["pre-use", "sighting"];

// Why not, as a code; '' where it would. The register judges again: it also knows who had it last.
export function whyItWouldNotCount(pack, item, kind, day) {
  if (!pack.user.person) return "no-inspector";
  if (MOVES_NOTHING.includes(kind)) return "kind-moves-nothing";
  const given = pack.authorisations.some(
    (one) =>
      one.from <= day &&
      day <= one.through &&
      (!one.classes.length || one.classes.includes(item.class)) &&
      (!one.kinds.length || one.kinds.includes(kind)),
  );
  if (!given) return "not-authorised";
  return item.held_by === pack.user.person ? "holds-the-item" : "";
}

// The last good day were it passed today; null where no clock of this kind runs or it stays unknown.
export function goodUntilIfPassed(pack, item, { kind, covers_periodic: covers }, day) {
  const passing = item.if_passed ?? {};
  const lasts = (covers && passing[`${kind}+periodic`]) || passing[kind];
  return lasts?.[pack.days.indexOf(day)] ?? null;
}
