"""Load tests that a shaft's notes attach: read, held against the recorded sediment, and what they offer.

The parameter that a test gives back is offered.  The designer adopts it, or not, by a new project set-up with
a ``sediment_locking_strain`` of its own; nothing here changes a number by itself.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from fieldapp.base.back_figure import AgainstRecord, LayerRecorded, hold_against_record
from fieldapp.base.load_test import Closure, NoClosure, read_load_test
from fieldapp.desk.workplace import Workplace
from fieldapp.desk.worth import BaseWorth
from fieldapp.desk.worth_text import LENGTH
from fieldapp.exchange.load_test_file import read_load_test_file
from fieldapp.exchange.plain_problem import PlainLogRefused
from fieldapp.record.hole import Note
from fieldapp.record.words import UnitSystem
from fieldapp.store.pictures import picture_path
from fieldapp.units import show

# Standard deviation of a reading: 4 mm (judgment).
_DOUBT_M: Final = 0.004


@dataclass(frozen=True, slots=True)
class LoadTestRead:
    """One attached curve: its file name, what was read of it, and how the record stands to it."""

    file: str
    reading: Closure | NoClosure | None
    against: AgainstRecord | None
    problem: str = ""


def load_tests(place: Workplace, worth: BaseWorth) -> tuple[LoadTestRead, ...]:
    """Every CSV attached to a note of the shaft, read as a load test; one that is none says why."""
    found = []
    for line in place.shaft(worth.now.shaft.id).of(Note):
        path = picture_path(place.folder, line.values.attached) if line.values.attached else None
        if path is not None and path.suffix == ".csv":
            found.append(
                _read(path.read_text("utf-8-sig", errors="replace"), line.values.attached_name, worth)
            )
    return tuple(found)


def _read(text: str, name: str, worth: BaseWorth) -> LoadTestRead:
    try:
        reading = read_load_test(read_load_test_file(text, name))
    except PlainLogRefused as problem:
        return LoadTestRead(name, None, None, str(problem))
    layer = _layer(worth)
    against = hold_against_record(reading, layer) if isinstance(reading, Closure) and layer else None
    return LoadTestRead(name, reading, against)


def _layer(worth: BaseWorth) -> LayerRecorded | None:
    """The mean thickness as measured, with the doubt of one reading either way; None when not shown."""
    if worth.cover is None or worth.inputs is None:
        return None
    thickness, share = worth.cover.thickness_m.ravel(), worth.cover.share.ravel()
    mean = float(thickness @ share)
    return LayerRecorded(max(0.0, mean - _DOUBT_M), mean, mean + _DOUBT_M)


def load_test_lines(tests: tuple[LoadTestRead, ...], units: UnitSystem) -> list[str]:
    """What the tests say, in sentences, in the project's units."""
    unit = LENGTH[units]
    lines: list[str] = []
    for each in tests:
        if each.reading is None:
            lines.append(f"load test {each.file}: {each.problem}")
        elif isinstance(each.reading, NoClosure):
            lines.append(f"load test {each.file}: {each.reading.reason} Cause: {each.reading.cause}.")
        else:
            read = each.reading
            low, best, high = (show(m, *unit) for m in (read.low_m, read.closure_m, read.high_m))
            lines.append(
                f"load test {each.file}: flat start, closed at {best} ({low} to {high}). Cause: {read.cause}."
            )
        lines += _against_lines(each.against, unit)
    return lines


def _against_lines(against: AgainstRecord | None, unit: tuple[str, int]) -> list[str]:
    if against is None:
        return []
    low, best, high = (
        show(m, *unit) for m in (against.expected_low_m, against.expected_best_m, against.expected_high_m)
    )
    lines = [f"  expected of the recorded sediment {best} ({low} to {high}): {against.agreement}"]
    if against.offered is None:
        return [*lines, f"  {against.why_not}"]
    top = "no upper end" if against.offered.high is None else f"{against.offered.high:.2f}"
    offer = f"  locking strain offered {against.offered.best:.2f} ({against.offered.low:.2f} to {top})"
    return [*lines, f"{offer}: the designer adopts it by a new project set-up, or not"]
