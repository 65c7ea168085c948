"""How bodies of requests are read."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest
from ninja.parser import Parser

from inspections.services.strict_json import json_read


class StrictParser(Parser):
    """Reads JSON as the standard has it."""

    def parse_body(self, request: HttpRequest) -> Any:
        """Return what a request's body says."""
        return json_read(request.body)
