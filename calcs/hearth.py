"""Floor protection: thermal resistance of its layers and how far it reaches beyond the appliance."""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from calcs.checks import EQUAL_WITHIN, Check, Limit, Provenance, Source, SourceKind
from calcs.roof import check_not_negative, check_positive
from calcs.rulebook import RuleBook, as_rulebook

INCH = 0.0254
#: One ft2 h F/Btu in m2K/W.
IMPERIAL_R = 0.3048**2 * 3600 * (5 / 9) / 1055.05585262
AIR = "still air"
#: A figure for a known material further off than this is a slip of the decimal point, not a better sample.
FARTHEST_FROM_PUBLISHED = 2.0


@dataclass(frozen=True)
class Material:
    """A material of floor protectors. Figures as published: ft2 h F/Btu at a thickness in inches."""

    name: str
    printed_resistance: float
    printed_thickness: float
    source: Source
    note: str = ""

    @property
    def resistance(self) -> float:
        """Thermal resistance at the published thickness [m2K/W]."""
        return self.printed_resistance * IMPERIAL_R

    @property
    def thickness(self) -> float:
        """Thickness the figure is published for [m]."""
        return self.printed_thickness * INCH

    @property
    def resistivity(self) -> float:
        """Thermal resistance of a metre [mK/W]."""
        return self.resistance / self.thickness


_READ = Source(SourceKind.STANDARD, "published resistances of floor protector materials")
_SECOND_HAND = Source(
    SourceKind.STANDARD, "published resistance of a still air layer", "", Provenance.SECOND_HAND
)
MATERIALS: Mapping[str, Material] = MappingProxyType(
    {
        one.name: one
        for one in (
            Material("brick", 0.80, 4.0, _READ),
            Material("gypsum board", 0.45, 0.5, _READ, "combustible paper face; never the top layer"),
            Material("cement board, light", 0.39, 0.5, _READ),
            Material("cement board, aggregated", 0.26, 0.5, _READ),
            Material(
                "mineral-fibre board", 1.03, 0.5, _READ, "published from 1.03 to 1.27; the least is used"
            ),
            Material("ceramic board", 1.10, 0.5, _READ),
            Material("limestone", 0.153, 1.0, _READ),
            Material("slate", 0.10, 1.0, _READ),
            Material("mortar", 0.10, 0.5, _READ),
            Material("concrete", 0.095, 1.0, _READ, "0.95 per inch is in circulation and wrong"),
            Material("granite", 0.083, 1.0, _READ),
            Material("ceramic tile", 0.02, 0.25, _READ, "0.008 is in circulation and wrong"),
            Material(AIR, 0.92, 0.125, _SECOND_HAND, "horizontal; a solid layer between two"),
        )
    }
)


@dataclass(frozen=True)
class Layer:
    """One layer of a floor protector, counted from the top.

    Give the thickness of a known material, or one of the maker's own figures: conductivity in W/(m K) with
    the thickness, conductance in W/(m2 K), or resistance in m2K/W.
    """

    material: str
    thickness: float | None = None
    conductivity: float | None = None
    conductance: float | None = None
    resistance: float | None = None


@dataclass(frozen=True)
class FloorProtector:
    """What a floor protector offers against what is asked; resistance in m2K/W, None when not known."""

    resistance: float | None
    checks: tuple[Check, ...]


def layer_resistance(layer: Layer) -> float:
    """Thermal resistance of one layer.

    Parameters
    ----------
    layer : Layer
        Material with its thickness, or a maker's figure [SI]

    Returns
    -------
    float
        Thermal resistance [m2K/W]

    Raises
    ------
    ValueError
        The material is not known and has no figure, more than one figure is given, a figure is not above
        zero, or it is too far from the published one to be that material.

    Notes
    -----
    R = t/k = 1/C. Conductivity and conductance do not add, and R is not scaled from a conductance.

    Examples
    --------
    >>> round(layer_resistance(Layer("brick", 4 * 0.0254)) / IMPERIAL_R, 3)
    0.8
    >>> round(layer_resistance(Layer("maker's board", conductance=2.0)), 3)
    0.5

    References
    ----------
    Published resistances, read; two figures in circulation are refused: concrete at 0.95 an inch, tile at
    0.008.
    """
    name = layer.material
    given = [
        word for word in ("conductivity", "conductance", "resistance") if getattr(layer, word) is not None
    ]
    for word in (*given, *(["thickness"] if layer.thickness is not None else [])):
        check_positive(f"{word} of {name}", getattr(layer, word))
    if len(given) > 1:
        raise ValueError(f"Give one figure for {name}, not {' and '.join(given)}")
    material = MATERIALS.get(name)
    if not given:
        return _published(name, material, layer.thickness)
    if layer.resistance is not None:
        offered = layer.resistance
    elif layer.conductance is not None:
        offered = 1 / layer.conductance
    elif layer.thickness is None or layer.conductivity is None:
        raise ValueError(f"thickness of {name} is needed with its conductivity")
    else:
        offered = layer.thickness / layer.conductivity
    if material is not None:
        _refuse_slip(material, layer.thickness, offered)
    return offered


def thermal_resistance(layers: Sequence[Layer | tuple[str, float]]) -> float:
    """Thermal resistance of a floor protector.

    Parameters
    ----------
    layers : Sequence[Layer | tuple[str, float]]
        Layers from the top; a pair is a known material and its thickness [SI, m]

    Returns
    -------
    float
        Sum of the layers' resistances [m2K/W]

    Raises
    ------
    ValueError
        There is no layer, a layer is not understood, or two layers of air lie on each other.

    Examples
    --------
    Four layers of R 0.20 give the R 0.80 an appliance asks for:

    >>> four = [Layer("maker's board", resistance=0.20 * IMPERIAL_R)] * 4
    >>> round(thermal_resistance(four) / IMPERIAL_R, 3)
    0.8

    References
    ----------
    Resistances in series add.
    """
    if not layers:
        raise ValueError("layers must name at least one layer")
    stack = [one if isinstance(one, Layer) else Layer(*one) for one in layers]
    for upper, lower in itertools.pairwise(stack):
        if upper.material == lower.material == AIR:
            raise ValueError(f"Two layers of {AIR} need a solid layer between them to count twice")
    return sum(layer_resistance(one) for one in stack)


def hearth_limits(
    rulebook: RuleBook,
    *,
    listed: bool = True,
    kind: str = "radiant",
    listing: Mapping[str, float | None] | None = None,
    board_stays_cool: bool | None = None,
) -> dict[str, Limit]:
    """What a hearth or floor protector has to offer.

    Parameters
    ----------
    rulebook : RuleBook
        Rule book of the jurisdiction [-]
    listed : bool
        Whether the appliance is listed [-]
    kind : str
        radiant | jacketed | open fire [-]
    listing : Mapping[str, float | None] | None
        The listing's figures by name: front, side, rear [m], resistance [m2K/W]
    board_stays_cool : bool | None
        Whether the hearth is known to stay below the temperature that permits a thin board; None when not
        known, which asks for the thick hearth [-]

    Returns
    -------
    dict[str, Limit]
        hearth.front, .side, .rear, .width, .depth, .thickness [m], .resistance [m2K/W]; a limit that no
        source gives is absent

    Raises
    ------
    ValueError
        A figure of the listing is negative or its name is not known.

    Notes
    -----
    The stricter of listing and rule book rules, and is the limit's source.

    Examples
    --------
    >>> from calcs.rulebook import load_rulebook
    >>> limits = hearth_limits(load_rulebook("us"), listing={"front": 0.4572})
    >>> round(limits["hearth.front"].minimum / 0.0254, 6), round(limits["hearth.side"].minimum / 0.0254, 6)
    (18.0, 8.0)

    References
    ----------
    NFPA 211, second-hand; UMC 2012; CSA B365, second-hand; Approved Document J.
    """
    figures = dict(listing or {})
    if extra := sorted(set(figures) - {"front", "side", "rear", "resistance"}):
        raise ValueError(f"listing does not know {', '.join(extra)}")
    state = "listed" if listed else "unlisted"
    limits: dict[str, Limit] = {}
    for side in ("front", "side", "rear"):
        ruled = rulebook.limit(f"hearth.{side}.{state}")
        if kind == "open fire":
            ruled = rulebook.limit(f"hearth.{side}.open") or ruled
        _put(limits, f"hearth.{side}", ruled, figures.get(side), "m")
    _put(limits, "hearth.resistance", None, figures.get("resistance"), "m2K/W")
    for side in ("width", "depth"):
        _put(limits, f"hearth.{side}", rulebook.limit("hearth.least_size"), None, "m")
    thick = "board_thickness" if board_stays_cool else "constructional_thickness"
    _put(limits, "hearth.thickness", rulebook.limit(f"hearth.{thick}"), None, "m")
    return limits


def floor_protector(
    *,
    rulebook: RuleBook | str,
    layers: Sequence[Layer | tuple[str, float]] = (),
    extents: Mapping[str, float | None] | None = None,
    listed: bool = True,
    kind: str = "radiant",
    listing: Mapping[str, float | None] | None = None,
    board_stays_cool: bool | None = None,
) -> FloorProtector:
    """Hold a floor protector against the listing and the rule book.

    Parameters
    ----------
    rulebook : RuleBook or str
        Rule book of the jurisdiction [-]
    layers : Sequence[Layer | tuple[str, float]]
        Layers from the top; empty when not known [SI]
    extents : Mapping[str, float | None] | None
        Measured front, side, rear beyond the appliance, width, depth and thickness of the hearth [m]
    listed : bool
        Whether the appliance is listed [-]
    kind : str
        radiant | jacketed | open fire [-]
    listing : Mapping[str, float | None] | None
        The listing's figures: front, side, rear [m], resistance [m2K/W]
    board_stays_cool : bool | None
        As for `hearth_limits` [-]

    Returns
    -------
    FloorProtector
        The resistance and one check for each limit; what was not measured is unknown [m2K/W]

    Raises
    ------
    ValueError
        A figure is negative, or a layer or a name is not understood.

    Examples
    --------
    >>> from calcs.rulebook import load_rulebook
    >>> found = floor_protector(
    ...     rulebook=load_rulebook("us"),
    ...     layers=[("ceramic tile", 0.00635), ("mineral-fibre board", 0.0127)],
    ...     extents={"front": 0.4572},
    ...     listing={"resistance": 0.14},
    ... )
    >>> [(check.name, str(check.outcome)) for check in found.checks]
    [('hearth.front', 'pass'), ('hearth.side', 'unknown'), ('hearth.resistance', 'pass')]

    References
    ----------
    As for `hearth_limits` and `layer_resistance`.
    """
    rulebook = as_rulebook(rulebook)
    measured = {f"hearth.{name}": value for name, value in (extents or {}).items()}
    limits = hearth_limits(
        rulebook, listed=listed, kind=kind, listing=listing, board_stays_cool=board_stays_cool
    )
    names = {f"hearth.{name}" for name in ("front", "side", "rear", "width", "depth", "thickness")}
    if extra := sorted(set(measured) - names):
        raise ValueError(f"extents does not know {', '.join(extra)}")
    for name, value in measured.items():
        if value is not None:
            check_not_negative(name, value)
    resistance = thermal_resistance(layers) if layers else None
    measured["hearth.resistance"] = resistance
    return FloorProtector(
        resistance, tuple(Check(name, measured.get(name), limit) for name, limit in limits.items())
    )


def _published(name: str, material: Material | None, thickness: float | None) -> float:
    if material is None:
        raise ValueError(
            f"{name} is no material known here; give its conductivity, conductance or resistance"
        )
    if thickness is None:
        raise ValueError(f"thickness of {name} is needed")
    if name == AIR and abs(thickness - material.thickness) > EQUAL_WITHIN:
        raise ValueError(f"{AIR} is published for 1/8 in only, and does not grow with thickness")
    return thickness * material.resistivity


def _refuse_slip(material: Material, thickness: float | None, offered: float) -> None:
    published = material.resistivity * (thickness or material.thickness)
    ratio = offered / published
    if not 1 / FARTHEST_FROM_PUBLISHED <= ratio <= FARTHEST_FROM_PUBLISHED:
        raise ValueError(
            f"R {offered / IMPERIAL_R:.3g} ft2 h F/Btu is not {material.name}: published is "
            f"{published / IMPERIAL_R:.3g} for that thickness; check the decimal point"
        )


def _put(limits: dict[str, Limit], name: str, ruled: Limit | None, listing: float | None, unit: str) -> None:
    if listing is not None:
        check_not_negative(f"listing {name}", listing)
        if ruled is None or ruled.minimum is None or listing >= ruled.minimum:
            ruled = Limit(listing, None, unit, Source(SourceKind.LISTING, "the appliance's listing"))
    if ruled is not None:
        limits[name] = ruled
