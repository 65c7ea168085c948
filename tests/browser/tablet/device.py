"""A tablet: one browser with its own profile on the disk, that can be killed and started again."""

from __future__ import annotations

import os
import re
import signal
import time
from pathlib import Path

from playwright.sync_api import BrowserContext, ConsoleMessage, Error, Page, Playwright, expect

from tests.browser.conftest import CHROMIUM_FLAGS
from tests.browser.eyes import TABLET
from tests.browser.tablet.seed import PASSWORD

#: Tells every entry the page shows as saved, as soon as it does.
_WATCH = """
(() => {
  const told = new Set();
  const look = () => {
    for (const one of document.querySelectorAll("[data-saved]")) {
      for (const entry of one.dataset.saved.split(" ").filter(Boolean)) {
        if (told.has(entry)) continue;
        told.add(entry);
        console.debug(`shown as saved ${entry}`);
      }
    }
  };
  new MutationObserver(look).observe(document, { subtree: true, childList: true, attributes: true });
})();
"""


class Tablet:
    """Somebody's tablet. What it ever showed as saved is remembered outside of it."""

    def __init__(self, playwright: Playwright, profile: Path, url: str) -> None:
        self._playwright = playwright
        self.profile = profile
        self.url = url
        self.shown: set[str] = set()
        self.complaints: list[str] = []
        self.context: BrowserContext = self._start()
        self.page: Page = self.context.pages[0]

    def _start(self) -> BrowserContext:
        context = self._playwright.chromium.launch_persistent_context(
            self.profile,
            executable_path="/usr/bin/chromium",
            # With it, Chromium tells every page of 10 GB and takes no other word for it.
            args=[*CHROMIUM_FLAGS, "--disable-features=StaticStorageQuota"],
            viewport={"width": TABLET[0], "height": TABLET[1]},
            has_touch=True,
            is_mobile=True,
            reduced_motion="reduce",
            accept_downloads=True,
        )
        context.add_init_script(_WATCH)
        context.on("console", self._heard)
        context.on("weberror", lambda error: self.complaints.append(f"script: {error.error}"))
        return context

    def _heard(self, message: ConsoleMessage) -> None:
        kind, _, entry = message.text.rpartition(" ")
        if kind == "shown as saved":
            self.shown.add(entry)

    def sign_in(self, email: str) -> None:
        """Sign in on the login page and come to the tablet's page."""
        self.page.goto(f"{self.url}/account/login/?next=/tablet/")
        self.fill_in_login(email)

    def fill_in_login(self, email: str) -> None:
        """Fill the login page in and come back to the tablet's page."""
        self.page.locator("[name=login]").fill(email)
        self.page.locator("[name=password]").fill(PASSWORD)
        self.page.get_by_role("button", name="Sign in").click()
        expect(self.page).to_have_url(re.compile(rf"^{re.escape(self.url)}/tablet/"))

    def kill(self) -> None:
        """Take the battery out: every process of this browser ends at once."""
        mine = f"--user-data-dir={self.profile}".encode()
        for one in Path("/proc").glob("[0-9]*/cmdline"):
            try:
                if mine in one.read_bytes():
                    os.kill(int(one.parent.name), signal.SIGKILL)
            except (OSError, ProcessLookupError):
                continue
        end = time.monotonic() + 10
        while time.monotonic() < end and self.context.pages:
            try:
                self.page.wait_for_timeout(50)
            except Error:
                break

    def start_again(self) -> None:
        """Switch it on again after a kill, with what is on its disk."""
        for lock in self.profile.glob("Singleton*"):
            lock.unlink()
        self.context = self._start()
        self.page = self.context.pages[0]

    def close(self) -> None:
        """Switch it off properly."""
        self.context.close()
