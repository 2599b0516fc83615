"""How the project went by date: fluid, cleanliness before concrete, hours from the last round to concrete.

Every shaft whose base was drilled stands in every chart that concerns it, with its value or in the lane of
what is not shown.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import datetime
from fractions import Fraction
from typing import Final

from reportlab.graphics.shapes import Drawing, Line, String
from reportlab.platypus import Flowable, Spacer, Table

from fieldapp.criteria.finding import Outcome
from fieldapp.record.words import Fluid
from fieldapp.units import from_si
from reports.axis import LimitLine
from reports.fonts import REGULAR
from reports.quantities import Shown
from reports.sections import heading
from reports.style import BODY, CAPTION, INK, SOFT, text_width, words
from reports.summary_chart import DayChart, absent_mark, day_chart, day_mark
from reports.summary_facts import LimitSeen, RoundSeen, SummaryFacts, SummaryShaft

_HEIGHT_PT: Final = 150.0
_GAP_PT: Final = 14.0
_FLUIDS: Final = (Fluid.MINERAL, Fluid.POLYMER, Fluid.WATER)
_KEY: Final = (
    (Outcome.MET, "within its limit"),
    (Outcome.NOT_MET, "not within it"),
    (Outcome.NOT_ASKED, "no limit is asked, or the test does not count"),
)
_HOUR_S: Final = 3600
_SAID: Final = (
    "A chart holds every shaft that it concerns whose base was drilled. Fluid: every depth of the last set "
    "before concrete that no pass overtook, against the limits before concrete. Cleanliness: the last round "
    "before concrete, or the latest one while the hole is open, if nothing changed the base since."
)


def trends(facts: SummaryFacts, shown: Shown) -> list[Flowable]:
    """The charts, two a row, with one key."""
    parts = heading("Trends over the project", 230)
    charts = charts_of(facts, shown)
    if not charts:
        return [
            *parts,
            words("No base was drilled yet: there is nothing to draw, and nothing is shown.", BODY),
        ]
    width = (text_width(facts.setup.units) - _GAP_PT) / 2
    cells: list[object] = [day_chart(each, shown, width, _HEIGHT_PT) for each in charts]
    cells += [""] * (len(cells) % 2)
    style = [
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
        ("LEFTPADDING", (0, 0), (-1, -1), 0),
        ("RIGHTPADDING", (0, 0), (-1, -1), _GAP_PT / 2),
        ("TOPPADDING", (0, 0), (-1, -1), 4),
    ]
    rows = [cells[i : i + 2] for i in range(0, len(cells), 2)]
    table = Table(rows, colWidths=[width + _GAP_PT / 2] * 2, style=style, hAlign="LEFT")
    undated = [each.id for each in facts.shafts if each.last_seen is None]
    note = f" Not drilled, so without a date and in no chart: {len(undated)} shafts." if undated else ""
    return [*parts, words(_SAID + note, CAPTION), Spacer(1, 3), _key(), table]


def charts_of(facts: SummaryFacts, shown: Shown) -> list[DayChart]:
    """The charts that have something to tell, be it only that something is not shown."""
    return [each for each in _charts(facts, shown) if each.values or each.absent]


def _key() -> Drawing:
    drawing, x = Drawing(500, 12), 4.0
    for outcome, text in _KEY:
        drawing.add(day_mark(outcome, x, 5))
        drawing.add(String(x + 7, 2.6, text, fontName=REGULAR, fontSize=7, fillColor=SOFT))
        x += 24 + len(text) * 3.5
    drawing.add(absent_mark(x, 2))
    drawing.add(String(x + 6, 2.6, "not shown", fontName=REGULAR, fontSize=7, fillColor=SOFT))
    x += 56
    for dash, text in (((6, 2), "limit, at most"), ((1, 2), "limit, at least")):
        drawing.add(Line(x, 5, x + 18, 5, strokeColor=INK, strokeWidth=1.1, strokeDashArray=dash))
        drawing.add(String(x + 22, 2.6, text, fontName=REGULAR, fontSize=7, fillColor=SOFT))
        x += 76
    return drawing


def _charts(facts: SummaryFacts, shown: Shown) -> Iterator[DayChart]:
    for fluid in _FLUIDS:
        mine = [each for each in facts.shafts if each.kind_of_fluid is fluid and each.last_seen is not None]
        if mine:
            density = shown.unit_of("density")[0]
            yield _fluid_chart(f"Density of {fluid} fluid, {density}", "density", density, mine)
            yield _fluid_chart(f"Sand in {fluid} fluid, %", "sand", "%", mine)
            yield _fluid_chart(f"Funnel time of {fluid} fluid, s", "funnel time", "s", mine)
    drilled = [each for each in facts.shafts if each.last_seen is not None]
    thickness = shown.unit_of("short length")[0]
    if any(limit.name == "share" for each in drilled for limit in each.limits):
        yield _base_chart(
            "Base within the thickness limit, %", "share", "%", drilled, lambda each: each.share
        )
    yield _base_chart(
        f"Largest thickness, {thickness}", "largest", thickness, drilled, lambda each: each.largest_m
    )
    yield _base_chart(f"Mean thickness, {thickness}", "mean", thickness, drilled, lambda each: each.mean_m)
    yield _hours_chart([each for each in drilled if each.concrete_started is not None])


def _fluid_chart(title: str, name: str, unit: str, shafts: list[SummaryShaft]) -> DayChart:
    values, absent = [], []
    for shaft in shafts:
        read = [each for each in shaft.fluid if each.name == name]
        for each in read:
            if each.value_si is None:
                absent.append(each.at)
            else:
                outcome = each.outcome if each.outcome is not Outcome.NOT_SHOWN else Outcome.NOT_ASKED
                values.append((each.at, from_si(each.value_si, unit), outcome))
        if not read and shaft.last_seen is not None:
            absent.append(shaft.last_seen)
    return DayChart(title, tuple(values), _limits(shafts, name, unit), tuple(absent))


def _base_chart(
    title: str, name: str, unit: str, shafts: list[SummaryShaft], read: Callable[[RoundSeen], Fraction | None]
) -> DayChart:
    values, absent = [], []
    for shaft in shafts:
        seen = shaft.last_round
        value = read(seen) if seen is not None and not seen.stale else None
        if seen is None or value is None:
            absent.append(seen.at if seen is not None else _moment(shaft))
        else:
            values.append((seen.at, from_si(value, unit), _held(value, shaft, name)))
    most = 100.0 if unit == "%" else None
    return DayChart(title, tuple(values), _limits(shafts, name, unit), tuple(absent), most)


def _hours_chart(shafts: list[SummaryShaft]) -> DayChart:
    values, absent = [], []
    for shaft in shafts:
        started = _moment(shaft)
        if shaft.last_round is None:
            absent.append(started)
        else:
            seconds = Fraction((started - shaft.last_round.at).total_seconds())
            values.append((started, float(seconds / _HOUR_S), _held(seconds, shaft, "hours")))
    return DayChart(
        "Hours from the last round to concrete, h",
        tuple(values),
        _limits(shafts, "hours", "h"),
        tuple(absent),
    )


def _moment(shaft: SummaryShaft) -> datetime:
    assert shaft.last_seen is not None
    return shaft.last_seen


def _held(value: Fraction, shaft: SummaryShaft, name: str) -> Outcome:
    """A value against the limits of its own shaft; not asked where there is none."""
    mine = [each for each in shaft.limits if each.name == name]
    if not mine:
        return Outcome.NOT_ASKED
    return Outcome.MET if all(each.holds(value) for each in mine) else Outcome.NOT_MET


def _limits(shafts: list[SummaryShaft], name: str, unit: str) -> tuple[LimitLine, ...]:
    """The different limits of these shafts, each once."""
    found: dict[tuple[Fraction, bool], LimitSeen] = {}
    for each in (limit for shaft in shafts for limit in shaft.limits if limit.name == name):
        found.setdefault((each.value_si, each.lower), each)
    return tuple(
        LimitLine(from_si(each.value_si, unit), str(each.said), each.lower)
        for _, each in sorted(found.items(), key=lambda pair: pair[0])
    )
