"""Signatures: drawn strokes that make sense, or a name typed in full."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from inspections.errors import InspectionsError
from inspections.models import Signature
from jobs.models import User

MOST_STROKES = 300
MOST_POINTS = 20_000
LARGEST_BOX = 5_000
#: A dot or a slip of the finger is no signature: ink must run at least this share of the box's width.
LEAST_INK = 0.1

Strokes = Sequence[Sequence[Sequence[float]]]


@dataclass(frozen=True)
class Ink:
    """What somebody drew in a box, or typed instead."""

    strokes: Strokes
    width: int
    height: int
    name: str


def signature_make(*, by: User, ink: Ink, now: datetime) -> Signature:
    """Keep a signature: drawn, or without strokes the signer's own name typed out."""
    signature = signature_read(by=by, ink=ink, now=now)
    signature.save(force_insert=True)
    return signature


def signature_read(*, by: User, ink: Ink, now: datetime) -> Signature:
    """Return a signature that makes sense, not yet kept."""
    strokes, width, height = ink.strokes, ink.width, ink.height
    told = " ".join(ink.name.split()) or (by.name if strokes else "")
    if not (0 < width <= LARGEST_BOX and 0 < height <= LARGEST_BOX):
        raise InspectionsError("signature_box", "The signature did not arrive whole. Sign again.")
    if not strokes and told.casefold() != " ".join(by.name.split()).casefold():
        raise InspectionsError(
            "signature_missing", f"Sign in the box with your finger, or type your name as it is: {by.name}."
        )
    drawn = _strokes_checked(strokes, width, height) if strokes else []
    return Signature(name=told[:120], user=by, strokes=drawn, width=width, height=height, signed_at=now)


def _strokes_checked(strokes: Any, width: int, height: int) -> list[list[list[float]]]:
    broken = InspectionsError(
        "signature_broken", "The signature did not arrive whole. Clear it and sign again."
    )
    if not isinstance(strokes, list | tuple) or len(strokes) > MOST_STROKES:
        raise broken
    drawn = []
    for stroke in strokes:
        if not isinstance(stroke, list | tuple) or not stroke:
            raise broken
        drawn.append([_point(point, width, height, broken) for point in stroke])
    if sum(map(len, drawn)) > MOST_POINTS:
        raise broken
    ink = sum(math.dist(here, there) for stroke in drawn for here, there in itertools.pairwise(stroke))
    if ink < LEAST_INK * width:
        raise InspectionsError("signature_too_small", "That is a dot, not a signature. Sign again.")
    return drawn


def _point(point: Any, width: int, height: int, broken: InspectionsError) -> list[float]:
    if not isinstance(point, list | tuple) or len(point) != 2:
        raise broken
    for one, most in zip(point, (width, height), strict=True):
        if isinstance(one, bool) or not isinstance(one, int | float):
            raise broken
        # A finger may run out of the box; far outside, endless or no number at all is not a drawing.
        if not -most <= one <= 2 * most:
            raise broken
    return [round(float(point[0]), 1), round(float(point[1]), 1)]
