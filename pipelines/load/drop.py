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
#: Files that systems leave in folders that somebody looked into; a workbook that is open has one
#: beside it whose name begins with ~$.
_LEFT_BY_SYSTEMS = {"thumbs.db", "ehthumbs.db", "desktop.ini"}
_LEFT_BY_SYSTEMS_BEGIN = (".", "~$")
_MOST_MEMBERS = 1_000


@dataclass(frozen=True)
class DropFile:
    """One file of a drop; ``member`` is its name inside the archive that ``path`` is.

    ``fault`` says why an archive cannot be opened; ``feed`` is then empty where its name does not
    say it.
    """

    path: Path
    match: Match
    layout: Layout = AS_DECLARED
    member: str | None = None
    fault: str | None = None

    @property
    def name(self) -> str:
        return f"{self.path.name}/{self.member}" if self.member else self.path.name

    @property
    def feed(self) -> str:
        return self.match.feed


class NotAnArchive(DropError):
    """An archive cannot be opened."""


def find_files(drop: Path, settings: Settings | None = None) -> list[DropFile]:
    """The files of a drop folder, sorted by name; those of an archive one by one, a damaged archive
    as one file with its fault.

    Raises:
        DropError: no such folder, an empty one, a file that is no export or of no known feed.
    """
    if not drop.exists():
        raise DropError(f"There is no folder {drop}.", "Check the path of the drop.")
    if not drop.is_dir():
        raise DropError(f"{drop} is a file, not a folder.", "Name the folder that holds it.")
    paths = [path for path in _content(drop) if path.is_file()]
    if not paths:
        inner = [p.name for p in sorted(drop.iterdir()) if p.is_dir()]
        hint = f" It holds folders ({', '.join(inner[:5])}): name the right one." if inner else ""
        raise DropError(f"The drop {drop} holds no files.{hint}", "Put the CSV exports there.")
    known = settings or Settings()
    return [file for path in paths for file in _files_or_fault(path, known)]


def not_read(drop: Path) -> dict[str, str]:
    """What the drop holds beside files, by name, and why it is not read."""
    return {path.name: _why_not_read(path) for path in _content(drop) if not path.is_file()}


def _content(drop: Path) -> list[Path]:
    """What is in the drop by somebody's will, sorted by name, without the settings."""
    return sorted(
        path for path in drop.iterdir()
        if not _is_left_by_a_system(path.name) and path.name != SETTINGS_NAME
    )  # fmt: skip


def _is_left_by_a_system(name: str) -> bool:
    return name.lower() in _LEFT_BY_SYSTEMS or name.startswith(_LEFT_BY_SYSTEMS_BEGIN)


def _why_not_read(path: Path) -> str:
    if path.is_dir():
        return "It is a folder. Put the exports into the drop itself."
    if path.is_symlink() and not path.exists():
        return "It is a link to a file that is not there. Put the export itself into the drop."
    return "It is no file that can be read again. Put the export itself into the drop."


def _files_or_fault(path: Path, settings: Settings) -> list[DropFile]:
    try:
        return files_of(path, settings)
    except NotAnArchive as error:
        return [DropFile(path, _match_or_none(path.name, settings), fault=str(error.what))]


def _match_or_none(name: str, settings: Settings) -> Match:
    try:
        return match(name, settings)
    except DropError:
        return Match("", "", None)


def files_of(path: Path, settings: Settings, feed: str | None = None) -> list[DropFile]:
    """The export that ``path`` is, or those that it holds when it is an archive.

    ``feed`` says what it is where its name does not.

    Raises:
        NotAnArchive: a damaged archive.
        DropError: no export, of no known feed, or an archive that is refused.
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
        raise NotAnArchive(
            f"{path.name} cannot be opened as an archive: {str(error).rstrip('.')}. Pack it again, "
            "or put the files into the drop as they are."
        ) from error
    # Records that operating systems add to archives; no export is named so.
    names = [
        name for name in names
        if not name.startswith("__MACOSX/") and not _is_left_by_a_system(name.split("/")[-1])
    ]  # fmt: skip
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
