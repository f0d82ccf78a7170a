// The tag in a photograph: read here where there is a decoder, else by the register where there is signal.

import { post } from "./contact.js";
import { addresses, element } from "./dom.js";
import { read } from "./tags.js";
import { say } from "./words.js";

const LONGEST = 2000; // pixels of a side, as the register takes them

// {text} of the one tag in the file, or {sentence} on why there is none.
export async function textInPhoto(file, reader) {
  const picture = await pictureOf(file).catch(() => null);
  if (!picture) return { sentence: say("photo-not-a-photo") };
  try {
    return oneOf(await reader.codes(picture));
  } catch {
    return askRegister(file);
  }
}

// Of two tags neither: which of them is in the hand cannot be known.
function oneOf(codes) {
  const texts = [...new Set(codes.map(({ text }) => text))];
  const tags = new Map(texts.map((text) => [read(text).code, text]));
  tags.delete(null);
  if (tags.size > 1) return { sentence: say("photo-several-tags") };
  const [text] = tags.size ? tags.values() : texts;
  return text ? { text } : { sentence: say("photo-nothing-read") };
}

async function pictureOf(file) {
  const image = await createImageBitmap(file);
  const scale = Math.min(1, LONGEST / Math.max(image.width, image.height));
  const size = [Math.round(image.width * scale), Math.round(image.height * scale)];
  const paper = element("canvas", { width: size[0], height: size[1] }).getContext("2d");
  paper.drawImage(image, 0, 0, ...size);
  image.close();
  return paper.getImageData(0, 0, ...size);
}

async function askRegister(file) {
  const body = new FormData();
  body.append("photo", file);
  try {
    const { text, sentence } = await post(addresses.photoRead, body);
    return text ? { text } : { sentence };
  } catch (error) {
    return { sentence: error.sentence ?? say("photo-no-answer") };
  }
}
