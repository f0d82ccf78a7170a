// Where a code comes in: the camera, and always a field to type it; a photograph where the camera fails.

import { answerLine, button, element, field } from "./dom.js";
import { textInPhoto } from "./photo.js";
import { openScanner } from "./scanner.js";
import { read } from "./tags.js";
import { say } from "./words.js";

const NO_RETRY = new Set(["no-camera", "camera-needs-https"]);
const LONGEST_SHOWN = 40;

// A panel at the end of the host. onCode({code, secret, problem, text}) is told whatever was read, a
// problem in place of a code where it is no tag's. Gives {answer, pause(), resume(), stop()}: `answer`
// is an empty place between camera and field, for what the screen says; stop() when it is left.
export function scanPanel(host, { onCode }) {
  const parts = new Parts((text) => onCode({ ...read(text), text: text.trim().slice(0, LONGEST_SHOWN) }));
  host.append(parts.camera, parts.trouble, parts.answer, parts.typed, parts.photo);
  const scanner = openScanner(parts.view, {
    onText: parts.told,
    onTrouble: (code) => parts.showTrouble(code, () => scanner.resume()),
    onReady: () => parts.showCamera(scanner),
  });
  parts.scanner = scanner;
  const { answer } = parts;
  return {
    answer,
    pause: () => scanner.pause(),
    resume: () => scanner.resume(),
    stop: () => scanner.stop(),
  };
}

class Parts {
  view = element("div", { class: "scan-view", role: "img", "aria-label": say("scan-view") });
  camera = element("div", { class: "scan-camera bleed" }, this.view, element("div", { class: "scan-aim" }));
  trouble = element("div", { class: "scan-trouble", role: "status" });
  answer = element("div", { class: "scan-answer" });
  scanner = null;

  constructor(told) {
    this.told = told;
    this.typed = typedForm(told);
    this.photo = photoButton((file, line) => this.#photograph(file, line));
    this.photo.hidden = true;
  }

  showCamera(scanner) {
    this.trouble.replaceChildren();
    this.photo.hidden = true;
    this.camera.hidden = false;
    this.camera.querySelector("button")?.remove();
    if (scanner.hasTorch) this.camera.append(torchButton(scanner));
  }

  showTrouble(code, again) {
    this.camera.hidden = true;
    this.photo.hidden = false;
    const retry = NO_RETRY.has(code) ? null : button(say("scan-retry"), again);
    this.trouble.replaceChildren(element("p", {}, say(code)), ...(retry ? [retry] : []));
  }

  async #photograph(file, line) {
    line.textContent = say("photo-reading");
    const { text, sentence } = await textInPhoto(file, this.scanner.reader);
    line.textContent = sentence ?? "";
    if (text) this.told(text);
  }
}

function torchButton(scanner) {
  const press = async () => {
    const on = light.getAttribute("aria-pressed") !== "true";
    await scanner.torch(on).catch(console.warn);
    light.setAttribute("aria-pressed", String(on));
  };
  const light = button(say("scan-light"), press, { class: "scan-light", "aria-pressed": "false" });
  return light;
}

// A scanner at a cable or by radio types here too, and ends with Enter.
function typedForm(told) {
  const input = element("input", {
    autocomplete: "off",
    autocapitalize: "characters",
    spellcheck: "false",
    enterkeyhint: "go",
    class: "code",
  });
  const line = answerLine();
  line.classList.add("is-bad");
  const submit = (event) => {
    event.preventDefault();
    const { code, problem } = read(input.value);
    line.textContent = code ? "" : say(problem, { text: input.value.trim().slice(0, LONGEST_SHOWN) });
    if (!code) return input.select();
    told(input.value);
    input.value = "";
  };
  const row = [field(say("code-label"), input), element("button", { type: "submit" }, say("scan-read"))];
  return element("form", { class: "scan-typed", on: { submit } }, ...row, line);
}

function photoButton(taken) {
  const input = element("input", { type: "file", accept: "image/jpeg,image/png" });
  const line = answerLine();
  input.addEventListener("change", async () => {
    const [file] = input.files;
    input.value = "";
    if (file) await taken(file, line);
  });
  return element("div", { class: "scan-photo" }, field(say("scan-photo"), input), line);
}
