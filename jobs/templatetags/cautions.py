"""What is read before the first cut."""

from __future__ import annotations

from django import template

from jobs.cautions import work_cautions

register = template.Library()


@register.filter
def cautions(system: str) -> list[str]:
    """Return the cautions of a house by its units: `{% for one in site.unit_system|cautions %}`."""
    return work_cautions(system)
