"""Signatures on pages."""

from __future__ import annotations

from django import template

from inspections.models import Signature
from inspections.queries.ink import ink_path

register = template.Library()


@register.filter
def ink(signature: Signature) -> str:
    """Return a signature's strokes as an SVG path."""
    return ink_path(signature.strokes)
