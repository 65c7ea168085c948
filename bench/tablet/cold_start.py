"""How soon the app shows the jobs when the browser has just been started, without a network and with one."""

from __future__ import annotations

import shutil
import statistics
import tempfile
from collections.abc import Iterator
from pathlib import Path

from playwright.sync_api import BrowserContext, Page, Playwright, expect, sync_playwright

from bench.tablet.house import House, shop_password
from bench.tablet.served import web_server

#: A sandbox needs rights that root in a container has not.
_FLAGS = ["--no-sandbox", "--disable-gpu", "--disable-background-networking", "--disable-component-update"]
#: A crew's week.
JOBS = 6
#: In milliseconds.
_PATIENCE = 30_000
#: Notes when these words are first on the page, counted from the beginning of the navigation.
_WATCH = """
(() => {
  const words = %r;
  const look = () => {
    if (window.shownAfter === undefined && document.body?.innerText.includes(words)) {
      window.shownAfter = performance.now();
    }
  };
  new MutationObserver(look).observe(document, { subtree: true, childList: true, characterData: true });
})();
"""


def chromium() -> str | None:
    """Return the browser, if there is one."""
    return shutil.which("chromium")


def cold_start_report(house: House, *, port: int, repeats: int) -> Iterator[str]:
    """Yield how long the jobs take to show."""
    program = chromium()
    if program is None:
        yield "Nothing on the app's start: there is no Chromium; on Debian: sudo apt-get install chromium"
        return
    jobs = [house.job() for _ in range(JOBS)]
    words, email = jobs[0].installation.site.customer.name, house.installer.email
    with tempfile.TemporaryDirectory(prefix="fluewright-bench-") as folder, sync_playwright() as playwright:
        tablet = _Tablet(playwright, program, Path(folder), port, words)
        with web_server(port):
            tablet.fetch_jobs(email)
            with_network = statistics.median(tablet.opens() for _ in range(repeats))
        without = statistics.median(tablet.opens() for _ in range(repeats))
    yield f"The app opened in a browser just started, until its {JOBS} jobs show:"
    ratio = without / with_network
    yield f"{without:.0f} ms without a network, {with_network:.0f} ms with one ({ratio:.0%} of it)."


class _Tablet:
    """A browser that keeps its profile and is started anew for each opening."""

    def __init__(self, playwright: Playwright, program: str, profile: Path, port: int, words: str) -> None:
        self._playwright = playwright
        self._program = program
        self._profile = profile
        self._site = f"http://127.0.0.1:{port}"
        self._words = words

    def fetch_jobs(self, email: str) -> None:
        """Sign in once and wait until worker and jobs are on the tablet."""
        context = self._started()
        page = context.pages[0]
        page.goto(f"{self._site}/account/login/")
        page.get_by_label("Email").fill(email)
        page.get_by_label("Password").fill(shop_password())
        page.get_by_role("button", name="Sign in").click()
        page.wait_for_url(lambda address: "login" not in address)
        page.goto(f"{self._site}/tablet/")
        page.evaluate("navigator.serviceWorker.ready.then(() => true)")
        self._jobs_show(page)
        context.close()

    def opens(self) -> float:
        """Start the browser, open the app; when the jobs show, counted from the opening [ms]."""
        context = self._started()
        context.add_init_script(_WATCH % self._words)
        page = context.pages[0]
        page.goto(f"{self._site}/tablet/")
        self._jobs_show(page)
        shown: float = page.evaluate("window.shownAfter")
        context.close()
        return shown

    def _jobs_show(self, page: Page) -> None:
        expect(page.get_by_role("link", name=self._words)).to_have_count(JOBS, timeout=_PATIENCE)

    def _started(self) -> BrowserContext:
        return self._playwright.chromium.launch_persistent_context(
            self._profile, executable_path=self._program, args=_FLAGS
        )
