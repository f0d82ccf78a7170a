// The screens by the first word of their address, #/NAME/...; a new one is a file and a line here.
// Each exports show(root, params): it fills root, and may return a function to call when it is left.

import * as home from "./screens/home.js";

export const SCREENS = {
  "": home,
};

// The bar under the thumb: the name of a screen and the code of its word.
export const BAR = [];
