"""dbt's reading of the models, kept between runs: the models change only with the program.

Reading the project takes dbt several seconds of every run; the kept manifest takes a fraction of
one. It is kept under a digest of everything it depends on, in the user's cache folder, and any
doubt about it (absent, unreadable, of another version) means reading the models anew.
"""

import contextlib
import hashlib
import os
import platform
import tempfile
from collections.abc import Callable
from importlib.metadata import version
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from dbt.contracts.graph.manifest import Manifest


_PROJECT_NAME = "ledgerstone"
#: Macros that a build calls by name from dbt's own code, beside those that nodes and macros call.
_CALLED_BY_DBT = (
    "check_schema_exists", "create_schema", "drop_relation", "list_relations_without_caching",
    "list_schemas", "materialization_test_default",
)  # fmt: skip


def kept_manifest(
    project: Path, fixed: list[str], parse: Callable[[], "Manifest"]
) -> "Manifest":
    """The manifest of the project: the kept one, else what ``parse`` gives, kept for next time.

    ``project`` is the folder as dbt reads it. ``fixed`` is what else its reading fixes: the name of
    the database file and the finding models that are united.
    """
    kept = kept_at(project, fixed)
    found = _read(kept)
    if found is None:
        found = parse()
        drop_unused_macros(found)
        with contextlib.suppress(OSError):
            _keep(found, kept)
    return found


def kept_at(project: Path, fixed: list[str]) -> Path:
    """Where the manifest of the project is kept, or would be."""
    return _folder() / f"models-{_digest(project, fixed)}.msgpack"


def drop_unused_macros(manifest: "Manifest") -> None:
    """Drop the macros that no node's build can reach.

    dbt hands every macro that it ships to every node, twice, and a build uses a fifth of them. What
    a macro calls, dispatched calls included, is what dbt noted as it read it.
    """
    waiting = {
        unique_id
        for unique_id, macro in manifest.macros.items()
        if macro.package_name == _PROJECT_NAME or macro.name in _CALLED_BY_DBT
    }
    for node in manifest.nodes.values():
        waiting.update(node.depends_on.macros)
    used: set[str] = set()
    while waiting:
        unique_id = waiting.pop()
        if unique_id in manifest.macros and unique_id not in used:
            used.add(unique_id)
            waiting.update(manifest.macros[unique_id].depends_on.macros)
    manifest.macros = {name: manifest.macros[name] for name in manifest.macros if name in used}


def _folder() -> Path:
    base = os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache"
    return Path(base) / "ledgerstone"


def _digest(project: Path, fixed: list[str]) -> str:
    digest = hashlib.sha256()
    for part in (version("dbt-core"), version("dbt-duckdb"), platform.python_version(),
                 *_CALLED_BY_DBT, *sorted(fixed)):  # fmt: skip
        digest.update(f"{part}\0".encode())
    for path in sorted(path for path in project.rglob("*") if is_read(path)):
        digest.update(f"{path.relative_to(project)}\0".encode())
        digest.update(path.read_bytes() + b"\0")
    return digest.hexdigest()[:24]


def is_read(path: Path) -> bool:
    """Whether a run reads this of the project. Unit tests prove the models when these change;
    reading them would cost every run a second."""
    return path.is_file() and not path.name.endswith("_unit_tests.yml")


def _read(kept: Path) -> "Manifest | None":
    from dbt.contracts.graph.manifest import Manifest  # noqa: PLC0415  (seconds of imports)
    from dbt.parser.manifest import extended_mashumuro_decoder  # noqa: PLC0415

    try:
        manifest = Manifest.from_msgpack(kept.read_bytes(), decoder=extended_mashumuro_decoder)
    except FileNotFoundError:
        return None
    except Exception:  # a damaged file fails in many ways; the cure is the same
        return None
    manifest.build_flat_graph()  # type: ignore[no-untyped-call]
    return manifest


def _keep(manifest: "Manifest", kept: Path) -> None:
    from dbt.parser.manifest import extended_mashumaro_encoder  # noqa: PLC0415

    kept.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
    packed = manifest.to_msgpack(extended_mashumaro_encoder)
    handle, temporary = tempfile.mkstemp(dir=kept.parent)
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(packed if isinstance(packed, bytes) else bytes(packed))
        Path(temporary).replace(kept)
    finally:
        Path(temporary).unlink(missing_ok=True)
    for older in kept.parent.glob("models-*.msgpack"):
        if older != kept:
            older.unlink(missing_ok=True)
