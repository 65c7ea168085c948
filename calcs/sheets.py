"""Sheets of the appliance and the chimney as sources, and limits that rest on them."""

from __future__ import annotations

from dataclasses import replace

from calcs.checks import Limit, Source, SourceKind
from calcs.survey import Appliance, Chimney


def appliance_source(appliance: Appliance) -> Source:
    """Sheet of the appliance as a source.

    Parameters
    ----------
    appliance : Appliance
        Listing data of the appliance

    Returns
    -------
    Source
        The sheet by its reference, or by the appliance's name

    Examples
    --------
    >>> appliance_source(Appliance(listing_reference="sheet 4")).reference
    'sheet 4'
    """
    return Source(
        SourceKind.LISTING, appliance.listing_reference or f"sheet of {appliance.name or 'appliance'}"
    )


def chimney_source(chimney: Chimney) -> Source:
    """Sheet of the chimney as a source.

    Parameters
    ----------
    chimney : Chimney
        Listing data of the chimney

    Returns
    -------
    Source
        The sheet by its reference, or by the chimney's name

    Examples
    --------
    >>> chimney_source(Chimney(listing_reference="sheet 4")).reference
    'sheet 4'
    """
    return Source(SourceKind.LISTING, chimney.listing_reference or f"sheet of {chimney.name or 'chimney'}")


def by_sheet(limit: Limit, source: Source) -> Limit:
    """Limit with the sheet named where a listing ruled.

    Parameters
    ----------
    limit : Limit
        Limit from listing or rule book
    source : Source
        The sheet

    Returns
    -------
    Limit
        The same limit

    Examples
    --------
    >>> sheet = appliance_source(Appliance(listing_reference="sheet 4"))
    >>> ruled = Limit(0.3, None, "m", Source(SourceKind.LISTING, "the appliance's listing"))
    >>> by_sheet(ruled, sheet).source.reference
    'sheet 4'
    """
    return replace(limit, source=source) if limit.source.kind is SourceKind.LISTING else limit
