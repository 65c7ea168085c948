"""Looks at every page the way a careful person would: can everybody use it, does it fit, does it complain?"""

from __future__ import annotations

import os
from pathlib import Path

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import (
    Browser,
    BrowserContext,
    ConsoleMessage,
    Locator,
    Page,
    Request,
    Response,
    expect,
)

#: W3C: WCAG 2.2, levels A and AA, with those of 2.1 and 2.0 that it takes over.
AXE_TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
DESK = (1280, 900)
TABLET = (820, 1180)
PHONE = (390, 844)


def stands_upright(picture: Locator) -> bool:
    """Whether a picture, taken upright, is shown upright; waits until it has loaded."""
    upright: bool = picture.evaluate(
        "picture => picture.decode().then(() => picture.naturalHeight > picture.naturalWidth)"
    )
    return upright


class Eyes:
    """Opens windows, keeps what they complain of and looks at pages."""

    def __init__(self, browser: Browser, url: str) -> None:
        self.browser = browser
        self.url = url
        self.complaints: list[str] = []
        self.looks = 0
        self._axe = Axe()
        kept = os.environ.get("FLUEWRIGHT_SCREENSHOTS")
        self._kept = Path(kept) if kept else None
        if self._kept:
            self._kept.mkdir(parents=True, exist_ok=True)

    def window(self, size: tuple[int, int] = DESK, *, touch: bool = False) -> Page:
        """Return a page of a new window with cookies of its own."""
        context = self.browser.new_context(
            base_url=self.url,
            viewport={"width": size[0], "height": size[1]},
            has_touch=touch,
            is_mobile=touch,
            accept_downloads=True,
            reduced_motion="reduce",
        )
        context.set_default_timeout(30_000)
        self._listen(context)
        return context.new_page()

    def look(
        self,
        page: Page,
        name: str,
        *,
        widths: tuple[int, ...] = (820, 1280),
        full: bool = True,
        quiet: bool = True,
    ) -> None:
        """Hold a page against WCAG 2.2 AA, its width and its own console; keep a picture if asked to.

        A page without a network may not be `quiet`: the browser complains of every try to reach the shop.
        """
        expect(page.locator(".htmx-request")).to_have_count(0)
        page.evaluate("() => document.fonts.ready.then(() => true)")
        self.looks += 1
        found = self._axe.run(page, options={"runOnly": {"type": "tag", "values": AXE_TAGS}})
        told = [
            f"{one['id']}: {one['help']}: {node['html'][:160]}"
            for one in found.response["violations"]
            for node in one["nodes"]
        ]
        assert not told, f"{name} ({page.url}) breaks WCAG 2.2 AA:\n" + "\n".join(told)
        self._keep(page, name, full)
        self._check_widths(page, name, widths)
        if quiet:
            self.check_quiet(name)

    def keep_all(self, folder: Path) -> None:
        """Keep a picture of every open window."""
        pages = [page for context in self.browser.contexts for page in context.pages]
        for number, page in enumerate(pages, start=1):
            page.screenshot(path=folder / f"window-{number}.png", full_page=True)

    def check_quiet(self, where: str) -> None:
        """Fail if any window complained so far."""
        assert not self.complaints, f"By {where} the browser had complained:\n" + "\n".join(self.complaints)

    def _check_widths(self, page: Page, name: str, widths: tuple[int, ...]) -> None:
        before = page.viewport_size
        assert before is not None
        for width in widths:
            page.set_viewport_size({"width": width, "height": before["height"]})
            wide = page.evaluate("document.documentElement.scrollWidth")
            assert wide <= width, f"{name} ({page.url}) is {wide} px wide at {width} px"
        page.set_viewport_size(before)

    def _keep(self, page: Page, name: str, full: bool) -> None:
        if self._kept:
            # Hiding the caret would leave style attributes behind, which the next swap may not carry over.
            path = self._kept / f"{self.looks:02d}-{name}.png"
            page.screenshot(path=path, full_page=full, caret="initial")

    def _listen(self, context: BrowserContext) -> None:
        context.on("console", self._heard)
        context.on("weberror", lambda error: self.complaints.append(f"script: {error.error}"))
        context.on("requestfailed", self._failed)
        context.on("response", self._answered)

    def _heard(self, message: ConsoleMessage) -> None:
        if message.type in {"error", "warning"}:
            self.complaints.append(f"console: {message.text} ({message.location.get('url', '')})")

    def _failed(self, request: Request) -> None:
        # Leaving a page drops what it still asked for, and a download leaves no page behind.
        if request.failure != "net::ERR_ABORTED":
            self.complaints.append(f"request: {request.method} {request.url}: {request.failure}")

    def _answered(self, response: Response) -> None:
        if response.status >= 400:
            self.complaints.append(f"answer: {response.status} {response.request.method} {response.url}")
