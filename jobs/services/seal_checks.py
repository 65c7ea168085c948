"""Says in words what the seal of a PDF that somebody sent is worth."""

from __future__ import annotations

import json
import logging
import subprocess
import sys
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from typing import Any

from django.conf import settings

from jobs.models import SealCertificate

log = logging.getLogger(__name__)

#: Seconds the reader has by the clock on the wall; its own limit counts seconds of work.
PATIENCE = 25
REFUSALS = {
    "encrypted": "It is locked with a password, and no paper of this shop ever is.",
    "too much": "It asks for more memory than any paper of this shop.",
    "not readable": "It cannot be read as a PDF: it is damaged, or it is something else.",
    "stopped": "It could not be read to its end: it is damaged, or made to keep the reader busy.",
}


class SealState(StrEnum):
    """What a seal is worth."""

    WHOLE = "whole"
    ADDED_TO = "added to"
    ALTERED = "altered"
    OF_ANOTHER = "of another"
    NONE = "none"
    NOT_READ = "not read"


@dataclass(frozen=True)
class SealFinding:
    """What was found, and a sentence for somebody who never heard of signatures."""

    state: SealState
    sentence: str
    stamped_at: datetime | None = None


def seal_check(*, content: bytes) -> SealFinding:
    """Return what the seal of a PDF says; nothing in the file can hurt the shop's own process."""
    told = _read_apart(content)
    if refused := told.get("refused"):
        return SealFinding(SealState.NOT_READ, REFUSALS[refused])
    seals = told["seals"]
    if not seals:
        return SealFinding(SealState.NONE, "It carries no seal at all.")
    known = set(SealCertificate.objects.values_list("fingerprint", flat=True))
    ours = [one for one in seals if one["fingerprint"] in known]
    if not ours:
        return SealFinding(SealState.OF_ANOTHER, "It is sealed, but not by this shop.")
    return _finding(ours[-1])


def _finding(seal: dict[str, Any]) -> SealFinding:
    if not (seal["intact"] and seal["valid"]):
        return SealFinding(
            SealState.ALTERED,
            "It bears this shop's seal, but what the seal covers was altered after it was sealed.",
        )
    if not seal["whole"]:
        return SealFinding(
            SealState.ADDED_TO,
            "It bears this shop's seal, but something was added to the file after it was sealed.",
        )
    stamp = seal["stamp"]
    stamped_at = datetime.fromisoformat(stamp["at"]) if stamp and stamp["holds"] else None
    return SealFinding(
        SealState.WHOLE,
        "It bears this shop's seal, the seal covers the whole file, and nothing was changed since.",
        stamped_at,
    )


def _read_apart(content: bytes) -> dict[str, Any]:
    try:
        done = subprocess.run(  # noqa: S603  (a fixed command; the file goes in by the pipe)
            [sys.executable, "-I", "-c", _READER, str(settings.BASE_DIR)],
            input=content,
            capture_output=True,
            timeout=PATIENCE,
            env={},
            check=True,
        )
        told: dict[str, Any] = json.loads(done.stdout)
    except (subprocess.SubprocessError, ValueError) as error:
        log.warning("The reader of a PDF that was sent came to no end: %s", error)
        return {"refused": "stopped"}
    return told


#: Isolated mode leaves the folder of the program out of the path; nothing else is wanted of it.
_READER = "import sys; sys.path.append(sys.argv[1]); from jobs.seal_reader import main; main()"
