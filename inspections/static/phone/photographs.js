// A photograph as evidence of a defect: made small, and without what the camera wrote beside it.

import { element } from "./dom.js";

const LONGEST = 1600; // pixels of a side
const QUALITY = 0.82;

// {sha256, blob} of a JPEG that is drawn anew, so that neither place nor time are in it. Throws where
// the file is no picture.
export async function plainPhotograph(file) {
  const image = await createImageBitmap(file, { imageOrientation: "from-image" });
  const scale = Math.min(1, LONGEST / Math.max(image.width, image.height));
  const [width, height] = [image.width, image.height].map((side) => Math.round(side * scale) || 1);
  const canvas = element("canvas", { width, height });
  canvas.getContext("2d").drawImage(image, 0, 0, width, height);
  image.close();
  const blob = await new Promise((resolve) => canvas.toBlob(resolve, "image/jpeg", QUALITY));
  if (!blob) throw new Error("photograph");
  return { sha256: await sha256(blob), blob };
}

async function sha256(blob) {
  const digest = await crypto.subtle.digest("SHA-256", await blob.arrayBuffer());
  return [...new Uint8Array(digest)].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}
