"""What a crew takes along: the frozen context of a work pack."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from calcs.checks import Check, Limit, Outcome
from calcs.framing import Cut
from calcs.goods import stock_name
from calcs.plan import Plan as ComputedPlan
from calcs.routes import THROUGH_WALL, VAULTED_CEILING
from calcs.shield import Panel
from calcs.units import format_length
from jobs.cautions import work_cautions
from jobs.figures import kind_of, limit_words, measured_words, source_words
from jobs.limit_names import limit_name
from jobs.models import Job, Plan, Shop, Site, Technician, Visit
from jobs.plan_page import bevel_words
from jobs.queries.paper_drawings import panel_svg, plan_drawings
from jobs.queries.paper_parts import (
    Json,
    day_words,
    drawing_part,
    listing_part,
    moment_words,
    permit_part,
    rule_book_part,
    sheet_part,
    shop_part,
    site_part,
)

#: Stages of the work, by the first word of a limit's name, in the order the crew meets them.
_STAGES = {
    "appliance": "Appliance and floor protection",
    "hearth": "Appliance and floor protection",
    "support": "Ceiling and framing",
    "framing": "Ceiling and framing",
    "box": "Ceiling and framing",
    "rafter": "Ceiling and framing",
    "thimble": "Wall and framing",
    "wall": "Outside the wall",
    "bracket": "Outside the wall",
    "eaves": "Outside the wall",
    "masonry": "Masonry and liner",
    "liner": "Masonry and liner",
    "chimney": "Attic",
    "shield": "Attic",
    "enclosure": "Attic",
    "roof": "Roof and flashing",
    "flashing": "Roof and flashing",
    "termination": "Chimney above the roof",
    "flue": "Chimney above the roof",
    "connector": "Connector",
    "draft": "Commissioning",
    "fuel": "Commissioning",
    "alarm": "Commissioning",
}
#: The same on a route that passes no attic, or no ceiling.
_ELSEWHERE = {
    VAULTED_CEILING: {"chimney": "Ceiling and framing"},
    THROUGH_WALL: {
        "framing": "Wall and framing", "support": "Outside the wall", "chimney": "Outside the wall",
    },
}  # fmt: skip
#: Only asked for when somebody comes back.
_LATER = frozenset({"sweep", "service"})
_WORST_FIRST = {Outcome.FAIL: 0, Outcome.UNKNOWN: 1, Outcome.PASS: 2}
VERDICTS = {
    "pass": {"outcome": "pass", "word": "Pass"},
    "fail": {"outcome": "fail", "word": "Fail"},
    "unknown": {"outcome": "unknown", "word": "Not known"},
}


def work_pack_context(*, job: Job, shop: Shop, by: str, now: datetime) -> Json:
    """Return everything a work pack prints, in words, in the units of the house."""
    installation = job.installation
    site = installation.site
    stored = job.plan.data if job.plan else None
    system = site.unit_system
    listings = stored or {}
    return {
        "schema": 1,
        **sheet_part(site),
        "title": "Work pack",
        "made": f"{moment_words(now, site)}, for {by}",
        "shop": shop_part(shop),
        "job": {"number": job.number, "kind": job.get_kind_display(), "note": job.note},
        "customer": {"name": site.customer.name, "phone": site.customer.phone},
        "site": {**site_part(site), "access": site.access_notes, "hazards": site.hazard_notes},
        "installation": {"room": installation.room, "serial_number": installation.serial_number},
        "visits": [_visit(visit, site) for visit in _visits(job)],
        "cautions": work_cautions(system),
        "permits": [permit_part(permit, site) for permit in job.permits.all()],
        "rule_book": rule_book_part(site.rule_book, job.plan.rule_book_edition if job.plan else ""),
        "appliance": listing_part(installation.appliance, listings.get("appliance"), system),
        "chimney": listing_part(installation.chimney, listings.get("chimney"), system, installation.route),
        "plan": _plan(job.plan, site) if job.plan else None,
        "pictures": [],
    }


def _visits(job: Job) -> list[Visit]:
    standing = job.visits.filter(cancelled_at=None)
    return list(standing.select_related("crew").prefetch_related("crew__technicians__user"))


def _visit(visit: Visit, site: Site) -> Json:
    start, end = moment_words(visit.starts_at, site), moment_words(visit.ends_at, site)
    same_day = visit.local_start.date() == visit.local_end.date()
    return {
        "when": f"{start} to {end.rpartition(', ')[2] if same_day else end}",
        "crew": visit.crew.name,
        "people": [_person(one) for one in visit.crew.technicians.all()],
        "note": visit.note,
    }


def _person(technician: Technician) -> str:
    phone = technician.user.phone
    return f"{technician.user.name}, {phone}" if phone else technician.user.name


def _plan(plan: Plan, site: Site) -> Json:
    computed = ComputedPlan.from_dict(plan.data)
    system = site.unit_system
    checks = {check.name: check for check in computed.checks}
    return {
        "revision": plan.revision,
        "made_on": day_words(plan.made_at, site),
        "findings": [
            {"sentence": finding.sentence, "verdict": VERDICTS[finding.outcome]}
            for finding in sorted(computed.findings, key=lambda one: _WORST_FIRST[one.outcome])
        ],
        "unknowns": list(computed.unknowns),
        "doubts": [doubt.sentence for doubt in computed.doubts],
        "drawings": [drawing_part(svg, caption) for svg, caption in plan_drawings(computed, system)],
        "cuts": [cut_row(cut, system) for cut in computed.cut_list],
        "panels": [_panel(panel, system) for panel in computed.enclosure],
        "load": load_rows(computed),
        "stages": _stages(computed.limits, checks, system, computed.survey.route),
    }


def load_rows(computed: ComputedPlan) -> list[Json]:
    """Return what a crew loads before it drives out."""
    return [
        {"name": item.name, "quantity": f"{item.quantity:g}", "unit": item.unit, "note": item.note}
        for item in computed.load_list
    ]


def cut_row(cut: Cut, system: str) -> Json:
    """Return a piece of lumber to cut, in the units of the house."""
    return {
        "count": cut.count,
        "name": cut.name,
        "stock": stock_name(cut.stock, system),
        "length": format_length(cut.length, system),
        "note": cut.note,
    }


def _panel(panel: Panel, system: str) -> Json:
    return {
        "count": panel.count,
        "name": panel.name,
        "drawing": drawing_part(panel_svg(panel, system), panel.name),
        "width": format_length(panel.width, system),
        "left": format_length(panel.height_left, system),
        "right": format_length(panel.height_right, system),
        "thickness": format_length(panel.thickness, system),
        "bevel": bevel_words(panel, system),
        "note": panel.note,
    }


def _stage(family: str, route: str) -> str:
    """Stage of the work a limit belongs to; a route without an attic keeps its clearance elsewhere."""
    return _ELSEWHERE.get(route, {}).get(family) or _STAGES.get(family, "Other limits")


def _stages(limits: dict[str, Limit], checks: dict[str, Check], system: str, route: str) -> list[Json]:
    stages: dict[str, list[Json]] = {title: [] for title in dict.fromkeys(_STAGES.values())}
    for name, limit in limits.items():
        family = name.partition(".")[0]
        if family not in _LATER:
            title = _stage(family, route)
            stages.setdefault(title, []).append(_limit(name, limit, checks.get(name), system))
    return [{"title": title, "limits": rows} for title, rows in stages.items() if rows]


def _limit(name: str, limit: Limit, check: Check | None, system: str) -> dict[str, Any]:
    surveyed = ""
    if check is not None and check.measured is not None:
        surveyed = measured_words(check.measured, limit, kind_of(limit.unit, name), system)
    return {
        "name": limit_name(name),
        "limit": limit_words(limit, name, system),
        "source": source_words(limit),
        "surveyed": surveyed,
        "verdict": VERDICTS[check.outcome] if check and check.measured is not None else None,
    }
