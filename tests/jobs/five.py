"""What is the same for every view: who is turned away, and how."""

from __future__ import annotations

from django.test import Client
from django.urls import reverse


def needs_login(path: str) -> None:
    """Nobody sees a page without signing in, and comes back to it afterwards."""
    response = Client().get(path)
    assert response.status_code == 302
    assert response.url.split("?")[0] == reverse("account_login")


def forbids(client: Client, path: str, method: str = "get") -> None:
    """A role a page is not for is told so."""
    response = getattr(client, method)(path)
    assert response.status_code == 403
    assert "Not for your role" in response.content.decode()


def hides(client: Client, path: str, method: str = "get") -> None:
    """What somebody may not see does not exist for them."""
    assert getattr(client, method)(path).status_code == 404


def refuses_method(client: Client, path: str, method: str) -> None:
    """A wrong method is refused."""
    assert getattr(client, method)(path).status_code == 405
