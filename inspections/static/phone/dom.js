// Elements made in code. Text goes in as text and never as markup.

// The addresses of the server, as the page gives them.
export const addresses = document.body.dataset;

// element("p", {class: "lead"}, "text", otherElement). `on` holds listeners; what is null is left out.
export function element(tag, attributes = {}, ...children) {
  const made = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (name === "on") listen(made, value);
    else if (value === true) made.setAttribute(name, "");
    else if (value !== null && value !== undefined && value !== false)
      made.setAttribute(name, value);
  }
  made.append(...children.flat().filter((child) => child !== null && child !== undefined));
  return made;
}

function listen(made, listeners) {
  for (const [type, listener] of Object.entries(listeners)) made.addEventListener(type, listener);
}

// A copy of what stands in the page's <template> with this id.
export const drawing = (id) => document.getElementById(id).content.firstElementChild.cloneNode(true);

// The address of a screen: to("item", code) is "/phone/#/item/CODE".
export const to = (...parts) => `${addresses.page}#/${parts.map(encodeURIComponent).join("/")}`;

export function link(text, href, attributes = {}, children = []) {
  return element("a", { href, ...attributes }, text, children);
}

// A tap while the one before it is still at work is the same tap: a glove taps twice.
export function button(text, press, attributes = {}) {
  let atWork = false;
  const click = async (event) => {
    if (atWork) return;
    atWork = true;
    try {
      await press(event);
    } finally {
      atWork = false;
    }
  };
  return element("button", { type: "button", on: { click }, ...attributes }, text);
}

// A field with its label and help, the same marks as the office pages have.
export function field(label, input, help = "") {
  const id = input.id || `f-${Math.random().toString(36).slice(2)}`;
  input.id = id;
  if (help) input.setAttribute("aria-describedby", `${id}-help`);
  return element(
    "div",
    { class: "field" },
    element("label", { for: id }, label),
    input,
    help ? element("p", { class: "help", id: `${id}-help` }, help) : null,
  );
}

// A line in which a screen answers; it is read out when it changes.
export const answerLine = () => element("p", { class: "answer", role: "status" });
