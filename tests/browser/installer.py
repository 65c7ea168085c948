"""What the installer does at the house, on a tablet, stage by stage."""

from __future__ import annotations

import re
from collections.abc import Mapping

from playwright.sync_api import Locator, Page, expect

from tests.browser import house
from tests.browser.desk import follow, heading_says, message_says, press
from tests.browser.eyes import Eyes, stands_upright
from tests.browser.hands import fits_a_glove, signs
from tests.browser.pictures import Camera

STAGES = 11


class Installer:
    """Somebody with a tablet and a camera at the house."""

    def __init__(self, page: Page, eyes: Eyes, camera: Camera) -> None:
        self.page = page
        self.eyes = eyes
        self.camera = camera

    def begins(self) -> None:
        """Find today's visit, open the job, read the cautions and begin."""
        follow(self.page, house.CUSTOMER["name"])
        expect(self.page.get_by_role("main")).to_contain_text("bring both harnesses")
        follow(self.page, "Begin site work")
        expect(self.page.get_by_role("main")).to_contain_text(house.SITE["hazard_notes"])
        self.looks("before-beginning")
        self.page.get_by_role("button", name="Begin site work").tap()
        heading_says(self.page, "Before work")
        follow(self.page, "Site work")
        expect(self.page.locator(".stage-list > li")).to_have_count(STAGES)
        self.looks("stages")

    def opens(self, key: str) -> None:
        """Open a stage from the list of stages."""
        number = self.address_of_work()
        self.page.goto(number)
        self.page.locator(f".stage-list a[href='{number}{key}/']").tap()
        expect(self.page).to_have_url(re.compile(f"/site-work/{key}/$"))
        expect(self.page.get_by_role("region", name="Cautions")).to_be_visible()

    def address_of_work(self) -> str:
        """Return the address of the list of stages."""
        found = re.search(r"/jobs/\d+/site-work/", self.page.url)
        assert found, self.page.url
        return found[0]

    def answers_everything(self, told: Mapping[str, str], *, but: tuple[str, ...] = ()) -> None:
        """Answer every item of the stage in order; what an answer brings up is answered as well."""
        done = set(but)
        while waiting := [key for key in self.items_shown() if key not in done]:
            key = waiting[0]
            done.add(key)
            self.answers(key, told)

    def items_shown(self) -> list[str]:
        """Return the keys of the items on the page that nothing was answered to yet."""
        keys: list[str] = self.page.locator(".item").evaluate_all(
            "items => items.filter(one => !one.dataset.verdict).map(one => one.id.replace('item-', ''))"
        )
        return keys

    def answers(self, key: str, told: Mapping[str, str]) -> None:
        """Answer one item by its kind and wait for its verdict."""
        item = self.item(key)
        if item.locator(".photo-form").count():
            self.photographs(key)
        elif item.locator("form.measure").count():
            self.measures(key, told.get(key) or self.figure_of_the_limit(key))
            self.verdict_is(key, "pass")
        elif item.locator("form.note").count():
            item.get_by_role("textbox").fill(told.get(key, "Nothing to add."))
            item.get_by_role("button", name="Save the note").tap()
            self.verdict_is(key, "recorded")
        elif item.locator(".stacked").count():
            option = f"#{told[key]}-{key}" if key in told else ".choice >> nth=0"
            item.locator(option).tap()
            self.verdict_is(key, "pass", "recorded")
        else:
            item.get_by_role("button", name="Yes", exact=True).tap()
            self.verdict_is(key, "pass")

    def measures(self, key: str, typed: str) -> None:
        """Type what the tape says and save it."""
        field = self.field(key)
        field.tap()
        field.fill(typed)
        self.item(key).get_by_role("button", name="Save", exact=True).tap()

    def figure_of_the_limit(self, key: str) -> str:
        """Return the figure of an item's limit as it stands on the page: equal to the limit passes."""
        words = self.item(key).locator(".limit-words strong").inner_text()
        found = re.fullmatch(r"(?:at (?:least|most) )?(.+?)(?: to .+)?", words)
        assert found
        assert any(letter.isdigit() for letter in found[1]), f"{key} has no limit: {words}"
        return found[1]

    def field(self, key: str) -> Locator:
        """Return the field of a measure, unfolded where it was answered before."""
        item = self.item(key)
        folded = item.locator("details.again:not([open]) > summary")
        if folded.count():
            folded.tap()
        return item.locator(f"#field-{key}")

    def photographs(self, key: str) -> None:
        """Take a photo with the camera; it is sent at once."""
        item = self.item(key)
        ask = item.get_by_role("heading").inner_text()
        with self.page.expect_file_chooser() as chooser:
            item.locator("label.btn-camera").tap()
        chooser.value.set_files(self.camera.take(ask))
        self.verdict_is(key, "pass", "recorded")

    def sees_upright_photos(self) -> None:
        """Wait until the worker's copies stand on the page, each the right way up."""
        copies = self.page.locator(".items .photos img")
        expect(self.page.locator(".items .photo.waiting")).to_have_count(0, timeout=60_000)
        for number in range(copies.count()):
            copies.nth(number).scroll_into_view_if_needed()
            assert stands_upright(copies.nth(number)), f"Photo {number} of the stage lies on its side"

    def item(self, key: str) -> Locator:
        """Return the card of an item."""
        return self.page.locator(f"#item-{key}")

    def verdict_is(self, key: str, *verdicts: str) -> None:
        """Wait for the verdict of an item, which the server gives at once."""
        expect(self.item(key)).to_have_attribute("data-verdict", re.compile(f"^({'|'.join(verdicts)})$"))

    def signs_the_stage(self) -> None:
        """Sign with a finger; the stage is frozen."""
        title = self.page.get_by_role("heading", level=1).inner_text().split("\n")[-1].strip()
        signs(self.page, self.page.locator("canvas"))
        press(self.page, "Sign the stage")
        message_says(self.page, f"{title}” is signed")

    def cannot_sign(self, why: str) -> None:
        """See why the stage cannot be signed, and no box to sign in."""
        expect(self.page.locator("#foot")).to_contain_text(why)
        expect(self.page.locator("canvas")).to_have_count(0)
        expect(self.page.get_by_role("button", name="Sign the stage")).to_have_count(0)

    def looks(self, name: str) -> None:
        """Look at the page, upright and lying, and hold a glove against it."""
        self.eyes.look(self.page, f"tablet-{name}")
        fits_a_glove(self.page, name)


def works_up_to_the_ceiling(installer: Installer) -> None:
    """Stand the appliance before the papers are done, be held back by the first stage, then sign both."""
    installer.opens("position")
    installer.looks("position")
    installer.answers_everything(house.POSITION)
    installer.cannot_sign("not signed before “Before work”")
    installer.opens("before_work")
    installer.answers_everything(house.BEFORE_WORK)
    installer.sees_upright_photos()
    installer.looks("before-work-ready-to-sign")
    installer.signs_the_stage()
    heading_says(installer.page, "Appliance position and clearances")
    installer.signs_the_stage()


def hangs_the_support(installer: Installer) -> None:
    """Hang the support a little short of its limit, see it fail, put it right and sign."""
    heading_says(installer.page, "Ceiling support")
    installer.answers_everything(house.CEILING, but=("support_projection",))
    installer.measures("support_projection", '2 3/4"')
    installer.verdict_is("support_projection", "fail")
    item = installer.item("support_projection")
    expect(item).to_contain_text("1/4 in too little")
    expect(item.locator(".defect")).to_contain_text("Defect open")
    installer.cannot_sign("Support below the finished ceiling")
    installer.looks("measure-that-fails")
    field = installer.field("support_projection")
    field.fill("3")
    field.press("End")
    item.get_by_role("button", name="1/4", exact=True).tap()
    expect(field).to_have_value("3 1/4")
    item.get_by_role("button", name="Save", exact=True).tap()
    installer.verdict_is("support_projection", "pass")
    expect(item.locator(".defect")).to_have_count(0)
    expect(item).to_contain_text("Earlier entries: 1")
    installer.looks("measure-put-right")
    installer.signs_the_stage()


def builds_the_enclosure(installer: Installer) -> None:
    """Choose the enclosure: its items appear, the shield's do not."""
    heading_says(installer.page, "Attic protection")
    expect(installer.page.get_by_role("main")).to_contain_text("shield does not fit")
    for item in ("enclosure_clearance", "shield_whole"):
        expect(installer.item(item)).to_be_hidden()
    installer.answers("attic_way", house.ATTIC)
    expect(installer.item("enclosure_clearance")).to_be_visible()
    expect(installer.item("shield_whole")).to_be_hidden()
    installer.looks("enclosure")
    installer.answers_everything(house.ATTIC)
    installer.signs_the_stage()


def works_the_roof(installer: Installer) -> None:
    """Flashing, storm collar, outlet and sealing, one after the other."""
    for title, told in (
        ("Roof flashing", house.ROOF),
        ("Storm collar", {}),
        ("Chimney and termination", house.TERMINATION),
        ("Sealing", house.SEALING),
    ):
        heading_says(installer.page, title)
        installer.answers_everything(told)
        installer.signs_the_stage()


def leaves_two_things_open(installer: Installer) -> None:
    """The pipe runs too near to a shielded wall, and the wind lets nobody measure a draft."""
    heading_says(installer.page, "Connector")
    installer.answers_everything(house.CONNECTOR, but=("connector_clearance",))
    installer.measures("connector_clearance", "17 1/2")
    installer.verdict_is("connector_clearance", "fail")
    installer.cannot_sign("Connector to anything that burns")
    installer.opens("commissioning")
    installer.answers_everything(house.COMMISSIONING, but=("draft",))
    installer.item("draft").get_by_role("button", name="Cannot be measured").tap()
    installer.verdict_is("draft", "unknown")
    installer.cannot_sign("Draft with the appliance hot")


def finishes(installer: Installer) -> None:
    """Sign the connector on the inspector's waiver, measure the draft on a calm hour, hand over."""
    installer.opens("connector")
    expect(installer.item("connector_clearance").locator(".waiver")).to_contain_text(
        house.WAIVER["authority"]
    )
    installer.signs_the_stage()
    installer.opens("commissioning")
    field = installer.field("draft")
    field.fill("0.06")
    installer.item("draft").get_by_role("button", name="in w.c.", exact=True).tap()
    expect(field).to_have_value("0.06 in w.c.")
    installer.item("draft").get_by_role("button", name="Save", exact=True).tap()
    installer.verdict_is("draft", "pass")
    installer.looks("commissioning")
    installer.signs_the_stage()
    heading_says(installer.page, "Handover")
    installer.answers_everything(house.HANDOVER)
    installer.signs_the_stage()
    expect(installer.page.get_by_role("main")).to_contain_text("Every stage is signed")
    expect(installer.page.locator(".stage-list > li[data-state=signed]")).to_have_count(STAGES)
    installer.looks("all-signed")
