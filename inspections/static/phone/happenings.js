// What an arrested fall or another event puts out of use on this phone, at once and as far as its pack
// knows; the register finds the rest. The rule is that of inspections/actions/arresting.py.

// All tags that are out after a fall. told: {items, wearer, others, zone, rescue_kit}.
export function outAfterFall(pack, { items: codes, wearer, others, zone, rescue_kit: rescue }) {
  const { items, arrests } = pack;
  const every = Object.keys(items);
  const named = withContents(pack, codes);
  const classes = codes.map((code) => items[code]?.class);
  const has = (kinds) => classes.some((one) => kinds.includes(one));
  const had = (people) => every.filter((code) => people.includes(items[code].held_by));
  const isWhole = has(arrests.worn) && has(arrests.links);
  const anchors = zone && !has(arrests.anchors)
    ? every.filter((code) => items[code].zone === zone && arrests.anchors.includes(items[code].class)) : [];
  const kit = rescue ? every.filter((code) => items[code].is_kit === rescue || items[code].kit === rescue) : [];
  const worn = wearer && !isWhole ? had([wearer]) : [];
  return [...new Set([...named, ...worn, ...anchors, ...had(others), ...kit])];
}

// These, and where a bag is among them all that is in it.
export function withContents({ items }, codes) {
  const bags = codes.map((code) => items[code]?.is_kit).filter(Boolean);
  const inside = Object.keys(items).filter((code) => bags.includes(items[code].kit));
  return [...new Set([...codes, ...inside])];
}
