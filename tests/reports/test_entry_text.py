"""Entries as text: nothing that was recorded is left out, and what is missing is said where it matters."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields, is_dataclass, replace
from datetime import UTC, timedelta

import pytest

from fieldapp.record.acceptance import AcceptanceSet
from fieldapp.record.cleaning import SoundingPoint
from fieldapp.record.column import FluidTest, HeadReading
from fieldapp.record.kinds import ALL
from fieldapp.record.reading import Reading
from fieldapp.record.words import FluidStage, UnitSystem
from reports.entry_text import Telling, entry_lines
from reports.quantities import Shown, span_text
from tests.support.examples import EXAMPLES

US = Telling(Shown(UnitSystem.US, UTC, "UTC"), {})
SI = Telling(Shown(UnitSystem.SI, UTC, "UTC"), {})


def recorded(values: object) -> Iterator[str]:
    """Every reading, word and text of an entry, as written; a limit of an acceptance set is not repeated."""
    for each in fields(values):
        content = getattr(values, each.name)
        for part in content if isinstance(content, tuple) else (content,):
            if isinstance(part, Reading | str):
                yield str(part)
            elif is_dataclass(part) and not isinstance(part, AcceptanceSet):
                yield from recorded(part)


@pytest.mark.parametrize("values", EXAMPLES, ids=lambda each: each.KIND)
@pytest.mark.parametrize("telling", [US, SI], ids=["US", "SI"])
def test_everything_recorded_stands_in_the_text(values, telling):
    text = " ".join(entry_lines(values, telling))
    missing = [each for each in recorded(values) if " ".join(each.split()) not in text]
    assert missing == []


def test_every_kind_of_entry_has_an_example_here():
    assert {type(each) for each in EXAMPLES} == set(ALL)


def test_a_line_never_holds_a_line_break():
    for each in EXAMPLES:
        assert not any("\n" in line for line in entry_lines(each, US))


def test_a_fluid_test_says_what_was_not_tested():
    test = FluidTest(FluidStage.DRILLING, 1, Reading("10", "ft"), density=Reading("66", "pcf"))
    assert "Not tested: funnel_time, sand, pH" not in entry_lines(test, US)
    assert entry_lines(test, US)[-1] == "Not tested: funnel, sand, pH"


def test_a_level_above_the_reference_is_said_in_words():
    assert entry_lines(HeadReading(Reading("-0' 6\"", "ft-in")), US) == (
        "Fluid level 0' 6\" above the reference",
    )


def test_a_reading_in_the_projects_unit_stands_alone_and_another_gets_it_in_brackets():
    depth = HeadReading(Reading("2.5", "m"))
    # 2.5 m / 0.3048 = 8.2021 ft; 1.15 g/cm3 = 1150 / 16.018463 = 71.79 pcf
    assert entry_lines(depth, SI) == ("Fluid level 2.5 m below the reference",)
    assert entry_lines(depth, US) == ("Fluid level 2.5 m (8.2 ft) below the reference",)
    test = FluidTest(FluidStage.DRILLING, 1, Reading("10", "ft"), density=Reading("1.15", "g/cm3"))
    assert "density 1.15 g/cm3 (71.8 pcf)" in entry_lines(test, US)[1]


def test_thickness_reads_like_a_tape_in_inches_and_in_millimetres_on_an_si_project():
    inch = SoundingPoint(
        "1",
        Reading("0", "in"),
        Reading("0", "deg"),
        Reading("9' 10 5/8\"", "ft-in"),
        Reading("10' 0\"", "ft-in"),
    )
    round_ = next(each for each in EXAMPLES if each.KIND == "sounding round")
    lines = entry_lines(replace(round_, points=(inch,)), US)
    assert lines[1].endswith("sediment 1 3/8 in")
    # 1 3/8 in = 34.925 mm, shown to a tenth
    assert entry_lines(replace(round_, points=(inch,)), SI)[1].endswith("sediment 34.9 mm")


@pytest.mark.parametrize(
    ("minutes", "text"),
    [(0, "0 min"), (25, "25 min"), (60, "1 h"), (680, "11 h 20 min"), (1440, "1 day"), (3060, "2 days 3 h")],
)
def test_spans_read_in_hours_and_minutes(minutes, text):
    assert span_text(timedelta(minutes=minutes)) == text
