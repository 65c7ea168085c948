"""A tablet in trouble of its own: it dies, is full, is updated, its clock is wrong.

After each, what was shown as saved is there exactly once.
"""

from __future__ import annotations

import json
import random
import re
import time
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from PIL import Image
from playwright.sync_api import expect

from tests.browser.pictures import ORIENTATION, Camera
from tests.browser.served_shop import wait_for
from tests.browser.tablet.cabled_shop import CabledShop
from tests.browser.tablet.device import Tablet
from tests.browser.tablet.evidence import all_of_it_is_there, works_the_first_stage
from tests.browser.tablet.worker import SENT, Worker
from tests.inspections.pictures import BLUE, GREEN, RED, photo

pytestmark = pytest.mark.browser

#: Room the browser gives a tablet that is nearly full, for the app and a few photos [bytes].
SMALL = 12_000_000


@pytest.mark.parametrize("seed", range(6))
def test_a_tablet_that_dies_while_saving_keeps_what_it_showed_as_saved(
    town: CabledShop, worker: Worker, seed: int
):
    chance = random.Random(seed)
    town.cable.cut()
    worker.begins()
    worker.opens("stage/before_work")
    worker.measures("flue_size", "6 in")
    worker.is_saved("flue_size")
    worker.photographs("label_photo", wait=False)
    time.sleep(chance.uniform(0, 0.7))
    worker.tablet.kill()
    worker.tablet.start_again()
    worker.opens("stage/before_work")
    worker.verdict_is("flue_size", "pass")
    worker.photographs("before_photo")

    town.cable.mend()
    worker.sends()
    all_of_it_is_there(town, worker)


def test_a_full_tablet_says_so_and_keeps_what_was_typed(
    town: CabledShop, new_tablet: Callable[[], Tablet], camera: Camera, job: int
):
    tablet = new_tablet()
    browser = tablet.context.new_cdp_session(tablet.page)
    browser.send("Storage.overrideQuotaForOrigin", {"origin": town.url, "quotaSize": SMALL})
    worker = Worker(tablet, camera, job)
    worker.arrives("ivo@stove.example")
    town.cable.cut()
    worker.begins()
    worker.opens("stage/before_work")
    item = worker.item("label_photo")
    before = ""
    for _ in range(12):
        worker.photographs("label_photo", picture=camera.take_detailed(), wait=False)
        expect(
            item.locator(f".refusal, .lies-line[data-saved]:not([data-saved='{before}'])").first
        ).to_be_visible(timeout=SENT)
        if item.locator(".refusal").count():
            break
        before = item.locator("[data-saved]").get_attribute("data-saved")
    expect(item.locator(".refusal")).to_contain_text("full")
    expect(item.locator("img.preview")).to_be_visible()
    kept = worker.unsent()
    worker.measures("flue_size", "6 in")

    browser.send("Storage.overrideQuotaForOrigin", {"origin": town.url})
    item.get_by_role("button", name="Save it again").tap()
    expect(item.locator(".refusal")).to_have_count(0, timeout=SENT)
    assert worker.unsent() > kept
    town.cable.mend()
    worker.sends()
    all_of_it_is_there(town, worker)


def test_photos_arrive_upright_however_the_tablet_was_held(
    town: CabledShop, worker: Worker, tmp_path: Path, job: int
):
    worker.begins()
    worker.opens("stage/before_work")
    kept = "SELECT original FROM inspections_photo WHERE job_id = ? ORDER BY id"
    for orientation in range(1, 9):
        picture = tmp_path / f"held-{orientation}.jpg"
        picture.write_bytes(photo("JPEG", orientation, larger=20))
        worker.photographs("label_photo", picture=picture)
        expect(worker.page.locator("[data-unsent]")).to_have_attribute("data-unsent", "0", timeout=SENT)
        wait_for(lambda many=orientation: len(town.rows(kept, job)) == many, what="the photo")
    for row in town.rows(kept, job):
        with Image.open(town.folder / "media" / row["original"]) as image:
            assert image.size == (2560, 1707)
            assert image.getexif().get(ORIENTATION, 1) == 1
            corners = [image.convert("RGB").getpixel(at) for at in ((40, 40), (2500, 40), (40, 1660))]
        for seen, meant in zip(corners, (RED, GREEN, BLUE), strict=True):
            assert all(abs(one - other) < 30 for one, other in zip(seen, meant, strict=True)), row
    all_of_it_is_there(town, worker)


def test_an_update_of_the_app_delivers_what_the_old_one_queued(town: CabledShop, worker: Worker):
    town.cable.cut()
    works_the_first_stage(worker)
    waiting = worker.unsent()
    # With the page shut: an open one would have sent it all as soon as there was a line.
    worker.page.goto("about:blank")
    town.close()
    town.update("Everything is sent", "Everything has been sent")
    town.cable.mend()
    town.open()
    try:
        worker.page.goto(f"{town.url}/tablet/#/not-sent")
        take = worker.page.get_by_role("button", name="Take it now")
        expect(take).to_be_visible(timeout=SENT)
        take.tap()
        expect(worker.page.locator(".bar-unsent")).to_have_text("Everything has been sent", timeout=SENT)
        assert waiting > 10
        all_of_it_is_there(town, worker)
    finally:
        town.close()
        town.update_undone()
        town.open()


def test_entries_in_the_form_of_the_first_version_are_delivered(
    town: CabledShop, new_tablet: Callable[[], Tablet], job: int, camera: Camera
):
    first = Worker(new_tablet(), camera, job)
    first.arrives("ivo@stove.example")
    first.begins()
    first.sends()
    person = town.rows("SELECT id FROM jobs_user WHERE email = 'ivo@stove.example'")[0]["id"]
    picture = camera.take("before the update")
    # A page without the app, which would open the shelf again as soon as it is gone.
    first.page.goto(f"{town.url}/account/login/")
    entries = first.page.evaluate(
        _SHELF_OF_VERSION_1, {"person": person, "job": job, "picture": list(picture.read_bytes())}
    )
    first.page.goto(f"{town.url}/tablet/")
    expect(first.page.locator("[data-unsent]")).to_be_visible()
    first.sends()
    town.holds_once(set(entries))
    versions = town.rows(
        f"SELECT raw FROM inspections_tabletentry WHERE entry IN ('{entries[0].replace('-', '')}')"
    )
    assert json.loads(versions[0]["raw"])["version"] in {1, 2}


def test_a_clock_that_is_a_day_behind_is_recorded_and_not_trusted(
    town: CabledShop, worker: Worker, new_tablet: Callable[[], Tablet], job: int
):
    yesterday = datetime.now(tz=UTC) - timedelta(days=1)
    worker.page.clock.set_fixed_time(yesterday)
    worker.page.reload()
    worker.begins()
    worker.opens("stage/before_work")
    worker.measures("flue_size", "6 in")
    worker.is_saved("flue_size")
    worker.sends()
    all_of_it_is_there(town, worker)
    rows = town.rows("SELECT clock_skew, received_at FROM inspections_tabletentry WHERE job_id = ?", job)
    for row in rows:
        assert row["clock_skew"] == pytest.approx(-86_400, abs=600)
        received = datetime.fromisoformat(row["received_at"]).replace(tzinfo=UTC)
        assert abs(received - datetime.now(tz=UTC)) < timedelta(minutes=10)
    worker.page.goto(f"{town.url}/tablet/#/this-tablet")
    expect(worker.page.get_by_role("main")).to_contain_text(re.compile("1 day behind|24 hours behind"))


#: Puts the person's shelf on the tablet as the first version of the app kept it.
_SHELF_OF_VERSION_1 = """
async ({ person, job, picture }) => {
  const name = `fluewright-person-${person}`;
  await new Promise((done, failed) => {
    const gone = indexedDB.deleteDatabase(name);
    gone.onsuccess = done;
    gone.onerror = failed;
  });
  const db = await new Promise((done, failed) => {
    const asked = indexedDB.open(name, 1);
    asked.onupgradeneeded = () => {
      asked.result.createObjectStore("bundles", { keyPath: "job" });
      const entries = asked.result.createObjectStore("entries", { keyPath: "entry" });
      entries.createIndex("job", "job");
      entries.createIndex("seq", "seq");
      asked.result.createObjectStore("receipts", { keyPath: "entry" }).createIndex("job", "job");
      asked.result.createObjectStore("facts", { keyPath: "name" });
    };
    asked.onsuccess = () => done(asked.result);
    asked.onerror = failed;
  });
  const bytes = new Uint8Array(picture).buffer;
  const hash = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
  const sha256 = [...hash].map((one) => one.toString(16).padStart(2, "0")).join("");
  const kept = (seq, more) => ({
    version: 1, entry: crypto.randomUUID(), seq, job, stage: "before_work", item: "", text: "",
    taken_at: new Date().toISOString(), signature: null, photo: null, state: "waiting", refusal: null,
    attempts: 0, ...more,
  });
  const rows = [
    kept(1, { kind: "answer", item: "flue_size", text: "6 in" }),
    kept(2, { kind: "photo", item: "label_photo", bytes,
              photo: { sha256, size: bytes.byteLength, media_type: "image/jpeg" } }),
  ];
  await new Promise((done, failed) => {
    const saving = db.transaction("entries", "readwrite");
    for (const row of rows) saving.objectStore("entries").put(row);
    saving.oncomplete = done;
    saving.onerror = failed;
  });
  db.close();
  return rows.map((row) => row.entry);
}
"""
