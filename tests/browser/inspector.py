"""What the inspector does: choose a password, read the record, waive with authority, sign the job off."""

from __future__ import annotations

from pathlib import Path

from playwright.sync_api import Locator, Page, expect

from tests.browser import house
from tests.browser.desk import follow, go_to, heading_says, message_says, paper_of, press
from tests.browser.eyes import Eyes, stands_upright
from tests.paper import FONTS, Paper


def chooses_a_password(page: Page, eyes: Eyes, link: str) -> None:
    """Follow the link of the mail and choose a password."""
    page.goto(link)
    heading_says(page, "Choose a password")
    eyes.look(page, "choose-a-password")
    for field in page.locator("main input[type=password]").all():
        field.fill(house.PASSWORD)
    press(page, "Use this password")
    heading_says(page, "The new password holds")


def waives_the_near_pipe(page: Page, eyes: Eyes) -> None:
    """Find the open defects, see what stands in the way, and accept one of them."""
    expect(page.get_by_role("heading", name="Open defects")).to_be_visible()
    eyes.look(page, "inspector-today")
    page.get_by_role("link", name="Connector to anything that burns").first.click()
    heading_says(page, "Record: New installation")
    in_the_way = page.get_by_role("region", name="In the way of sign-off")
    expect(in_the_way).to_contain_text("Draft with the appliance hot - a defect is open")
    expect(in_the_way).to_contain_text("Handover: not signed by the crew yet")
    cannot_sign(page)
    defect = the_defect(page, "17 1/2 in, at least 18 in is required")
    defect.locator("summary", has_text="Accept it by waiver").click()
    defect.get_by_label("On whose authority").fill(house.WAIVER["authority"])
    defect.get_by_label("Why it can be accepted").fill(house.WAIVER["reason"])
    defect.get_by_role("button", name="Accept this defect").click()
    waived = page.locator("article.waiver")
    expect(waived).to_contain_text(house.WAIVER["reason"])
    expect(waived).to_contain_text(house.INSPECTOR["name"])
    expect(in_the_way).to_contain_text("Draft with the appliance hot")
    cannot_sign(page)
    eyes.look(page, "record-with-a-defect-open")


def signs_the_job_off(page: Page, eyes: Eyes, photos: int) -> None:
    """Read the whole record once more with every photo in it, and sign."""
    go_to(page, "Today")
    expect(page.get_by_role("heading", name="Ready for sign-off")).to_be_visible()
    follow(page, house.CUSTOMER["name"])
    expect(page.get_by_role("heading", name="Nothing is missing")).to_be_visible()
    sees_every_photo(page, photos)
    expect(page.locator(".evidence > li[data-verdict=unknown]")).to_have_count(0)
    failed = page.locator(".evidence > li[data-verdict=fail]")
    expect(failed).to_have_count(1)
    expect(failed).to_contain_text(house.WAIVER["authority"])
    draws_a_name(page, page.locator("canvas"))
    page.get_by_label("Remarks for the certificate").fill("Sweep after the first season without fail.")
    eyes.look(page, "record-ready-to-sign-off")
    press(page, "Sign off and close the job")
    message_says(page, "is closed. The certificate is being made")


def sees_every_photo(page: Page, photos: int) -> None:
    """Scroll through the record until each photo has come up, the right way up."""
    shown = page.locator(".evidence .photos img")
    expect(shown).to_have_count(photos)
    for number in range(photos):
        shown.nth(number).scroll_into_view_if_needed()
        assert stands_upright(shown.nth(number)), f"Photo {number} of the record lies on its side"


def fetches_the_certificate(page: Page, eyes: Eyes, folder: Path) -> Paper:
    """Wait on the job's page until the worker has rendered the certificate and open it."""
    link = page.locator("#documents").get_by_role("link", name="Closing certificate")
    expect(link).to_be_visible(timeout=60_000)
    eyes.look(page, "closed-job")
    return paper_of(page, "Closing certificate", folder)


def reads_the_certificate(paper: Paper, photos: int) -> None:
    """Hold the paper against what happened."""
    assert paper.pages >= 4
    assert paper.fonts <= FONTS
    assert paper.pictures >= photos
    text = paper.text
    for words in (
        "FW-000001",
        house.SHOP["registration"],
        house.CUSTOMER["name"],
        house.SITE["street"],
        house.INSTALLER["name"],
        house.CREDENTIAL["number"],
        house.INSPECTOR["name"],
        house.CHIMNEY["listing_reference"],
        "3 1/4 in",
        "at least 3 in",
        "17 1/2 in",
        "at least 18 in",
        house.WAIVER["authority"],
        house.WAIVER["reason"],
        "0.06 in w.c.",
        "Sweep after the first season without fail.",
        "Chimney sweep",
        "B-26-118",
    ):
        assert words in text, f"{words!r} is not in the certificate:\n{text}"


def the_defect(page: Page, words: str) -> Locator:
    """Return the open defect of which these words tell."""
    return page.locator("article.defect").filter(has_text=words)


def cannot_sign(page: Page) -> None:
    """Find no box to sign in."""
    expect(page.locator("canvas")).to_have_count(0)
    expect(page.get_by_role("button", name="Sign off and close the job")).to_have_count(0)


def draws_a_name(page: Page, box: Locator) -> None:
    """Sign with a mouse."""
    expect(page.locator("[data-sign][data-ready]")).to_be_visible()
    box.scroll_into_view_if_needed()
    place = box.bounding_box()
    assert place is not None
    page.mouse.move(place["x"] + 40, place["y"] + 150)
    page.mouse.down()
    for across, down in ((90, 40), (140, 170), (230, 60), (330, 140), (420, 80)):
        page.mouse.move(place["x"] + across, place["y"] + down, steps=4)
    page.mouse.up()
    expect(page.locator("input[name=strokes]")).not_to_have_value("")
