// What the hand and the ear are told: one short high tone and tap for good, two long low ones for bad.

const GOOD = { taps: [60], tones: [[1320, 0, 0.09]] }; // tones: hertz, begins, lasts (seconds)
const BAD = {
  taps: [280, 120, 280],
  tones: [
    [220, 0, 0.28],
    [165, 0.36, 0.34],
  ],
};
const LOUD = 0.5;
const EDGES = 0.015; // seconds to swell and fade, so that it does not crack

let sound = null;

// Browsers let a page sound only after a touch, and hush it while it is out of sight: any touch wakes it.
function wake() {
  if (!sound && "AudioContext" in globalThis) sound = new AudioContext();
  if (sound && sound.state !== "running") sound.resume().catch(() => {});
}
for (const touch of ["pointerdown", "keydown"]) addEventListener(touch, wake);

export const good = () => signal(GOOD);
export const bad = () => signal(BAD);

function signal({ taps, tones }) {
  navigator.vibrate?.(taps);
  if (sound?.state === "running") tones.forEach(play);
}

function play([hertz, begins, lasts]) {
  const [from, until] = [sound.currentTime + begins, sound.currentTime + begins + lasts];
  const tone = new OscillatorNode(sound, { type: hertz < 400 ? "square" : "sine", frequency: hertz });
  const loudness = new GainNode(sound, { gain: 0 });
  loudness.gain.setTargetAtTime(LOUD, from, EDGES);
  loudness.gain.setTargetAtTime(0, until - 2 * EDGES, EDGES);
  tone.connect(loudness).connect(sound.destination);
  tone.start(from);
  tone.stop(until + 4 * EDGES);
}
