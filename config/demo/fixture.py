"""Reads the invented shop's files."""

from __future__ import annotations

import tomllib
from typing import Any

from django.conf import settings


def fixture(name: str) -> dict[str, Any]:
    """Return one file of fixtures/demo."""
    path = settings.BASE_DIR / "fixtures" / "demo" / f"{name}.toml"
    return tomllib.loads(path.read_text(encoding="utf-8"))
