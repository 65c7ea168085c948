"""Lines of the log, without the keys that stand in some addresses."""

from __future__ import annotations

import logging
import re

#: A customer's private link and the link that sets a password: whoever reads the log must not follow them.
_KEYS = re.compile(r"(/c/|/password/reset/key/)[^/\s?#]+")


class KeylessFormatter(logging.Formatter):
    """Writes an ellipsis where an address holds a key, tracebacks included."""

    def format(self, record: logging.LogRecord) -> str:
        """Return the line."""
        return _KEYS.sub(r"\1…", super().format(record))
