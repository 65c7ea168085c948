"""The plan's relations as a spreadsheet, and its recalculation by the `formulas` package.

The sheet holds what a shop could put into cells: position in the bay, clearances, roof opening, shield,
outlet, levels, floor protection, draft at rest, and the cooling of the gas in each part of the flue for the
pressure requirement. It chooses no sections, solves no warm flue and no mild day, finds no rule, writes no
sentence and no list; the plan does, so the comparison is kind to the sheet.
"""

from __future__ import annotations

import contextlib
import io
import re
import warnings
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from openpyxl import Workbook

from bench.flue_sheet import flue_answers, flue_inputs, flue_relations
from calcs.plan import Plan

#: Name of a cell -> its formula with the names of other cells in braces, in the order they are reckoned.
_RELATIONS = {
    "opening": "=MAX({outer_diameter}+2*{clearance},{support_size})",
    "bay_clear": "={member_spacing}-{member_thickness}",
    "along": "={wall_to_flue_centre}-{wall_to_first_member}-{member_thickness}/2",
    "bay": "=FLOOR({along}/{member_spacing},1)",
    "plumb_offset": "={along}-({bay}+0.5)*{member_spacing}",
    "gap_left": "=({bay_clear}-{opening})/2+{plumb_offset}",
    "gap_right": "=({bay_clear}-{opening})/2-{plumb_offset}",
    "fits": "=IF(MIN({gap_left},{gap_right})>=-0.000000001,1,0)",
    "rear_left_over": "={rear_wall}-{clearance_rear}",
    "left_left_over": "={left_wall}-{clearance_side}",
    "right_left_over": "={right_wall}-{clearance_side}",
    "front_left_over": "={front_space}-{clearance_front}",
    "slope": "={roof_rise}/12",
    "pitch": "=ATAN({slope})",
    "across": "={outer_diameter}+2*{clearance}",
    "along_plumb_cut": "={across}/COS({pitch})",
    "along_square_cut": "={along_plumb_cut}+{deck_thickness}*{slope}",
    "shield_low": "={attic_height}-{opening}/2*{slope}",
    "shield_high": "={attic_height}+{opening}/2*{slope}",
    "shield_fits": "=IF({shield_low}>={shield_height},1,0)",
    "uphill": "={outer_diameter}/2*{slope}",
    "reach": "={radius}+{outer_diameter}/2",
    "roof_within": "=MIN({ridge_distance},{reach})*{slope}-{uphill}",
    "outlet_above_penetration": "=MAX({above_penetration},{roof_within}+{above_radius})",
    "framing_top": "={floor_to_ceiling}+{ceiling_thickness}+{member_depth}",
    "deck": "={framing_top}+{attic_height}",
    "roof": "={deck}+({deck_thickness}+{covering_thickness})/COS({pitch})",
    "outlet_required": "={roof}+{outlet_above_penetration}+{uphill}",
    "height": "={outlet}-{collar_height}",
    "pressure": "=101325*(1-2.25577E-5*{altitude})^5.25588",
    "draft_at_rest": (
        "={height}*9.81*{pressure}*(1/(287.05*({outside_temperature}+273.15))"
        "-1/(287.05*({flue_gas_temperature}+273.15)))"
    ),
    "draft_left_over": "={draft_at_rest}-{least_draft}",
    "hearth_front_left_over": "={hearth_front}-{hearth_front_listed}",
    "hearth_side_left_over": "={hearth_side}-{hearth_side_listed}",
}
#: Cells whose values are compared with the plan's.
_ANSWERS = (
    "opening", "bay_clear", "plumb_offset", "gap_left", "gap_right", "rear_left_over", "left_left_over",
    "right_left_over", "front_left_over", "across", "along_plumb_cut", "along_square_cut", "shield_low",
    "shield_high", "outlet_above_penetration", "outlet_required", "draft_at_rest", "hearth_front_left_over",
    "hearth_side_left_over",
)  # fmt: skip


@dataclass(frozen=True)
class Sheet:
    """The cells for one plan: what is typed in, what is reckoned, and what it has to come to."""

    inputs: dict[str, float]
    relations: dict[str, str]
    answers: dict[str, float]


def sheet_of(plan: Plan) -> Sheet:
    """Return the sheet for a plan of a house under a gable, with a flue that was solved."""
    firing = plan.flue.nominal
    flue = flue_inputs(firing.draft, firing.firing.mass_flow, firing.firing.gas.gas_constant)
    return Sheet(
        {**_inputs_of(plan), **flue},
        {**_RELATIONS, **flue_relations(len(firing.draft.segments))},
        {**_answers_of(plan), **flue_answers(firing.draft)},
    )


def _inputs_of(plan: Plan) -> dict[str, float]:
    survey, appliance, chimney = plan.survey, plan.appliance, plan.chimney
    given: dict[str, Any] = {**survey.to_dict(), **chimney.to_dict()}
    given |= {name: getattr(appliance, name) for name in (
        "clearance_rear", "clearance_side", "clearance_front", "collar_height", "flue_gas_temperature",
        "least_draft",
    )}  # fmt: skip
    given |= {
        "hearth_front_listed": appliance.hearth_front,
        "hearth_side_listed": appliance.hearth_side,
        "outlet": plan.outlet,
        "radius": 3.048,
        "above_penetration": 0.9144,
        "above_radius": 0.6096,
    }
    wanted = set(re.findall(r"{(\w+)}", " ".join(_RELATIONS.values()))) - _RELATIONS.keys()
    return {name: float(given[name]) for name in sorted(wanted)}


def _answers_of(plan: Plan) -> dict[str, float]:
    checks = {check.name: check for check in plan.checks}
    found = {
        "opening": plan.opening,
        "bay_clear": plan.bay_clear,
        "plumb_offset": plan.plumb_offset,
        "gap_left": plan.bay_fit.gap_left,
        "gap_right": plan.bay_fit.gap_right,
        "rear_left_over": checks["appliance.clearance.rear"].margin,
        "left_left_over": checks["appliance.clearance.left"].margin,
        "right_left_over": checks["appliance.clearance.right"].margin,
        "front_left_over": checks["appliance.clearance.front"].margin,
        "across": plan.roof_opening.across,
        "along_plumb_cut": plan.roof_opening.along_plumb_cut,
        "along_square_cut": plan.roof_opening.along_square_cut,
        "shield_low": plan.shield.height_low,
        "shield_high": plan.shield.height_high,
        "outlet_above_penetration": plan.termination.height_above_penetration,
        "outlet_required": plan.outlet_required,
        "draft_at_rest": plan.theoretical_draft,
        "hearth_front_left_over": checks["hearth.front"].margin,
        "hearth_side_left_over": checks["hearth.side"].margin,
    }
    return {name: float(found[name]) for name in _ANSWERS}


def sheet_function(sheet: Sheet, folder: Path) -> Callable[[dict[str, float]], dict[str, float]]:
    """Write the workbook, load it, and return what recalculates it; loading is not part of the time."""
    cells = {name: f"B{row}" for row, name in enumerate((*sheet.inputs, *sheet.relations), start=1)}
    book = Workbook()
    page = book.active
    page.title = "PLAN"
    for name, cell in cells.items():
        page[f"A{cell[1:]}"] = name
        page[cell] = (
            sheet.relations[name].format_map(cells) if name in sheet.relations else sheet.inputs[name]
        )
    path = folder / "plan.xlsx"
    book.save(path)
    prefix = f"'[{path.name}]PLAN'!"
    with warnings.catch_warnings(), contextlib.redirect_stderr(io.StringIO()):
        warnings.simplefilter("ignore")
        import formulas  # noqa: PLC0415

        model = formulas.ExcelModel().loads(str(path)).finish()
        recalculate = model.compile(
            inputs=[prefix + cells[name] for name in sheet.inputs],
            outputs=[prefix + cells[name] for name in sheet.answers],
        )

    def calculated(given: dict[str, float]) -> dict[str, float]:
        results = recalculate(*(given[name] for name in sheet.inputs))
        return {name: float(one.value[0, 0]) for name, one in zip(sheet.answers, results, strict=True)}

    return calculated
