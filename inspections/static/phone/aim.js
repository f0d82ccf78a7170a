// What of a camera's picture is looked at, which of the codes in it is meant, and which is news.

const EDGE = 0.15; // outside the corners that the screen draws
const NEWS_AFTER = 1500; // ms out of view

// The part of the picture that its box shows, as `object-fit: cover` cuts it.
export function seenPart(picture, box) {
  const scale = Math.max(box.width / picture.width, box.height / picture.height);
  const [width, height] = [box.width / scale, box.height / scale];
  return { x: (picture.width - width) / 2, y: (picture.height - height) / 2, width, height };
}

// The text of the code nearest the middle, null where none stands within the corners: a tag at the
// edge is the neighbour of the one that is held up.
export function aimedAt(codes) {
  const within = (at) => at >= EDGE && at <= 1 - EDGE;
  const off = ({ x, y }) => Math.hypot(x - 0.5, y - 0.5);
  const meant = codes.filter(({ x, y }) => within(x) && within(y));
  return meant.sort((a, b) => off(a) - off(b))[0]?.text ?? null;
}

// A function that says whether a text is news: it was not in view within the last 1.5 seconds.
export function newsOnly() {
  const seen = new Map(); // text to the moment it was last in view
  return (text, now) => {
    const isNews = !(now - seen.get(text) < NEWS_AFTER);
    seen.set(text, now);
    return isNews;
  };
}
