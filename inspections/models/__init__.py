"""The nouns of inspections, one file each."""

from inspections.models.defect import Defect, Waiver
from inspections.models.photo import Photo
from inspections.models.record import Answer, AnswerKind, AnswerOutcome, SiteRecord, StageRecord
from inspections.models.signature import Signature
from inspections.models.signoff import Certificate, SignOff
from inspections.models.stage_return import StageReturn

__all__ = [
    "Answer",
    "AnswerKind",
    "AnswerOutcome",
    "Certificate",
    "Defect",
    "Photo",
    "SignOff",
    "Signature",
    "SiteRecord",
    "StageRecord",
    "StageReturn",
    "Waiver",
]
