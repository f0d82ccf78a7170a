// Small comforts; every page works without them.

// The scan box takes the next scan: after a load, and after a part was exchanged.
function focusScanBox() {
  const box = document.querySelector("[data-scan]");
  const wrong = document.querySelector("[aria-invalid=true]");
  if (box && (!wrong || wrong === box)) {
    box.focus();
    box.select();
  }
}

// The phone's menu closes on Escape and on a touch elsewhere.
function closeMenu(event) {
  const menu = document.querySelector(".menu[open]");
  if (!menu) return;
  if (event.type === "keydown" && event.key === "Escape") {
    menu.open = false;
    menu.querySelector("summary").focus();
  } else if (event.type === "click" && !menu.contains(event.target)) {
    menu.open = false;
  }
}

// What is written on the phone's pages and not sent yet can only be sent by who is signed in.
function keepSignedIn(event) {
  const page = event.target.dataset.unsent;
  if (!page || !Number(localStorage.getItem("tallyhook-unsent"))) return;
  event.preventDefault();
  location.assign(page);
}

focusScanBox();
document.addEventListener("submit", keepSignedIn);
document.addEventListener("htmx:afterSettle", focusScanBox);
document.addEventListener("keydown", closeMenu);
document.addEventListener("click", closeMenu);
