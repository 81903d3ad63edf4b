"""Style, scripts and plotly's own script, copied into each folder that can be handed out."""

from importlib.resources import files
from pathlib import Path

from reports.frame import Issue


def write_assets(root: Path, issue: Issue, *, has_charts: bool) -> None:
    """``root/assets``: nothing a page needs stands outside its folder."""
    folder = root / "assets"
    folder.mkdir(parents=True, exist_ok=True)
    own = files("reports.frame") / "assets"
    for name in ("page.css", "page.js", "table.js"):
        (folder / name).write_bytes((own / name).read_bytes())
    (folder / "issue.css").write_text(_sheet_foot(issue.short), encoding="utf-8")
    if has_charts:
        bundle = files("plotly") / "package_data" / "plotly.min.js"
        (folder / "plotly.min.js").write_bytes(bundle.read_bytes())


def _sheet_foot(text: str) -> str:
    """The as-of on every printed sheet; a file of its own, because inline style is not allowed."""
    quoted = text.replace("\\", "\\\\").replace('"', '\\"')
    return (
        "@page {\n"
        f'  @bottom-left {{ content: "{quoted}"; font-size: 9pt; }}\n'
        '  @bottom-right { content: counter(page) " of " counter(pages); font-size: 9pt; }\n'
        "}\n"
    )
