"""Lengths as people write them, to metres and back."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from fractions import Fraction
from types import MappingProxyType

INCH = 0.0254
FOOT = 12 * INCH
METRES: Mapping[str, float] = MappingProxyType({"in": INCH, "ft": 0.3048, "mm": 1e-3, "cm": 1e-2, "m": 1.0})
UNIT_WORDS = {
    **dict.fromkeys(("in", "in.", "inch", "inches", '"'), "in"),
    **dict.fromkeys(("ft", "ft.", "foot", "feet", "'"), "ft"),
    **dict.fromkeys(("mm", "millimetre", "millimetres", "millimeter", "millimeters"), "mm"),
    **dict.fromkeys(("cm", "centimetre", "centimetres", "centimeter", "centimeters"), "cm"),
    **dict.fromkeys(("m", "metre", "metres", "meter", "meters"), "m"),
}
FRACTIONS = {
    "½": "1/2", "⅓": "1/3", "⅔": "2/3", "¼": "1/4", "¾": "3/4", "⅕": "1/5", "⅖": "2/5", "⅗": "3/5",
    "⅘": "4/5", "⅙": "1/6", "⅚": "5/6", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8",
}  # fmt: skip
SIGNS = str.maketrans(
    {"′": "'", "ʹ": "'", "’": "'", "‘": "'", "´": "'", "`": "'", "″": '"', "ʺ": '"', "“": '"', "”": '"',
     "−": "-", "–": "-", "‐": "-", "‑": "-", "⁄": "/", "∕": "/", "\u00a0": " ", "\u202f": " ",
     "\u2009": " ", "\t": " "}
)  # fmt: skip
_NUMBER = r"(?:[0-9]+\.?[0-9]*|\.[0-9]+)"
_AMOUNT = rf"(?:[0-9]+(?: |-|- )[0-9]+/[0-9]+|[0-9]+/[0-9]+|{_NUMBER})"
_UNIT = r"(?:[a-z]+\.?|['\"])"
_TOLERANCE = re.compile(r"\+ ?/? ?[-−–]|\bplus or minus\b", re.IGNORECASE)
_TERM = re.compile(rf"(?P<amount>{_AMOUNT}) ?(?P<unit>{_UNIT})?")
#: Longer than any building; a figure beyond it is a slip of the keyboard.
LONGEST = 10_000.0
LONGEST_TEXT = 60


class UnitError(ValueError):
    """Text that was not understood; `code` is for programs, the sentence for people."""

    def __init__(self, code: str, sentence: str) -> None:
        super().__init__(sentence)
        self.code = code


def parse_length(text: str, default_unit: str = "in") -> float:
    """Length from what a person wrote.

    Parameters
    ----------
    text : str
        Such as `22 1/2`, `22-1/2"`, `1' 10 1/2"`, `571.5 mm`, `57,15 cm`, `0.57 m` [-]
    default_unit : str
        Unit of a bare number: in | ft | mm | cm | m [-]

    Returns
    -------
    float
        Length [m]

    Raises
    ------
    UnitError
        The text is empty, not understood, or could mean two things; the sentence says which part and what
        to write instead. It is a ValueError.

    Notes
    -----
    A comma is a decimal comma unless exactly three digits follow it: `1,200` could be either and is refused.
    An improper fraction such as `221/2` is refused because a space may be missing. Inches after feet stay
    under twelve. Fractions and primes may be the Unicode signs.

    Examples
    --------
    >>> parse_length("22 1/2")
    0.5715
    >>> parse_length("1' 10½″") == parse_length("22-1/2 in")
    True
    >>> parse_length("221/2")
    Traceback (most recent call last):
    calcs.lengths.UnitError: “221/2” is a whole or more; is a space missing, as in 22 1/2? Write it out.

    References
    ----------
    International yard and pound agreement of 1959: 1 in = 25.4 mm exactly.
    """
    if default_unit not in METRES:
        raise UnitError("default_unit", f"default_unit must be one of {', '.join(METRES)}.")
    if len(text) > LONGEST_TEXT:
        raise UnitError("too_much_text", f"Type one length in at most {LONGEST_TEXT} characters.")
    plain = _plain(text)
    if not plain:
        raise UnitError("empty", "Type a length, such as 22 1/2 in or 572 mm.")
    plain = _decimal_comma(plain)
    sign = 1
    if plain[0] in "+-":
        sign = -1 if plain[0] == "-" else 1
        plain = plain[1:].lstrip()
    if not plain:
        raise UnitError(
            "not_understood", f"“{text.strip()}” holds no number; write it like 22 1/2 in or 572 mm."
        )
    metres = _metres(_terms(plain, text), default_unit, text)
    if metres > LONGEST:
        raise UnitError("too_long", f"“{text.strip()}” is longer than any building; check the unit.")
    # Twelve digits keep 22.5 in at 0.5715 m; the sixteenth of an inch needs five.
    return sign * float(f"{metres:.12g}") + 0.0


def parse_measure(text: str, default_unit: str = "in") -> tuple[float, float | None]:
    """Length and how far it may be off either way, from what a person wrote.

    Parameters
    ----------
    text : str
        Such as `36 in ± 1/4`, `36 +/- 1/4`, `900 mm ± 5 mm`, or a length alone [-]
    default_unit : str
        Unit of a bare length: in | ft | mm | cm | m [-]

    Returns
    -------
    tuple of float and float or None
        Length, and its tolerance where one is written [m]

    Raises
    ------
    UnitError
        As for `parse_length`; or the tolerance is missing behind its sign, negative or more than the length
        itself, or one of the two lacks a unit that cannot be guessed. A bare tolerance is in the unit of
        the length.

    Examples
    --------
    >>> parse_measure("36 in ± 1/4"), parse_measure("900 mm +/- 5"), parse_measure("36")
    ((0.9144, 0.00635), (0.9, 0.005), (0.9144, None))
    """
    value, sign, off = _TOLERANCE.sub("±", text).partition("±")
    if not sign:
        return parse_length(text, default_unit), None
    if not off.strip() or "±" in off or off.strip()[0] in "+-−":
        raise UnitError("tolerance", "Write how far it may be off once, behind the ±: 36 in ± 1/4 in.")
    units = [_last_unit(part) for part in (value, off)]
    bare = (
        value if not units[0] and units[1] not in {"", default_unit} else off if units == ["ft", ""] else ""
    )
    if bare:
        raise UnitError("tolerance_unit", f"Write “{bare.strip()}” with its unit as well.")
    metres, tolerance = parse_length(value, default_unit), parse_length(off, units[0] or default_unit)
    if tolerance > abs(metres):
        raise UnitError("tolerance", f"± “{off.strip()}” is more than the length itself; check its unit.")
    return metres, tolerance


def _last_unit(text: str) -> str:
    """Unit of the last figure, inches where it follows feet; "" where none is written or understood."""
    try:
        *before, (_, unit) = _terms(_decimal_comma(_plain(text)).lstrip("+- "), text) or [("", "")]
    except UnitError:
        return ""
    return unit or ("in" if before else "")


def format_length(
    metres: float,
    system: str = "imperial",
    denominator: int = 16,
    *,
    feet_from: float | None = None,
    rounding: str = "nearest",
) -> str:
    """Length the way it is read off a tape.

    Parameters
    ----------
    metres : float
        Length [m]
    system : str
        imperial (inches and fractions) | metric (whole millimetres) [-]
    denominator : int
        Finest fraction of an inch, a power of two up to 64 [-]
    feet_from : float | None
        Write feet and inches from this many feet on; None keeps inches [ft]
    rounding : str
        nearest | up | down, by size: up never shows a least distance as less than it is [-]

    Returns
    -------
    str
        Such as `22 1/2 in`, `2 ft 10 1/2 in`, `572 mm` [-]

    Raises
    ------
    ValueError
        The length is no number, or one of the choices is not known.

    Notes
    -----
    Fractions are reduced, and 11 31/32 in at a sixteenth carries over to 12 in and on to a foot.

    Examples
    --------
    >>> format_length(0.5715), format_length(0.5715, "metric"), format_length(-0.0127)
    ('22 1/2 in', '572 mm', '-1/2 in')
    >>> format_length(0.5715, feet_from=1), format_length(0.6096, feet_from=2)
    ('1 ft 10 1/2 in', '2 ft')

    References
    ----------
    Common practice.
    """
    if not math.isfinite(metres):
        raise ValueError(f"metres must be a number, not {metres!r}")
    if system == "metric":
        whole = _rounded(abs(metres) * 1000, rounding)
        return f"{'-' if metres < 0 and whole else ''}{whole} mm"
    if system != "imperial":
        raise ValueError(f"system must be imperial or metric, not {system!r}")
    if denominator not in {1, 2, 4, 8, 16, 32, 64}:
        raise ValueError(f"denominator must be a power of two from 1 to 64, not {denominator!r}")
    steps = _rounded(abs(metres) / INCH * denominator, rounding)
    sign = "-" if metres < 0 and steps else ""
    if feet_from is None or steps < 12 * feet_from * denominator:
        return f"{sign}{_mixed(steps, denominator)} in"
    feet, rest = divmod(steps, 12 * denominator)
    return f"{sign}{feet} ft" + (f" {_mixed(rest, denominator)} in" if rest else "")


def rounded(value: float, decimals: int, rounding: str = "nearest") -> float:
    """Round to so many decimals, up or down where a limit must not be shown easier than it is.

    Parameters
    ----------
    value : float
        The figure [any]
    decimals : int
        Digits behind the point [-]
    rounding : str
        nearest | up | down [-]

    Returns
    -------
    float
        The rounded figure [as the value]

    Raises
    ------
    ValueError
        The rounding is not known.

    Examples
    --------
    >>> rounded(1.231, 2), rounded(1.231, 2, "up"), rounded(1.239, 2, "down")
    (1.23, 1.24, 1.23)

    References
    ----------
    Common practice.
    """
    step = 10.0**decimals
    return _rounded(value * step, rounding) / step + 0.0


def format_both(metres: float, rounding: str = "nearest") -> str:
    """Length in both systems, for a sentence that either reader follows.

    Parameters
    ----------
    metres : float
        Length [m]
    rounding : str
        nearest | up | down, as for `format_length` [-]

    Returns
    -------
    str
        Inches with millimetres behind them [-]

    Raises
    ------
    ValueError
        The length is no number, or the rounding is not known.

    Examples
    --------
    >>> format_both(0.9144)
    '36 in (914 mm)'
    """
    imperial = format_length(metres, rounding=rounding)
    return f"{imperial} ({format_length(metres, 'metric', rounding=rounding)})"


def _plain(text: str) -> str:
    plain = text.translate(SIGNS)
    for sign, written in FRACTIONS.items():
        plain = plain.replace(sign, f" {written} ")
    plain = re.sub(r"\s+", " ", plain).strip().lower().replace("''", '"')
    return re.sub(r" ?/ ?", "/", plain)


def _decimal_comma(plain: str) -> str:
    if "," not in plain:
        return plain
    found = re.search(r"[0-9.,]*,[0-9.,]*", plain)
    number = found.group() if found else plain
    if not re.fullmatch(r"[0-9]*,[0-9]+", number) or plain.count(",") > 1:
        raise UnitError("comma", f"“{number}” has a comma that is not a decimal comma; write it without.")
    if re.fullmatch(r"[1-9][0-9]{0,2},[0-9]{3}", number):
        raise UnitError(
            "ambiguous_comma",
            f"“{number}” could be one and a bit or a thousand and more; write it without the comma.",
        )
    return plain.replace(",", ".")


def _terms(plain: str, text: str) -> list[tuple[str, str]]:
    """Split into (amount, unit) pairs, unit "" where none is written."""
    found = []
    at = 0
    while at < len(plain):
        term = _TERM.match(plain, at)
        if term is None:
            what = f"“{plain[at:]}” in “{text.strip()}”" if at else f"“{text.strip()}”"
            raise UnitError(
                "not_understood", f"{what} was not understood; write it like 22 1/2 in or 572 mm."
            )
        unit = term["unit"] or ""
        if unit and unit not in UNIT_WORDS:
            raise UnitError(
                "unknown_unit", f"“{unit}” is no unit of length known here; use in, ft, mm, cm or m."
            )
        found.append((term["amount"], UNIT_WORDS.get(unit, "")))
        at = term.end()
        # 1'-10" is how drawings join feet and inches.
        joint = re.compile(r" ?[-] ?| ").match(plain, at)
        if joint and joint.end() < len(plain):
            at = joint.end()
            if "-" in joint.group() and found[-1][1] != "ft":
                raise UnitError(
                    "not_understood", f"The dash in “{text.strip()}” was not understood; leave it out."
                )
    return found


def _metres(terms: list[tuple[str, str]], default_unit: str, text: str) -> float:
    if len(terms) == 1:
        amount, unit = terms[0]
        return float(_amount(amount) * Fraction(str(METRES[unit or default_unit])))
    if len(terms) != 2 or terms[0][1] != "ft" or terms[1][1] not in {"in", ""}:
        raise UnitError(
            "two_lengths",
            f"“{text.strip()}” holds more than one length; write one number with its unit, "
            "or feet and inches like 1 ft 10 1/2 in.",
        )
    feet, inches = _amount(terms[0][0]), _amount(terms[1][0])
    if feet.denominator != 1:
        raise UnitError(
            "broken_feet", f"Feet in “{text.strip()}” are broken and inches follow; use whole feet."
        )
    if inches >= 12:
        raise UnitError("inches_over_twelve", f"Inches after feet in “{text.strip()}” must be under 12.")
    return float((feet * 12 + inches) * Fraction("0.0254"))


def _amount(written: str) -> Fraction:
    *whole, last = re.split(r"[ -]+", written)
    if "/" not in last:
        return Fraction(last if last[0] != "." else f"0{last}")
    top, bottom = (int(part) for part in last.split("/"))
    if bottom == 0:
        raise UnitError("zero_denominator", f"“{last}” divides by zero; check the fraction.")
    if top >= bottom:
        raise UnitError(
            "improper_fraction",
            f"“{last}” is a whole or more; is a space missing, as in 22 1/2? Write it out.",
        )
    return Fraction(int(whole[0]) if whole else 0) + Fraction(top, bottom)


def _rounded(value: float, rounding: str) -> int:
    # A millionth of a step only absorbs the noise of the conversion.
    ways = {
        "nearest": lambda: math.floor(value + 0.5 + 1e-9),
        "up": lambda: math.ceil(value - 1e-6),
        "down": lambda: math.floor(value + 1e-6),
    }
    if rounding not in ways:
        raise ValueError(f"rounding must be nearest, up or down, not {rounding!r}")
    return ways[rounding]()


def _mixed(steps: int, denominator: int) -> str:
    whole, part = divmod(steps, denominator)
    if not part:
        return str(whole)
    shared = math.gcd(part, denominator)
    fraction = f"{part // shared}/{denominator // shared}"
    return f"{whole} {fraction}" if whole else fraction
