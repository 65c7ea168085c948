"""What the office does with a customer: house, listings, installation, job, visit, papers, bookings."""

from __future__ import annotations

from datetime import datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

from playwright.sync_api import Page, expect

from tests.browser import house
from tests.browser.desk import fill_in, follow, go_to, heading_says, message_says, paper_of, press
from tests.browser.eyes import Eyes
from tests.paper import FONTS


def enters_the_listings(page: Page, eyes: Eyes) -> None:
    """Copy the makers' sheets of the appliance and of the chimney with its sections."""
    go_to(page, "Listings")
    eyes.look(page, "listings-empty")
    follow(page, "New appliance")
    fill_in(page, house.APPLIANCE)
    eyes.look(page, "appliance")
    press(page, "Save")
    message_says(page, "Parlour 8")
    go_to(page, "Listings")
    follow(page, "Chimneys")
    follow(page, "New chimney")
    fill_in(page, house.CHIMNEY)
    for row, (length, adds) in enumerate(house.SECTIONS):
        if not page.locator(f"main [name=sections-{row}-length]").count():
            press(page, "Add a section")
        fill_in(page, {f"sections-{row}-length": length, f"sections-{row}-effective_length": adds})
    eyes.look(page, "chimney")
    press(page, "Save")
    message_says(page, "Ashlar 6")


def enters_the_customer(page: Page, eyes: Eyes) -> None:
    """Enter the customer, the house and what is to be installed there."""
    go_to(page, "Customers")
    eyes.look(page, "customers-empty")
    follow(page, "New customer")
    fill_in(page, house.CUSTOMER)
    press(page, "Save")
    message_says(page, "Next: the house")
    page.get_by_role("main").get_by_role("link", name="New site").first.click()
    fill_in(page, house.SITE)
    eyes.look(page, "site")
    press(page, "Save")
    message_says(page, "Next: what is, or will be, installed there")
    page.get_by_role("main").get_by_role("link", name="New installation").first.click()
    fill_in(page, house.INSTALLATION)
    press(page, "Save")
    message_says(page, "Next: the survey")
    eyes.look(page, "installation")


def makes_the_job(page: Page, eyes: Eyes) -> None:
    """Make the job from the plan on the screen and note the permit."""
    follow(page, "Make a job with this plan")
    fill_in(page, {"kind": "New installation", "note": "Before the first frost, please."})
    press(page, "Open the job")
    heading_says(page, "New installation, Ada Winterbourne")
    follow(page, "Add a permit")
    today = at_the_house().date().isoformat()
    permit = {"authority": "Town of Larchmoor Falls", "number": "B-26-118", "issued_on": today}
    fill_in(page, permit)
    press(page, "Save the permit")
    message_says(page, "The permit is saved")


def sends_the_crew(page: Page, eyes: Eyes) -> None:
    """Schedule the visit for today, or for tomorrow when the day is all but over at the house."""
    follow(page, "Schedule a visit")
    day = (at_the_house() + timedelta(minutes=15)).date()
    visit = {"crew": "Van 1", "day": day.isoformat(), "starts": "07:00", "ends": "23:59"}
    fill_in(page, {**visit, "note": "Two on the roof: bring both harnesses."})
    eyes.look(page, "visit")
    press(page, "Schedule")
    message_says(page, "Van 1 goes to")
    expect(page.locator(".status").first).to_contain_text("Scheduled")


def makes_the_work_pack(page: Page, eyes: Eyes, folder: Path) -> None:
    """Ask for the work pack, wait for the worker to render it and read it."""
    press(page, "Make the work pack")
    expect(page.locator("#documents").get_by_role("link", name="Work pack")).to_be_visible(timeout=60_000)
    eyes.look(page, "job")
    paper = paper_of(page, "Work pack", folder)
    assert paper.pages >= 2
    assert paper.fonts <= FONTS
    text = paper.text
    for words in (
        house.CUSTOMER["name"],
        house.SITE["street"],
        "Steep drive",
        "15 in shield does not fit",
        "22 1/2 in",
        "4 1/4 in",
    ):
        assert words in text, f"{words!r} is not in the work pack:\n{text}"


def reads_the_week(page: Page, eyes: Eyes) -> None:
    """Find the visit in the week."""
    go_to(page, "Week")
    expect(page.get_by_role("link", name=house.CUSTOMER["name"]).first).to_be_visible()
    eyes.look(page, "week")


def at_the_house() -> datetime:
    """Return the time on the clock of the house."""
    return datetime.now(ZoneInfo("America/New_York"))


def finds_the_services(page: Page, eyes: Eyes) -> None:
    """Find the next sweep and inspection in the list of services, a year ahead."""
    go_to(page, "Services due")
    page.get_by_role("link", name="All", exact=True).click()
    rows = page.get_by_role("row").filter(has_text=house.CUSTOMER["name"])
    expect(rows).to_have_count(2)
    expect(rows.filter(has_text="sweep")).to_be_visible()
    expect(rows.filter(has_text="inspection")).to_be_visible()
    eyes.look(page, "services")


def makes_a_job_of_the_request(page: Page, eyes: Eyes) -> None:
    """See on Today what the customer asks for and make a job of it."""
    go_to(page, "Today")
    asked = page.get_by_role("region", name="Customers ask for a booking")
    expect(asked).to_contain_text("A Tuesday or Thursday morning, please.")
    eyes.look(page, "today")
    asked.get_by_role("button", name="Make a job of it").click()
    heading_says(page, f"Annual sweep, {house.CUSTOMER['name']}")
    expect(page.locator(".status").first).to_contain_text("Planned")
    eyes.look(page, "sweep-job")


def sees_what_was_mailed(page: Page, eyes: Eyes) -> None:
    """Find the reminder among the mails that left, and the customer's stop on the customer's page."""
    go_to(page, "Mail")
    expect(page.get_by_role("main")).to_contain_text("Your chimney sweep and yearly inspection are due")
    eyes.look(page, "mail")
    go_to(page, "Customers")
    follow(page, house.CUSTOMER["name"])
    expect(page.get_by_role("main")).to_contain_text("stopped by the customer")
    eyes.look(page, "customer-in-the-office")
    go_to(page, "Jobs")
    eyes.look(page, "jobs")
