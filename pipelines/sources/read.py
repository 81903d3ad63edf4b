"""Reads a settings file; what is wrong in it is said with its place and the nearest right name."""

import difflib
import tomllib
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from pipelines.errors import LedgerstoneError
from pipelines.sources.model import FeedSettings, Settings, SourceSettings


class SettingsError(LedgerstoneError):
    """The settings file cannot be used as it is."""


def read_settings(path: Path) -> tuple[Settings, str]:
    """The settings and their text.

    Raises:
        SettingsError: no such file, not TOML, or something in it is not known.
    """
    try:
        text = path.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        raise SettingsError(f"{path} cannot be read: {error}", "Name the settings file.") from error
    return parse_settings(text, path.name), text


def parse_settings(text: str, name: str) -> Settings:
    """The settings that a text holds; ``name`` is what errors call it."""
    try:
        given = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise SettingsError(
            f"{name} is not TOML: {error}", "Mend that line; texts stand in quotation marks."
        ) from error
    try:
        return Settings.model_validate(given)
    except ValidationError as error:
        lines = [_in_words(detail) for detail in error.errors(include_url=False)]
        raise SettingsError(
            f"{name} says what cannot be used:\n  " + "\n  ".join(lines),
            "Mend these entries. Nothing was loaded.",
        ) from error


def _in_words(detail: Any) -> str:
    place = ".".join(str(part) for part in detail["loc"]) or "the file"
    if detail["type"] == "extra_forbidden":
        known = _known_at(detail["loc"])
        near = difflib.get_close_matches(str(detail["loc"][-1]), known, n=1)
        hint = f" Did you mean {near[0]}?" if near else f" Known here: {', '.join(sorted(known))}."
        return f"{place}: no such setting.{hint}"
    message = str(detail["msg"]).removeprefix("Value error, ")
    return f"{place}: {message} (it says {detail['input']!r})" if _is_short(detail) else (
        f"{place}: {message}"
    )


def _is_short(detail: Any) -> bool:
    return isinstance(detail["input"], str | int | float | bool) and len(str(detail["input"])) < 80


def _known_at(loc: tuple[Any, ...]) -> set[str]:
    """The settings that could stand where ``loc`` points: by how deep it is."""
    if len(loc) >= 5:
        return set(FeedSettings.model_fields)
    return set(SourceSettings.model_fields if len(loc) >= 3 else Settings.model_fields)
