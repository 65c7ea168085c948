"""What the owner does on the first day: the shop, its crew and its people."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import UTC, datetime, timedelta

from playwright.sync_api import Page, expect

from tests.browser import house
from tests.browser.desk import fill_in, follow, go_to, heading_says, message_says, press
from tests.browser.eyes import Eyes
from tests.browser.served_shop import ServedShop, wait_for


def sets_the_shop_up(page: Page, eyes: Eyes) -> None:
    """Read the first steps, then give the shop its name and address."""
    expect(page.get_by_role("heading", name="First steps")).to_be_visible()
    eyes.look(page, "today-of-a-new-shop")
    follow(page, "Set up the shop")
    fill_in(page, house.SHOP)
    eyes.look(page, "shop-settings")
    press(page, "Save")
    expect(page.get_by_role("banner")).to_contain_text(house.SHOP["name"])


def puts_a_crew_on_the_road(page: Page, eyes: Eyes) -> None:
    """Add the van."""
    go_to(page, "Staff")
    page.get_by_role("link", name="Add a crew").first.click()
    fill_in(page, {"name": "Van 1"})
    press(page, "Save")
    expect(page.get_by_role("link", name="Van 1")).to_be_visible()


def adds(page: Page, person: Mapping[str, str]) -> None:
    """Add somebody with a first password."""
    go_to(page, "Staff")
    follow(page, "Add somebody")
    fill_in(page, {**person, "password": house.PASSWORD})
    press(page, "Add")
    message_says(page, person["name"])


def invites(page: Page, person: Mapping[str, str], shop: ServedShop) -> str:
    """Add somebody without a password and return the link from the mail they got."""
    go_to(page, "Staff")
    follow(page, "Add somebody")
    fill_in(page, person)
    press(page, "Add")
    message_says(page, person["name"])
    mail = wait_for(lambda: shop.mail_to(person["email"], ""), what=f"a mail to {person['name']}")[0]
    text = mail.message.get_body(("plain",))
    assert text is not None
    found = re.search(r"https?://\S+", text.get_content())
    assert found, text.get_content()
    return found[0]


def enters_the_licence_of(page: Page, eyes: Eyes, person: Mapping[str, str]) -> None:
    """Give an installer the credential that certificates print."""
    go_to(page, "Staff")
    follow(page, person["name"])
    follow(page, "Add a credential")
    last_day = datetime.now(UTC).date() + timedelta(days=700)
    fill_in(page, {**house.CREDENTIAL, "expires_on": last_day.isoformat()})
    press(page, "Save")
    go_to(page, "Staff")
    heading_says(page, "Staff and crews")
    eyes.look(page, "staff")
