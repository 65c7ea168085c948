"""A tablet without a signal, with a bad one, and with a server that dies.

After each, what was shown as saved is there exactly once.
"""

from __future__ import annotations

import time

import pytest
from playwright.sync_api import expect

from tests.browser.served_shop import wait_for
from tests.browser.tablet.cabled_shop import CabledShop
from tests.browser.tablet.evidence import FOUND, all_of_it_is_there, works_the_first_stage
from tests.browser.tablet.worker import Worker

pytestmark = pytest.mark.browser


def test_a_whole_job_without_a_signal_is_on_the_server_once(town: CabledShop, worker: Worker, job: int):
    tablet = worker.tablet
    town.cable.cut()
    tablet.kill()
    tablet.start_again()

    tablet.page.goto(f"{town.url}/tablet/")
    expect(worker.page.locator(f"[data-job='{job}']")).to_be_visible()
    worker.begins()
    for stage in worker.stages():
        worker.works(stage, FOUND)
    assert worker.unsent() > 60

    town.cable.mend()
    worker.sends()
    all_of_it_is_there(town, worker)
    assert town.rows("SELECT status FROM jobs_job WHERE id = ?", job) == [{"status": "ready for sign-off"}]
    late = town.rows("SELECT * FROM inspections_tabletentry WHERE job_id = ? AND outcome = 'late'", job)
    assert late == []
    differing = town.rows(
        "SELECT item FROM inspections_tabletentry WHERE job_id = ? AND verdict != tablet_verdict"
        " AND kind IN ('answer', 'photo')",
        job,
    )
    assert differing == []


def test_a_photo_cut_off_in_the_middle_goes_on_from_where_it_was(town: CabledShop, worker: Worker, job: int):
    worker.begins()
    worker.sends()
    worker.opens("stage/before_work")
    town.cable.cut()
    worker.photographs("label_photo", picture=worker.camera.take_detailed())
    size = worker.page.evaluate(
        """async () => {
          const names = (await indexedDB.databases()).map((one) => one.name);
          const name = names.find((one) => one.startsWith("fluewright-person-"));
          const db = await new Promise((done) => {
            const asked = indexedDB.open(name);
            asked.onsuccess = () => done(asked.result);
          });
          const rows = await new Promise((done) => {
            const asked = db.transaction("photos").objectStore("photos").getAll();
            asked.onsuccess = () => done(asked.result);
          });
          db.close();
          return rows[0].bytes.byteLength;
        }"""
    )
    assert size > 1_000_000
    town.cable.mend()
    before = town.cable.sent_up
    town.cable.cut_after(size // 2 + 20_000)
    worker.asks_to_send()
    wait_for(lambda: not town.cable.is_whole, what="the cut in the middle of the upload")
    assert town.rows("SELECT id FROM inspections_photo WHERE job_id = ?", job) == []

    town.cable.mend()
    worker.sends()
    all_of_it_is_there(town, worker)
    kept = town.rows("SELECT width, height, size FROM inspections_photo WHERE job_id = ?", job)
    assert kept == [{"width": 2560, "height": 1920, "size": size}]
    assert town.cable.sent_up - before < 1.4 * size, "It began again from the start"
    assert town.rows("SELECT id FROM inspections_photopart") == []


def test_a_server_killed_in_the_middle_of_sending_loses_and_doubles_nothing(
    town: CabledShop, worker: Worker, job: int
):
    town.cable.cut()
    works_the_first_stage(worker)
    worker.opens("stage/position")
    worker.answers_everything({})
    town.cable.mend()
    worker.asks_to_send()
    kept = "SELECT id FROM inspections_tabletentry WHERE job_id = ?"
    wait_for(lambda: town.rows(kept, job), what="the first entries")
    town.kill()
    time.sleep(0.5)
    assert worker.unsent() > 0
    town.open()

    worker.sends()
    all_of_it_is_there(town, worker)
    assert town.rows("SELECT signed_at FROM inspections_stagerecord WHERE key = 'before_work'")


def test_an_answer_of_the_server_that_is_lost_doubles_nothing(town: CabledShop, worker: Worker, job: int):
    town.cable.cut()
    works_the_first_stage(worker)
    town.cable.mend()
    town.cable.cut_before_the_answer("/entries")
    worker.asks_to_send()
    wait_for(lambda: not town.cable.is_whole, what="the cut before the answer")
    wait_for(
        lambda: town.rows("SELECT id FROM inspections_tabletentry WHERE job_id = ?", job),
        what="entries the tablet does not know to have arrived",
    )
    assert worker.unsent() > 0
    town.cable.mend()
    worker.sends()
    all_of_it_is_there(town, worker)
