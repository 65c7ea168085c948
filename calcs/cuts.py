"""What is cut to frame the opening in the ceiling."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from calcs.checks import EQUAL_WITHIN
from calcs.roof import check_positive

INCH = 0.0254
FOOT = 12 * INCH
#: Actual size of dressed lumber: (thickness, depth) in m by its trade name.
LUMBER: Mapping[str, tuple[float, float]] = MappingProxyType(
    {
        "2x4": (1.5 * INCH, 3.5 * INCH),
        "2x6": (1.5 * INCH, 5.5 * INCH),
        "2x8": (1.5 * INCH, 7.25 * INCH),
        "2x10": (1.5 * INCH, 9.25 * INCH),
        "2x12": (1.5 * INCH, 11.25 * INCH),
    }
)
#: IRC R502.10 and R802.9; the same figures stand in the rule book under framing.*.
SINGLE_HEADER_SPAN = 4 * FOOT
HANGER_SPAN = 6 * FOOT
SINGLE_TRIMMER_FROM_BEARING = 3 * FOOT


@dataclass(frozen=True)
class Cut:
    """Pieces to cut for the framed opening; length in m."""

    name: str
    stock: str
    count: int
    length: float
    note: str = ""


def cut_list(
    bay_clear: float,
    opening: float,
    stock: str,
    offset: float = 0.0,
    *,
    members_cut: int = 0,
    from_bearing: float | None = None,
) -> list[Cut]:
    """Pieces that frame a square opening between two members.

    Parameters
    ----------
    bay_clear : float
        Clear width between the members, which is the headers' span [m]
    opening : float
        Side of the opening [m]
    stock : str
        Lumber by its trade name, such as 2x6 [-]
    offset : float
        Opening's centre from the bay's, to either side [m]
    members_cut : int
        Joists cut between the two members that stay, which `bay_clear` then reaches across [-]
    from_bearing : float | None
        From the headers to the bearing of the members that carry them, None if not measured [m]

    Returns
    -------
    list[Cut]
        Headers across the bay and blocks between them, counts and lengths [m]

    Raises
    ------
    ValueError
        A width is not above zero, the opening is wider than the bay or stands beyond it, or the stock is
        not known.

    Notes
    -----
    Headers up to 4 ft are single. Over 4 ft headers and trimmers are doubled; over 6 ft the headers hang in
    hangers. Headers that carry a cut joist ask for doubled trimmers unless they stand within 3 ft of the
    bearing; where that is not known they are doubled. No blocks where the members themselves bound the
    opening. A truss is never cut.

    Examples
    --------
    >>> [(cut.name, cut.count, round(cut.length / 0.0254, 3)) for cut in cut_list(0.5715, 0.3556, "2x6")]
    [('header', 2, 22.5), ('block', 2, 14.0)]

    References
    ----------
    IRC R502.10 and R802.9, 2012.
    """
    check_positive("bay_clear", bay_clear)
    check_positive("opening", opening)
    if members_cut < 0:
        raise ValueError(f"members_cut must not be negative, not {members_cut!r}")
    if stock not in LUMBER:
        raise ValueError(f"stock must be one of {', '.join(LUMBER)}, not {stock!r}")
    if opening > bay_clear + EQUAL_WITHIN:
        raise ValueError("opening must not be wider than bay_clear, or a member would have to be cut")
    if abs(offset) > (bay_clear - opening) / 2 + EQUAL_WITHIN:
        raise ValueError("offset puts the opening beyond the bay, where a member would have to be cut")
    double = bay_clear > SINGLE_HEADER_SPAN + EQUAL_WITHIN
    notes = []
    if double:
        notes.append("double headers, double the trimmers")
    elif members_cut and (from_bearing is None or from_bearing > SINGLE_TRIMMER_FROM_BEARING + EQUAL_WITHIN):
        notes.append("double the joist on each side, from bearing to bearing")
    if bay_clear > HANGER_SPAN + EQUAL_WITHIN:
        notes.append("hang the headers in framing anchors or joist hangers")
    if members_cut:
        notes.append("hang the cut joist's ends on the headers")
    cuts = [Cut("header", stock, 4 if double else 2, bay_clear, "; ".join(notes))]
    spare = bay_clear - opening
    if spare > EQUAL_WITHIN:
        gap = spare / 2 - abs(offset)
        cuts.append(Cut("block", stock, 1 if gap <= EQUAL_WITHIN else 2, opening, _block_note(gap, stock)))
    return cuts


def _block_note(gap: float, stock: str) -> str:
    """Say what becomes of the block on the narrower side, where its thickness may not fit the gap."""
    if gap <= EQUAL_WITHIN:
        return "on the other side the member itself bounds the opening"
    tight = gap < LUMBER[stock][0] - EQUAL_WITHIN
    return "a gap is narrower than the stock is thick: rip that block to fit" if tight else ""
