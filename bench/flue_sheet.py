"""The flue of a plan as cells of a sheet: a sheet cannot iterate, so every round has its own cells."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

#: Rounds for the mean temperature, and for a friction factor within each; enough for a millionth.
_ROUNDS, _FRICTION_ROUNDS = 7, 8
_GIVEN = (
    "length", "height", "inner_diameter", "outer_diameter", "thermal_resistance", "roughness", "zeta",
    "surrounding_temperature", "external_coefficient",
)  # fmt: skip


def flue_inputs(flue: Any, mass_flow: float, gas_constant: float) -> dict[str, float]:
    """Return what is typed in for the segments of a solved flue."""
    given = {
        "mass_flow": mass_flow,
        "gas_constant": gas_constant,
        "air_pressure": flue.outside_pressure,
        "air_density": flue.air_density,
    }
    parts: dict[str, float] = {}
    for one in flue.segments:
        parts[one.part] = parts.get(one.part, 0.0) + one.length
    for index, (one, solved) in enumerate(zip(flue.segments, flue.solutions, strict=True)):
        given |= {f"s{index}_{name}": float(getattr(one, name)) for name in _GIVEN}
        given[f"s{index}_entrance"] = parts[one.part]
        given[f"s{index}_heat_capacity"] = solved.heat_capacity
    return given


def flue_answers(flue: Any) -> dict[str, float]:
    """Return what the sheet has to come to."""
    return {
        "flue_draft": flue.theoretical_draft,
        "flue_resistance": flue.flow_resistance,
        "flue_left": flue.available_draft,
        "flue_outlet": flue.outlet_temperature,
    }


def flue_relations(segments: int) -> dict[str, str]:
    """Return every cell's formula, the names of other cells in braces."""
    cells: dict[str, str] = {}
    entry = "{flue_gas_temperature}"
    for index in range(segments):
        cells |= dict(_segment(f"s{index}_", entry))
        entry = f"{{s{index}_outlet}}"
    numbers = range(segments)
    cells["flue_draft"] = "=" + "+".join(f"{{s{index}_draft}}" for index in numbers)
    cells["flue_resistance"] = "=" + "+".join(f"{{s{index}_resistance}}" for index in numbers)
    cells["flue_left"] = "={flue_draft}-{flue_resistance}"
    cells["flue_outlet"] = f"={entry}"
    return cells


def _segment(own: str, entry: str) -> Iterator[tuple[str, str]]:
    mean = entry
    for number in range(_ROUNDS):
        now = f"{own}r{number}_"
        yield from ((f"{now}{name}", formula) for name, formula in _round(own, now, mean, entry))
        mean = f"{{{now}mean}}"
    last = f"{own}r{_ROUNDS - 1}_"
    around = f"{{{own}surrounding_temperature}}"
    yield f"{own}outlet", f"={around}+({entry}-{around})*EXP(-{{{last}cooling}})"
    yield f"{own}density", f"={{air_pressure}}/({{gas_constant}}*({mean}+273.15))"
    yield f"{own}velocity", f"=4*{{mass_flow}}/(PI()*{{{own}inner_diameter}}^2*{{{own}density}})"
    yield f"{own}draft", f"={{{own}height}}*9.81*({{air_density}}-{{{own}density}})"
    yield (
        f"{own}resistance",
        f"=1.5*({{{last}x}}^-2*{{{own}length}}/{{{own}inner_diameter}}+{{{own}zeta}})"
        f"*{{{own}density}}/2*{{{own}velocity}}^2",
    )


def _round(own: str, now: str, mean: str, entry: str) -> Iterator[tuple[str, str]]:
    def of(name: str) -> str:
        return f"{{{own}{name}}}"

    def here(name: str) -> str:
        return f"{{{now}{name}}}"

    around, diameter = of("surrounding_temperature"), of("inner_diameter")
    yield "eta", f"=15E-6+47E-9*{mean}-20E-12*{mean}^2"
    yield "lam", f"=0.0223+0.000065*{mean}"
    yield "pr", f"={here('eta')}*{of('heat_capacity')}/{here('lam')}"
    yield "re", f"=MAX(2300,4*{{mass_flow}}/(PI()*{diameter}*{here('eta')}))"
    for name, rough in (("x", f"+{of('roughness')}/(3.71*{diameter})"), ("y", "")):
        before = "5"
        for number in range(_FRICTION_ROUNDS):
            cell = name if number == _FRICTION_ROUNDS - 1 else f"{name}{number}"
            yield cell, f"=-2*LOG10(2.51*{before}/{here('re')}{rough})"
            before = here(cell)
    yield (
        "nu",
        f"=({here('y')}/{here('x')})^1.34*0.0214*({here('re')}^0.8-100)*{here('pr')}^0.4"
        f"*(1+({diameter}/{of('entrance')})^0.67)",
    )
    yield "inside", f"={here('lam')}*{here('nu')}/{diameter}"
    outside = f"{diameter}/({of('outer_diameter')}*{of('external_coefficient')})"
    yield "k", f"=1/(1/{here('inside')}+0.5*({of('thermal_resistance')}+{outside}))"
    flow = f"({{mass_flow}}*{of('heat_capacity')})"
    yield "cooling", f"=PI()*{diameter}*{here('k')}*{of('length')}/{flow}"
    yield "mean", f"={around}+({entry}-{around})*(1-EXP(-{here('cooling')}))/{here('cooling')}"
