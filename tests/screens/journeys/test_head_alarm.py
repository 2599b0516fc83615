"""The fluid has fallen: said at once, made up, read again; what nobody read stays not shown."""

from __future__ import annotations

from fieldapp.desk.workplace import read_project
from fieldapp.record.column import HeadReading
from tests.screens.journey import Journey
from tests.screens.journeys.heron import DAY, INSPECTOR, SHAFT, heron
from tests.screens.journeys.inspecting import (
    clock_at,
    fill,
    findings,
    reasons,
    record,
    sound,
    standing,
    take,
    work_until,
)

ROUND = {
    "C": ("15' 11 3/4\"", "16' 0\""),
    "R1": ("15' 11 3/4\"", "16' 0\""),
    "R2": ("15' 11 7/8\"", "16' 0\""),
    "R3": ("15' 11 5/8\"", "16' 0\""),
    "R4": ("15' 11 7/8\"", "16' 0\""),
}
MOST_TAPS = 115


def read_head(on: Journey, level: str, make_up: str) -> None:
    assert on.walk.current == "entry"
    fill(on, fluid_level=level, make_up=make_up)


def test_a_low_head_is_said_at_once_restored_and_a_gap_shows_nothing(opens, taps, tmp_path, record_property):
    folder = heron(tmp_path)
    clock = clock_at(DAY, "09:30")
    on = opens(folder, clock)
    on.tap_shaft(SHAFT)
    on.tap_stage("Head")
    on.tap_text("Head reading")
    # 5032.50 - 7.50 - 5021.40 = 3.60 ft where 5 ft are asked: said while it is typed
    take(on, "fluid_level")
    # by hand: 5 ft of head stand at 6.1 ft, that is 6' 1.2", under the reference; no eighth more is within it
    assert on.middle.fields["fluid_level"].limit == "at most 6' 1 1/8\""
    read_head(on, "7' 6\"", "off")
    on.wait()
    low = "\n".join((on.middle.fields["fluid_level"].says, on.texts()))
    assert "3.6 ft" in low
    record(on, by=INSPECTOR)

    assert standing(on) == "rework"
    against = reasons(on)
    assert against["head now"].startswith("Head 3.6 ft")
    assert "asked at least 5 ft" in against["head now"]
    assert next(iter(against)).startswith("head")  # nothing weighs more
    assert on.strip.next_text == "Next: restore the head"

    work_until(clock, "09:45")
    on.tap_next()
    read_head(on, "3' 2\"", "on")
    record(on)
    # 5032.50 - 3.17 - 5021.40 = 7.93 ft
    found = findings(on)
    assert found["head now"].startswith("Head 7.9 ft")
    # the fall is not forgotten with the next reading: what came loose lies on the base
    assert standing(on) == "rework"
    assert reasons(on)["head through cleaning"].startswith("Head fell to 3.6 ft at 2 Jun 09:30")
    assert on.strip.next_text == "Next: clean the base again"
    chart = next(w for w in on.screen.walk() if type(w).__name__ == "LineChart")
    assert [(round(each.value, 2), each.shown) for each in chart.dots][-2:] == [
        (3.6, "not met"),
        (7.93, "met"),
    ]

    work_until(clock, "09:50")
    on.tap_next()
    fill(on, method="cleanout bucket", started_at="9:46", ended_at="9:49")
    record(on)
    work_until(clock, "09:55")
    on.tap_next()
    sound(on, ROUND)
    record(on)
    on.tap_stage("Head")
    on.tap_text("Head reading")
    read_head(on, "3' 2\"", "off")
    record(on)
    left = reasons(on)
    assert "head now" not in left
    assert "head through cleaning" not in left
    assert "it had fallen to 3.6 ft at 2 Jun 09:30" in findings(on)["head through cleaning"]

    # nobody reads it for more than two hours
    work_until(clock, "12:06")
    on.press()
    on.tap_shaft(SHAFT)
    left = reasons(on)
    assert standing(on) == "not shown"
    assert left["head now"].startswith("Head 7.9 ft at 2 Jun 09:5")
    assert left["head now"].endswith("was the last reading; read it again.")
    assert left["head through cleaning"].startswith("No head reading from 2 Jun 09:5")
    assert left["head through cleaning"].endswith("asked at most 2 h.")
    on.leave()
    with read_project(folder) as place:
        heads = [each.values for each in place.shaft(SHAFT).of(HeadReading)]
    assert [(str(each.fluid_level), str(each.make_up)) for each in heads[-3:]] == [
        ("7' 6\"", "off"),
        ("3' 2\"", "on"),
        ("3' 2\"", "off"),
    ]
    record_property("taps", taps.made)
    assert taps.made <= MOST_TAPS
