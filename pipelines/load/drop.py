"""Which files a drop holds and what each one is."""

import zipfile
from dataclasses import dataclass
from pathlib import Path

from pipelines.errors import DropError
from pipelines.feeds import FEEDS
from pipelines.load.machine import machine_is_told_apart
from pipelines.sources import Settings
from pipelines.sources.match import ENDINGS, Match, match
from pipelines.sources.reading import AS_DECLARED, Layout, layout_of

#: A drop may hold the settings of its sources under this name.
SETTINGS_NAME = "sources.toml"
_MOST_MEMBERS = 1_000


@dataclass(frozen=True)
class DropFile:
    """One file of a drop; ``member`` is its name inside the archive that ``path`` is."""

    path: Path
    match: Match
    layout: Layout = AS_DECLARED
    member: str | None = None

    @property
    def name(self) -> str:
        return f"{self.path.name}/{self.member}" if self.member else self.path.name

    @property
    def feed(self) -> str:
        return self.match.feed


def find_files(drop: Path, settings: Settings | None = None) -> list[DropFile]:
    """The files of a drop folder, sorted by name; those of an archive one by one.

    Raises:
        DropError: no such folder, an empty one, a file that is no export or of no known feed.
    """
    if not drop.exists():
        raise DropError(f"There is no folder {drop}.", "Check the path of the drop.")
    if not drop.is_dir():
        raise DropError(f"{drop} is a file, not a folder.", "Name the folder that holds it.")
    paths = sorted(
        p for p in drop.iterdir()
        if p.is_file() and not p.name.startswith(".") and p.name != SETTINGS_NAME
    )  # fmt: skip
    if not paths:
        inner = [p.name for p in sorted(drop.iterdir()) if p.is_dir()]
        hint = f" It holds folders ({', '.join(inner[:5])}): name the right one." if inner else ""
        raise DropError(f"The drop {drop} holds no files.{hint}", "Put the CSV exports there.")
    return [file for path in paths for file in files_of(path, settings or Settings())]


def files_of(path: Path, settings: Settings, feed: str | None = None) -> list[DropFile]:
    """The export that ``path`` is, or those that it holds when it is an archive.

    ``feed`` says what it is where its name does not.
    """
    if path.suffix.lower() == ".zip":
        return [_drop_file(path, member, settings, feed) for member in _members(path)]
    return [_drop_file(path, None, settings, feed)]


def _drop_file(path: Path, member: str | None, settings: Settings, feed: str | None) -> DropFile:
    name = member or path.name
    if not _bare(name).lower().endswith(ENDINGS):
        raise DropError(
            f"{path.name}{'/' + member if member else ''} is no .csv or .xlsx file.",
            "Export it as CSV (.csv, .csv.gz, .zip) or as a workbook (.xlsx), or move it out of "
            "the drop. Nothing was loaded.",
        )
    found = match(name, settings, feed)
    return DropFile(path, found, layout_of(settings, found.source, found.feed), member)


def _bare(name: str) -> str:
    return name[:-3] if name.lower().endswith(".gz") else name


def _members(path: Path) -> list[str]:
    try:
        with machine_is_told_apart(path.name), zipfile.ZipFile(path) as archive:
            names = [info.filename for info in archive.infolist() if not info.is_dir()]
    except (zipfile.BadZipFile, OSError, ValueError) as error:
        raise DropError(
            f"{path.name} cannot be opened as an archive: {error}.",
            "Pack it again, or put the files into the drop as they are.",
        ) from error
    # Records that operating systems add to archives; no export is named so.
    names = [n for n in names if not n.startswith("__MACOSX/") and n.split("/")[-1][:1] != "."]
    strange = [n for n in names if "/" in n or "\\" in n or not n.isprintable()]
    if strange or len(names) > _MOST_MEMBERS or len(set(names)) < len(names) or not names:
        why = (
            f"it holds folders or unprintable names ({strange[0]!r})" if strange
            else "it holds no files" if not names
            else "it holds too many files, or two of one name"
        )  # fmt: skip
        raise DropError(
            f"{path.name} is refused: {why}.", "Pack the exports alone, without folders."
        )
    return sorted(names)


def require_feeds(present: set[str], drop: Path) -> None:
    """Raise DropError when a required feed is in neither the drop nor the warehouse."""
    missing = [f.name for f in FEEDS.values() if f.is_required and f.name not in present]
    if missing:
        raise DropError(
            f"The drop {drop} has no file of: {', '.join(missing)}.",
            f"Export it as {missing[0]}-YYYY-MM-DD.csv "
            f"(`ledgerstone template {missing[0]}` writes a blank one).",
        )
