"""A device is named so that a person can tell one from another."""

from __future__ import annotations

import pytest

from inspections.templatetags.devices import device_words

WEBKIT = "AppleWebKit/537.36 (KHTML, like Gecko)"


@pytest.mark.parametrize(
    ("told", "words"),
    [
        (
            f"Mozilla/5.0 (Linux; Android 14; Slate 9) {WEBKIT} Chrome/130.0.0.0 Safari/537.36",
            "Chrome on Android",
        ),
        (f"Mozilla/5.0 (X11; Linux x86_64) {WEBKIT} Chrome/130.0.0.0 Safari/537.36", "Chrome on Linux"),
        ("Mozilla/5.0 (iPad; CPU OS 17_5 like Mac OS X) AppleWebKit/605.1.15 Safari/604.1", "Safari on iPad"),
        (f"Mozilla/5.0 (Windows NT 10.0; Win64; x64) {WEBKIT} Chrome/130.0 Edg/130.0", "Edge on Windows"),
        ("Mozilla/5.0 (Macintosh; Intel Mac OS X 10.15; rv:132.0) Firefox/132.0", "Firefox on Mac"),
        # The row keeps 120 characters, which may end before the browser's own name.
        ("Mozilla/5.0 (Linux; Android 14; Slate 9) AppleWebKit/537.36 (KHTML, like Gecko)", "Android"),
        ("Tablet Seven", "Tablet Seven"),
        ("tablet 8c1f02d4-1b2c-4d3e-8f90-a1b2c3d4e5f6", "tablet 8c1f02"),
        ("tablet", "tablet"),
        ("", ""),
    ],
)
def test_a_browser_is_named_with_what_it_runs_on(told, words):
    assert device_words(told) == words
