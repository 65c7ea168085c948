"""Looks at a PDF that a stranger holds: is it the file this shop issued, and does its seal hold?"""

from __future__ import annotations

from dataclasses import dataclass

from inspections.models import Certificate
from inspections.queries.verification import certificate_by_file
from jobs.services.seal_checks import SealFinding, SealState, seal_check


@dataclass(frozen=True)
class PaperFinding:
    """What there is to say about a file."""

    #: Whose file it is to the byte; None when it is none that was issued here.
    certificate: Certificate | None
    seal: SealFinding
    #: pass | fail | unknown
    verdict: str
    word: str
    sentences: tuple[str, ...]


def paper_check(*, content: bytes, asked_about: Certificate | None = None) -> PaperFinding:
    """Compare a file byte for byte with those that were issued, then look at its seal.

    Only the bytes make a file the one that was issued; the seal tells what became of one that is not.
    """
    found = certificate_by_file(content)
    seal = seal_check(content=content)
    if found is None:
        return PaperFinding(None, seal, *_unknown(seal))
    sentences = [f"Byte for byte, this is the file this shop issued as {found.serial}."]
    sentences.append(seal.sentence if seal.state == SealState.WHOLE else _UNSEALED)
    if asked_about is not None and asked_about != found:
        sentences.append(f"It is not {asked_about.serial}, which you asked about.")
        return PaperFinding(found, seal, "fail", "Another certificate", tuple(sentences))
    return PaperFinding(found, seal, "pass", "Unchanged", tuple(sentences))


_UNSEALED = "It was made without a seal; the comparison of its bytes stands by itself."
_ASK = "Ask the shop for the certificate itself before you rely on this file."


def _unknown(seal: SealFinding) -> tuple[str, str, tuple[str, ...]]:
    if seal.state == SealState.WHOLE:
        return (
            "unknown",
            "Sealed here, not on file",
            (seal.sentence, "But no certificate on file is this file to the byte.", _ASK),
        )
    word = "Changed" if seal.state in {SealState.ALTERED, SealState.ADDED_TO} else "Not from this shop"
    first = "This is not a file this shop issued."
    return "fail", word, (first, seal.sentence, _ASK)
