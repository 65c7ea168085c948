"""What an inspection report says in sentences."""

from __future__ import annotations

from inspections.models import Severity
from jobs.models import JobKind

TITLES = {
    JobKind.ANNUAL_SWEEP: "Sweep report",
    JobKind.INSPECTION_1: "Inspection report, level 1",
    JobKind.INSPECTION_2: "Inspection report, level 2",
    JobKind.INSPECTION_3: "Inspection report, level 3",
    JobKind.INSPECTION_AFTER_FIRE: "Inspection report after a chimney fire",
    JobKind.INSPECTION_ON_SALE: "Inspection report on sale of the house",
}
_STATEMENTS = {
    JobKind.ANNUAL_SWEEP: (
        "The chimney named below was swept, and its parts and the appliance were looked over as far as this"
        " page says."
    ),
    JobKind.INSPECTION_AFTER_FIRE: (
        "After a chimney fire, the appliance and chimney named below were inspected as far as this page says."
    ),
    JobKind.INSPECTION_ON_SALE: (
        "For the sale of the house, the appliance and chimney named below were inspected as far as this page"
        " says."
    ),
}
_INSPECTED = "The appliance and chimney named below were inspected as far as this page says."
#: Overall finding -> its word and what it means.
FINDINGS = {
    "use": (
        "May be used",
        "Among the parts this level looks at, nothing was found that stands against using it as its"
        " instructions say.",
    ),
    "after": (
        "May be used when put right",
        "No fire before what is listed as to be corrected has been put right.",
    ),
    "stop": (
        "Do not use",
        "Something found is an immediate danger to life or house. No fire until it has been put right and"
        " looked at again.",
    ),
}
SEVERITY_WORDS = {
    Severity.DANGER: (
        "Immediate danger",
        "Taken out of use. Put right by a firm licensed or registered for this work, before any fire.",
    ),
    Severity.CORRECT: (
        "Must be corrected",
        "Put right by a firm licensed or registered for this work, before the next fire.",
    ),
    Severity.ADVICE: (
        "Advice",
        "For whoever owns the stove to decide, best before the next heating season.",
    ),
}
ENDED_WORDS = "Put right during this visit, or accepted in writing"
_LEVELS = "What a level looks at follows NFPA 211 as known second-hand: read it before you rely on it."
_LOCAL = {
    "us": f"{_LEVELS} The local code and the authority having jurisdiction may ask for more.",
    "ca": (
        "The levels are those of NFPA 211, known second-hand. In Canada the installation code, the provincial"
        " rules and the authority having jurisdiction say what has to be looked at."
    ),
    "uk": (
        "The levels are those of NFPA 211, known second-hand. In the United Kingdom building regulations, the"
        " makers' instructions and the schemes of registered sweeps and installers say what has to be looked"
        " at."
    ),
}
BOUNDS = (
    "It is a report of what was seen, measured and photographed on the days shown, at the level named on the"
    " first page. It is no warranty, and it does not say how long a part will last.",
    "An inspection of this level sees what the first page says it covers. Nothing is said of parts that were"
    " not seen, could not be reached or are concealed, nor of anything changed, moved, burnt or damaged after"
    " the sign-off.",
    "The makers’ listed instructions, the local code and the authority having jurisdiction come before"
    " anything printed here. Where they ask for more, they win.",
    "It does not stand in for a permit, for an inspection by the authority, for a structural or electrical"
    " survey of the house, or for work that only a licensed person may do.",
    "What is compared with an earlier visit was found by whoever signed then, with the means named then.",
    "A limit marked second-hand or memory was not read in the source itself when the rules were entered.",
)
EMBEDDED = "The record behind this report, for machines: docs/schemas/certificate-record.1.json says its form"


def title_of(kind: str) -> str:
    """Return what a report is called."""
    return TITLES[JobKind(kind)]


def statement_of(kind: str) -> str:
    """Return the sentence under the title."""
    return _STATEMENTS.get(JobKind(kind), _INSPECTED)


def local_words(rule_book: str) -> str:
    """Return whose rules say what a level looks at where the house stands."""
    return _LOCAL.get(rule_book, _LEVELS)
