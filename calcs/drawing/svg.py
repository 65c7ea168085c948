"""A small canvas for drawings that stand alone: no scripts, no style sheet, every text escaped."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from xml.sax.saxutils import escape, quoteattr

#: Font names fall through to whatever the reader's machine or the document renderer has.
FONT_FAMILY = "'Source Sans 3', 'Segoe UI', 'Helvetica Neue', Arial, 'Liberation Sans', sans-serif"
#: Mean advance of a letter as a share of the font size, on the wide side so that nothing is cut off.
LETTER_WIDTH = 0.56

Point = tuple[float, float]


def text_width(text: str, size: float) -> float:
    """Width a line of text may take.

    Parameters
    ----------
    text : str
        The line
    size : float
        Font size [px]

    Returns
    -------
    float
        Width, on the wide side [px]

    Examples
    --------
    >>> text_width("22 1/2 in", 14) > text_width("14 in", 14)
    True
    """
    return len(text) * size * LETTER_WIDTH


def shortened(words: str, letters: int) -> str:
    """Words cut to a number of letters, the cut shown.

    Parameters
    ----------
    words : str
        The words
    letters : int
        Letters that have room [-]

    Returns
    -------
    str
        The words, or their beginning with an ellipsis

    Examples
    --------
    >>> shortened("neighbour", 6)
    'neigh…'
    """
    return words if len(words) <= letters else words[: letters - 1] + "…"


def _number(value: float) -> str:
    rounded = round(value, 1)
    return f"{rounded:g}" if rounded else "0"


def _attributes(attributes: dict[str, str | float | None]) -> str:
    parts = []
    for name, value in attributes.items():
        if value is None:
            continue
        text = value if isinstance(value, str) else _number(value)
        parts.append(f" {name.rstrip('_').replace('_', '-')}={quoteattr(text)}")
    return "".join(parts)


class Canvas:
    """Collects shapes and gives them out as one SVG document. Lengths in px, y downwards."""

    def __init__(self, prefix: str) -> None:
        self.prefix = prefix
        self._parts: list[str] = []

    def open_group(self, **attributes: str | float | None) -> None:
        """Begin a group whose attributes its shapes inherit."""
        self._parts.append(f"<g{_attributes(attributes)}>")

    def close_group(self) -> None:
        """End the last group begun."""
        self._parts.append("</g>")

    def line(self, start: Point, end: Point, **attributes: str | float | None) -> None:
        """Draw a straight line."""
        self._parts.append(
            f'<line x1="{_number(start[0])}" y1="{_number(start[1])}" x2="{_number(end[0])}" '
            f'y2="{_number(end[1])}"{_attributes(attributes)}/>'
        )

    def rect(
        self, left: float, top: float, width: float, height: float, **attributes: str | float | None
    ) -> None:
        """Draw a rectangle."""
        self._parts.append(
            f'<rect x="{_number(left)}" y="{_number(top)}" width="{_number(max(0.0, width))}" '
            f'height="{_number(max(0.0, height))}"{_attributes(attributes)}/>'
        )

    def circle(self, centre: Point, radius: float, **attributes: str | float | None) -> None:
        """Draw a circle."""
        self._parts.append(
            f'<circle cx="{_number(centre[0])}" cy="{_number(centre[1])}" r="{_number(radius)}"'
            f"{_attributes(attributes)}/>"
        )

    def polygon(self, points: Iterable[Point], **attributes: str | float | None) -> None:
        """Draw a closed outline."""
        joined = " ".join(f"{_number(x)},{_number(y)}" for x, y in points)
        self._parts.append(f'<polygon points="{joined}"{_attributes(attributes)}/>')

    def polyline(self, points: Sequence[Point], **attributes: str | float | None) -> None:
        """Draw an open line through points."""
        joined = " ".join(f"{_number(x)},{_number(y)}" for x, y in points)
        self._parts.append(f'<polyline points="{joined}" fill="none"{_attributes(attributes)}/>')

    def path(self, commands: str, **attributes: str | float | None) -> None:
        """Draw a path given in SVG's own commands."""
        self._parts.append(f'<path d="{commands}"{_attributes(attributes)}/>')

    def text(self, at: Point, words: str, size: float, **attributes: str | float | None) -> None:
        """Write one line of text, its base line starting at a point; nothing for no words."""
        if not words:
            return
        self._parts.append(
            f'<text x="{_number(at[0])}" y="{_number(at[1])}" font-size="{_number(size)}"'
            f"{_attributes(attributes)}>{escape(words)}</text>"
        )

    def boxed_text(self, middle: Point, words: str, size: float, **attributes: str | float | None) -> None:
        """Write a line centred on a point over a patch of paper, so that lines behind it do not strike it."""
        width = text_width(words, size) + 4
        self.rect(middle[0] - width / 2, middle[1] - size * 0.72, width, size * 1.3, fill="#ffffff")
        self.text((middle[0], middle[1] + size * 0.35), words, size, text_anchor="middle", **attributes)

    def side_text(self, end: Point, words: str, size: float, **attributes: str | float | None) -> None:
        """Write a line that ends at a point over a patch of paper, centred on its height."""
        width = text_width(words, size) * 0.92
        self.rect(end[0] - width, end[1] - size * 0.6, width + 2, size * 1.15, fill="#ffffff")
        self.end_text(end, words, size, **attributes)

    def end_text(self, end: Point, words: str, size: float, **attributes: str | float | None) -> None:
        """Write a line that ends at a point, centred on its height."""
        self.text((end[0], end[1] + size * 0.35), words, size, text_anchor="end", **attributes)

    def document(self, width: float, height: float, title: str, description: str) -> str:
        """Return the whole drawing with its title and its description for those who do not see it."""
        names = f"{self.prefix}-title {self.prefix}-desc"
        head = (
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {_number(width)} {_number(height)}" '
            f'width="{_number(width)}" height="{_number(height)}" role="img" '
            f"aria-labelledby={quoteattr(names)} font-family={quoteattr(FONT_FAMILY)}>"
            f"<title id={quoteattr(self.prefix + '-title')}>{escape(title)}</title>"
            f"<desc id={quoteattr(self.prefix + '-desc')}>{escape(description)}</desc>"
        )
        paper = f'<rect width="{_number(width)}" height="{_number(height)}" fill="#ffffff"/>'
        return f"{head}{paper}{''.join(self._parts)}</svg>"
