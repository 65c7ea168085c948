"""Looks at PDFs with tools that did not make them: poppler and qpdf."""

from __future__ import annotations

import re
import subprocess
from pathlib import Path

#: What papers may be set in.
FONTS = {"Atkinson-Hyperlegible", "Atkinson-Hyperlegible-Ext", "Barlow-Condensed"}


class Paper:
    """One PDF on the disk."""

    def __init__(self, content: bytes, folder: Path) -> None:
        self.path = folder / "paper.pdf"
        self.path.write_bytes(content)

    @property
    def text(self) -> str:
        """The text of every page, with runs of space as one."""
        return " ".join(_run("pdftotext", "-layout", str(self.path), "-").split())

    def page(self, number: int) -> str:
        """The text of one page."""
        told = ("-f", str(number), "-l", str(number))
        return " ".join(_run("pdftotext", "-layout", *told, str(self.path), "-").split())

    @property
    def pages(self) -> int:
        """How many pages qpdf counts, after it found nothing wrong."""
        _run("qpdf", "--check", str(self.path))
        return int(_run("qpdf", "--show-npages", str(self.path)))

    @property
    def size(self) -> tuple[int, int]:
        """Width and height of the first page in points."""
        found = re.search(r"Page size:\s+([\d.]+) x ([\d.]+)", _run("pdfinfo", str(self.path)))
        assert found
        return round(float(found[1])), round(float(found[2]))

    @property
    def fonts(self) -> set[str]:
        """Families of the fonts in the file, each embedded."""
        lines = [line.split() for line in _run("pdffonts", str(self.path)).splitlines()[2:]]
        assert all(line[-5] == "yes" for line in lines), lines
        names = (line[0].split("+", 1)[1] for line in lines)
        return {re.sub(r"(,?-Semi-Bold-Condensed|-Bold)$", "", name) for name in names}

    @property
    def pictures(self) -> int:
        """How many raster pictures the file holds."""
        return len(_run("pdfimages", "-list", str(self.path)).splitlines()[2:])


def _run(*command: str) -> str:
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert done.returncode == 0, f"{command[0]}: {done.stdout}{done.stderr}"
    return done.stdout
