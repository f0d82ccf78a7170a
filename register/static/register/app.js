// Two small comforts; every page works without them.

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

focusScanBox();
document.addEventListener("htmx:afterSettle", focusScanBox);
document.addEventListener("keydown", closeMenu);
document.addEventListener("click", closeMenu);
