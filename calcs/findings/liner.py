"""The liner in a masonry chimney: inspected first, fitting, clear of what burns, high enough, closed."""

from __future__ import annotations

from calcs.checks import EQUAL_WITHIN, Outcome
from calcs.findings.finding import Finding
from calcs.routes.liner import FIREPLACE, THIMBLE, outside_of
from calcs.routes.liner_plan import above_passage, area_ratio, gap_around, liner_limits
from calcs.wording import Wording
from calcs.workings import Workings


def inspection(workings: Workings, say: Wording) -> Finding:
    """Say whether the masonry was looked at inside and out before anything is planned on it."""
    rule, found = workings.rulebook.find("liner.inspection"), workings.survey.flue_inspection
    asked = f" {rule.as_printed} ({rule.source.reference})" if rule is not None else ""
    topic = "inspection"
    if found == "sound":
        words = "The chimney was inspected inside and out and found sound: keep the report with the job."
        return Finding(topic, Outcome.PASS, words)
    if found == "faults":
        words = (
            "The inspection found faults: have them put right, and the chimney inspected again, before a "
            f"liner goes in. A liner does not mend cracked masonry.{asked}"
        )
        return Finding(topic, Outcome.FAIL, words)
    workings.missing.add("survey.flue_inspection", "plan a liner")
    words = (
        f"Whether the chimney is sound is not known: have it inspected first, the flue's inside too.{asked}"
    )
    return Finding(topic, Outcome.UNKNOWN, words)


def liner(workings: Workings, say: Wording) -> Finding:
    """Say whether the liner with its insulation goes into the flue with the room its sheet asks for."""
    topic, gap, outside = "liner", gap_around(workings), outside_of(workings.chimney)
    least = workings.chimney.liner_room
    if gap is None or outside is None or least is None:
        return Finding(topic, Outcome.UNKNOWN, "Whether the liner goes into the flue is not known.")
    with_it = " with its insulation" if workings.chimney.insulation_thickness else ""
    has = f"The liner is {say.length(outside)} outside{with_it}"
    room = gap - least
    if gap < -EQUAL_WITHIN:
        words = f"{has} and does not go into the flue: it is {say.least(-2 * gap)} too wide."
        rest = "Take thinner insulation its sheet lists, an oval liner, or have the old tiles taken out."
        return Finding(topic, Outcome.FAIL, f"{words} {rest}", room)
    if room < -EQUAL_WITHIN:
        words = f"{has}, with {say.most(gap)} all round; {say.least(least)} is asked for."
        return Finding(topic, Outcome.FAIL, f"{words} Take a listed liner with thinner insulation.", room)
    told = f"{has} and stands {say.most(gap)} clear all round; {say.least(least)} is asked for."
    length = workings.liner_length
    if length is None:
        return Finding(topic, Outcome.UNKNOWN, f"{told} How long it is, is not known.", room)
    return Finding(
        topic,
        Outcome.PASS,
        f"{told} It is {say.height(length, 'up')} long, in one piece. {_why(workings)}".strip(),
        room,
    )


def _why(workings: Workings) -> str:
    """What the old flue would be for this appliance without a liner."""
    ratio = area_ratio(workings)
    place = "exterior" if workings.survey.chimney_place == "outside" else "interior"
    rule = workings.rulebook.find(f"chimney.flue_area.{place}")
    if ratio is None or rule is None or rule.value is None or ratio <= rule.value:
        return ""
    return (
        f"Unlined the flue would have {ratio:.1f} times the collar's area; at most {rule.value:g} times is "
        f"allowed ({rule.source.reference})."
    )


def throat(workings: Workings, say: Wording) -> Finding | None:
    """Say whether the liner passes the fireplace's throat, and how that is closed around it."""
    survey, outside = workings.survey, outside_of(workings.chimney)
    if survey.flue_entry != FIREPLACE:
        return None
    if survey.throat_width is None or survey.throat_depth is None or outside is None:
        return Finding("damper", Outcome.UNKNOWN, "Whether the liner passes the damper is not known.")
    narrow = min(survey.throat_width, survey.throat_depth)
    room = narrow - outside
    if room < -EQUAL_WITHIN:
        words = (
            f"The throat is {say.most(narrow)} at its narrowest; the liner is {say.least(outside)}: take the "
            "damper and as much of its frame out as that asks, or a listed oval piece there."
        )
        return Finding("damper", Outcome.FAIL, words, room)
    words = (
        f"The liner passes the throat with {say.most(room)} to spare. Fix the damper open or take it out, "
        "and close the throat around the liner with a sheet-metal plate and packing that does not burn."
    )
    return Finding("damper", Outcome.PASS, words, room)


def masonry(workings: Workings, say: Wording) -> Finding:
    """Hold the clearance and the thickness of the masonry, or the listing that makes up for it."""
    topic, survey, limits = "masonry", workings.survey, liner_limits(workings)
    least, has = limits.get("masonry.clearance"), survey.masonry_clearance
    if workings.chimney.liner_zero_clearance:
        words = (
            "The liner is listed, with its insulation, for masonry that touches what burns: the insulation "
            "has to be the listed one, whole over the full length."
        )
        return Finding(topic, Outcome.PASS, words)
    if least is None or least.minimum is None or workings.chimney.liner_zero_clearance is None:
        words = "Which clearance the masonry has to keep to what burns is not known."
        return Finding(topic, Outcome.UNKNOWN, words)
    asked = f"at least {say.least(least.minimum)} is asked for ({least.source.reference})"
    if has is None:
        workings.missing.add("survey.masonry_clearance", "hold it against what is asked for")
        words = f"How near the masonry comes to what burns is not known; {asked}."
        return Finding(topic, Outcome.UNKNOWN, words)
    room = has - least.minimum
    if room < -EQUAL_WITHIN:
        words = (
            f"Wood comes within {say.most(has)} of the masonry; {asked}. Cut it back, or take a liner listed "
            "with its insulation for masonry that touches what burns."
        )
        return Finding(topic, Outcome.FAIL, words, room)
    return Finding(topic, Outcome.PASS, f"The masonry keeps {say.most(has)} to what burns; {asked}.", room)


def termination(workings: Workings, say: Wording) -> Finding:
    """Say whether the chimney, as it stands, is high enough for its outlet."""
    found, has = workings.termination, above_passage(workings)
    if found is None or has is None:
        words = "How far the outlet stands above the roof is not known."
        return Finding("termination", Outcome.UNKNOWN, words)
    least, room = found.height_above_penetration, has - found.height_above_penetration
    governs = f"{found.governed_by} governs ({found.source.reference})"
    asked = f"at least {say.height(least, 'up')} is asked for; {governs}"
    where = "above the highest point where the masonry passes the roof"
    stands = f"The outlet stands {say.height(has, 'down')} {where}"
    if room < -EQUAL_WITHIN:
        words = f"{stands}; {asked}: {say.height(-room, 'up')} short."
        rest = "Raise the masonry, or fit a listed extension."
        return Finding("termination", Outcome.FAIL, f"{words} {rest}", room)
    return Finding("termination", Outcome.PASS, f"{stands}; {asked}.", room)


def foot(workings: Workings, say: Wording) -> Finding | None:
    """Say how the flue is closed and cleaned at its foot."""
    if workings.survey.flue_entry != THIMBLE:
        return None
    words = (
        "The liner stands on a tee with a cleanout below it; the old cleanout door stays tight. Another "
        "appliance on this flue is disconnected and its opening walled up."
    )
    return Finding("cleanout", Outcome.PASS, words)
