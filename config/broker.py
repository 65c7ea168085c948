"""The filesystem broker: a folder that carries bells where there is no Redis.

Kombu has a transport of this kind, but it writes a message under its final name, so that a reader may take
it half written; it moves it to the system's temporary folder, which may lie on another file system, so that
two readers may take it at once; and two processes that start together may spoil its table of queues. Here
a message gets its name when it is whole, whoever renames it first has it, and there is no table to spoil.
"""

from __future__ import annotations

import json
import logging
import time
import uuid
from pathlib import Path
from queue import Empty
from typing import Any

from kombu.transport import TRANSPORT_ALIASES, virtual

log = logging.getLogger(__name__)


def message_read(file: Path) -> Any:
    """Return what a file says, None if that is no message: a power cut may leave one empty or cut short."""
    try:
        payload = json.loads(file.read_bytes())
    except ValueError:
        payload = None
    if isinstance(payload, dict) and {"body", "properties"} <= payload.keys():
        return payload
    log.warning(
        "A bell that cannot be read is thrown away: %s. What it rang for is found without it.", file.name
    )
    return None


class Channel(virtual.Channel):
    """Puts and takes whole messages by renaming within one folder."""

    from_transport_options = (*virtual.Channel.from_transport_options, "folder")
    folder = "broker"

    def __init__(self, connection: Any, **kwargs: Any) -> None:
        super().__init__(connection, **kwargs)
        Path(self.folder).mkdir(parents=True, exist_ok=True)

    def messages(self, queue: str) -> list[Path]:
        """Return the messages of a queue, oldest first."""
        return sorted(Path(self.folder).glob(f"*.{queue}.msg"))

    def _put(self, queue: str, message: Any, **kwargs: Any) -> None:
        """Write a message under a name nobody looks for, then give it its own."""
        name = f"{time.time_ns():020d}_{uuid.uuid4()}.{queue}.msg"
        unfinished = Path(self.folder, f"{name}.unfinished")
        unfinished.write_text(json.dumps(message))
        unfinished.rename(unfinished.with_suffix(""))

    def _get(self, queue: str, timeout: float | None = None) -> Any:
        """Take the oldest message; one that another reader took first is passed over."""
        for message in self.messages(queue):
            taken = message.with_suffix(".taken")
            try:
                message.rename(taken)
            except FileNotFoundError:
                continue
            payload = message_read(taken)
            taken.unlink()
            if payload is not None:
                return payload
        raise Empty

    def _size(self, queue: str) -> int:
        """Return how many messages wait."""
        return len(self.messages(queue))

    def _purge(self, queue: str) -> int:
        """Throw every waiting message away."""
        messages = self.messages(queue)
        for message in messages:
            message.unlink(missing_ok=True)
        return len(messages)


class Transport(virtual.Transport):
    """Known to Celery as `folder://` once it is registered."""

    Channel = Channel
    global_state = virtual.BrokerState()
    driver_type = driver_name = "folder"

    def __init__(self, client: Any, **kwargs: Any) -> None:
        super().__init__(client, **kwargs)
        self.state = self.global_state

    def driver_version(self) -> str:
        """Return what stands for a version where there is no driver."""
        return "none"


def register() -> None:
    """Make `folder://` known to Celery."""
    TRANSPORT_ALIASES["folder"] = "config.broker:Transport"
