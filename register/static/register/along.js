// One stop of the Tab key for each line: the arrows walk its days. Without this every day is a stop.

function walk(event) {
  const days = [...event.currentTarget.querySelectorAll("a")];
  const here = days.indexOf(document.activeElement);
  const next = {
    ArrowLeft: here - 1,
    ArrowRight: here + 1,
    Home: 0,
    End: days.length - 1,
  }[event.key];
  if (here < 0 || next === undefined || !days[next]) return;
  event.preventDefault();
  days[here].tabIndex = -1;
  days[next].tabIndex = 0;
  days[next].focus();
}

for (const line of document.querySelectorAll("[data-roving]")) {
  const days = [...line.querySelectorAll("a")];
  const first = days.find((day) => day.hasAttribute("aria-current")) ?? days[0];
  for (const day of days) day.tabIndex = day === first ? 0 : -1;
  line.addEventListener("keydown", walk);
}
