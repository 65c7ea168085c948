"""Every page of the tablet: usable with gloves, readable by everybody, nothing hanging over its edge."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Page, Playwright, expect

from tests.browser.conftest import CHROMIUM_FLAGS
from tests.browser.eyes import PHONE, TABLET, Eyes
from tests.browser.hands import fits_a_glove
from tests.browser.pictures import Camera
from tests.browser.tablet.cabled_shop import CabledShop
from tests.browser.tablet.seed import PASSWORD

pytestmark = pytest.mark.browser
LYING = (1180, 820)


@pytest.fixture
def eyes(town: CabledShop, chromium_driver: Playwright) -> Iterator[Eyes]:
    browser = chromium_driver.chromium.launch(executable_path="/usr/bin/chromium", args=CHROMIUM_FLAGS)
    yield Eyes(browser, town.url)
    browser.close()


def looks(eyes: Eyes, page: Page, name: str, *, quiet: bool = True) -> None:
    page.evaluate("() => window.scrollTo(0, 0)")
    size = page.viewport_size
    assert size is not None
    eyes.look(page, f"app-{name}-{size['width']}", widths=(size["width"],), quiet=quiet)
    fits_a_glove(page, name)


def opens(page: Page, place: str, heading: str) -> None:
    page.goto(f"/tablet/#/{place}")
    expect(page.get_by_role("heading", level=1)).to_contain_text(heading)


@pytest.mark.parametrize("size", [TABLET, LYING, PHONE], ids=["upright", "lying", "phone"])
def test_pages_fit_gloves_and_every_reader(
    town: CabledShop, eyes: Eyes, camera: Camera, job: int, size: tuple[int, int]
):
    page = eyes.window(size, touch=True)
    page.goto("/account/login/?next=/tablet/")
    page.locator("[name=login]").fill("ivo@stove.example")
    page.locator("[name=password]").fill(PASSWORD)
    page.get_by_role("button", name="Sign in").click()
    expect(page.locator(f"[data-job='{job}']")).to_be_visible()
    looks(eyes, page, "jobs")
    opens(page, f"job/{job}", "Customer")
    looks(eyes, page, "job")
    page.get_by_role("button", name="Begin site work").tap()
    expect(page.locator(".stage-list")).to_be_visible()
    looks(eyes, page, "stages")

    opens(page, f"job/{job}/stage/before_work", "Before work")
    item = page.locator("[data-item='flue_size']")
    item.locator("input").tap()
    for key in ("5", "1/2", "in"):
        item.get_by_role("button", name=key, exact=True).tap()
    expect(item.locator("input")).to_have_value("5 1/2 in")
    item.get_by_role("button", name="Save", exact=True).tap()
    expect(item).to_have_attribute("data-verdict", "fail")
    page.locator("[data-item='instructions_on_site']").get_by_role("button", name="Yes").tap()
    with page.expect_file_chooser() as chooser:
        page.locator("[data-item='label_photo'] label.btn-camera").tap()
    chooser.value.set_files(camera.take("label"))
    expect(page.locator("[data-item='label_photo'] img")).to_be_visible()
    item.locator("input").tap()
    item.locator("input").fill("a bit over 5")
    item.get_by_role("button", name="Save", exact=True).tap()
    expect(item.locator(".refusal")).to_be_visible()
    expect(item.locator("input")).to_have_value("a bit over 5")
    looks(eyes, page, "stage")

    for place, heading in (
        (f"job/{job}/plan", "Plan"),
        (f"job/{job}/record", "Record"),
        ("this-tablet", "This tablet"),
    ):
        opens(page, place, heading)
        looks(eyes, page, place.rpartition("/")[2])
    page.context.set_offline(True)
    opens(page, f"job/{job}/stage/before_work", "Before work")
    page.locator("[data-item='listing_matches']").get_by_role("button", name="No", exact=True).tap()
    opens(page, "not-sent", "Not sent yet: 1")
    looks(eyes, page, "not-sent", quiet=False)
    page.get_by_role("button", name="Make a file of it").tap()
    with page.expect_download() as download:
        page.locator("a[download]").tap()
    assert "listing_matches" in download.value.path().read_text(encoding="utf-8")
