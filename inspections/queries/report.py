"""What an inspection report prints: a sweep's or an inspection's paper, in place of a closing certificate."""

from __future__ import annotations

from datetime import datetime

from inspections.models import Certificate, SignOff
from inspections.queries import report_parts as parts
from inspections.queries import report_words as words
from inspections.queries.certificates import certificate_context, record_mark
from inspections.queries.comparison import comparison_of
from inspections.queries.records import record_view
from inspections.queries.visits_before import Visit
from jobs.queries.paper_parts import Json


def report_context(
    *,
    sign_off: SignOff,
    serial: str,
    verify_key: str,
    supersedes: Certificate | None,
    reason: str,
    now: datetime,
    chain_head: str | None = None,
) -> Json:
    """Return everything a report prints, in words, in the units of the house, with its record mark.

    It holds what a certificate holds: number, seal, code and the record embedded are the same.
    """
    context = certificate_context(
        sign_off=sign_off,
        serial=serial,
        verify_key=verify_key,
        supersedes=supersedes,
        reason=reason,
        now=now,
        chain_head=chain_head,
    )
    record = sign_off.record
    view, site = record_view(record), record.job.installation.site
    compared = comparison_of(record)
    found = parts.found_defects(view)
    rule_book = record.facts.get("rule_book", site.rule_book)
    earlier = parts.earlier_open(record)
    groups = parts.open_parts(found, view, site)
    context |= {
        "title": words.title_of(record.job.kind),
        "statement": words.statement_of(record.job.kind),
        "finding": parts.finding_part(found, earlier),
        "counts": parts.count_parts(found),
        "scope": parts.scope_part(view, rule_book),
        "open_defects": groups,
        "front_defects": parts.front_parts(groups),
        "earlier_defects": parts.earlier_parts(earlier, site),
        "ended_defects": parts.ended_parts(found, site),
        "ended_words": words.ENDED_WORDS,
        "compared": parts.compared_parts(compared),
        "last": _last(compared.last),
        "cut": compared.history.cut,
        "trends": parts.trend_parts(compared),
        "pictures": sorted({*context["pictures"], *parts.photos_compared(compared)}),
        "bounds": list(words.BOUNDS),
        "embedded": {**context["embedded"], "description": words.EMBEDDED},
    }
    context["worked_by"]["label"] = "Swept by" if "sweep" in record.job.kind else "Inspected by"
    return {**context, "record_mark": record_mark(context)}


def _last(visit: Visit | None) -> Json | None:
    if visit is None:
        return None
    return {"kind": visit.kind, "number": visit.job.number, "day": visit.day}
