"""Makes a shop's first owner, who adds everybody else on the staff page."""

from __future__ import annotations

import sys
from getpass import getpass
from typing import Any

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.db import transaction

from jobs.forms.staff import StaffAddForm
from jobs.models import Role, Shop, User
from jobs.services.staff import staff_create


class Command(BaseCommand):
    """Ask for what was not given, then make the owner; only where there is none."""

    help = (
        "Makes the first owner of a new shop. Asks for name, mail address and password if they are not given."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        """Take name and address; a password never stands in a command line."""
        parser.add_argument("--name", help="the owner's name")
        parser.add_argument("--email", help="the mail address the owner signs in with")
        parser.add_argument(
            "--password-stdin", action="store_true", help="take the password from the first line of the input"
        )

    def handle(
        self, *args: Any, name: str | None, email: str | None, password_stdin: bool, **options: Any
    ) -> None:
        """Make the tables if this is the first start, and the owner."""
        call_command("migrate", verbosity=0, interactive=False)
        self.refuse_second_owner()
        owner = self.owner_create(
            name=name or input("Name of the owner: "),
            email=email or input("Mail address to sign in with: "),
            password=self.password_from_stdin() if password_stdin else self.password_typed(),
        )
        self.stdout.write(f"{owner} can sign in at {settings.SITE_URL} once the shop is served.")

    def refuse_second_owner(self) -> None:
        """Refuse where an owner can sign in: that owner adds people on the staff page."""
        owner = User.objects.filter(role=Role.OWNER, is_active=True).first()
        if owner:
            raise CommandError(
                f"{owner} ({owner.email}) is an owner already and adds others on the staff page."
                f" Password forgotten? Run: manage.py changepassword {owner.email}"
            )

    def password_from_stdin(self) -> str:
        """Return the first line of the input."""
        return sys.stdin.readline().rstrip("\r\n")

    def password_typed(self) -> str:
        """Return a password typed twice without being shown."""
        password = getpass("Password: ")
        if getpass("Password again: ") != password:
            raise CommandError("The two passwords are not the same. Start again; nothing was made.")
        return password

    @transaction.atomic
    def owner_create(self, *, name: str, email: str, password: str) -> User:
        """Make the owner by the rules of the staff page."""
        if not password:
            raise CommandError("An owner needs a password. Start again; nothing was made.")
        form = StaffAddForm({"name": name, "email": email, "role": Role.OWNER, "password": password})
        if not form.is_valid():
            told = [f"{form[field].label}: {' '.join(map(str, said))}" for field, said in form.errors.items()]
            raise CommandError("\n".join([*told, "Start again; nothing was made."]))
        self.refuse_second_owner()
        Shop.current()
        said = form.cleaned_data
        return staff_create(
            name=said["name"],
            email=said["email"],
            role=Role.OWNER,
            phone="",
            crew=None,
            password=said["password"],
        )
