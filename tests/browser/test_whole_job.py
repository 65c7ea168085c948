"""The whole job, once: an empty shop, a survey, a plan, work on site, a certificate, next year's reminder."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.browser import customer, house, inspector, installer, office, owner, survey
from tests.browser.desk import sign_in
from tests.browser.eyes import PHONE, TABLET, Eyes
from tests.browser.installer import Installer
from tests.browser.pictures import Camera
from tests.browser.served_shop import ServedShop

pytestmark = pytest.mark.browser


def test_the_whole_job_from_an_empty_shop_to_the_next_years_booking(
    shop: ServedShop, eyes: Eyes, tmp_path: Path
):
    papers = tmp_path / "papers"
    camera = Camera(tmp_path / "camera")
    shop.found(**house.OWNER, password=house.PASSWORD)
    shop.open()

    owners = eyes.window()
    sign_in(owners, email=house.OWNER["email"], password=house.PASSWORD)
    owner.sets_the_shop_up(owners, eyes)
    owner.puts_a_crew_on_the_road(owners, eyes)
    owner.adds(owners, house.OFFICE)
    owner.adds(owners, house.INSTALLER)
    invitation = owner.invites(owners, house.INSPECTOR, shop)
    owner.enters_the_licence_of(owners, eyes, house.INSTALLER)

    desk = eyes.window()
    sign_in(desk, email=house.OFFICE["email"], password=house.PASSWORD)
    office.enters_the_listings(desk, eyes)
    office.enters_the_customer(desk, eyes)
    survey.measures_the_house(desk, eyes)
    office.makes_the_job(desk, eyes)
    office.sends_the_crew(desk, eyes)
    office.makes_the_work_pack(desk, eyes, papers)
    office.reads_the_week(desk, eyes)

    tablet = eyes.window(TABLET, touch=True)
    sign_in(tablet, email=house.INSTALLER["email"], password=house.PASSWORD)
    crew = Installer(tablet, eyes, camera)
    crew.begins()
    installer.works_up_to_the_ceiling(crew)
    installer.hangs_the_support(crew)
    installer.builds_the_enclosure(crew)
    installer.works_the_roof(crew)
    installer.leaves_two_things_open(crew)

    review = eyes.window()
    inspector.chooses_a_password(review, eyes, invitation)
    sign_in(review, email=house.INSPECTOR["email"], password=house.PASSWORD)
    inspector.waives_the_near_pipe(review, eyes)
    installer.finishes(crew)
    inspector.signs_the_job_off(review, eyes, photos=camera.taken)
    certificate = inspector.fetches_the_certificate(review, eyes, papers)
    inspector.reads_the_certificate(certificate, photos=camera.taken)
    office.finds_the_services(desk, eyes)

    shop.close()
    shop.let_time_pass_until_due(days_ahead=20)
    shop.open()
    reminder = customer.gets_one_reminder(shop)
    shop.another_round_of_reminders()
    phone = eyes.window(PHONE, touch=True)
    customer.looks_at_the_page(phone, eyes, customer.link_to_the_page(reminder, shop))
    customer.fetches_the_certificate(phone, papers)
    customer.asks_for_a_visit(phone, eyes)
    customer.stops_reminders_with_one_click(phone, reminder, shop)

    office.makes_a_job_of_the_request(desk, eyes)
    office.sees_what_was_mailed(desk, eyes)
    customer.has_only_one_reminder(shop)
    eyes.check_quiet("the end")
    assert shop.complaints() == []
