// Days and moments as a site counts them. A phone compares days; it never works a date out.

import { say } from "./words.js";

const two = (number) => String(number).padStart(2, "0");

function partsAt(ms, zone) {
  const format = new Intl.DateTimeFormat("en-GB", {
    timeZone: zone,
    hourCycle: "h23",
    year: "numeric",
    month: "2-digit",
    day: "2-digit",
    hour: "2-digit",
    minute: "2-digit",
  });
  return Object.fromEntries(format.formatToParts(ms).map(({ type, value }) => [type, value]));
}

// The day it is at the moment in the zone: "2026-03-09".
export function dayAt(ms, zone) {
  const { year, month, day } = partsAt(ms, zone);
  return `${year}-${month}-${day}`;
}

// "14 Aug 2026"
export function dayWords(iso) {
  const [year, month, day] = iso.split("-").map(Number);
  return say("day", { year, month: say(`month-${month}`), day });
}

// "07:02, 9 Mar 2026", by the clock of the zone; without one, of the phone.
export function timeWords(ms, zone) {
  const { year, month, day, hour, minute } = partsAt(ms, zone);
  return say("moment", { time: `${hour}:${minute}`, day: dayWords(`${year}-${month}-${day}`) });
}

// A moment as the register reads it: with the zone of the phone, "2026-03-09T07:02:11.000+01:00".
export function isoMoment(ms) {
  const offset = -new Date(ms).getTimezoneOffset();
  const local = new Date(ms + offset * 60_000).toISOString().slice(0, -1);
  const [hours, minutes] = [Math.floor(Math.abs(offset) / 60), Math.abs(offset) % 60];
  return `${local}${offset < 0 ? "-" : "+"}${two(hours)}:${two(minutes)}`;
}
