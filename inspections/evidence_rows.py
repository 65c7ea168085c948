"""Rows of this app that the evidence log speaks of; `jobs.evidence_rows` tells what the columns mean."""

from __future__ import annotations

from typing import Any

from jobs.evidence_chain import digest
from jobs.evidence_rows import WORK, Fact, Later, RowKind, hash_of, row_name

STAGE = Fact("stage", lambda row: row.stage.key)


def _is_note(answer: Any) -> bool:
    return bool(answer.kind == "note")


def _entry(row: Any) -> str | None:
    return f"answer:{row.entry}" if row else None


def _under(signature: Any) -> tuple[str, Any, Any]:
    """What a signature stands under, when and by whom; a stage that was sent back leaves it to the return."""
    if stage := getattr(signature, "stage", None):
        return stage.key, stage.signed_at, stage.signed_by_id
    if returned := getattr(signature, "stage_return", None):
        return returned.stage.key, returned.signed_at, returned.signed_by_id
    if sign_off := getattr(signature, "sign_off", None):
        return "sign-off", sign_off.at, sign_off.by_id
    return "", None, None


RECORD = RowKind(
    model="inspections.SiteRecord",
    noun="record",
    kind="record begun",
    at="begun_at",
    by="begun_by",
    facts=(
        Fact("checklist"),
        Fact("checklist_version"),
        Fact("checklist_digest"),
        Fact("plan", row_name("plan", "plan")),
        Fact("facts_sha256", lambda row: hash_of(row.facts)),
        Fact("limits_sha256", lambda row: hash_of(row.limits)),
    ),
)
STAGE_RECORD = RowKind(
    model="inspections.StageRecord",
    ways=("record__job",),
    changes=frozenset({"signed_at", "signed_by", "signature"}),
)
PHOTO = RowKind(
    model="inspections.Photo",
    noun="photo",
    kind="photo",
    key="entry",
    at="requested_at",
    by="taken_by",
    facts=(Fact("sha256"), Fact("extension"), Fact("width"), Fact("height"), Fact("size")),
    changes=WORK | {"done_at", "thumbnail", "print_copy"},
    forget={"original": None},
)
ANSWER = RowKind(
    model="inspections.Answer",
    noun="answer",
    kind="answer",
    key="entry",
    ways=("stage__record__job",),
    at="received_at",
    by="by",
    device="device",
    facts=(
        STAGE,
        Fact("item"),
        Fact("asked", lambda row: row.kind),
        Fact("raw_text", when=lambda row: not _is_note(row)),
        Fact("value"),
        Fact("unit"),
        Fact("limit"),
        Fact("outcome"),
        Fact("margin"),
        Fact("photo_sha256", lambda row: row.photo.sha256 if row.photo else None),
        Fact("device_time"),
        Fact("supersedes", lambda row: _entry(row.supersedes)),
    ),
    private=(Fact("raw_text", when=_is_note),),
    related=("stage", "photo", "supersedes"),
    forget={"raw_text": ("kind", "note")},
)
DEFECT = RowKind(
    model="inspections.Defect",
    noun="defect",
    kind="defect opened",
    ways=("stage__record__job",),
    at="opened_at",
    by="opened_by",
    facts=(
        STAGE,
        Fact("item"),
        Fact("severity"),
        Fact("opened_by_answer", lambda row: _entry(row.opened_by_answer)),
        Fact("carried_from", row_name("defect", "carried_from")),
    ),
    private=(Fact("description"), Fact("place"), Fact("rule"), Fact("measure")),
    later=(
        Later(
            kind="defect closed",
            at="closed_at",
            facts=(Fact("closed_by_answer", lambda row: _entry(row.closed_by_answer)),),
        ),
    ),
    related=("stage", "opened_by_answer", "closed_by_answer"),
    once=frozenset({"closed_by_answer", "closed_at"}),
    forget={"description": None, "place": None, "rule": None},
)
GRADING = RowKind(
    model="inspections.DefectGrading",
    noun="grading",
    kind="defect graded",
    ways=("defect__stage__record__job",),
    by="by",
    facts=(Fact("defect", row_name("defect", "defect")), Fact("severity")),
    private=(Fact("reason"),),
    forget={"reason": None},
)
CARRIED = RowKind(
    model="inspections.CarriedDefect",
    noun="carried",
    kind="defect taken over",
    by="by",
    facts=(Fact("defect", row_name("defect", "defect")),),
)
NOTICE = RowKind(
    model="inspections.DoNotUseNotice",
    noun="notice",
    kind="do-not-use notice",
    ways=("defect__stage__record__job",),
    at="issued_at",
    by="issued_by",
    facts=(
        Fact("defect", row_name("defect", "defect")),
        Fact("document", row_name("document", "document")),
        Fact("mail", row_name("mail", "mail")),
        Fact("office_mail", row_name("mail", "office_mail")),
    ),
    later=(
        Later(kind="notice told", at="told_at", facts=(Fact("told_by", row_name("person", "told_by")),)),
        Later(
            kind="notice lifted",
            at="lifted_at",
            facts=(Fact("mail", row_name("mail", "lifted_mail")),),
            private=(Fact("lifted_by_what"),),
        ),
    ),
    once=frozenset({"told_at", "told_by", "lifted_at", "lifted_by_what", "lifted_mail"}),
    forget={"lifted_by_what": None},
)
WAIVER = RowKind(
    model="inspections.Waiver",
    noun="waiver",
    kind="defect waived",
    ways=("defect__stage__record__job",),
    by="by",
    facts=(Fact("defect", row_name("defect", "defect")),),
    private=(Fact("authority"), Fact("reason")),
    forget={"authority": None, "reason": None},
)
SIGNATURE = RowKind(
    model="inspections.Signature",
    noun="signature",
    kind="signature",
    ways=("stage__record__job", "stage_return__stage__record__job", "sign_off__record__job"),
    at="signed_at",
    by="user",
    facts=(
        Fact("signs", lambda row: _under(row)[0]),
        Fact("signs_at", lambda row: _under(row)[1]),
        Fact("signs_for", lambda row: f"person:{_under(row)[2]}"),
        Fact("name"),
        Fact("width"),
        Fact("height"),
        Fact("strokes_sha256", lambda row: hash_of(row.strokes)),
    ),
    related=("stage", "stage_return__stage", "sign_off"),
)
STAGE_RETURN = RowKind(
    model="inspections.StageReturn",
    noun="return",
    kind="stage sent back",
    ways=("stage__record__job",),
    by="by",
    facts=(
        STAGE,
        Fact("signature", row_name("signature", "signature")),
        Fact("signed_by", row_name("person", "signed_by")),
        Fact("signed_at"),
    ),
    private=(Fact("reason"),),
    related=("stage",),
    forget={"reason": None},
)
SIGN_OFF = RowKind(
    model="inspections.SignOff",
    noun="sign-off",
    kind="signed off",
    ways=("record__job",),
    by="by",
    facts=(
        Fact("signature", row_name("signature", "signature")),
        Fact("own_work"),
        Fact("after", row_name("reopening", "after")),
    ),
    private=(Fact("remarks"),),
    forget={"remarks": None},
)
REOPENING = RowKind(
    model="inspections.SignOffReopening",
    noun="reopening",
    kind="sign-off reopened",
    ways=("sign_off__record__job",),
    by="by",
    facts=(Fact("sign_off", row_name("sign-off", "sign_off")),),
    private=(Fact("reason"),),
    forget={"reason": None},
)
CERTIFICATE = RowKind(
    model="inspections.Certificate",
    noun="certificate",
    kind="certificate issued",
    ways=("sign_off__record__job",),
    at="issued_at",
    by="issued_by",
    facts=(
        Fact("serial", lambda row: f"FW-{row.number:06d}"),
        Fact("document", row_name("document", "document")),
        Fact("sign_off", row_name("sign-off", "sign_off")),
        Fact("supersedes", row_name("certificate", "supersedes")),
        Fact("verify_key_sha256", lambda row: digest(row.verify_key)),
    ),
    private=(Fact("reason"),),
    forget={"reason": None},
)
WITHDRAWAL = RowKind(
    model="inspections.CertificateWithdrawal",
    noun="withdrawal",
    kind="certificate withdrawn",
    ways=("certificate__sign_off__record__job",),
    by="by",
    facts=(Fact("certificate", row_name("certificate", "certificate")),),
    private=(Fact("reason"),),
    forget={"reason": None},
)
TABLET_ENTRY = RowKind(
    model="inspections.TabletEntry",
    noun="entry",
    kind="tablet entry",
    kind_of=lambda row: "late entry" if row.outcome == "late" else "tablet entry",
    key="entry",
    at="received_at",
    by="by",
    device="device",
    facts=(
        Fact("entered", lambda row: row.kind),
        Fact("stage"),
        Fact("item"),
        Fact("app"),
        Fact("taken_at"),
        Fact("clock_skew"),
        Fact("outcome"),
        Fact("code"),
        Fact("verdict"),
        Fact("tablet_verdict"),
        Fact("margin"),
        Fact("answer", lambda row: _entry(row.answer)),
        Fact("defect", row_name("defect", "defect")),
        Fact("photo", lambda row: f"photo:{row.photo.entry}" if row.photo else None),
        Fact("brought_in_by", row_name("person", "brought_in_by")),
    ),
    private=(
        Fact("digest"),
        Fact("raw_sha256", lambda row: hash_of(row.raw)),
        Fact("sentence"),
        Fact("said"),
    ),
    related=("answer", "photo"),
    forget={"raw": None, "digest": None, "sentence": None, "said": None},
)
LATE_LOOK = RowKind(
    model="inspections.LateLook",
    noun="look",
    kind="late entry looked at",
    ways=("entry__job",),
    by="by",
    facts=(Fact("entry", lambda row: f"entry:{row.entry.entry}"),),
    private=(Fact("note"),),
    related=("entry",),
    forget={"note": None},
)

#: In the order in which rows of one moment follow one another.
INSPECTIONS_ROWS: tuple[RowKind, ...] = (
    RECORD,
    STAGE_RECORD,
    PHOTO,
    ANSWER,
    DEFECT,
    GRADING,
    CARRIED,
    NOTICE,
    WAIVER,
    SIGNATURE,
    STAGE_RETURN,
    SIGN_OFF,
    REOPENING,
    CERTIFICATE,
    WITHDRAWAL,
    TABLET_ENTRY,
    LATE_LOOK,
)
