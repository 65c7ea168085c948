"""The bell: tells a worker to look at a row now. The row is the truth; a lost bell is picked up later."""

from __future__ import annotations

import logging
from typing import Any

from django.db import transaction
from kombu.exceptions import OperationalError

log = logging.getLogger(__name__)


def bell_ring(*, task: Any, pk: int) -> None:
    """Send a task with a row's key once the transaction is committed.

    A broker that cannot be reached is logged and left: the scheduled pick-up finds the row.
    """

    def ring() -> None:
        try:
            task.delay(pk)
        except (OperationalError, OSError) as error:
            log.warning("The bell for %s %s was lost: %s", task.name, pk, error)

    transaction.on_commit(ring)
