"""The device an answer came from, in words a person reads."""

from __future__ import annotations

from django import template

register = template.Library()

#: Common practice in reading what a browser says of itself (RFC 9110, 10.1.5): the first sign that fits.
_SYSTEMS = (
    ("iPad", "iPad"),
    ("iPhone", "iPhone"),
    ("Android", "Android"),
    ("CrOS", "Chromebook"),
    ("Windows", "Windows"),
    ("Macintosh", "Mac"),
    ("Linux", "Linux"),
)
_BROWSERS = (("Firefox", "Firefox"), ("Edg", "Edge"), ("Chrome", "Chrome"), ("Safari", "Safari"))


@register.filter
def device_words(told: str) -> str:
    """Show a browser's name for itself as `Chrome on Android`; anything else as it was told."""
    system, browser = (
        next((words for sign, words in signs if sign in told), "") for signs in (_SYSTEMS, _BROWSERS)
    )
    return " on ".join(filter(None, (browser, system))) or told[:60]
