"""What a tablet sends, and what it hears back of each entry."""

from __future__ import annotations

import uuid
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any


@dataclass(frozen=True)
class SentSignature:
    """Strokes in a box, or a typed name."""

    strokes: list[list[list[float]]] = field(default_factory=list)
    width: int = 600
    height: int = 220
    name: str = ""


@dataclass(frozen=True)
class SentEntry:
    """One entry as it left the tablet."""

    entry: uuid.UUID
    #: begin | answer | photo | signature | defect | sign_off
    kind: str
    stage: str = ""
    item: str = ""
    text: str = ""
    #: How grave a defect raised by hand is, and where; "" where an earlier app did not ask.
    severity: str = ""
    place: str = ""
    #: Entry of the answer that stood on the tablet when this was entered; None where none stood.
    saw: uuid.UUID | None = None
    #: Whether the tablet told what it saw: the first version of an entry did not.
    tells_what_it_saw: bool = True
    #: Server time of what the tablet knew of the job when this was entered; None where it did not tell.
    knew: datetime | None = None
    #: The tablet's own verdict.
    verdict: str = ""
    #: On the tablet's clock, which is recorded and not trusted.
    taken_at: datetime | None = None
    signature: SentSignature | None = None
    sha256: str = ""
    #: The entry as it was sent, kept with its receipt.
    raw: dict[str, Any] = field(default_factory=dict)


@dataclass(frozen=True)
class Sender:
    """The tablet an entry comes from."""

    device: str = ""
    app: str = ""
    #: How far the tablet's clock was ahead of the server's when this was sent [s]; None where not told.
    clock_skew: float | None = None


@dataclass(frozen=True)
class EntryResult:
    """What became of one entry. Accepted and late ones are kept for good; a refused one is not kept."""

    entry: uuid.UUID
    #: accepted | late | refused | wants_photo
    outcome: str
    code: str = ""
    sentence: str = ""
    #: The server's verdict; "" where there is none.
    verdict: str = ""
    #: Whether the tablet had come to another verdict.
    differs: bool = False
    said: str = ""
    margin: str = ""
    received_at: datetime | None = None
