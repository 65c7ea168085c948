"""Figures on pages: `{{ metres|length:system }}`, `{{ pascals|quantity:"draft imperial" }}`."""

from __future__ import annotations

from collections.abc import Sized
from typing import Any

from django import template

from calcs.checks import Limit
from calcs.goods import stock_name
from jobs import figures, limit_names

register = template.Library()


@register.filter
def length(value: Any, system: str = "") -> str | int:
    """Show metres in the system's units; without a system count, as Django's own filter does."""
    if not system:
        return len(value) if isinstance(value, Sized) else 0
    return figures.figure_words(value, "length", system)


@register.filter
def stock(name: str, system: str) -> str:
    """Show framing lumber by its trade name, or by its size where inches are not used."""
    return stock_name(name, system)


@register.filter
def least_length(value: float | None, system: str) -> str:
    """Show a least length, never as less than it is."""
    return figures.figure_words(value, "length", system, rounding="up")


@register.filter
def most_length(value: float | None, system: str) -> str:
    """Show a greatest length, never as more than it is."""
    return figures.figure_words(value, "length", system, rounding="down")


@register.filter
def quantity(value: float | None, kind: str) -> str:
    """Show an SI figure of a kind; a last word `imperial` or `metric` (the default) gives the units."""
    name, _, system = kind.rpartition(" ")
    if system in figures.SYSTEMS:
        return figures.figure_words(value, name, system)
    return figures.figure_words(value, kind)


@register.simple_tag(name="quantity")
def quantity_tag(value: float | None, kind: str, system: str) -> str:
    """Show an SI figure: `{% quantity appliance.least_draft "draft" system %}`."""
    return figures.figure_words(value, kind, system)


@register.simple_tag
def figure(value: float | None, unit: str, name: str, system: str) -> str:
    """Show a measured value by a limit's unit and name: `{% figure check.measured "m" name system %}`."""
    return figures.figure_words(value, figures.kind_of(unit, name), system)


@register.simple_tag
def limit_words(limit: Limit | None, name: str, system: str) -> str:
    """Show a limit in words: `{% limit_words limit "connector.slope" system %}`."""
    return figures.limit_words(limit, name, system)


@register.filter
def source_words(limit: Limit | None) -> str:
    """Show where a limit comes from."""
    return figures.source_words(limit)


@register.filter
def limit_name(name: str) -> str:
    """Show what people call a limit."""
    return limit_names.limit_name(name)
