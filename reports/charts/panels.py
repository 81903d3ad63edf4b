"""Small multiples: one panel a place, same scales in all, places in their fixed order."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from reports import words
from reports.charts.band import UsualRange, band
from reports.charts.figure import Chart, Head, drawn, hover_label, label
from reports.charts.template import INK, style

#: More panels than this are no longer compared (page rule of twelve; ours are tall).
MOST_PANELS = 6
_GAP = 0.05


@dataclass(frozen=True)
class Series:
    """One kind of mark in every panel: values by place, in the order of ``mondays``."""

    name: str
    values: dict[str, list[float | None]]
    symbol: str
    is_line: bool = False


def panel_chart(
    head: Head,
    mondays: list[date],
    places: list[tuple[str, str, int]],
    series: list[Series],
    unit: str,
    pages: Mapping[date, str],
    usual: Mapping[str, UsualRange] | None = None,
) -> Chart:
    """``places`` are (id, heading, slot). Each panel says its place; marks are named in the note.

    ``pages``: week -> the page of what its marks count. ``usual`` is the grey band of each place
    that has one, in the unit of the values.
    """
    shown = places[:MOST_PANELS]
    bands = {place: usual[place] for place, _, _ in shown if usual and place in usual}
    ticks = [words.week_label(monday) for monday in mondays]
    values = [v for s in series for place, _, _ in shown for v in s.values[place] if v is not None]
    most = max((*values, *(band.upper for band in bands.values())), default=1.0)
    height = (1 - _GAP * (len(shown) - 1)) / max(1, len(shown)) if shown else 1
    data: list[dict[str, object]] = []
    hrefs = [pages.get(monday, "") for monday in mondays]
    layout: dict[str, object] = {
        "xaxis": {"type": "category", "tickvals": ticks, "tickangle": 0,
                  "ticktext": [t[5:] for t in ticks], "anchor": f"y{max(1, len(shown))}",
                  "range": [-0.5, len(ticks) - 0.5], "tickfont": {"size": 12}},
        "margin": {"l": 56, "r": 16, "t": 8, "b": 40},
    }  # fmt: skip
    headings = []
    shapes: list[dict[str, object]] = []
    for row, (place, heading, slot) in enumerate(shown):
        top = 1 - row * (height + _GAP)
        axis = "" if row == 0 else str(row + 1)
        layout[f"yaxis{axis}"] = {
            "domain": [max(0.0, top - height), top], "range": [0, most * 1.35 or 1], "nticks": 4,
            "title": {"text": unit if row == len(shown) // 2 else ""},
        }  # fmt: skip
        data += [_trace(ticks, s, place, slot, f"y{axis}", hrefs) for s in series]
        shapes += band(bands.get(place), f"y{axis}")
        headings.append({
            "x": 0, "xref": "paper", "xanchor": "left", "xshift": 4, "y": top, "yref": "paper",
            "yanchor": "top", "text": label(heading), "showarrow": False,
            "font": {"color": INK, "size": 14},
        })  # fmt: skip
    layout["annotations"] = headings
    layout["shapes"] = shapes
    summary = (
        f"{words.counted(len(shown), 'panel')}, one a place, over {len(ticks)} weeks; the largest "
        f"value is {words.number(max(values, default=0.0), 1)} {unit}."
    )
    size = "medium" if len(shown) <= 2 else "tall" if len(shown) <= 3 else "taller"
    return drawn(head, summary, data, layout, size)


def _trace(
    ticks: list[str], series: Series, place: str, slot: int, axis: str, hrefs: list[str]
) -> dict[str, object]:
    look = style(slot)
    return {
        "type": "scatter", "x": ticks, "y": series.values[place], "yaxis": axis,
        "customdata": hrefs,
        "mode": "lines+markers" if series.is_line else "markers", "connectgaps": False,
        "line": {"color": look.colour, "dash": look.dash, "width": 2},
        "marker": {"symbol": look.symbol if series.is_line else series.symbol, "size": 8,
                   "color": look.colour, "line": {"color": look.colour, "width": 1.5}},
        "hovertemplate": f"%{{x}}: %{{y:.1f}}<extra>{hover_label(series.name)}</extra>",
    }  # fmt: skip
