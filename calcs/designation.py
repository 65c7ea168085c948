"""Designations of chimneys, liners and flue pipes as European standards print them."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

#: Longest text taken for a designation.
_LONGEST = 200
#: Temperature classes, the greatest nominal working temperature in degrees Celsius.
TEMPERATURE_CLASSES = (80, 100, 120, 140, 160, 200, 250, 300, 400, 450, 600)
_STANDARD = re.compile(r"\bEN\s*-?\s*([0-9]{4,5}(?:-[0-9]{1,2})?)(?:\s*:\s*([0-9]{4}))?", re.IGNORECASE)
#: What makers write before the classes.
_WORDS = frozenset(
    {"bs", "din", "nf", "is", "i.s", "system", "chimney", "metal", "liner", "connecting", "flue", "pipe"}
    | {"rigid", "flexible", "custom", "built", "fluepipe", "designation"}
)


@dataclass(frozen=True)
class Designation:
    """What a designation says. Distance and thickness in m, resistance in m2K/W; None where it is silent.

    `sootfire` is G for a chimney that withstands a soot fire, O for one that does not. `distance` is the
    least distance to combustible material. `measured` is False where the maker declared that distance
    without measuring it.
    """

    text: str
    standard: str
    temperature_class: str
    pressure_class: str
    condensate: str
    corrosion: str
    sootfire: str
    distance: float | None = None
    liner_material: str = ""
    liner_thickness: float | None = None
    thermal_resistance: float | None = None
    measured: bool | None = None

    @property
    def temperature(self) -> float:
        """Nominal working temperature [degrees Celsius]."""
        return float(self.temperature_class[1:])

    @property
    def sootfire_resistant(self) -> bool:
        """Whether it withstands a soot fire."""
        return self.sootfire == "G"

    @property
    def distance_mm(self) -> float | None:
        """Least distance to combustible material as printed [mm]."""
        return None if self.distance is None else round(self.distance * 1000, 6)


Part = Mapping[str, object]


def _temperature(found: re.Match[str]) -> Part:
    if int(found[1]) not in TEMPERATURE_CLASSES:
        known = ", ".join(f"T{one:03d}" for one in TEMPERATURE_CLASSES)
        raise ValueError(f"temperature class: {found[0]} is none of {known}")
    return {"temperature_class": f"T{int(found[1]):03d}"}


def _sootfire(found: re.Match[str]) -> Part:
    return {"sootfire": found[1], **_distance(found[2], found[3])}


def _distance(digits: str | None, marked: str | None) -> Part:
    told: dict[str, object] = {}
    if digits and digits.isdigit():
        told["distance"] = int(digits) / 1000
    if marked:
        told["measured"] = marked == "M"
    return told


#: Part -> (its spelling, what it says). The two forms of soot fire class never match the same word.
_PARTS: Mapping[str, tuple[re.Pattern[str], Callable[[re.Match[str]], Part]]] = MappingProxyType(
    {
        "temperature class": (re.compile(r"T([0-9]{2,3})"), _temperature),
        "pressure class": (re.compile(r"[NPH][12]"), lambda found: {"pressure_class": found[0]}),
        "condensate resistance": (re.compile(r"[WD]"), lambda found: {"condensate": found[0]}),
        "corrosion resistance": (
            re.compile(r"([123])|V([123M])"),
            lambda found: {"corrosion": found[1] or f"V{found[2].replace('M', 'm')}"},
        ),
        "soot fire resistance": (re.compile(r"([GO])([0-9]{1,4}|X{2,3})?(NM|M)?"), _sootfire),
        "older soot fire resistance": (
            re.compile(r"S"),
            lambda found: {"sootfire": "G"},
        ),
        "older distance": (re.compile(r"C([0-9]{1,4})"), lambda found: _distance(found[1], None)),
        "liner": (
            re.compile(r"L([0-9]{2})([0-9]{3})"),
            lambda found: {"liner_material": found[1], "liner_thickness": int(found[2]) / 100_000},
        ),
        "thermal resistance": (
            re.compile(r"R([0-9]{2,3})"),
            lambda found: {"thermal_resistance": int(found[1]) / 100},
        ),
        "mark of the distance": (re.compile(r"NM|M"), lambda found: _distance(None, found[0])),
    }
)
_NEEDED = {
    "temperature_class": "temperature class, such as T400",
    "pressure_class": "pressure class, such as N1",
    "condensate": "condensate resistance, W or D",
    "corrosion": "corrosion resistance, such as 3 or V2",
    "sootfire": "soot fire resistance, such as G50",
}


def parse_designation(text: str) -> Designation:
    """Take a designation apart.

    Parameters
    ----------
    text : str
        Such as `EN 1443 T400 N1 D 3 G50` or `EN 1856-1 T450 N1 D V2 L50050 G70`, parts separated by spaces,
        dashes, commas or slashes; the standard may be left out [-]

    Returns
    -------
    Designation
        Its parts [SI]

    Raises
    ------
    ValueError
        The text is empty or too long, or a part is missing, stands twice or is not understood; the sentence
        names the part.

    Notes
    -----
    The form of 1999 is read too: S or O for soot fire, R for the thermal resistance in hundredths of
    m2K/W, C for the distance in mm. The five digits after L are two for the material and three for its
    thickness in hundredths of a millimetre. A distance still to be filled in, (xx), is not known.

    Examples
    --------
    >>> found = parse_designation("EN 1856-1 T450 N1 D V2 L50050 G70(xx)")
    >>> found.temperature, found.corrosion, found.liner_material, found.liner_thickness, found.distance
    (450.0, 'V2', '50', 0.0005, 0.07)
    >>> old = parse_designation("EN 1443 - T400 P1 S W 1 R22 C50")
    >>> old.sootfire, old.thermal_resistance, old.distance_mm
    ('G', 0.22, 50.0)
    >>> parse_designation("T400 N1 D 3")
    Traceback (most recent call last):
    ValueError: designation: the soot fire resistance, such as G50, is missing in “T400 N1 D 3”

    References
    ----------
    EN 1443 (2003, and the form of 1999), EN 1856-1 and EN 1856-2, from memory.
    """
    plain = text.strip()
    if not plain:
        raise ValueError("designation: type one such as T400 N1 D 3 G50")
    if len(plain) > _LONGEST:
        raise ValueError(f"designation: type one designation in at most {_LONGEST} characters")
    standard, words = _words(plain)
    told: dict[str, object] = {}
    seen: set[str] = set()
    for word in words:
        name, part = _part(word)
        if twice := [key for key in part if key in told]:
            raise ValueError(f"designation: {name} “{word}” says again what was said: {', '.join(twice)}")
        if name in seen:
            raise ValueError(f"designation: the {name} stands twice, the second time as “{word}”")
        seen.add(name)
        told |= part
    for key, needed in _NEEDED.items():
        if key not in told:
            raise ValueError(f"designation: the {needed}, is missing in “{plain}”")
    return Designation(text=plain, standard=standard, **told)  # type: ignore[arg-type]


def _words(text: str) -> tuple[str, list[str]]:
    """Return the standard and the words after it, with what stands in brackets taken into its word."""
    standard = ""
    if found := _STANDARD.search(text):
        standard = f"EN {found[1]}" + (f":{found[2]}" if found[2] else "")
        text = f"{text[: found.start()]} {text[found.end() :]}"
    text = re.sub(r"\b([GO])\s*\(\s*([0-9]+|[xX]+)\s*\)", r"\1\2", text)
    text = re.sub(r"\b([GO][0-9]+)\s*\(\s*[0-9xX]*\s*\)", r"\1", text)
    words = [one.strip("().") for one in re.split(r"[\s,;/:\-\u2010-\u2015\u2212]+", text)]
    return standard, [one for one in words if one and one.lower() not in _WORDS]


def _part(word: str) -> tuple[str, Part]:
    upper = word.upper()
    for name, (spelling, read) in _PARTS.items():
        if found := spelling.fullmatch(upper):
            try:
                return name, read(found)
            except ValueError as error:
                raise ValueError(f"designation: {error}") from None
    for name, letters in (
        ("temperature class", "T"),
        ("pressure class", "NPH"),
        ("corrosion resistance", "V0123456789"),
        ("soot fire resistance", "GO"),
        ("liner", "L"),
        ("thermal resistance", "R"),
    ):
        if upper[0] in letters:
            raise ValueError(f"designation: “{word}” is no {name} known here")
    raise ValueError(f"designation: “{word}” is no part of a designation")
