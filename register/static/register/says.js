// Keeps each box of a form in step with what is said beside it, where a part of the page comes anew.

function inStep(says) {
  const box = document.querySelector(`[name="${CSS.escape(says.id.replace("says-", ""))}"]:not([type=hidden])`);
  if (!box) return;
  if (says.querySelector(".errors")) box.setAttribute("aria-invalid", "true");
  else box.removeAttribute("aria-invalid");
  const told = [...says.querySelectorAll("[id]")].map((one) => one.id);
  if (told.length) box.setAttribute("aria-describedby", told.join(" "));
  else box.removeAttribute("aria-describedby");
}

document.body.addEventListener("htmx:afterSettle", () => {
  for (const says of document.querySelectorAll(".says")) inStep(says);
});
