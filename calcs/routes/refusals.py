"""Measures of the routes that contradict each other."""

from __future__ import annotations

from calcs.survey import Chimney, Survey


def refuse_route(survey: Survey, chimney: Chimney) -> None:
    """Raise for the first two figures of a route that cannot both be; a missing one is no error.

    Parameters
    ----------
    survey : Survey
        What was measured
    chimney : Chimney
        Listing data of the chimney

    Raises
    ------
    ValueError
        If an upper figure lies under a lower one; the sentence begins with the field's name.

    Examples
    --------
    >>> refuse_route(Survey(soffit_height=2.5, roof_edge_height=2.0), Chimney())
    Traceback (most recent call last):
    ValueError: survey.roof_edge_height: the roof's edge is lower than the underside of the eaves
    """
    _in_order(
        survey.soffit_height,
        survey.roof_edge_height,
        "survey.roof_edge_height: the roof's edge is lower than the underside of the eaves",
    )
    _in_order(
        chimney.wall_standoff,
        chimney.wall_standoff_greatest,
        "chimney.wall_standoff_greatest: it is less than the least distance off the wall",
    )
    _in_order(
        survey.flue_entry_height,
        survey.flue_top_height,
        "survey.flue_top_height: the chimney ends below where the liner begins",
    )
    _in_order(
        survey.chimney_above_roof,
        survey.flue_top_height,
        "survey.chimney_above_roof: it is more than the chimney's whole height",
    )


def _in_order(lower: float | None, upper: float | None, sentence: str) -> None:
    if lower is not None and upper is not None and upper < lower:
        raise ValueError(sentence)
