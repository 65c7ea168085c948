"""The connector between appliance and chimney, held against the rule book and the listing."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, fields

from calcs.checks import EQUAL_WITHIN, Check, Limit
from calcs.connector_clearance import KINDS, connector_clearance, connector_protections
from calcs.roof import check_not_negative, check_positive
from calcs.rulebook import RuleBook, as_rulebook

__all__ = [
    "KINDS",
    "PASSAGES",
    "Connector",
    "connector_checks",
    "connector_clearance",
    "connector_limits",
    "connector_protections",
    "slope_of",
]

PASSAGES = ("floor", "ceiling", "attic", "closet")


@dataclass(frozen=True)
class Connector:
    """A connector as planned or measured, in SI; None where it is not known.

    `slope` is the rise over the horizontal run, `run` the horizontal run, `length` along the centre line from
    collar to chimney, `elbow_angle` the sharpest bend
    from straight in degrees, `tees` those that stand at the appliance where the rule book counts them.
    """

    clearance: float | None = None
    slope: float | None = None
    run: float | None = None
    length: float | None = None
    unsupported_run: float | None = None
    elbows: int | None = None
    tees: int = 0
    elbow_angle: float | None = None
    screws_per_joint: int | None = None
    overlap: float | None = None
    diameter: float | None = None
    thickness: float | None = None
    #: What it passes through; an empty tuple is "nothing", None is not known.
    passes_through: tuple[str, ...] | None = None


def slope_of(length: float, rise: float, run: float) -> float:
    """Slope of the near-level part of a connector that first goes straight up from the collar.

    Parameters
    ----------
    length : float
        Along the centre line, from collar to chimney [m]
    rise : float
        Straight up between the two ends [m]
    run : float
        Level between the two ends [m]

    Returns
    -------
    float
        Rise over run of the part that is not upright; below zero where it falls [-]

    Raises
    ------
    ValueError
        `length` or `run` is not above zero, `rise` is negative, or `length` is shorter than a straight line.

    Notes
    -----
    With d the rise of the sloping part, length = (rise - d) + √(run² + d²), so that
    d = (run² - s²)/(2 s) with s = length - rise.

    Examples
    --------
    24 in up and 48 in across, with 1 in of rise in the 48: a slope of 1/4 in per ft.

    >>> inch = 0.0254
    >>> length = 23 * inch + math.hypot(48, 1) * inch
    >>> round(slope_of(length, 24 * inch, 48 * inch) * 12, 6)
    0.25

    References
    ----------
    Plane geometry.
    """
    check_positive("length", length)
    check_not_negative("rise", rise)
    check_positive("run", run)
    straight = math.hypot(rise, run)
    if length < straight - EQUAL_WITHIN:
        raise ValueError(f"length: {length:g} m is shorter than the straight line between the ends")
    slanting = max(length, straight) - rise
    steepest = rise / run
    # All but upright, the sloping part is lost in the rounding; no part is steeper than the straight line.
    if slanting <= EQUAL_WITHIN:
        return steepest
    return min((run**2 - slanting**2) / (2 * slanting) / run, steepest)


def connector_limits(
    rulebook: RuleBook,
    *,
    kind: str = "single wall",
    outer_diameter: float | None = None,
    diameter: float | None = None,
    collar_diameter: float | None = None,
    chimney_height: float | None = None,
    protection: str = "",
    position: str = "wall",
    listed_clearance: float | None = None,
) -> dict[str, Limit]:
    """Limits a connector is held against.

    Parameters
    ----------
    rulebook : RuleBook
        Rule book of the jurisdiction [-]
    kind : str
        single wall | double wall listed [-]
    outer_diameter : float | None
        Outside diameter of the pipe [m]
    diameter : float | None
        Inside diameter of the pipe, for the thickness of its metal [m]
    collar_diameter : float | None
        Diameter of the appliance's collar [m]
    chimney_height : float | None
        Height of the chimney above the connector's inlet [m]
    protection : str
        Key of the protection on the wall or ceiling, "" for none [-]
    position : str
        wall | ceiling [-]
    listed_clearance : float | None
        Clearance by the listing of connector or appliance [m]

    Returns
    -------
    dict[str, Limit]
        connector.clearance, .slope, .run, .length, .unsupported_run, .elbows, .elbow_angle,
        .screws_per_joint, .overlap, .diameter, .thickness, .passages; what no source gives is absent [SI]

    Raises
    ------
    ValueError
        The kind or protection is not known, or a figure is not above zero.

    Notes
    -----
    The thickness table is for single-wall pipe; a listed connector's metal is the listing's affair.

    Examples
    --------
    A chimney 16 ft above the inlet lets the connector run 12 ft level in the United States:

    >>> from calcs.rulebook import load_rulebook
    >>> limits = connector_limits(load_rulebook("us"), chimney_height=16 * 0.3048)
    >>> round(limits["connector.run"].maximum / 0.3048, 6), limits["connector.elbows"].maximum
    (12.0, 2.0)

    References
    ----------
    IRC M1803 and UMC, 2012; CSA B365, second-hand; Approved Document J.
    """
    sizes = {
        "outer_diameter": outer_diameter,
        "diameter": diameter,
        "collar_diameter": collar_diameter,
        "chimney_height": chimney_height,
    }
    for name, size in sizes.items():
        if size is not None:
            check_positive(name, size)
    limits = {
        "connector.clearance": connector_clearance(
            rulebook,
            kind=kind,
            outer_diameter=outer_diameter,
            protection=protection,
            position=position,
            listed_clearance=listed_clearance,
        ),
        "connector.slope": rulebook.limit("connector.slope"),
        "connector.run": _run(rulebook, kind, chimney_height),
        "connector.length": rulebook.limit("connector.length", "maximum"),
        "connector.unsupported_run": rulebook.limit("connector.unsupported_run", "maximum"),
        "connector.elbows": rulebook.limit("connector.elbows", "maximum"),
        "connector.elbow_angle": rulebook.limit("connector.elbow_angle", "maximum"),
        "connector.screws_per_joint": rulebook.limit("connector.screws_per_joint"),
        "connector.overlap": rulebook.limit("connector.overlap"),
        "connector.diameter": _size(rulebook, collar_diameter),
        "connector.thickness": _thickness(rulebook, diameter) if kind == "single wall" else None,
        "connector.passages": _passages(rulebook),
    }
    return {name: limit for name, limit in limits.items() if limit is not None}


def connector_checks(
    connector: Connector | None = None,
    *,
    rulebook: RuleBook | str,
    kind: str = "single wall",
    outer_diameter: float | None = None,
    collar_diameter: float | None = None,
    chimney_height: float | None = None,
    protection: str = "",
    position: str = "wall",
    listed_clearance: float | None = None,
    **measures: float | tuple[str, ...] | None,
) -> tuple[Check, ...]:
    """Hold a connector against its limits.

    Parameters
    ----------
    connector : Connector | None
        The connector as planned or measured [SI]
    rulebook : RuleBook or str
        Rule book of the jurisdiction [-]
    kind : str
        single wall | double wall listed [-]
    outer_diameter : float | None
        Outside diameter of the pipe [m]
    collar_diameter : float | None
        Diameter of the appliance's collar [m]
    chimney_height : float | None
        Height of the chimney above the connector's inlet [m]
    protection : str
        Key of the protection on the wall or ceiling, "" for none [-]
    position : str
        wall | ceiling [-]
    listed_clearance : float | None
        Clearance by the listing of connector or appliance [m]
    **measures : float | tuple[str, ...] | None
        Fields of `Connector` by name, instead of `connector` [SI]

    Returns
    -------
    tuple[Check, ...]
        One check for each limit there is and for each measure that has none, which is unknown [SI]

    Raises
    ------
    ValueError
        A measure is negative or not known by that name, or as for `connector_limits`.

    Notes
    -----
    Where the rule book counts a tee as several bends, it is counted so.

    Examples
    --------
    >>> from calcs.rulebook import load_rulebook
    >>> checks = connector_checks(rulebook=load_rulebook("us"), slope=0.25 / 12, elbows=3)
    >>> [(check.name, str(check.outcome)) for check in checks if check.measured is not None]
    [('connector.slope', 'pass'), ('connector.elbows', 'fail')]

    References
    ----------
    As for `connector_limits`.
    """
    rulebook = as_rulebook(rulebook)
    pipe = _pipe(connector, measures)
    limits = connector_limits(
        rulebook,
        kind=kind,
        outer_diameter=outer_diameter,
        diameter=pipe.diameter,
        collar_diameter=collar_diameter,
        chimney_height=chimney_height,
        protection=protection,
        position=position,
        listed_clearance=listed_clearance,
    )
    values = _measured(pipe, rulebook)
    return tuple(
        Check(name, value, limits.get(name))
        for name, value in values.items()
        if value is not None or name in limits
    )


def _pipe(connector: Connector | None, measures: Mapping[str, object]) -> Connector:
    known = {one.name for one in fields(Connector)}
    if extra := sorted(set(measures) - known):
        raise ValueError(f"connector does not know {', '.join(extra)}")
    if connector is not None and measures:
        raise ValueError("Give a connector or its measures, not both")
    pipe = connector or Connector(**measures)  # type: ignore[arg-type]
    for name in known - {"passes_through"}:
        value = getattr(pipe, name)
        if value is not None:
            check_not_negative(name, value)
    for passage in pipe.passes_through or ():
        if passage not in (*PASSAGES, "wall"):
            raise ValueError(f"passes_through must be of {', '.join(PASSAGES)} or wall, not {passage!r}")
    return pipe


def _measured(pipe: Connector, rulebook: RuleBook) -> dict[str, float | None]:
    per_tee = rulebook.value("connector.tee_counts_as") or 0.0
    elbows = None if pipe.elbows is None else pipe.elbows + per_tee * pipe.tees
    through = pipe.passes_through
    return {
        "connector.clearance": pipe.clearance,
        "connector.slope": pipe.slope,
        "connector.run": pipe.run,
        "connector.length": pipe.length,
        "connector.unsupported_run": pipe.unsupported_run,
        "connector.elbows": elbows,
        "connector.elbow_angle": pipe.elbow_angle,
        "connector.screws_per_joint": pipe.screws_per_joint,
        "connector.overlap": pipe.overlap,
        "connector.diameter": pipe.diameter,
        "connector.thickness": pipe.thickness,
        "connector.passages": None if through is None else float(sum(one in PASSAGES for one in through)),
    }


def _run(rulebook: RuleBook, kind: str, chimney_height: float | None) -> Limit | None:
    listed = rulebook.find("connector.run_share_listed") if kind == "double wall listed" else None
    share = listed or rulebook.find("connector.run_share")
    if share is None or share.value is None:
        return rulebook.limit("connector.run", "maximum")
    if chimney_height is None:
        return None
    return Limit(None, share.value * chimney_height, "m", share.source)


def _size(rulebook: RuleBook, collar_diameter: float | None) -> Limit | None:
    rule = rulebook.find("connector.size")
    if rule is None or collar_diameter is None:
        return None
    return Limit(collar_diameter, None, "m", rule.source)


def _passages(rulebook: RuleBook) -> Limit | None:
    rule = rulebook.find("connector.passage")
    return None if rule is None else Limit(None, 0.0, "count", rule.source)


def _thickness(rulebook: RuleBook, diameter: float | None) -> Limit | None:
    table = rulebook.table("connector.thickness")
    if table is None or diameter is None:
        return None
    for row in table.rows.values():
        over, up_to, thickness = row.one("over"), row.one("up_to"), row.one("thickness")
        if over is None or up_to is None:
            continue
        if over + EQUAL_WITHIN < diameter <= up_to + EQUAL_WITHIN:
            return Limit(thickness, None, "m", row.source)
    return None
