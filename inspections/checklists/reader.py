"""From the text of a checklist file to a checklist, refusing anything not understood."""

from __future__ import annotations

import hashlib
import re
import tomllib
from collections.abc import Collection
from typing import Any

from calcs.rulebook import codes, load_rulebook
from calcs.units import KINDS
from inspections.checklists.limit_names import KNOWN_LIMITS
from inspections.checklists.shape import SEVERITIES, Checklist, Condition, Item, Option, Stage

ITEM_KINDS = ("confirm", "measure", "photo", "choose", "note")
FACTS = (
    "rule_book", "fuel", "roof_covering", "member_kind", "appliance_kind", "wall_protection", "hearth_rear",
    "placement", "wall_air", "connector_length", "air_vents", "rafter_space", "eaves_way", "flue_entry",
    "masonry_wall",
)  # fmt: skip
#: Topics of a plan's findings.
PLAN_TOPICS = (
    "position", "clearances", "wall protection", "hearth walls", "hearth", "offset", "framing", "truss",
    "attic shield", "enclosure", "insulation", "roof opening", "termination", "sections", "support", "brace",
    "support box", "rafter space", "thimble", "wall", "eaves", "brackets", "inspection", "liner", "damper",
    "cleanout", "masonry", "designation", "flue size", "flue height", "connector", "draft", "fuel", "air",
    "alarms",
)  # fmt: skip
QUANTITIES = frozenset({"length", "count", "percent", "ratio", "slope", *KINDS})
_KEY = re.compile(r"[a-z][a-z0-9_]{0,59}")
_FILE = re.compile(r"(?P<key>[a-z][a-z0-9_]*)\.(?P<version>[1-9][0-9]*)\.toml")
#: Keys that would hide a page of the same address.
_TAKEN = frozenset({"begin"})
_CHECKLIST = frozenset({"key", "version", "title", "kinds", "routes", "stages"})
_STAGE = frozenset({"key", "title", "hold", "cautions", "plan_says", "items"})
_ITEM = frozenset(
    {
        "key", "kind", "ask", "how", "required", "as_found", "quantity", "limit", "options", "when", "only",
        "severity", "rule",
    }
)  # fmt: skip
_OPTION = frozenset({"key", "words", "fails", "severity"})


class ChecklistError(ValueError):
    """A checklist file is wrong; the sentence names file, stage, item and what is wrong."""


def read_checklist(content: bytes, name: str) -> Checklist:
    """Build a checklist from a file's text; `name` is the file's name, which carries key and version."""
    try:
        data = tomllib.loads(content.decode())
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        raise ChecklistError(f"{name}: not readable: {error}") from error
    _only(name, data, _CHECKLIST)
    key, version = _text(name, data, "key"), data.get("version")
    _agrees_with_file(name, key, version)
    seen: dict[str, Item] = {}
    stages: list[Stage] = []
    for entry in _list(name, data, "stages"):
        stages.append(_stage(name, entry, seen))
    if len({stage.key for stage in stages}) != len(stages):
        raise ChecklistError(f"{name}: two stages have the same key")
    return Checklist(
        key=key,
        version=int(data["version"]),
        title=_text(name, data, "title"),
        kinds=tuple(_list(name, data, "kinds")),
        routes=tuple(data.get("routes", ())),
        stages=tuple(stages),
        digest=hashlib.sha256(content).hexdigest(),
    )


def _agrees_with_file(name: str, key: str, version: object) -> None:
    parts = _FILE.fullmatch(name)
    if parts is None:
        raise ChecklistError(f"{name}: name the file key.version.toml, such as annual_sweep.1.toml")
    if (parts["key"], parts["version"]) != (key, str(version)):
        raise ChecklistError(f"{name}: the file says key {key!r} and version {version!r}; the name differs")


def _stage(name: str, entry: dict[str, Any], seen: dict[str, Item]) -> Stage:
    key = _text(f"{name}: stage", entry, "key")
    where = f"{name}: stage {key}"
    _is_key(where, key)
    if key in _TAKEN:
        raise ChecklistError(f"{where}: this key is an address of its own; choose another")
    _only(where, entry, _STAGE)
    items = []
    for one in _list(where, entry, "items"):
        item = _item(where, one, seen)
        if item.key in seen:
            raise ChecklistError(f"{where}: item {item.key}: another item already has this key")
        seen[item.key] = item
        items.append(item)
    return Stage(
        key=key,
        title=_text(where, entry, "title"),
        cautions=tuple(_list(where, entry, "cautions")),
        items=tuple(items),
        hold=_flag(where, entry, "hold", default=False),
        plan_says=_topics(where, entry),
    )


def _topics(where: str, entry: dict[str, Any]) -> tuple[str, ...]:
    topics = tuple(entry.get("plan_says", ()))
    for one in topics:
        if one not in PLAN_TOPICS:
            raise ChecklistError(f"{where}: plan_says: {one!r} is none of {', '.join(PLAN_TOPICS)}")
    return topics


def _item(where: str, entry: dict[str, Any], seen: dict[str, Item]) -> Item:
    key = _text(f"{where}: item", entry, "key")
    where = f"{where}: item {key}"
    _is_key(where, key)
    _only(where, entry, _ITEM)
    kind = _text(where, entry, "kind")
    if kind not in ITEM_KINDS:
        raise ChecklistError(f"{where}: kind {kind!r} is none of {', '.join(ITEM_KINDS)}")
    quantity, limit = _measure(where, kind, entry)
    return Item(
        key=key,
        kind=kind,
        ask=_text(where, entry, "ask"),
        how=entry.get("how", ""),
        required=_flag(where, entry, "required", default=kind != "note"),
        as_found=_flag(where, entry, "as_found", default=False),
        quantity=quantity,
        limit=limit,
        options=_options(where, kind, entry),
        when=_condition(where, entry, seen),
        only=_circumstances(where, entry),
        severity=_severity(where, entry) or "correct",
        rule=_rule(where, kind, entry),
    )


def _severity(where: str, entry: dict[str, Any]) -> str:
    if "severity" not in entry:
        return ""
    if entry["severity"] not in SEVERITIES:
        raise ChecklistError(f"{where}: severity {entry['severity']!r} is none of {', '.join(SEVERITIES)}")
    return str(entry["severity"])


def _rule(where: str, kind: str, entry: dict[str, Any]) -> str:
    if "rule" not in entry:
        return ""
    key = _text(where, entry, "rule")
    if kind == "measure":
        raise ChecklistError(
            f"{where}: a measure breaks its limit, whose source says the rule; leave rule out"
        )
    if not any(load_rulebook(code).find(key) for code in codes()):
        raise ChecklistError(f"{where}: no rule book holds the rule {key!r}")
    return key


def _measure(where: str, kind: str, entry: dict[str, Any]) -> tuple[str, str]:
    if kind != "measure":
        for name in ("quantity", "limit"):
            if name in entry:
                raise ChecklistError(f"{where}: only a measure has a {name}")
        return "", ""
    quantity, limit = _text(where, entry, "quantity"), _text(where, entry, "limit")
    if limit not in KNOWN_LIMITS:
        raise ChecklistError(f"{where}: {limit!r} is no limit known here; see limit_names.py")
    if quantity not in QUANTITIES:
        raise ChecklistError(f"{where}: quantity {quantity!r} is none of {', '.join(sorted(QUANTITIES))}")
    if KNOWN_LIMITS[limit] != quantity:
        raise ChecklistError(f"{where}: {limit} limits a {KNOWN_LIMITS[limit]}, not a {quantity}")
    if not entry.get("how"):
        raise ChecklistError(f"{where}: a measure must say how it is taken")
    return quantity, limit


def _options(where: str, kind: str, entry: dict[str, Any]) -> tuple[Option, ...]:
    if kind != "choose":
        if "options" in entry:
            raise ChecklistError(f"{where}: only an item to choose has options")
        return ()
    options = []
    for one in _list(where, entry, "options"):
        _only(where, one, _OPTION)
        option = Option(
            _text(where, one, "key"),
            _text(where, one, "words"),
            _flag(where, one, "fails", default=False),
            _severity(where, one),
        )
        _is_key(where, option.key)
        if option.severity and not option.fails:
            raise ChecklistError(f"{where}: option {option.key}: only a choice that fails has a severity")
        options.append(option)
    if len(options) < 2 or len({one.key for one in options}) != len(options):
        raise ChecklistError(f"{where}: give at least two options, each with its own key")
    return tuple(options)


def _condition(where: str, entry: dict[str, Any], seen: dict[str, Item]) -> Condition | None:
    if "when" not in entry:
        return None
    told = entry["when"]
    if not isinstance(told, dict):
        raise ChecklistError(f"{where}: when: name an item and its outcome or choice")
    _only(f"{where}: when", told, frozenset({"item", "outcome", "chosen"}))
    about = seen.get(_text(f"{where}: when", told, "item"))
    if about is None:
        raise ChecklistError(f"{where}: when: there is no earlier item {told['item']!r}")
    if ("outcome" in told) == ("chosen" in told):
        raise ChecklistError(f"{where}: when: give either an outcome or what was chosen")
    if "outcome" in told:
        if told["outcome"] not in {"pass", "fail"}:
            raise ChecklistError(f"{where}: when: outcome is pass or fail, not {told['outcome']!r}")
        return Condition(about.key, outcome=told["outcome"])
    chosen = tuple(_list(f"{where}: when", told, "chosen"))
    for one in chosen:
        if about.option(one) is None:
            raise ChecklistError(f"{where}: when: {about.key} has no option {one!r}")
    return Condition(about.key, chosen=chosen)


def _circumstances(where: str, entry: dict[str, Any]) -> dict[str, tuple[str, ...]]:
    told = entry.get("only", {})
    for fact in told:
        if fact not in FACTS:
            raise ChecklistError(f"{where}: only: {fact!r} is none of {', '.join(FACTS)}")
    return {fact: tuple(_list(f"{where}: only", told, fact)) for fact in told}


def _text(where: str, entry: dict[str, Any], name: str) -> str:
    value = entry.get(name)
    if not isinstance(value, str) or not value.strip():
        raise ChecklistError(f"{where}: {name} is missing or not a text")
    return value


def _list(where: str, entry: dict[str, Any], name: str) -> list[Any]:
    value = entry.get(name)
    if not isinstance(value, list) or not value:
        raise ChecklistError(f"{where}: {name} is missing, empty or not a list")
    return value


def _flag(where: str, entry: dict[str, Any], name: str, *, default: bool) -> bool:
    value = entry.get(name, default)
    if not isinstance(value, bool):
        raise ChecklistError(f"{where}: {name} is true or false, not {value!r}")
    return value


def _is_key(where: str, key: str) -> None:
    if not _KEY.fullmatch(key):
        raise ChecklistError(f"{where}: the key {key!r} may hold small letters, digits and _ only")


def _only(where: str, entry: dict[str, Any], known: Collection[str]) -> None:
    if extra := sorted(set(entry) - set(known)):
        raise ChecklistError(f"{where}: unknown field {', '.join(extra)}")
