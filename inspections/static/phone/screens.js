// The screens by the first word of their address, #/NAME/...; a new one is a file and a line here.
// Each exports show(root, params): it fills root, and may return a function to call when it is left.

import * as arrest from "./screens/arrest.js";
import * as begin from "./screens/begin.js";
import * as event from "./screens/event.js";
import * as find from "./screens/find.js";
import * as finding from "./screens/finding.js";
import * as home from "./screens/home.js";
import * as item from "./screens/item.js";
import * as look from "./screens/look.js";
import * as notices from "./screens/notices.js";
import * as packs from "./screens/packs.js";
import * as queue from "./screens/queue.js";
import * as round from "./screens/round.js";
import * as rounds from "./screens/rounds.js";
import * as scan from "./screens/scan.js";
import * as sheets from "./screens/sheets.js";
import * as sign from "./screens/sign.js";
import * as stray from "./screens/stray.js";

export const SCREENS = {
  "": home,
  arrest,
  begin,
  event,
  find,
  finding,
  item,
  look,
  notices,
  packs,
  queue,
  round,
  rounds,
  scan,
  sheets,
  sign,
  stray,
};

// The bar under the thumb: the name of a screen and the code of its word.
export const BAR = [
  ["scan", "bar-scan"],
  ["rounds", "bar-rounds"],
  ["find", "bar-find"],
  ["queue", "bar-queue"],
];
