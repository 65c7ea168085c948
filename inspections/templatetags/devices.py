"""The device an answer came from, in words a person reads."""

from __future__ import annotations

import re

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
#: Six figures of a random number tell the tablets of a shop apart.
_TABLET = re.compile(r"tablet ([0-9a-f]{6})[0-9a-f]{2}-[0-9a-f-]{27}$")
_BROWSERS = (("Firefox", "Firefox"), ("Edg", "Edge"), ("Chrome", "Chrome"), ("Safari", "Safari"))


@register.filter
def device_words(told: str) -> str:
    """Show a browser's name for itself as `Chrome on Android`, a tablet's own number by its head.

    Anything else stays as it was told.
    """
    if tablet := _TABLET.match(told):
        return f"tablet {tablet[1]}"
    system, browser = (
        next((words for sign, words in signs if sign in told), "") for signs in (_SYSTEMS, _BROWSERS)
    )
    return " on ".join(filter(None, (browser, system))) or told[:60]
