"""Weekly figures: a line and a dot a week, n under each, the usual range behind."""

from dataclasses import dataclass, replace
from datetime import date

from reports import words
from reports.charts.band import UsualRange, band
from reports.charts.figure import Chart, Head, drawn, label, note_at
from reports.charts.template import style


@dataclass(frozen=True)
class Week:
    """One point: ``value`` and ``high`` are None where too few cases allow no figure.

    ``page`` is that of the cases behind it, if there is one.
    """

    monday: date
    value: float | None
    high: float | None
    n: int
    is_complete: bool
    page: str = ""


def weekly_chart(head: Head, weeks: list[Week], usual: UsualRange | None, unit: str) -> Chart:
    """Two lines told apart by dash and marker, named at their end; incomplete weeks hollow."""
    ticks = [words.week_label(week.monday) for week in weeks]
    texts = [f"{words.week_label(week.monday)[5:]}<br>n {words.number(week.n)}" for week in weeks]
    values, highs = [w.value for w in weeks], [w.high for w in weeks]
    data = [_line(ticks, weeks, values, 0), _line(ticks, weeks, highs, 1)]
    layout: dict[str, object] = {
        "xaxis": {"type": "category", "tickvals": ticks, "ticktext": texts, "tickangle": 0,
                  "range": [-0.5, len(ticks) - 0.5], "tickfont": {"size": 12}},
        "yaxis": {"rangemode": "tozero", "title": {"text": unit}},
        "margin": {"l": 56, "r": 108, "t": 8, "b": 48},
        "annotations": [*_end(values, "median", 0), *_end(highs, "9 in 10 within", 1)],
        "shapes": band(usual),
    }  # fmt: skip
    noted = replace(head, note=_note(usual, unit, any(not w.is_complete for w in weeks)))
    return drawn(noted, _summary(weeks, usual, unit), data, layout)


def _line(
    ticks: list[str], weeks: list[Week], values: list[float | None], slot: int
) -> dict[str, object]:
    look = style(slot)
    return {
        "type": "scatter", "mode": "lines+markers", "x": ticks, "y": values,
        "connectgaps": False,
        "line": {"color": look.colour, "dash": look.dash, "width": 2},
        "marker": {
            "symbol": [look.symbol + ("" if w.is_complete else "-open") for w in weeks],
            "size": 9, "color": look.colour, "line": {"width": 2, "color": look.colour},
        },
        "customdata": [week.page for week in weeks],
        "hovertemplate": "%{x}: %{y:.1f}<extra></extra>",
    }  # fmt: skip


def _end(values: list[float | None], text: str, slot: int) -> list[dict[str, object]]:
    """The line's name beside its last point."""
    last = next((v for v in reversed(values) if v is not None), None)
    if last is None:
        return []
    return [{**note_at(1, last, label(text), style(slot).colour), "xref": "paper"}]


def _note(usual: UsualRange | None, unit: str, has_incomplete: bool) -> str:
    hollow = " The hollow week is not complete and is not judged." if has_incomplete else ""
    under = "n is the number of cases behind each point." + hollow
    if usual is None:
        return f"{under} Fewer than 10 earlier weeks: no usual range is drawn."
    return (
        f"{under} Grey band: the usual range of the median, {words.number(usual.lower, 1)} "
        f"to {words.number(usual.upper, 1)} {unit}, centre {words.number(usual.centre, 1)}, from "
        f"{usual.points} earlier weeks."
    )


def _summary(weeks: list[Week], usual: UsualRange | None, unit: str) -> str:
    known = [w.value for w in weeks if w.value is not None and w.is_complete]
    if not known:
        return "No week has enough cases for a median."
    return (
        f"Line of the weekly median over {len(weeks)} weeks, from "
        f"{words.number(min(known), 1)} to {words.number(max(known), 1)} {unit}."
    )
