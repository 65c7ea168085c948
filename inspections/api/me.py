"""Who is signed in, and what the server takes."""

from __future__ import annotations

from datetime import datetime

from django.http import HttpRequest
from django.middleware.csrf import get_token
from django.utils import timezone
from ninja import Router
from pydantic import BaseModel

from inspections.api.authentication import Session, user_of
from inspections.api.refusals import REFUSED
from inspections.services.entry_reading import VERSIONS
from inspections.tablet_shell import shell
from jobs.models import Shop

router = Router(auth=Session())


class PersonOut(BaseModel):
    """Somebody of the shop."""

    id: int
    name: str
    role: str
    may_sign_off: bool


class ShopOut(BaseModel):
    """The shop, for a call."""

    name: str
    phone: str


class MeOut(BaseModel):
    """Who is signed in; the answer also brings the cookie with the token."""

    person: PersonOut
    shop: ShopOut
    server_time: datetime
    entry_versions: list[int]
    app: str


@router.get("/me", response={200: MeOut, **REFUSED}, url_name="tablet_me", summary="Who is signed in")
def me(request: HttpRequest) -> MeOut:
    """Say who is signed in, and set the cookie whose token every sending repeats."""
    get_token(request)
    user, shop = user_of(request), Shop.current()
    may_sign_off = user.may_sign_off or (shop.one_person and user.works_on_site)
    return MeOut(
        person=PersonOut(id=user.pk, name=user.name, role=user.role, may_sign_off=may_sign_off),
        shop=ShopOut(name=shop.name, phone=shop.phone),
        server_time=timezone.now(),
        entry_versions=list(VERSIONS),
        app=shell().version,
    )
