"""Somebody in gloves with a tablet: opens a job, answers, takes photos, signs, with or without a signal."""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path

from playwright.sync_api import Locator, Page, expect

from tests.browser.pictures import Camera
from tests.browser.tablet.device import Tablet

#: Longer than a page may take: a machine with two busy cores takes its time [ms].
SENT = 120_000


class Worker:
    """One person at work on one job."""

    def __init__(self, tablet: Tablet, camera: Camera, job: int) -> None:
        self.tablet = tablet
        self.camera = camera
        self.job = job
        self.email = ""

    @property
    def page(self) -> Page:
        """The page as it is now: another one after the tablet was switched off and on."""
        return self.tablet.page

    def arrives(self, email: str) -> None:
        """Sign in at the shop and wait until the job and the app itself are on the tablet."""
        self.email = email
        self.tablet.sign_in(email)
        expect(self.page.locator(f"[data-job='{self.job}']")).to_be_visible(timeout=SENT)
        self.page.evaluate("() => navigator.serviceWorker.ready.then(() => true)")

    def opens(self, place: str = "") -> None:
        """Go to the job, or to a place within it such as `stage/position`."""
        address = f"{self.tablet.url}/tablet/#/job/{self.job}{'/' + place if place else ''}"
        self.page.goto(address)
        expect(self.page.get_by_role("heading", level=1)).to_be_visible()

    def begins(self) -> None:
        """Begin the site work."""
        self.opens()
        self.page.get_by_role("button", name="Begin site work").tap()
        expect(self.page.locator(".stage-list > li").first).to_be_visible()

    def stages(self) -> list[str]:
        """Return the keys of the stages in order."""
        keys: list[str] = self.page.locator(".stage-list > li").evaluate_all(
            "rows => rows.map(one => one.dataset.stage)"
        )
        return keys

    def works(self, stage: str, told: Mapping[str, str]) -> None:
        """Answer everything a stage asks, and sign it."""
        self.opens(f"stage/{stage}")
        self.answers_everything(told)
        self.signs_the_stage()

    def answers_everything(self, told: Mapping[str, str]) -> None:
        """Answer every item of the stage in order; what an answer brings up is answered as well."""
        while waiting := self.items_shown():
            self.answers(waiting[0], told)

    def items_shown(self) -> list[str]:
        """Return the keys of the items on the page that nothing was answered to yet."""
        keys: list[str] = self.page.locator(".items > [data-item]").evaluate_all(
            "items => items.filter(one => !one.dataset.verdict).map(one => one.dataset.item)"
        )
        return keys

    def answers(self, key: str, told: Mapping[str, str]) -> None:
        """Answer one item by its kind and see it saved."""
        item = self.item(key)
        if item.locator(".photo-form").count():
            self.photographs(key)
        elif item.locator("form.measure").count():
            self.measures(key, told.get(key) or self.figure_of_the_limit(key))
        elif item.locator("form.note").count():
            item.get_by_role("textbox").fill(told.get(key, "Nothing to add."))
            item.get_by_role("button", name="Save the note").tap()
        elif item.locator(".stacked").count():
            name = told.get(key)
            choice = item.get_by_role("button", name=name, exact=True) if name else item.locator(".choice")
            choice.first.tap()
        else:
            item.get_by_role("button", name=told.get(key, "Yes"), exact=True).tap()
        expect(item).to_have_attribute("data-verdict", re.compile("^(pass|recorded)$"))
        self.is_saved(key)

    def measures(self, key: str, typed: str) -> None:
        """Type what the tape says and save it."""
        item = self.item(key)
        again = item.get_by_role("button", name="Measure again")
        if again.count():
            again.tap()
        item.locator(f"#field-{key}").fill(typed)
        item.get_by_role("button", name="Save", exact=True).tap()

    def figure_of_the_limit(self, key: str) -> str:
        """Return the figure of an item's limit as it stands on the page: equal to the limit passes."""
        words = self.item(key).locator(".limit-words strong").inner_text()
        found = re.fullmatch(r"(?:at (?:least|most) )?(.+?)(?: to .+)?", words)
        assert found
        assert any(letter.isdigit() for letter in found[1]), f"{key} has no limit: {words}"
        return found[1]

    def photographs(self, key: str, *, picture: Path | None = None, wait: bool = True) -> None:
        """Take a photo with the camera, or choose a picture."""
        item = self.item(key)
        again = item.get_by_role("button", name="Take it again")
        if again.count():
            again.tap()
        words = item.get_by_role("heading").inner_text()
        with self.page.expect_file_chooser() as chooser:
            item.locator("label.btn-camera").tap()
        chooser.value.set_files(picture or self.camera.take(words))
        if wait:
            self.is_saved(key)

    def is_saved(self, key: str) -> None:
        """See the item say where its answer lies."""
        expect(self.item(key).locator("[data-saved]").first).to_be_visible()

    def verdict_is(self, key: str, verdict: str) -> None:
        """See the verdict of an item."""
        expect(self.item(key)).to_have_attribute("data-verdict", verdict)

    def item(self, key: str) -> Locator:
        """Return the card of an item."""
        return self.page.locator(f"[data-item='{key}']")

    def signs_the_stage(self) -> None:
        """Sign in the box; the stage is frozen."""
        self.draws_a_name()
        self.page.locator("form.signing").get_by_role("button", name="Sign the stage", exact=True).click()
        expect(self.page.get_by_role("heading", name="Signed and frozen")).to_be_visible()

    def draws_a_name(self) -> None:
        """Draw a name in the box."""
        expect(self.page.locator("sign-box canvas")).to_be_visible()
        box = self.page.locator("sign-box canvas")
        box.evaluate("box => box.scrollIntoView({ block: 'center' })")
        place = box.bounding_box()
        assert place is not None
        # A pen: Chromium takes no made-up tap for a while after made-up touches that a page kept for itself.
        pen = self.page.mouse
        points = ((0.1, 0.7), (0.25, 0.2), (0.4, 0.8), (0.6, 0.3), (0.8, 0.7))
        for number, (x, y) in enumerate(points):
            pen.move(place["x"] + place["width"] * x, place["y"] + place["height"] * y)
            if not number:
                pen.down()
        pen.up()

    def unsent(self) -> int:
        """Return how many entries the bar says are not sent yet."""
        return int(self.page.locator("[data-unsent]").get_attribute("data-unsent") or "0")

    def sends(self) -> None:
        """Ask for it to be sent now, signing in where that ran out, and see that everything is."""
        self.asks_to_send()
        done = self.page.locator("[data-unsent='0'], [data-phase='signed_out']")
        expect(done.first).to_be_visible(timeout=SENT)
        if self.unsent():
            self.signs_in_again()
        expect(self.page.locator("[data-unsent]")).to_have_attribute("data-unsent", "0", timeout=SENT)

    def signs_in_again(self) -> None:
        """Follow the notice to the login page and back."""
        self.page.get_by_role("link", name="Sign in").first.tap()
        self.tablet.fill_in_login(self.email)

    def asks_to_send(self) -> None:
        """Press what tries to send now."""
        self.page.goto(f"{self.tablet.url}/tablet/#/not-sent")
        expect(self.page.get_by_role("heading", level=1)).to_be_visible()
        # What has been sent by itself meanwhile leaves no button behind.
        self.page.evaluate("() => document.querySelector('[data-send-now]')?.click()")
