// Tag codes as a scanner or a thumb gives them: the same rule as register/rules/tags.py.

const ISO_ORDER = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"; // ISO 7064 MOD 37,36, values 0 to 35
const ALPHABET = "23456789CDFHJKMNPRTVWXY";
const LENGTH = 7;
const LOOK_ALIKES = { Z: "2", S: "5", G: "6", B: "8", U: "V" };
const SEPARATORS = /[\s\u001c-\u001f\u0085\-‐‑‒–—―−_]/g;
const TAG_ADDRESS = /(?:^|\/)T\/([^/?#]*)(?:\/([^/?#]*))?\/*(?:[?#].*)?$/;

export function checkCharacter(body) {
  let product = 36;
  for (const mark of body) {
    const total = (product + ISO_ORDER.indexOf(mark)) % 36 || 36;
    product = (total * 2) % 37;
  }
  return ISO_ORDER[(37 - product) % 36];
}

const isSound = (code) => checkCharacter(code.slice(0, -1)) === code.slice(-1);

// A code we give out: sound, easy to read, and no swap of neighbours in it would pass.
export function isGiveable(code) {
  if (code.length !== LENGTH || [...code].some((mark) => !ALPHABET.includes(mark))) return false;
  return isSound(code) && !neighboursSwapped(code).some(isSound);
}

function neighboursSwapped(code) {
  return [...code.slice(0, -1)]
    .map((mark, at) => code.slice(0, at) + code[at + 1] + mark + code.slice(at + 2))
    .filter((swapped) => swapped !== code);
}

// {code, secret, problem}: a sound code, or the problem "mistyped", "not-a-tag" or "empty".
export function read(text) {
  const plain = text.normalize("NFKC").trim().toUpperCase();
  if (!plain) return { code: null, secret: null, problem: "empty" };
  const address = TAG_ADDRESS.exec(plain);
  const typed = (address ? address[1] : plain).replace(SEPARATORS, "");
  const code = [...typed].map((mark) => LOOK_ALIKES[mark] ?? mark).join("");
  if (isGiveable(code)) return { code, secret: address?.[2] || null, problem: null };
  const nearly = /^[0-9A-Z]*$/i.test(code) && Math.abs(code.length - LENGTH) <= 2;
  return { code: null, secret: null, problem: address || nearly ? "mistyped" : "not-a-tag" };
}

// In two groups, as printed and read aloud: "H7K-2PD3".
export const shown = (code) => `${code.slice(0, 3)}-${code.slice(3)}`;
