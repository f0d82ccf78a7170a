// What reads codes in a picture: the decoder in its worker, else the browser's own, else nothing.

const FORMATS = ["qr_code"]; // as BarcodeDetector calls them

// {codes(picture), end()}: codes of an ImageData as [{text, x, y}]. Rejects with "no-decoder" where
// nothing here can read, with "decoder-failed" where it broke down: then end it and open another.
// One picture is in work at a time, the others wait for their turn.
export function openReader() {
  const worker = new Worker(new URL("reading.worker.js", import.meta.url));
  const way = nextWord(worker).then(
    ({ ready }) => (ready ? (picture) => asked(worker, picture) : ownReader()),
    ownReader,
  );
  way.catch(() => {}); // told to each who asks for codes
  let turn = Promise.resolve();
  return {
    codes(picture) {
      const answer = turn.then(async () => (await way)(picture));
      turn = answer.catch(() => {});
      return answer;
    },
    end: () => worker.terminate(),
  };
}

async function asked(worker, picture) {
  const word = nextWord(worker);
  const { width, height, data } = picture;
  worker.postMessage({ width, height, data }, [data.buffer]);
  const { codes, trouble } = await word;
  if (codes) return codes;
  console.warn(trouble);
  throw new Error("decoder-failed");
}

function nextWord(worker) {
  return new Promise((resolve, reject) => {
    worker.onmessage = ({ data }) => resolve(data);
    worker.onerror = (event) => {
      event.preventDefault();
      reject(new Error("no-decoder"));
    };
  });
}

async function ownReader() {
  const known = await globalThis.BarcodeDetector?.getSupportedFormats();
  if (!known?.includes(FORMATS[0])) throw new Error("no-decoder");
  const detector = new BarcodeDetector({ formats: FORMATS });
  return async (picture) => {
    const found = await detector.detect(picture);
    return found.map(({ rawValue, boundingBox: box }) => ({
      text: rawValue,
      x: (box.x + box.width / 2) / picture.width,
      y: (box.y + box.height / 2) / picture.height,
    }));
  };
}
