// Reads the QR codes in one picture after another, away from the thread that draws the page.
// An ordinary worker: the decoder is a script of one piece, and it may not be there.

const OPTIONS = { formats: ["QRCode"], maxNumberOfSymbols: 4 };

async function prepare() {
  importScripts("decoder/reader.js");
  const here = new URL("decoder/zxing_reader.wasm", location.href).href; // and from nowhere else
  const overrides = { locateFile: () => here };
  await ZXingWASM.prepareZXingModule({ overrides, fireImmediately: true });
}

const prepared = prepare().then(
  () => true,
  () => false,
);
prepared.then((ready) => postMessage({ ready }));

// {text, x, y}: the middle of the code as parts of the picture, from 0 to 1.
function told({ text, position }, { width, height }) {
  const corners = [position.topLeft, position.topRight, position.bottomLeft, position.bottomRight];
  const middle = (name) => corners.reduce((sum, corner) => sum + corner[name], 0) / corners.length;
  return { text, x: middle("x") / width, y: middle("y") / height };
}

addEventListener("message", async ({ data: picture }) => {
  try {
    const found = await ZXingWASM.readBarcodes(picture, OPTIONS);
    const codes = found.filter((code) => code.isValid && code.text);
    postMessage({ codes: codes.map((code) => told(code, picture)) });
  } catch (error) {
    postMessage({ trouble: String(error) });
  }
});
