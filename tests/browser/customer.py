"""What the customer does a year later, with a phone and a mail: look, fetch the paper, ask, stop."""

from __future__ import annotations

import re
import urllib.request
from pathlib import Path

from playwright.sync_api import Page, expect

from tests.browser import house
from tests.browser.desk import fill_in, follow, heading_says, paper_of, press
from tests.browser.eyes import Eyes
from tests.browser.served_shop import ServedShop, wait_for
from tests.jobs.smtp_server import Received

DUE = "Your chimney sweep and yearly inspection are due"
NARROW = (320, 390)


def gets_one_reminder(shop: ServedShop) -> Received:
    """Wait for the reminder the scheduler's round brings."""
    mails = wait_for(lambda: shop.mail_to(house.CUSTOMER["email"], "due"), what="the reminder")
    assert DUE in str(mails[0].message["Subject"])
    return mails[0]


def has_only_one_reminder(shop: ServedShop) -> None:
    """Find that no round since has sent another."""
    assert len(shop.mail_to(house.CUSTOMER["email"], "due")) == 1


def link_to_the_page(mail: Received, shop: ServedShop) -> str:
    """Return the address of the private page from the text of the mail."""
    body = mail.message.get_body(("plain",))
    assert body is not None
    found = re.search(rf"^({re.escape(shop.url)}/c/[^/\s]+/)\s*$", body.get_content(), re.MULTILINE)
    assert found, body.get_content()
    return found[1]


def looks_at_the_page(page: Page, eyes: Eyes, link: str) -> None:
    """Open the private link on a phone: dates, papers, what to watch for."""
    page.goto(link)
    heading_says(page, f"Hello {house.CUSTOMER['name']}")
    expect(page.get_by_role("main")).to_contain_text("Due in 20 days")
    expect(page.get_by_role("heading", name="Papers")).to_be_visible()
    eyes.look(page, "customer", widths=NARROW)


def fetches_the_certificate(page: Page, folder: Path) -> None:
    """Download the closing certificate."""
    paper = paper_of(page, "Closing certificate", folder)
    assert "FW-000001" in paper.page(1)


def asks_for_a_visit(page: Page, eyes: Eyes) -> None:
    """Ask for a booking with a wish."""
    follow(page, "Ask for a visit")
    fill_in(page, {"wish": "A Tuesday or Thursday morning, please."})
    eyes.look(page, "customer-asks", widths=NARROW)
    press(page, "Ask for this visit")
    expect(page.get_by_role("main")).to_contain_text("Asked for.")
    eyes.look(page, "customer-has-asked", widths=NARROW)


def stops_reminders_with_one_click(page: Page, mail: Received, shop: ServedShop) -> None:
    """Do what a mail program does at its unsubscribe button (RFC 8058), and see it on the page."""
    assert mail.message["List-Unsubscribe-Post"] == "List-Unsubscribe=One-Click"
    found = re.search(rf"<({re.escape(shop.url)}[^>]+)>", str(mail.message["List-Unsubscribe"]))
    assert found
    # RFC 8058, section 3.1: the POST carries no cookie and the key-value pair as its body.
    with urllib.request.urlopen(found[1], data=b"List-Unsubscribe=One-Click", timeout=30) as answer:
        assert answer.status == 200
        assert answer.url == found[1]
    page.reload()
    expect(page.get_by_role("region", name="Reminders")).to_contain_text("Stopped")
