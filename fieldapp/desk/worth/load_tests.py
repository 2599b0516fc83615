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
from fieldapp.desk.worth.text import LENGTH
from fieldapp.desk.worth.worth import BaseWorth
from fieldapp.exchange.load_test_file import read_load_test_file
from fieldapp.exchange.plain_problem import PlainLogRefused
from fieldapp.record.hole import Note
from fieldapp.record.said import Said, said, sayable
from fieldapp.record.words import UnitSystem
from fieldapp.store.pictures import picture_path
from fieldapp.store.problems import in_plain_words
from fieldapp.units import show

# What the model says where it reads or offers nothing; listed here for the languages.
_MODEL_SAYS: Final = (
    sayable("No flat start can be told: the load rises from the first movement."),
    sayable("The load comes at once and then stays level; it does not rise again."),
    sayable("No sediment was recorded, so there is no layer to figure a strain from."),
    sayable("The base moved further than the recorded layer could compress."),
)
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
    """Every CSV attached to a note of the shaft, read as a load test; one that is none says why.

    Raises StoreProblem.
    """
    found = []
    for line in place.shaft(worth.now.shaft.id).of(Note):
        path = picture_path(place.folder, line.values.attached) if line.values.attached else None
        if path is not None and path.suffix == ".csv":
            with in_plain_words(path):
                text = path.read_text("utf-8-sig", errors="replace")
            found.append(_read(text, line.values.attached_name, worth))
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
    """What the tests say, line by line, in the project's units; what is held against one stands in."""
    unit = LENGTH[units]
    lines: list[str] = []
    for each in tests:
        lines += [_read_said(each, unit), *(f"  {line}" for line in _against_lines(each.against, unit))]
    return lines


def load_tests_said(tests: tuple[LoadTestRead, ...], units: UnitSystem) -> list[str]:
    """The same sentences, said one after the other."""
    unit = LENGTH[units]
    return [line for each in tests for line in (_read_said(each, unit), *_against_lines(each.against, unit))]


def _read_said(test: LoadTestRead, unit: tuple[str, int]) -> str:
    read = test.reading
    if read is None:
        return said("load test {file}: {problem}", file=test.file, problem=test.problem)
    if isinstance(read, NoClosure):
        about = {"file": test.file, "reason": Said(read.reason), "cause": read.cause}
        return said("load test {file}: {reason} Cause: {cause}.", **about)
    low, best, high = (show(m, *unit) for m in (read.low_m, read.closure_m, read.high_m))
    return said(
        "load test {file}: flat start, closed at {best} ({low} to {high}). Cause: {cause}.",
        file=test.file,
        best=best,
        low=low,
        high=high,
        cause=read.cause,
    )


def _against_lines(against: AgainstRecord | None, unit: tuple[str, int]) -> list[str]:
    if against is None:
        return []
    low, best, high = (
        show(m, *unit) for m in (against.expected_low_m, against.expected_best_m, against.expected_high_m)
    )
    expected = said(
        "expected of the recorded sediment {best} ({low} to {high}): {agreement}",
        best=best,
        low=low,
        high=high,
        agreement=against.agreement,
    )
    if against.offered is None:
        return [expected, Said(against.why_not)]
    top = said("no upper end") if against.offered.high is None else f"{against.offered.high:.2f}"
    offer = said(
        "locking strain offered {best} ({low} to {top}): the designer adopts it by a new project set-up, or "
        "not",
        best=f"{against.offered.best:.2f}",
        low=f"{against.offered.low:.2f}",
        top=top,
    )
    return [expected, offer]
