"""`bin/bench`: cost of the calculations, and of what a tablet and a paper ask, each beside a plain way."""

from __future__ import annotations

import argparse
import sys
import tempfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from bench.agreement import DisagreementError, agree
from bench.flue_baseline import solve_with_scipy
from bench.measure import Cost, cost_of, where_time_goes
from bench.papers import documents_part
from bench.section_baseline import choose_with_milp
from bench.sheet import sheet_function, sheet_of
from bench.sync import tablet_part
from calcs.draft import solve_flue
from calcs.plan import make_plan
from calcs.plan_file import read_plan_inputs
from calcs.sections import choose_sections

_EXAMPLE = Path(__file__).parents[1] / "calcs" / "examples" / "us.json"
#: A plan is to take no longer, so that a survey can show it while it is typed [s].
PLAN_BUDGET = 0.005
_FLUE = {
    "mass_flow": 0.0085, "flue_gas_temperature": 250.0, "inner_diameter": 0.15, "outer_diameter": 0.25,
    "length": 6.0, "height": 5.5, "thermal_resistance": 0.4, "roughness": 0.001, "zeta": 1.5,
    "gas_constant": 295.0, "heat_capacity": 1100.0, "altitude": 200.0, "outside_temperature": -5.0,
    "surrounding_temperature": -5.0, "external_coefficient": 23.0,
}  # fmt: skip
_LENGTHS = (274, 426, 579, 884, 1189)
_REQUIRED = 4120


@dataclass(frozen=True)
class Contest:
    """One question answered twice."""

    name: str
    against: str
    ours: Callable[[], Any]
    theirs: Callable[[], Any]
    #: Largest relative difference of their answers.
    off: float


@dataclass(frozen=True)
class Result:
    """What both ways cost."""

    contest: Contest
    ours: Cost
    theirs: Cost

    @property
    def faster(self) -> float:
        """How many times as long the other way takes."""
        return self.theirs.seconds / self.ours.seconds

    @property
    def leaner(self) -> float:
        """How many times as much memory the other way takes at its peak."""
        return self.theirs.peak / max(self.ours.peak, 1)


def contests(folder: Path) -> Iterator[Contest]:
    """Yield each contest once both ways agree; raise `DisagreementError` otherwise."""
    given = read_plan_inputs(_EXAMPLE.read_text(encoding="utf-8"))

    def plan() -> Any:
        return make_plan(given.survey, given.appliance, given.chimney, given.rulebook)

    sheet = sheet_of(plan())
    recalculate = sheet_function(sheet, folder)
    # The pressure at altitude stands in the sheet with the rounded constants of the handbooks.
    off = agree("plan", sheet.answers, recalculate(sheet.inputs), within=1e-5)
    against = f"a spreadsheet of {len(sheet.relations)} formulas, recalculated by `formulas`"
    yield Contest("make_plan", against, plan, lambda: recalculate(sheet.inputs), off)

    baseline = solve_with_scipy(_FLUE)
    solution = solve_flue(**_FLUE)
    off = agree("flue", {name: getattr(solution, name) for name in baseline}, baseline, within=1e-6)
    yield Contest(
        "solve_flue", "scipy.optimize.root", lambda: solve_flue(**_FLUE), lambda: solve_with_scipy(_FLUE), off
    )

    metres = [length / 1000 for length in _LENGTHS]

    def stack() -> Any:
        return choose_sections(_REQUIRED / 1000, metres)

    chosen = stack()
    ours = {"millimetres": round(chosen.total * 1000), "pieces": len(chosen.pieces)}
    off = agree("sections", ours, choose_with_milp(_REQUIRED, _LENGTHS), within=0)
    yield Contest(
        "choose_sections", "scipy.optimize.milp", stack, lambda: choose_with_milp(_REQUIRED, _LENGTHS), off
    )


def without_tolerances(repeats: int) -> Cost:
    """Return what a plan costs when no measure is held to be off: each that is adds two reckonings."""
    given = read_plan_inputs(_EXAMPLE.read_text(encoding="utf-8"))
    survey = replace(given.survey, tolerances={})
    return cost_of(lambda: make_plan(survey, given.appliance, given.chimney, given.rulebook), repeats=repeats)


def report(results: list[Result], plain: Cost) -> Iterator[str]:
    """Yield the table, and where a plan's time goes if it is over its budget."""
    yield (f"{'':16}{'here':>10}{'there':>11}{'time':>9}{'memory':>9}{'apart':>10}  there")
    for one in results:
        yield (
            f"{one.contest.name:16}{one.ours.seconds * 1e3:7.3f} ms{one.theirs.seconds * 1e3:8.2f} ms"
            f"{one.faster:8.0f}x{one.leaner:8.1f}x{one.contest.off:10.0e}  {one.contest.against}"
        )
    plan = next(one for one in results if one.contest.name == "make_plan")
    yield ""
    yield f"Without measures that may be off, a plan takes {plain.seconds * 1e3:.2f} ms."
    if plan.ours.seconds <= PLAN_BUDGET:
        yield f"A full plan takes {plan.ours.seconds * 1e3:.2f} ms of the {PLAN_BUDGET * 1e3:.0f} ms it may."
        return
    yield f"A full plan takes {plan.ours.seconds * 1e3:.2f} ms, over {PLAN_BUDGET * 1e3:.0f} ms. It goes to:"
    yield where_time_goes(plan.contest.ours)


def calculations_part(*, quick: bool) -> int:
    """Print what the calculations cost; the exit status is 1 where two ways disagree."""
    repeats = 1 if quick else 25
    try:
        with tempfile.TemporaryDirectory() as folder:
            results = [
                Result(one, cost_of(one.ours, repeats=repeats), cost_of(one.theirs, repeats=repeats))
                for one in contests(Path(folder))
            ]
        plain = without_tolerances(repeats)
    except DisagreementError as error:
        sys.stderr.write(f"bin/bench: two ways to one answer disagree. {error}\n")
        return 1
    sys.stdout.write("\n".join(report(results, plain)) + "\n")
    return 0


_PARTS = {"calculations": calculations_part, "tablet": tablet_part, "documents": documents_part}


def main() -> int:
    """Print every part, or the one asked for; the exit status is 1 where something disagrees."""
    parser = argparse.ArgumentParser(prog="bin/bench", description=__doc__)
    parser.add_argument("--only", choices=_PARTS, help="one part alone")
    parser.add_argument("--quick", action="store_true", help="one repeat, to see that everything agrees")
    told = parser.parse_args()
    statuses = []
    for number, name in enumerate([told.only] if told.only else _PARTS):
        if number:
            sys.stdout.write("\n")
        statuses.append(_PARTS[name](quick=told.quick))
    return max(statuses)


if __name__ == "__main__":
    sys.exit(main())
