"""What the tests of security share."""

from __future__ import annotations

import pytest
from django.core.cache import cache


@pytest.fixture(autouse=True)
def _fresh_counts(_own_files) -> None:
    """Forget what earlier tests asked of the rate limits."""
    cache.clear()
