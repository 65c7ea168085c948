"""The published schemas, written from the code that reads and writes."""

from __future__ import annotations

import json
from typing import Any

from pydantic import BaseModel

from inspections.api.api import described
from inspections.queries.bundle_shape import Bundle
from inspections.queries.evidence_log import EvidenceLine
from inspections.queries.export_shape import export_shape
from inspections.services.unsent_work import UnsentFile

EXPORT_SCHEMA = "customer-export.1.json"
#: Said in words: an address in a file looks like something to fetch.
DIALECT = "Written in JSON Schema, draft 2020-12."


def schemas_written() -> dict[str, str]:
    """Return the text of every published schema by the name of its file."""
    schemas = {
        "job-bundle.1.json": _schema(Bundle, "serialization", "Job bundle, version 1"),
        "unsent-work.1.json": _schema(UnsentFile, "validation", "File of unsent work, version 1"),
        EXPORT_SCHEMA: _schema(export_shape(), "serialization", "Everything about a customer, version 1"),
        "evidence-event.1.json": _schema(EvidenceLine, "serialization", "Line of evidence, version 1"),
        "tablet-api.json": described(),
    }
    return {name: json.dumps(schema, indent=2, ensure_ascii=False) + "\n" for name, schema in schemas.items()}


def _schema(model: type[BaseModel], mode: Any, title: str) -> dict[str, Any]:
    return {"$comment": DIALECT, **model.model_json_schema(by_alias=True, mode=mode), "title": title}
