"""The support box in a vaulted ceiling, the air between its rafters, and the hole in the roof."""

from __future__ import annotations

from calcs.attic import over_the_hip, over_the_top, room_on_slope
from calcs.checks import EQUAL_WITHIN, Outcome
from calcs.findings.finding import Finding
from calcs.findings.roof import over_hip_words, over_top_words
from calcs.routes.vault import between_headers, box_room, slopes_differ
from calcs.wording import Wording
from calcs.workings import Workings


def support_box(workings: Workings, say: Wording) -> Finding:
    """Say how tall the box has to be, and whether that of the sheet is."""
    topic = "support box"
    if slopes_differ(workings):
        return Finding(
            topic,
            Outcome.FAIL,
            f"The ceiling rises {say.pitch(workings.survey.ceiling_rise or 0.0)} and the roof "
            f"{say.pitch(workings.levels.rise or 0.0)}: they are not the two faces of one row of rafters, "
            "and there is a space between them. Have this part planned by hand, with the part the chimney's "
            "sheet lists for it.",
        )
    needed, below = workings.box_height, workings.chimney.box_projection
    if needed is None or below is None:
        return Finding(topic, Outcome.UNKNOWN, "How tall the support box has to be is not known.")
    above = workings.chimney.box_above_deck or 0.0
    ends = f"{say.least(above)} above the deck" if above else "flush with the deck"
    asked = (
        f"The support box is at least {say.least(needed)} tall: {say.least(below)} below the ceiling on its "
        f"low side, and {ends} on its high side"
    )
    room = box_room(workings)
    if room is None:
        return Finding(topic, Outcome.UNKNOWN, f"{asked}. How tall that of the sheet is, is not known.")
    tall = say.length(workings.chimney.box_height or 0.0)
    if room < 0:
        return Finding(
            topic,
            Outcome.FAIL,
            f"{asked}. That of the sheet is {tall}, {say.least(-room)} too short: take its listed extension, "
            "or the listed support for a thicker roof. Never hang it higher.",
            room,
        )
    rest = f"Trim it {ends}, on all four sides along the slope." if above else f"Trim it {ends} all round."
    return Finding(topic, Outcome.PASS, f"{asked}; that of the sheet is {tall}. {rest}", room)


def rafter_space(workings: Workings, say: Wording) -> Finding:
    """Say whether air still passes over the insulation, and that insulation stays off the chimney."""
    survey, book = workings.survey, workings.rulebook
    off = "The box keeps insulation off the chimney: none inside it, ever."
    if survey.rafter_vented == "unvented":
        words = (
            "The rafter space is filled and not vented. Foam stays off the box as far as the chimney's "
            f"sheet asks, and is never sprayed against it or into it. {off}"
        )
        return Finding("rafter space", Outcome.PASS, words)
    path = book.find("vault.vent_path")
    way = f" {path.as_printed}" if path is not None else ""
    least, space = book.value("vault.vent_space"), survey.vent_space
    if not survey.rafter_vented or space is None or least is None:
        words = f"Whether air passes over the insulation between the rafters is not known.{way} {off}"
        return Finding("rafter space", Outcome.UNKNOWN, words)
    room = space - least
    has = f"{say.most(space)} of air lies over the insulation; at least {say.least(least)} is asked for"
    if room < -EQUAL_WITHIN:
        return Finding(
            "rafter space",
            Outcome.FAIL,
            f"{has}: hold the insulation down with a baffle, or take less of it, before the bay is closed.",
            room,
        )
    return Finding("rafter space", Outcome.PASS, f"{has}.{way} {off}", room)


def roof_opening(workings: Workings, say: Wording) -> Finding | None:
    """Give the hole that the box takes through the deck, and where the headers stand."""
    hole, rise = workings.roof_opening, workings.levels.rise
    if hole is None or rise is None:
        return None
    if (over := over_the_top(workings)) is not None:
        return Finding("roof opening", Outcome.FAIL, over_top_words(workings, say, over), -over)
    if (hip := over_the_hip(workings)) is not None:
        return Finding("roof opening", Outcome.FAIL, over_hip_words(say, hip), -hip)
    along = between_headers(workings)
    if workings.survey.deck_thickness is None or along is None:
        words = (
            f"Cut ceiling and roof {say.least(hole.across)} across the slope and more than "
            f"{say.least(hole.along_plumb_cut)} along it: how much more is not known without the thickness "
            "of the deck and the depth of the rafters."
        )
        return Finding("roof opening", Outcome.UNKNOWN, words)
    return Finding(
        "roof opening",
        Outcome.PASS,
        f"The box passes a hole of {say.least(hole.across)} across the slope and "
        f"{say.least(hole.along_square_cut)} along it ({say.pitch(rise)}) in the deck. Headers square to the "
        f"rafters stand {say.least(along)} apart up the slope, in the clear: the box is plumb, they lean.",
        room_on_slope(workings),
    )
