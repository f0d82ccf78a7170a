"""How long the phone itself takes over one item of a round, on a processor slowed four times.

    python3 manage.py demo --port 8113       # in another window
    .venv/bin/python tests/bench/bench_phone_round.py http://localhost:8113 [60]

Of each item: from the tag to its facts, and from PASS to the round that waits for the next tag; what
the inspector does between is not counted. Measured in the page, in Chromium, on the demo's site.
"""

from __future__ import annotations

import sys
from pathlib import Path
from statistics import median, quantiles

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from playwright.sync_api import Page, sync_playwright

SITE, USER, PASSWORD = "corrick", "huw", "hook-and-line"
SLOWER = 4
BEGUN = """async ([site]) => {
  const packs = await import('/static/phone/packs.js');
  const { pack } = await packs.take(site);
  const { begin } = await import('/static/phone/rounds.js');
  const { greet } = await import('/static/phone/contact.js');
  await greet();
  const codes = Object.keys(pack.items).filter((code) =>
    pack.items[code].condition === 'in-service' && !pack.items[code].is_kit && !pack.items[code].site);
  const id = await begin(pack, { kind: 'detailed', covers: false, chosen: 'all', codes: codes.slice(0, 400) });
  return [id, codes, Object.keys(pack.items).length];
}"""
TIMED = """async (codes) => {
  const until = (found) => new Promise((resolve) => {
    const look = () => { const one = found(); if (!one) return; watch.disconnect(); resolve(one); };
    const watch = new MutationObserver(look);
    watch.observe(document.getElementById('main'), { subtree: true, childList: true });
    look();
  });
  const input = () => document.querySelector('.scan-typed input');
  const pass = () => document.querySelector('.judge button.is-pass');
  const painted = () => new Promise((resolve) => requestAnimationFrame(() => setTimeout(resolve)));
  const took = [];
  for (const code of codes) {
    const field = await until(input);
    field.value = code;
    let began = performance.now();
    field.form.requestSubmit();
    const button = await until(pass);
    await painted();
    const facts = performance.now() - began;
    began = performance.now();
    button.click();
    await until(() => !pass() && input());
    await painted();
    took.push([facts, performance.now() - began]);
  }
  return took;
}"""


def main() -> None:
    base, count = sys.argv[1], int(sys.argv[2]) if len(sys.argv) > 2 else 60
    with sync_playwright() as started:
        browser = started.chromium.launch(
            executable_path="/usr/bin/chromium", args=["--headless", "--no-sandbox"]
        )
        page = browser.new_page(viewport={"width": 390, "height": 844})
        signed_in(page, base)
        found, codes, items = page.evaluate(BEGUN, [SITE])
        page.goto(f"{base}/phone/#/round/{found}")
        page.context.set_offline(True)
        devtools = page.context.new_cdp_session(page)
        for slower in (1, SLOWER):
            devtools.send("Emulation.setCPUThrottlingRate", {"rate": slower})
            some, codes = codes[:count], codes[count:]
            tell(f"{items} items in the pack, {slower} times slower", page.evaluate(TIMED, some))
        browser.close()


def signed_in(page: Page, base: str) -> None:
    page.goto(f"{base}/sign-in/")
    page.fill("[name=username]", USER)
    page.fill("[name=password]", PASSWORD)
    page.click("main button[type=submit]")
    page.goto(f"{base}/phone/")


def tell(what: str, took: list[tuple[float, float]]) -> None:
    print(what)  # noqa: T201
    whole = [facts + after for facts, after in took]
    rows = (("tag to facts", [f for f, _ in took]), ("PASS to next", [a for _, a in took]))
    for name, times in (*rows, ("both", whole)):
        worst = quantiles(times, n=20)[-1]
        print(f"  {name}: median {median(times):.0f} ms, 95 % under {worst:.0f} ms")  # noqa: T201


if __name__ == "__main__":
    main()
