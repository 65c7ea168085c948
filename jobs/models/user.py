"""People who sign in."""

from __future__ import annotations

from typing import Any

from django.contrib.auth.base_user import AbstractBaseUser, BaseUserManager
from django.db import models
from django.db.models.functions import Lower

from jobs.models.base import one_of


class Role(models.TextChoices):
    """What somebody does in the shop."""

    OWNER = "owner", "Owner"
    OFFICE = "office", "Office"
    INSTALLER = "installer", "Installer"
    INSPECTOR = "inspector", "Inspector"


class UserManager(BaseUserManager["User"]):
    """Makes users, who are known by their mail address."""

    def create_user(self, email: str, password: str | None = None, **fields: Any) -> User:
        """Create a user; without a password nobody can sign in until one is set."""
        user = self.model(email=self.normalize_email(email).lower(), **fields)
        user.set_password(password)
        user.save(using=self._db)
        return user

    def get_by_natural_key(self, email: str | None) -> User:
        """Find by mail address, whatever its case."""
        return self.get(email__iexact=email)


class User(AbstractBaseUser):
    """Somebody of the shop, with one role."""

    email = models.EmailField(unique=True)
    name = models.CharField(max_length=120)
    role = models.CharField(max_length=20, choices=Role.choices)
    phone = models.CharField(max_length=40, blank=True)
    is_active = models.BooleanField(default=True)
    created_at = models.DateTimeField(auto_now_add=True)

    USERNAME_FIELD = "email"
    EMAIL_FIELD = "email"
    REQUIRED_FIELDS = ["name", "role"]

    objects = UserManager()

    class Meta:
        ordering = ["name"]
        constraints = [
            one_of("role", Role),
            models.UniqueConstraint(Lower("email"), name="jobs_user_email_any_case"),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def is_owner(self) -> bool:
        """Whether this is an owner."""
        return self.role == Role.OWNER

    @property
    def keeps_the_books(self) -> bool:
        """Whether customers, plans and the schedule are this person's business."""
        return self.role in {Role.OWNER, Role.OFFICE}

    @property
    def may_sign_off(self) -> bool:
        """Whether this person may sign jobs off and accept waivers."""
        return self.role in {Role.OWNER, Role.INSPECTOR}

    @property
    def works_on_site(self) -> bool:
        """Whether this person works stages."""
        return self.role in {Role.OWNER, Role.INSTALLER}
