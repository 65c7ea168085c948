"""The survey: figures are typed as they are read off the tape while plan and drawing grow beside them."""

from __future__ import annotations

from playwright.sync_api import Locator, Page, expect

from tests.browser import house
from tests.browser.desk import fill_in, follow, heading_says, message_says, press
from tests.browser.eyes import Eyes


def measures_the_house(page: Page, eyes: Eyes) -> None:
    """Fill the survey in, correct a slip, find out that the shield does not fit, and keep it."""
    follow(page, "Survey")
    expect(the_plan(page).locator("svg").first).to_be_visible()
    expect(the_plan(page)).to_contain_text("Not known yet")
    types_the_figures(page)
    expect(the_plan(page)).to_contain_text("The 15 in shield fits: the roof leaves 62 1/2 in on the low side")
    expect(the_plan(page)).to_contain_text("14 in box has 4 1/4 in to spare each side")
    expect(the_plan(page)).not_to_contain_text("Not known yet")
    corrects_a_slip(page, eyes)
    thinks_of_a_corner_and_a_hip(page)
    finds_that_the_shield_does_not_fit(page)
    eyes.look(page, "survey", full=False)
    press(page, "Save and make the plan")
    message_says(page, "Survey 1 is kept and plan 1 made from it")
    heading_says(page, "Plan 1")
    expect(page.get_by_role("main")).to_contain_text("Frame a full-height enclosure")
    expect(page.get_by_role("main")).to_contain_text("22 1/2 in")
    eyes.look(page, "plan")


def types_the_figures(page: Page) -> None:
    """Type everything that was measured."""
    fill_in(page, house.SURVEY)
    press(page, "Add a layer")
    fill_in(page, house.SECOND_LAYER)


def corrects_a_slip(page: Page, eyes: Eyes) -> None:
    """Mistype a figure, read the sentence beside it, and correct it; the plan stays on the screen."""
    spacing = page.locator("[name=member_spacing]")
    beside = page.locator("#id_member_spacing_error")
    spacing.fill("24 inn")
    expect(beside).to_contain_text("“inn” is no unit of length")
    expect(page.locator("#plan-note")).to_contain_text("Member spacing, centre to centre")
    expect(the_plan(page).locator("svg").first).to_be_visible()
    eyes.look(page, "survey-slip", full=False)
    spacing.fill("24")
    expect(beside).to_be_empty()
    expect(page.locator("#plan-note")).to_be_empty()


def thinks_of_a_corner_and_a_hip(page: Page) -> None:
    """Ask what a corner and a hip roof would need, and go back: nothing typed before is lost."""
    walls = page.locator("[name=rear_wall]"), page.locator("[name=left_wall]")
    corner, eaves = page.locator("[name=corner_wall]"), page.locator("[name=eaves_distance]")
    expect(corner).to_be_hidden()
    expect(eaves).to_be_hidden()
    page.locator("[name=placement]").select_option("corner")
    page.locator("[name=roof_shape]").select_option("hip")
    for hidden in walls:
        expect(hidden).to_be_hidden()
    expect(eaves).to_be_visible()
    corner.fill("10 3/4 ± 1/4")
    expect(page.locator("#plan-note")).to_be_empty()
    page.locator("[name=placement]").select_option("wall")
    page.locator("[name=roof_shape]").select_option("gable")
    for shown in walls:
        expect(shown).to_be_visible()
    expect(walls[0]).to_have_value(house.SURVEY["rear_wall"])
    expect(corner).to_be_hidden()
    expect(the_plan(page)).to_contain_text("14 in box has 4 1/4 in to spare each side")


def finds_that_the_shield_does_not_fit(page: Page) -> None:
    """Measure the attic again, nearer to the eaves: the plan goes over to an enclosure by itself."""
    page.locator("[name=attic_height]").fill("10 1/2")
    # Common practice: a 6/12 roof over the 14 in opening leaves 7 in low and 14 in high.
    expect(the_plan(page)).to_contain_text("shield does not fit: the roof leaves 7 in on the low side")
    expect(the_plan(page)).to_contain_text("7 in high on the low side and 14 in on the high side")


def the_plan(page: Page) -> Locator:
    """Return the part of the page that shows the plan of what is typed so far."""
    return page.locator("#plan-preview")
