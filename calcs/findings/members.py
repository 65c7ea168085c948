"""What is done to the ceiling members: a joist headed off, a truss left alone."""

from __future__ import annotations

from calcs.checks import EQUAL_WITHIN, Outcome
from calcs.findings.finding import Finding
from calcs.framing import LUMBER
from calcs.goods import stock_name
from calcs.wording import Wording
from calcs.workings import Workings


def framing(workings: Workings, say: Wording) -> Finding | None:
    """Describe how a joist is headed off where no bay holds the box."""
    if not workings.members_cut or workings.bay_clear is None:
        return None
    survey, span = workings.survey, workings.bay_clear
    depth, stock = survey.member_depth, survey.framing_stock
    named = stock_name(stock, say.system)
    if depth is None:
        words = f"Whether headers of {named} are as deep as the joists is not known: measure the joists."
        return Finding("framing", Outcome.UNKNOWN, words)
    thickness, (thick, deep) = survey.member_thickness or 0.0, LUMBER[stock]
    room = min(deep - depth, thick - thickness)
    if room < -EQUAL_WITHIN:
        return Finding(
            "framing",
            Outcome.FAIL,
            f"Headers that carry a cut joist are of the joists' own size, {say.length(thickness)} by "
            f"{say.length(depth)}; {named} is smaller. Choose larger stock for the framing.",
            room,
        )
    rule = workings.rulebook.find("framing.single_trimmer_from_bearing")
    unless = ""
    if rule is not None and rule.value is not None:
        unless = f", unless the headers stand within {say.most(rule.value)} of the bearing"
    return Finding(
        "framing",
        Outcome.PASS,
        f"Cut one joist and head it off: headers {say.length(span)} long, of the joists' own size, between "
        f"the joists on either side, which are doubled from bearing to bearing{unless}. Prop the joist "
        "before it is cut, and have the authority see it.",
    )


def truss(workings: Workings, say: Wording) -> Finding | None:
    """Remind that a truss is never cut, and whether the box leaves it alone."""
    if workings.survey.member_kind != "truss":
        return None
    rule = workings.rulebook.find("framing.truss")
    sentence = rule.as_printed if rule else "A truss is never cut without its designer."
    if workings.opening is None or workings.bay_clear is None:
        return Finding("truss", Outcome.UNKNOWN, sentence)
    room = workings.bay_clear - workings.opening
    outcome = Outcome.PASS if room >= -EQUAL_WITHIN else Outcome.FAIL
    clear = (
        "The box stands between the trusses; none is touched, and their top chords lie over the members "
        "below. "
        if outcome is Outcome.PASS
        else ""
    )
    return Finding("truss", outcome, f"{clear}{sentence}", room)
