"""Who may open which page. Which rows somebody sees is said by the queries."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Any

from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponseBase

from jobs.models import Role, User

View = Callable[..., HttpResponseBase]

BOOKS = (Role.OWNER, Role.OFFICE)
SITE_WORK = (Role.OWNER, Role.INSTALLER)
SIGN_OFF = (Role.OWNER, Role.INSPECTOR)
EVERYONE = tuple(Role)


def signed_in(request: HttpRequest) -> User:
    """Return the request's user, who is known to be signed in."""
    if not isinstance(request.user, User):
        raise PermissionDenied
    return request.user


def allow(*roles: str) -> Callable[[View], View]:
    """Let only these roles open a view; anybody else signed in is refused with 403."""

    def decorate(view: View) -> View:
        @wraps(view)
        def guarded(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponseBase:
            if signed_in(request).role not in roles:
                raise PermissionDenied
            return view(request, *args, **kwargs)

        guarded.roles = roles  # type: ignore[attr-defined]
        return guarded

    return decorate
