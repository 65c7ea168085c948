"""The plan: everything that is known before the first hole, as one value."""

from __future__ import annotations

from dataclasses import dataclass, field, fields
from typing import Any

from calcs.checks import Check, Limit, Outcome
from calcs.elbow_way import ElbowWay
from calcs.findings import Finding
from calcs.flue_run import FlueRun
from calcs.framing import BayFit, Cut, NearestFit
from calcs.load_list import LoadItem, load_list_of
from calcs.reckoning import reckon
from calcs.records import from_plain, to_plain
from calcs.roof import RoofOpening, RoofPassage
from calcs.rulebook import RuleBook, as_rulebook
from calcs.sections import SectionPlan
from calcs.sensitivity import Doubt, doubts_of
from calcs.shield import Panel, ShieldFit
from calcs.steps import Step
from calcs.survey import Appliance, Chimney, ChimneySection, Survey
from calcs.termination import Termination
from calcs.wording import Wording, system_of
from calcs.workings import Workings

SCHEMA = 1


@dataclass(frozen=True)
class Plan:
    """Limits, findings, cut list and load list with the inputs they came from. SI; None means not known."""

    schema: int
    rulebook: str
    edition: str
    #: imperial | metric, the units the sentences are written in.
    system: str
    survey: Survey
    appliance: Appliance
    chimney: Chimney
    limits: dict[str, Limit]
    checks: tuple[Check, ...]
    findings: tuple[Finding, ...]
    cut_list: tuple[Cut, ...]
    load_list: tuple[LoadItem, ...]
    unknowns: tuple[str, ...]
    bay_clear: float | None
    opening: float | None
    #: From the bay's centre to the flue centre, positive away from the wall the members are counted from.
    plumb_offset: float | None
    bay_fit: BayFit | None
    #: Where the box would stand in a bay, when it does not as measured.
    nearest: NearestFit | None
    roof_opening: RoofOpening | None
    shield: ShieldFit | None
    enclosure: tuple[Panel, ...]
    #: shield | enclosure | unknown, or none on a route that passes no attic
    attic_protection: str
    termination: Termination | None
    #: How far from the outlet the rule book looks for anything higher; None without such a rule.
    termination_radius: float | None
    sections: SectionPlan | None
    #: Least height of the outlet above the floor, and the height the chosen sections reach.
    outlet_required: float | None
    outlet: float | None
    theoretical_draft: float | None
    #: From the appliance's collar to the outlet.
    height_total: float | None
    #: Topic of a finding -> how it was reckoned. A plan kept before there were any has none.
    working: dict[str, tuple[Step, ...]] = field(default_factory=dict)
    #: The flue solved at nominal and least output, where the inputs allow it.
    flue: FlueRun | None = None
    #: From the wall the members are counted from to the flue centre: measured, or reckoned in a corner.
    wall_to_centre: float | None = None
    #: Joists to be cut and headed off, as no bay holds the box; `bay_clear` then reaches across them.
    members_cut: int = 0
    #: How elbows would land the box in a bay, where it does not stand in one.
    elbows: ElbowWay | None = None
    #: Clear way through deck and rafters; a plan kept before it was reckoned has none.
    roof_passage: RoofPassage | None = None

    #: Least height of the support box in a vaulted ceiling.
    box_height: float | None = None
    #: From where a liner begins to its end.
    liner_length: float | None = None
    #: Through the wall: the level section in it, and heights of the brackets above the floor.
    wall_piece: ChimneySection | None = None
    brackets: tuple[float, ...] = ()
    #: Verdicts and loads that turn within the tolerance of one measure.
    doubts: tuple[Doubt, ...] = ()
    #: SHA-256 of the rule book's file; "" for a plan kept before it was told.
    rulebook_digest: str = ""

    @property
    def verdict(self) -> Outcome:
        """Fail while anything fails that the plan does not answer itself, unknown while anything is."""
        outcomes = {finding.outcome for finding in self.findings if not finding.answered_by}
        outcomes |= {check.outcome for check in self.checks}
        if Outcome.FAIL in outcomes:
            return Outcome.FAIL
        return Outcome.UNKNOWN if self.unknowns or Outcome.UNKNOWN in outcomes else Outcome.PASS

    def to_dict(self) -> dict[str, Any]:
        """Return plain JSON types; each check carries its verdict and margin."""
        data: dict[str, Any] = to_plain(self)
        data["checks"] = [check.to_dict() for check in self.checks]
        return data

    @classmethod
    def from_dict(cls, data: dict[str, Any]) -> Plan:
        """Rebuild from `to_dict`; a schema this program does not know is an error."""
        if data.get("schema") != SCHEMA:
            raise ValueError(f"schema: this program reads plans of schema {SCHEMA}, not {data.get('schema')}")
        checks = [{key: one[key] for key in ("name", "measured", "limit")} for one in data["checks"]]
        plan: Plan = from_plain(cls, {**data, "checks": checks})
        return plan


def make_plan(
    survey: Survey,
    appliance: Appliance,
    chimney: Chimney,
    rulebook: RuleBook | str,
    *,
    system: str | None = None,
) -> Plan:
    """Plan an installation by the route of its survey.

    Parameters
    ----------
    survey : Survey
        What was measured
    appliance : Appliance
        Listing data of the appliance
    chimney : Chimney
        Listing data of the chimney
    rulebook : RuleBook or str
        Rules of the site's country
    system : str, optional
        imperial | metric, the units of the sentences; None takes those of the rule book's trade

    Returns
    -------
    Plan
        The plan; what could not be computed is absent and named in `unknowns`

    Raises
    ------
    ValueError
        If an input cannot be, such as a negative length; the sentence begins with its name. Never for a
        missing input.

    Notes
    -----
    Same inputs, same plan.

    Examples
    --------
    >>> from calcs.rulebook import load_rulebook
    >>> inch = 0.0254
    >>> survey = Survey(
    ...     wall_to_flue_centre=36 * inch,
    ...     wall_to_first_member=22.25 * inch,
    ...     member_spacing=24 * inch,
    ...     member_thickness=1.5 * inch,
    ... )
    >>> chimney = Chimney(inner_diameter=6 * inch, outer_diameter=10 * inch, clearance=2 * inch)
    >>> plan = make_plan(survey, Appliance(), chimney, load_rulebook("us"))
    >>> print(plan.findings[0].sentence)
    The flue lands 1 in off the bay's centre; the 14 in box has 4 1/4 in to spare each side:
    leave the appliance where it is.
    """
    rulebook = as_rulebook(rulebook)
    say = Wording(system or system_of(rulebook.code))
    reckoned = reckon(survey, appliance, chimney, rulebook, say)
    workings, limits = reckoned.workings, reckoned.limits
    load_list = load_list_of(workings, say, limits)
    shared = {one.name for one in fields(Plan)} & {one.name for one in fields(Workings)}
    results = {name: getattr(workings, name) for name in shared - {"rulebook"}}
    return Plan(
        schema=SCHEMA,
        rulebook=rulebook.code,
        edition=rulebook.edition,
        rulebook_digest=rulebook.digest,
        system=say.system,
        limits=limits,
        checks=reckoned.checks,
        findings=reckoned.findings,
        load_list=load_list,
        doubts=doubts_of(reckoned, say) if survey.tolerances else (),
        termination_radius=rulebook.value("termination.radius"),
        unknowns=workings.missing.sentences(),
        **results,
    )
