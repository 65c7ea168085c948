"""What every adventure of a tablet ends with, and what is found at every house."""

from __future__ import annotations

from tests.browser.tablet.cabled_shop import CabledShop
from tests.browser.tablet.worker import Worker

#: Found at the house, by item; everything else is a yes, a photo, or the figure of the limit itself.
FOUND = {
    "permit": "Issued and on site",
    "asbestos_looked_for": "Looked, nothing suspected",
    "before_note": "A cable crosses the bay.",
}


def works_the_first_stage(worker: Worker) -> None:
    """Begin, answer everything of the first stage and sign it."""
    worker.begins()
    worker.works("before_work", FOUND)


def all_of_it_is_there(town: CabledShop, worker: Worker) -> None:
    """Fail unless everything the tablet showed as saved is on the server, exactly once."""
    assert worker.unsent() == 0
    assert worker.tablet.shown, "Nothing was ever shown as saved"
    town.holds_once(worker.tablet.shown)
