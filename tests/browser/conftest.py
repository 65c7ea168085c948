"""A real shop served to a real Chromium."""

from __future__ import annotations

from collections.abc import Generator, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, expect, sync_playwright

from tests.browser.eyes import Eyes
from tests.browser.served_shop import ServedShop
from tests.jobs.smtp_server import SmtpServer

FAILED = pytest.StashKey[bool]()
#: In milliseconds.
PATIENCE = 10_000
#: A sandbox needs rights that root in a container has not; the rest keeps Chromium off the network.
CHROMIUM_FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]


@pytest.fixture
def post() -> Iterator[SmtpServer]:
    """A mail server on loopback."""
    server = SmtpServer().start()
    yield server
    server.stop()


@pytest.fixture
def shop(tmp_path: Path, post: SmtpServer) -> Iterator[ServedShop]:
    """A shop that is empty and closed."""
    shop = ServedShop(tmp_path / "var", post)
    yield shop
    shop.close()


@pytest.fixture
def chromium() -> Iterator[Browser]:
    # A machine with two busy cores takes its time.
    expect.set_options(timeout=PATIENCE)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path="/usr/bin/chromium", args=CHROMIUM_FLAGS)
        yield browser
        browser.close()


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(
    item: pytest.Item, call: pytest.CallInfo[None]
) -> Generator[None, pytest.TestReport, pytest.TestReport]:
    """Let fixtures know that a test failed."""
    report = yield
    if report.failed:
        item.stash[FAILED] = True
    return report


@pytest.fixture
def eyes(
    chromium: Browser, shop: ServedShop, request: pytest.FixtureRequest, tmp_path: Path
) -> Iterator[Eyes]:
    """What opens windows; when a test fails, each window's picture is kept in its folder."""
    eyes = Eyes(chromium, shop.url)
    yield eyes
    if FAILED in request.node.stash:
        eyes.keep_all(tmp_path)
