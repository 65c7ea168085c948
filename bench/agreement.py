"""Both ways have to come to the same answers before their cost is compared."""

from __future__ import annotations

from collections.abc import Mapping


class DisagreementError(Exception):
    """Two ways to one answer came to two answers."""


def agree(what: str, ours: Mapping[str, float], theirs: Mapping[str, float], *, within: float) -> float:
    """Return the largest relative difference; raise `DisagreementError` where it is beyond `within`."""
    if ours.keys() != theirs.keys():
        raise DisagreementError(f"{what}: {sorted(ours.keys() ^ theirs.keys())} stands on one side only")
    worst = 0.0
    for name, value in ours.items():
        off = abs(value - theirs[name]) / max(abs(value), abs(theirs[name]), 1e-9)
        if not off <= within:
            raise DisagreementError(f"{what}: {name} is {value!r} here and {theirs[name]!r} there")
        worst = max(worst, off)
    return worst
