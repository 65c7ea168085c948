"""The way round the office: which pages each role finds in the bar."""

from __future__ import annotations

from dataclasses import dataclass

from django.urls import NoReverseMatch, reverse

from jobs.models import Role, User

EVERYONE = frozenset(Role)
BOOKS = frozenset({Role.OWNER, Role.OFFICE})
ON_SITE = frozenset({Role.OWNER, Role.INSTALLER, Role.INSPECTOR})


@dataclass(frozen=True)
class Way:
    """One entry of the bar."""

    label: str
    url_name: str
    roles: frozenset[Role]


WAYS = (
    Way("Today", "today", EVERYONE),
    Way("Jobs", "job_list", EVERYONE),
    Way("Tablet", "tablet", ON_SITE),
    Way("Week", "week", BOOKS),
    Way("Customers", "customer_list", BOOKS),
    Way("Services due", "service_list", BOOKS),
    Way("Listings", "appliance_list", BOOKS),
    Way("Rules", "rule_books", EVERYONE),
    Way("Mail", "mail_list", BOOKS),
    Way("Staff", "staff_list", frozenset({Role.OWNER})),
    Way("Shop", "shop_settings", frozenset({Role.OWNER})),
)


@dataclass(frozen=True)
class Link:
    """One entry as shown to somebody on a page."""

    label: str
    url: str
    current: bool


def links_for(user: User, path: str) -> list[Link]:
    """Return the bar of one person, the entry of the current page marked."""
    links = []
    for way in WAYS:
        if user.role not in way.roles:
            continue
        try:
            url = reverse(way.url_name)
        except NoReverseMatch:
            continue
        links.append(Link(way.label, url, path == url or (url != "/" and path.startswith(url))))
    return links
