// The screens by the first word of their address, #/NAME/...; a new one is a file and a line here.
// Each exports show(root, params): it fills root, and may return a function to call when it is left.

import * as find from "./screens/find.js";
import * as home from "./screens/home.js";
import * as item from "./screens/item.js";
import * as packs from "./screens/packs.js";
import * as queue from "./screens/queue.js";
import * as scan from "./screens/scan.js";
import * as sheets from "./screens/sheets.js";

export const SCREENS = {
  "": home,
  find,
  item,
  packs,
  queue,
  scan,
  sheets,
};

// The bar under the thumb: the name of a screen and the code of its word.
export const BAR = [
  ["scan", "bar-scan"],
  ["find", "bar-find"],
  ["queue", "bar-queue"],
];
