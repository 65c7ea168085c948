"""Whether the libraries that set the papers' text can be loaded. Also run on its own by bin/setup."""

from __future__ import annotations

import ctypes
import sys
from ctypes.util import find_library

#: Name as ctypes looks for it, and the file names it goes by on Linux and macOS.
LIBRARIES = {
    "Pango": ("pango-1.0", "libpango-1.0.so.0", "libpango-1.0.dylib"),
    "PangoFT2": ("pangoft2-1.0", "libpangoft2-1.0.so.0", "libpangoft2-1.0.dylib"),
    "HarfBuzz subset": ("harfbuzz-subset", "libharfbuzz-subset.so.0", "libharfbuzz-subset.dylib"),
}


def loads(names: tuple[str, ...]) -> bool:
    """Whether a library can really be loaded under one of its names."""
    for name in (*names[1:], find_library(names[0])):
        if name is None:
            continue
        try:
            ctypes.CDLL(name)
        except OSError:
            continue
        return True
    return False


def missing_libraries() -> list[str]:
    """Return the names of the libraries that cannot be loaded."""
    return [title for title, names in LIBRARIES.items() if not loads(names)]


if __name__ == "__main__":
    missing = missing_libraries()
    sys.stdout.write(", ".join(missing))
    sys.exit(bool(missing))
