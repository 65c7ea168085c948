"""A tablet and more than one person: logins that end, two of a crew, an inspector.

After each, what was shown as saved is there exactly once.
"""

from __future__ import annotations

from collections.abc import Callable

import pytest
from playwright.sync_api import expect

from tests.browser.pictures import Camera
from tests.browser.tablet.cabled_shop import CabledShop
from tests.browser.tablet.device import Tablet
from tests.browser.tablet.evidence import FOUND, all_of_it_is_there
from tests.browser.tablet.worker import SENT, Worker

pytestmark = pytest.mark.browser


def test_a_login_that_ran_out_pauses_and_goes_on_after_signing_in(town: CabledShop, worker: Worker):
    worker.begins()
    worker.sends()
    town.write("DELETE FROM django_session")
    worker.opens("stage/before_work")
    worker.measures("flue_size", "6 in")
    worker.is_saved("flue_size")
    expect(worker.page.locator(".tablet-bar")).to_have_attribute("data-phase", "signed_out", timeout=SENT)
    worker.photographs("label_photo")
    assert worker.unsent() == 2

    worker.signs_in_again()
    expect(worker.page.locator("[data-unsent]")).to_have_attribute("data-unsent", "0", timeout=SENT)
    all_of_it_is_there(town, worker)


def test_another_person_on_the_same_tablet_neither_sees_nor_sends_what_waits(
    town: CabledShop, worker: Worker, job: int
):
    town.cable.cut()
    worker.begins()
    worker.opens("stage/before_work")
    worker.measures("flue_size", "6 in")
    worker.is_saved("flue_size")
    town.cable.mend()
    town.write("DELETE FROM django_session")
    worker.tablet.sign_in("wren@stove.example")
    if (hand_over := worker.page.get_by_role("button", name="Go on as Wren Brandt")).count():
        hand_over.tap()
    expect(worker.page.locator(".bar-who")).to_contain_text("Wren Brandt", timeout=SENT)
    assert worker.unsent() == 0
    worker.asks_to_send()
    expect(worker.page.get_by_role("heading", level=1)).to_have_text("Everything is sent")
    assert town.rows("SELECT id FROM inspections_tabletentry WHERE job_id = ?", job) == []

    town.write("DELETE FROM django_session")
    worker.tablet.sign_in("ivo@stove.example")
    if (hand_over := worker.page.get_by_role("button", name="Go on as Ivo Brandt")).count():
        hand_over.tap()
    expect(worker.page.locator(".bar-who")).to_contain_text("Ivo Brandt", timeout=SENT)
    worker.sends()
    all_of_it_is_there(town, worker)
    by = town.rows(
        "SELECT DISTINCT email FROM inspections_tabletentry JOIN jobs_user ON jobs_user.id = by_id"
        " WHERE job_id = ?",
        job,
    )
    assert by == [{"email": "ivo@stove.example"}]


def test_two_tablets_on_one_job_keep_both_histories(
    town: CabledShop, worker: Worker, new_tablet: Callable[[], Tablet], camera: Camera, job: int
):
    worker.begins()
    worker.sends()
    other = Worker(new_tablet(), camera, job)
    other.arrives("wren@stove.example")
    town.cable.cut()
    worker.opens("stage/before_work")
    worker.measures("flue_size", "5 in")
    worker.verdict_is("flue_size", "fail")
    worker.answers("label_photo", {})
    other.opens("stage/before_work")
    other.measures("flue_size", "6 in")
    other.verdict_is("flue_size", "pass")
    other.answers("instructions_on_site", {})

    town.cable.mend()
    worker.sends()
    other.sends()
    all_of_it_is_there(town, worker)
    all_of_it_is_there(town, other)
    typed = town.rows(
        "SELECT raw_text FROM inspections_answer a JOIN inspections_stagerecord s ON s.id = a.stage_id"
        " JOIN inspections_siterecord r ON r.id = s.record_id WHERE r.job_id = ? AND item = 'flue_size'"
        " ORDER BY a.id",
        job,
    )
    assert [row["raw_text"] for row in typed] == ["5 in", "6 in"]
    other.opens("stage/before_work")
    expect(other.item("flue_size").locator(".defect")).to_be_visible()
    other.measures("flue_size", "6 in")
    other.sends()
    other.opens("stage/before_work")
    expect(other.item("flue_size").locator(".defect")).to_have_count(0)


def test_an_inspector_signs_a_job_off_without_a_signal(
    town: CabledShop, new_tablet: Callable[[], Tablet], camera: Camera
):
    job = town.seed("worked")["job"]
    inspector = Worker(new_tablet(), camera, job)
    inspector.arrives("inspector@stove.example")
    town.cable.cut()
    inspector.opens("record")
    page = inspector.page
    expect(page.get_by_role("heading", name="Nothing is missing")).to_be_visible()
    page.get_by_label("Remarks for the certificate").fill("Seen on the roof and in the attic.")
    inspector.draws_a_name()
    page.get_by_role("button", name="Sign off and close the job").click()
    expect(page.get_by_role("heading", name="Signed off")).to_be_visible()
    town.cable.mend()
    inspector.sends()
    assert town.rows("SELECT status FROM jobs_job WHERE id = ?", job) == [{"status": "closed"}]
    assert town.rows(
        "SELECT remarks FROM inspections_signoff s JOIN inspections_siterecord r ON r.id = s.record_id"
        " WHERE r.job_id = ?",
        job,
    ) == [{"remarks": "Seen on the roof and in the attic."}]
    kept = town.rows(
        "SELECT kind, outcome FROM inspections_tabletentry WHERE job_id = ? AND kind = 'sign_off'", job
    )
    assert kept == [{"kind": "sign_off", "outcome": "accepted"}]


def test_an_entry_for_a_stage_signed_meanwhile_is_kept_for_the_inspector(
    town: CabledShop, worker: Worker, new_tablet: Callable[[], Tablet], camera: Camera, job: int
):
    worker.begins()
    worker.sends()
    other = Worker(new_tablet(), camera, job)
    other.arrives("wren@stove.example")
    other.tablet.context.set_offline(True)
    other.opens("stage/before_work")
    other.measures("flue_size", "6 1/8 in")
    other.photographs("before_photo")
    worker.opens("stage/before_work")
    worker.answers_everything(FOUND)
    worker.signs_the_stage()
    worker.sends()
    other.tablet.context.set_offline(False)
    other.sends()
    all_of_it_is_there(town, other)
    late = town.rows(
        "SELECT item, code FROM inspections_tabletentry WHERE job_id = ? AND outcome = 'late' ORDER BY id",
        job,
    )
    assert late == [
        {"item": "flue_size", "code": "stage_signed"},
        {"item": "before_photo", "code": "stage_signed"},
    ]

    desk = new_tablet()
    desk.sign_in("inspector@stove.example")
    desk.page.goto(f"{town.url}/jobs/{job}/record/")
    expect(desk.page.get_by_role("main")).to_contain_text("6 1/8 in")
    expect(desk.page.get_by_role("main")).to_contain_text("Wren Brandt")
