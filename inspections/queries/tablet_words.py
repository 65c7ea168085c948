"""What is said of a tablet: its clock, and how an answer came from it."""

from __future__ import annotations

from inspections.models import Answer, TabletEntry

#: A clock off by less than this is as good as any watch [s].
_WORTH_TELLING = 300.0
_UNITS = ((86_400.0, "day"), (3_600.0, "hour"), (60.0, "minute"))


def clock_words(skew: float | None) -> str:
    """Return how far a tablet's clock was off, such as "1 day ahead"; empty where it hardly was."""
    if skew is None or abs(skew) <= _WORTH_TELLING:
        return ""
    size, unit = next(one for one in _UNITS if round(abs(skew) / one[0]) >= 1)
    count = round(abs(skew) / size)
    return f"{count} {unit}{'' if count == 1 else 's'} {'ahead' if skew > 0 else 'behind'}"


def entry_notes(entry: TabletEntry) -> tuple[str, ...]:
    """Return what is to be known of how an entry came from its tablet."""
    clock = clock_words(entry.clock_skew)
    notes = (
        f"The tablet had judged it {entry.tablet_verdict}; what counts is the verdict here."
        if entry.differs
        else "",
        f"Its clock was {clock}." if clock else "",
        f"Brought in from a file by {entry.brought_in_by}." if entry.brought_in_by else "",
    )
    return tuple(filter(None, notes))


def answer_notes(answer: Answer) -> tuple[str, ...]:
    """Return what is to be known of how an answer came here; nothing of one entered on a page."""
    entry = getattr(answer, "tablet_entry", None)
    return entry_notes(entry) if entry else ()
