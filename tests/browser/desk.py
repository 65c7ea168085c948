"""What everybody does at a desk: sign in, fill a form in, press a button."""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path

from playwright.sync_api import Page, expect

from tests.paper import Paper


def sign_in(page: Page, *, email: str, password: str) -> None:
    """Sign in on the login page and land on Today."""
    page.goto("/")
    expect(page.get_by_role("heading", name="Sign in", exact=True)).to_be_visible()
    page.get_by_label("Email").fill(email)
    page.get_by_label("Password").fill(password)
    page.get_by_role("button", name="Sign in").click()
    expect(page).to_have_url(re.compile(r"/$"))


def fill_in(page: Page, told: Mapping[str, str | bool]) -> None:
    """Fill fields in by their names, whatever kind of field each is."""
    for name, value in told.items():
        field = page.locator(f"main [name={name}]").first
        if isinstance(value, bool):
            field.set_checked(value)
        elif field.evaluate("field => field.tagName") == "SELECT":
            field.select_option(label=value)
        else:
            field.fill(value)


def press(page: Page, name: str) -> None:
    """Press the one button of this name."""
    page.get_by_role("main").get_by_role("button", name=name, exact=True).click()


def follow(page: Page, name: str) -> None:
    """Follow a link of this name; where the crumbs have it too, the one below them."""
    page.get_by_role("main").get_by_role("link", name=name, exact=True).last.click()


def go_to(page: Page, way: str) -> None:
    """Take a way of the bar."""
    page.get_by_role("navigation", name="Main").get_by_role("link", name=way, exact=True).click()


def heading_says(page: Page, words: str | re.Pattern[str]) -> None:
    """Wait until the page's heading holds these words."""
    expect(page.get_by_role("heading", level=1)).to_contain_text(words)


def message_says(page: Page, words: str) -> None:
    """Wait for a message of the page."""
    expect(page.locator(".message").filter(has_text=words).first).to_be_visible()


def paper_of(page: Page, link: str, folder: Path) -> Paper:
    """Open a paper by its link and return it."""
    address = page.get_by_role("main").get_by_role("link", name=link).first.get_attribute("href")
    assert address
    answer = page.request.get(address)
    assert answer.ok, f"{address}: {answer.status}"
    assert answer.headers["content-type"] == "application/pdf"
    folder.mkdir(exist_ok=True)
    return Paper(answer.body(), folder)
