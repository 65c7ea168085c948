"""Hands on a tablet: tapping with a glove and signing with a finger."""

from __future__ import annotations

from playwright.sync_api import Locator, Page, expect

#: Design of the tablet pages: nothing to tap is smaller, in CSS pixels.
GLOVE = 48

_SMALL = """
(least) => {
  const tapped = 'button, a.btn, summary, select, a.whole, textarea, label.btn, input:not([type=hidden])';
  const around = (one) => one.closest('.form-check') ?? one.closest('li:has(> * > a.whole)') ?? one;
  return [...document.querySelectorAll('main')]
    .flatMap((main) => [...main.querySelectorAll(tapped)])
    .filter((one) => one.checkVisibility() && !one.classList.contains('visually-hidden'))
    .map((one) => [one.outerHTML.slice(0, 120), Math.round(around(one).getBoundingClientRect().height)])
    .filter(([, height]) => height < least);
}
"""


def fits_a_glove(page: Page, where: str) -> None:
    """Fail if something to tap is lower than a gloved finger needs."""
    small = page.evaluate(_SMALL, GLOVE)
    assert not small, f"Too small to tap on {where}: {small}"


def signs(page: Page, box: Locator) -> None:
    """Draw a name with a finger: real touches, as the screen reports them.

    Chromium gives made-up taps no click for a moment after touches that the page took for itself, so what
    comes next is pressed, not tapped.
    """
    expect(page.locator("[data-sign][data-ready]")).to_be_visible()
    box.scroll_into_view_if_needed()
    place = box.bounding_box()
    assert place is not None
    screen = page.context.new_cdp_session(page)
    for stroke in (
        ((0.1, 0.7), (0.2, 0.2), (0.28, 0.8), (0.38, 0.3)),
        ((0.45, 0.6), (0.6, 0.35), (0.8, 0.7)),
    ):
        points = [(place["x"] + place["width"] * x, place["y"] + place["height"] * y) for x, y in stroke]
        for number, (x, y) in enumerate(points):
            kind = "touchMove" if number else "touchStart"
            screen.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": [{"x": x, "y": y}]})
        screen.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
    screen.detach()
    expect(page.locator("input[name=strokes]")).not_to_have_value("")
