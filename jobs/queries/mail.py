"""The mail that leaves the shop, as the office sees it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from django.db.models import Count, Q, QuerySet

from jobs.models import MailState, OutgoingMail
from jobs.queries.words import search_words

#: States the office has to do something about, or may.
CAN_BE_RESENT = frozenset({MailState.GAVE_UP, MailState.UNCERTAIN, MailState.RETRY})


@dataclass(frozen=True)
class MailRow:
    """A mail with what has become of it."""

    mail: OutgoingMail
    state: MailState

    @property
    def may_resend(self) -> bool:
        """Whether a person may have it sent again."""
        return self.state in CAN_BE_RESENT

    @property
    def in_doubt(self) -> bool:
        """Whether it may have gone out without anybody knowing."""
        return self.state == MailState.UNCERTAIN


@dataclass(frozen=True)
class StateCount:
    """How many mails are in a state."""

    state: MailState
    count: int


def mails_found(*, state: str, words: str, now: datetime) -> QuerySet[OutgoingMail]:
    """Return mails in a state (any if empty) with every word in address or subject, newest first."""
    mails = OutgoingMail.objects.defer("text", "html", "headers")
    if state in MailState.values:
        mails = mails.filter(OutgoingMail.in_state(state, now))
    for word in search_words(words):
        mails = mails.filter(Q(to__icontains=word) | Q(subject__icontains=word))
    return mails


def mail_counts(now: datetime) -> list[StateCount]:
    """Return how many mails are in each state. Sent ones, by far the most, are not looked at one by one."""
    undone = [state for state in MailState if state != MailState.SENT]
    counts = OutgoingMail.objects.filter(done_at=None).aggregate(
        undone=Count("pk"),
        **{state.name: Count("pk", filter=OutgoingMail.in_state(state, now)) for state in undone},
    )
    sent = OutgoingMail.objects.count() - counts["undone"]
    return [StateCount(state, counts.get(state.name, sent)) for state in MailState]


def mail_rows(mails: list[OutgoingMail], now: datetime) -> list[MailRow]:
    """Return mails with their states."""
    return [MailRow(mail, mail.state(now)) for mail in mails]
