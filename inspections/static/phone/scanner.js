// The camera, read again and again: what is held within the corners is told once, and the next follows.

import { aimedAt, newsOnly, seenPart } from "./aim.js";
import { element } from "./dom.js";
import { openReader } from "./reading.js";

const WANTED = {
  audio: false,
  video: { facingMode: { ideal: "environment" }, width: { ideal: 1280 }, height: { ideal: 720 } },
};
const WIDEST = 960; // pixels of a picture that is read
const BREATH = 50; // ms between two pictures, so that the phone stays cool
const TROUBLES = {
  NotAllowedError: "camera-refused",
  SecurityError: "camera-refused",
  NotFoundError: "no-camera",
  OverconstrainedError: "no-camera",
};

// A scanner in the host: {stop(), pause(), resume(), torch(on), hasTorch, reader}. onText(text) is told
// each text that is news; onTrouble(code) why the camera does not read; onReady() that it does.
export function openScanner(host, { onText, onTrouble, onReady = () => {} }) {
  return new Scanner(host, { onText, onTrouble, onReady });
}

class Scanner {
  #video = element("video", { muted: true, playsinline: true, "aria-hidden": "true" });
  #paper = element("canvas").getContext("2d", { willReadFrequently: true });
  #isNews = newsOnly();
  #told;
  #stream = null;
  #paused = false;
  #last = null; // what was told last
  #turn = 0; // what was begun in an earlier turn is of no account
  #seen = () => (document.hidden ? this.#close() : this.#begin());
  reader = openReader();

  constructor(host, told) {
    this.#told = told;
    this.#video.muted = true; // the attribute alone does not silence a video made in code
    host.append(this.#video);
    document.addEventListener("visibilitychange", this.#seen);
    if (!document.hidden) this.#begin();
  }

  pause() {
    this.#paused = true;
  }

  // Read on; also tries again for a camera that was refused or lost. What was told before the pause and
  // is held up still is no news; a video that was taken off the page and put back stands still.
  resume() {
    this.#paused = false;
    if (this.#last !== null) this.#isNews(this.#last, performance.now());
    if (this.#stream) this.#video.play().catch(() => {});
    if (!this.#stream && !document.hidden) this.#begin();
  }

  stop() {
    document.removeEventListener("visibilitychange", this.#seen);
    this.#close();
    this.reader.end();
    this.#video.remove();
  }

  get #track() {
    return this.#stream?.getVideoTracks()[0];
  }

  get hasTorch() {
    return Boolean(this.#track?.getCapabilities?.().torch);
  }

  async torch(on) {
    await this.#track?.applyConstraints({ advanced: [{ torch: on }] });
  }

  async #begin() {
    this.#close();
    const turn = this.#turn;
    const { stream, trouble } = await askForCamera();
    if (turn !== this.#turn) return void (stream && endTracks(stream));
    if (trouble) return void this.#told.onTrouble(trouble);
    this.#stream = stream;
    this.#track.addEventListener("ended", () => turn === this.#turn && this.#fail("camera-busy"));
    this.#video.srcObject = stream;
    await this.#video.play().catch(() => {});
    if (turn !== this.#turn) return;
    this.#told.onReady();
    this.#watch(turn);
  }

  #close() {
    this.#turn += 1;
    if (this.#stream) endTracks(this.#stream);
    this.#stream = this.#video.srcObject = null;
  }

  #fail(code) {
    this.#close();
    this.#told.onTrouble(code);
  }

  #renewReader() {
    this.reader.end();
    this.reader = openReader();
  }

  async #watch(turn) {
    while (turn === this.#turn) {
      try {
        await this.#look(turn);
      } catch (error) {
        this.#renewReader();
        if (turn === this.#turn) this.#fail(error.message);
      }
      await new Promise((resolve) => setTimeout(resolve, BREATH));
    }
  }

  async #look(turn) {
    const picture = this.#paused ? null : this.#picture();
    if (!picture) return;
    const text = aimedAt(await this.reader.codes(picture));
    if (text === null || turn !== this.#turn || this.#paused) return;
    if (!this.#isNews(text, performance.now())) return;
    this.#last = text;
    this.#told.onText(text);
  }

  // What the screen shows of the camera now, no wider than it need be; null before the first picture.
  #picture() {
    const { videoWidth: width, videoHeight: height, clientWidth, clientHeight } = this.#video;
    if (!width || !clientWidth) return null;
    const part = seenPart({ width, height }, { width: clientWidth, height: clientHeight });
    const scale = Math.min(1, WIDEST / part.width);
    const size = [Math.round(part.width * scale), Math.round(part.height * scale)];
    const { canvas } = this.#paper;
    if (canvas.width !== size[0] || canvas.height !== size[1]) [canvas.width, canvas.height] = size;
    this.#paper.drawImage(this.#video, part.x, part.y, part.width, part.height, 0, 0, ...size);
    return this.#paper.getImageData(0, 0, ...size);
  }
}

async function askForCamera() {
  if (!globalThis.isSecureContext) return { trouble: "camera-needs-https" };
  if (!navigator.mediaDevices?.getUserMedia) return { trouble: "no-camera" };
  try {
    return { stream: await navigator.mediaDevices.getUserMedia(WANTED) };
  } catch (error) {
    return { trouble: TROUBLES[error.name] ?? "camera-busy" };
  }
}

const endTracks = (stream) => stream.getTracks().forEach((track) => track.stop());
