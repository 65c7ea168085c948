"""What a closing certificate says in sentences."""

from __future__ import annotations

from jobs.models import JobKind

_REVIEWED = (
    "Each stage was signed by whoever did the work, and the whole record was reviewed before this"
    " certificate was issued."
)
_STATEMENTS = {
    JobKind.NEW_INSTALLATION: (
        "The appliance and chimney named below were installed in this house. At every stage the work was"
        " measured against the makers’ listed instructions and the rules named here, and photographed before"
        f" it was covered. {_REVIEWED}"
    ),
    JobKind.ANNUAL_SWEEP: (
        "The chimney named below was swept, and its parts and the appliance were looked over. What was"
        f" measured was held against the makers’ listed instructions and the rules named here. {_REVIEWED}"
    ),
    JobKind.REPAIR: (
        "The appliance or chimney named below was repaired. What was measured was held against the makers’"
        f" listed instructions and the rules named here. {_REVIEWED}"
    ),
}
_INSPECTED = (
    "The appliance and chimney named below were inspected. What was measured was held against the makers’"
    f" listed instructions and the rules named here. {_REVIEWED}"
)
WORKED_BY = {JobKind.NEW_INSTALLATION: "Installed by", JobKind.ANNUAL_SWEEP: "Swept by"}
OWN_WORK = (
    "Signed off by the person who did the work: this is a one-person shop, and nobody else reviewed the"
    " record."
)
EMBEDDED = (
    "The record behind this certificate, for machines: docs/schemas/certificate-record.2.json says its shape"
)
BOUNDS = (
    "It says what was measured, confirmed and photographed on the days shown, held against the limits shown,"
    " and who answers for it.",
    "The makers’ listed instructions, the local code and the authority having jurisdiction come before"
    " anything printed here. Where they ask for more, they win.",
    "It does not stand in for a permit, for the final inspection by the authority having jurisdiction, or for"
    " work that only a licensed person may do.",
    "It says nothing about parts that were not seen, nor about anything changed, moved or damaged after the"
    " sign-off.",
    "A limit marked second-hand or memory was not read in the source itself when the rules were entered.",
)
CAUTIONS = (
    "Burn only the fuel named here, dry and untreated. Never burn rubbish or painted wood, never start a fire"
    " with anything poured.",
    "Nothing that burns may stand, hang or be built inside the clearances on these pages.",
    "Have the chimney swept and inspected when it falls due, and before the next fire after a chimney fire, a"
    " storm, an earthquake or any change of appliance or fuel.",
    "Keep carbon monoxide and smoke alarms working. If one sounds: everybody out, then ring for help.",
    "Put ash in a metal can with a lid, outside, away from anything that burns. It stays hot for days.",
)


def statement_of(kind: str) -> str:
    """Return the statement on the first page."""
    return _STATEMENTS.get(JobKind(kind), _INSPECTED)
