"""What a plan leaves out, or reckons coarsely, because a sheet lacks figures that not every plan needs."""

from __future__ import annotations

from dataclasses import dataclass

from calcs.missing import called
from jobs.models.base import AsTyped


@dataclass(frozen=True)
class Reckoning:
    """A part of a plan and the figures it takes; those of `instead` together stand in for the last."""

    title: str
    needs: tuple[str, ...]
    instead: tuple[str, ...] = ()


@dataclass(frozen=True)
class Lack:
    """A reckoning that a sheet stops, and what people call the figures it lacks."""

    title: str
    figures: tuple[str, ...]


APPLIANCE = (
    Reckoning(
        "Draft left at the collar, after cooling and friction",
        ("flue_gas_temperature", "least_draft", "flue_gas_mass_flow"),
        ("nominal_output", "efficiency"),
    ),
    Reckoning(
        "Draft and dry walls when burning low, closer than an estimate",
        ("minimum_output", "minimum_output_draft", "minimum_gas_temperature", "minimum_gas_mass_flow"),
    ),
    Reckoning("A place across a corner", ("clearance_corner", "width", "back_to_flue_centre")),
    Reckoning("Its outline on the ceiling plan", ("width", "depth", "back_to_flue_centre")),
    Reckoning("Size of air vents, where the rule book has them", ("nominal_output", "draught_stabiliser")),
    Reckoning("A thin hearth, where the rule book allows one", ("hearth_below_100",)),
)
CHIMNEY = (
    Reckoning(
        "Draft left at the collar, and whether water condenses in the flue",
        ("inner_diameter", "outer_diameter", "thermal_resistance"),
    ),
    Reckoning("Passing a joist with 15° elbows", ("elbow_15_rise", "elbow_15_run")),
    Reckoning("Passing a joist with 30° elbows", ("elbow_30_rise", "elbow_30_run")),
)


def lacks(sheet: AsTyped, reckonings: tuple[Reckoning, ...]) -> tuple[Lack, ...]:
    """Return the reckonings that a sheet's missing figures stop, with what they are called."""
    found = []
    for one in reckonings:
        missing = [name for name in one.needs if getattr(sheet, name) is None]
        stood_in = one.instead and all(getattr(sheet, name) is not None for name in one.instead)
        if stood_in and one.needs[-1] in missing:
            missing.remove(one.needs[-1])
        if missing:
            owner = sheet._meta.model_name
            found.append(Lack(one.title, tuple(called(f"{owner}.{name}") for name in missing)))
    return tuple(found)
