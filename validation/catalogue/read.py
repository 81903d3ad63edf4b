"""Reads the catalogue's TOML files and refuses an entry that is not whole."""

import re
import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any, TypeVar

from pipelines.feeds import FEEDS
from validation.catalogue.rule import ACT_WITHIN, Edit, Effect, Example, Rule, Severity

_TEXTS = ("severity", "effect", "says", "mend", "mended_by", "act_within", "source")
_ENTRY = frozenset({*_TEXTS, "citation", "needs", "dated", "twin", "accepts", "rejects"})
_EXAMPLE = frozenset({"feed", "record", "records", "raw", "chain", "case", "column", "step"})
_EDIT = frozenset({"step", "drop", "change"})
_Kind = TypeVar("_Kind", Severity, Effect)
_CODE = re.compile(r"[a-z][a-z0-9]*(_[a-z0-9]+)*")


class CatalogueError(ValueError):
    """An entry of the catalogue is not whole: our fault. Names the file, the rule and the field."""


def read_family(path: Path) -> list[Rule]:
    """The rules of one family file, in its order; the file's name is the family.

    Raises:
        CatalogueError: unknown or missing field, or a name that no feed declares.
    """
    with path.open("rb") as file:
        entries = tomllib.load(file)
    return [_rule(path, code, entry) for code, entry in entries.items()]


def _rule(path: Path, code: str, entry: object) -> Rule:
    where = f"{path.name} [{code}]"
    if not isinstance(entry, dict) or not _CODE.fullmatch(code):
        raise CatalogueError(f"{where}: a rule is a table named in snake_case")
    _refuse_unknown(where, entry, _ENTRY)
    texts = {name: _text(where, entry, name) for name in _TEXTS}
    severity = _choice(where, "severity", texts["severity"], Severity)
    effect = _choice(where, "effect", texts["effect"], Effect)
    if texts["act_within"] != ACT_WITHIN[severity]:
        raise CatalogueError(f"{where}: {severity} means act_within = {ACT_WITHIN[severity]!r}")
    if entry.get("dated", "day") != "day":
        raise CatalogueError(f"{where}: dated is \"day\", or left out for what has an instant")
    rule = Rule(
        code=code,
        family=path.stem,
        severity=severity,
        effect=effect,
        says=texts["says"],
        mend=texts["mend"],
        mended_by=texts["mended_by"],
        act_within=texts["act_within"],
        source=texts["source"],
        citation=_text(where, entry, "citation") if "citation" in entry else None,
        needs=tuple(_need(where, need) for need in entry.get("needs", [])),
        is_dated_by_day="dated" in entry,
        twin=_text(where, entry, "twin") if "twin" in entry else None,
        accepts=_example(f"{where}.accepts", entry.get("accepts")),
        rejects=_example(f"{where}.rejects", entry.get("rejects")),
    )
    _require_proof(where, rule)
    return rule


def _require_proof(where: str, rule: Rule) -> None:
    has_examples = rule.accepts is not None and rule.rejects is not None
    if rule.effect is not Effect.REPORTED and not has_examples:
        raise CatalogueError(f"{where}: a {rule.effect} rule has an accepts and a rejects example")
    if rule.effect is Effect.REPORTED and (rule.twin is None or not rule.needs):
        raise CatalogueError(f"{where}: a reported rule has its lawful twin and what it needs")


def _need(where: str, need: object) -> tuple[str, str]:
    feed, _, column = str(need).partition(".")
    if feed not in FEEDS:
        raise CatalogueError(f"{where}: needs names no feed: {need!r}")
    if column not in FEEDS[feed].column_names:
        raise CatalogueError(f"{where}: needs names no column of {feed}: {need!r}")
    return feed, column


def _example(where: str, given: object) -> Example | None:
    if given is None:
        return None
    if not isinstance(given, dict):
        raise CatalogueError(f"{where}: an example is a table")
    _refuse_unknown(where, given, _EXAMPLE)
    shapes = [name for name in ("record", "records", "raw", "chain") if name in given]
    if len(shapes) != 1:
        raise CatalogueError(f"{where}: give one of record, records, raw, chain")
    feed = "custody_events" if "chain" in given else _text(where, given, "feed")
    if feed not in FEEDS:
        raise CatalogueError(f"{where}: no feed {feed!r}")
    records = given.get("records", [given["record"]] if "record" in given else [])
    chain = [_edit(where, edit) for edit in given["chain"]] if "chain" in given else None
    return Example(
        feed=feed,
        records=tuple(_record(where, feed, record) for record in records),
        raw=_text(where, given, "raw", strip=False) if "raw" in given else None,
        chain=tuple(chain) if chain is not None else None,
        case=_record(where, "cases", given.get("case", {})),
        column=_text(where, given, "column") if "column" in given else None,
        step=_text(where, given, "step") if "step" in given else None,
    )


def _edit(where: str, given: object) -> Edit:
    if not isinstance(given, dict):
        raise CatalogueError(f"{where}: an edit of the chain is a table")
    _refuse_unknown(where, given, _EDIT)
    return Edit(
        step=_text(where, given, "step"),
        drop=bool(given.get("drop", False)),
        change=_record(where, "custody_events", given.get("change", {})),
    )


def _record(where: str, feed: str, given: object) -> Mapping[str, str]:
    if not isinstance(given, dict):
        raise CatalogueError(f"{where}: a record is a table of columns")
    unknown = sorted(set(given) - set(FEEDS[feed].column_names))
    if unknown:
        raise CatalogueError(f"{where}: {feed} has no column {', '.join(unknown)}")
    if not all(isinstance(value, str) for value in given.values()):
        raise CatalogueError(f"{where}: values are text, as they stand in a file")
    return dict(given)


def _refuse_unknown(where: str, given: Mapping[str, Any], known: frozenset[str]) -> None:
    unknown = sorted(set(given) - known)
    if unknown:
        raise CatalogueError(f"{where}: unknown field {', '.join(unknown)}")


def _text(where: str, given: Mapping[str, Any], name: str, *, strip: bool = True) -> str:
    value = given.get(name)
    if not isinstance(value, str) or not value.strip():
        raise CatalogueError(f"{where}: {name} is missing")
    return value.strip() if strip else value


def _choice(where: str, name: str, value: str, kind: type[_Kind]) -> _Kind:
    try:
        return kind(value)
    except ValueError as error:
        known = ", ".join(member.value for member in kind)
        raise CatalogueError(f"{where}: {name} is one of {known}, not {value!r}") from error
