"""One shop for all of a tablet's adventures, and a new tablet and a new house for each."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Playwright, expect, sync_playwright

from tests.browser.conftest import FAILED, PATIENCE
from tests.browser.pictures import Camera
from tests.browser.tablet.cabled_shop import CabledShop
from tests.browser.tablet.device import Tablet
from tests.browser.tablet.worker import Worker
from tests.jobs.smtp_server import SmtpServer


@pytest.fixture(scope="module")
def chromium_driver() -> Iterator[Playwright]:
    expect.set_options(timeout=PATIENCE)
    with sync_playwright() as playwright:
        yield playwright


@pytest.fixture(scope="module")
def town(tmp_path_factory: pytest.TempPathFactory) -> Iterator[CabledShop]:
    """A shop with people, open, at the far end of a cable."""
    post = SmtpServer().start()
    shop = CabledShop(tmp_path_factory.mktemp("town") / "var", post)
    shop.open()
    shop.seed("people")
    yield shop
    shop.close()
    shop.cable.close()
    post.stop()


@pytest.fixture
def job(town: CabledShop) -> int:
    """A job of today at a house of its own."""
    town.cable.mend()
    made: int = town.seed("job")["job"]
    return made


@pytest.fixture
def camera(tmp_path: Path) -> Camera:
    return Camera(tmp_path / "camera")


@pytest.fixture
def new_tablet(
    town: CabledShop, chromium_driver: Playwright, tmp_path: Path, request: pytest.FixtureRequest
) -> Iterator[Callable[[], Tablet]]:
    """Return a function that unpacks another tablet."""
    tablets: list[Tablet] = []

    def unpack() -> Tablet:
        tablets.append(Tablet(chromium_driver, tmp_path / f"profile-{len(tablets)}", town.url))
        return tablets[-1]

    yield unpack
    for number, tablet in enumerate(tablets):
        if FAILED in request.node.stash:
            tablet.page.screenshot(path=tmp_path / f"tablet-{number}.png", full_page=True)
        tablet.close()


@pytest.fixture
def worker(new_tablet: Callable[[], Tablet], camera: Camera, job: int) -> Worker:
    """An installer at the door of the house, with the job on the tablet."""
    worker = Worker(new_tablet(), camera, job)
    worker.arrives("ivo@stove.example")
    return worker
