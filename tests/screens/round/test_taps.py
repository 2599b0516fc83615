"""The taps that a round takes: readings in feet and inches, in metres, and no reading."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from tests.screens.journey import depth_keys
from tests.screens.round_journey import read_back
from tests.screens.views.round_views import EIGHTHS, FIRM, depth


def digits(*readings: str) -> int:
    return sum(letter.isdigit() for reading in readings for letter in reading)


def test_nine_points_of_two_readings_take_at_most_nine_times_the_digits_and_two(go, folder, taps):
    on = go()
    first = {label: depth(each) for label, each in EIGHTHS.items()}
    assert len(first) == 9
    taps.clear()
    for label, reading in first.items():
        assert on.screen.hand.typing.label == label
        on.keys(*depth_keys(reading))
        on.tap_next()
        on.keys(*(("same",) if label != "C" else depth_keys(FIRM)))
        on.tap_next()
    on.tap_next()
    assert on.walk.current == "shaft"
    on.leave()
    points = read_back(folder).points
    assert {each.label: str(each.first_contact) for each in points} == first
    assert {str(each.firm) for each in points} == {FIRM}
    allowed = sum(digits(each, FIRM) + 2 for each in first.values())
    assert (len(taps), allowed) == (95, 99)  # the recording of the round is among the taps


@pytest.mark.long_walk
def test_nine_points_whose_firm_depth_differs_too_keep_within_the_same_taps(go, taps):
    on = go()
    fractions = ("1/8", "3/8", "5/8", "7/8", "1/4", "3/4", "1/2", "1/8", "5/8")
    read = [(f"31' 10 {part}\"", f"31' 11 {part}\"") for part in fractions]
    taps.clear()
    for k, (reading, part) in enumerate(zip(read, fractions, strict=True)):
        for depth_read in reading:
            # only the fraction differs from the point before: the last value, its fraction off, the new one
            on.keys(*(("same", "back", "eighths", part) if k else depth_keys(depth_read)))
            on.tap_next()
    on.wait()
    saved = on.screen.hand.typing.typed.points.values()
    assert [(each["first_contact"], each["firm"]) for each in saved] == read
    allowed = sum(digits(*each) + 2 for each in read)
    assert (len(taps), allowed) == (96, 126)


@pytest.mark.long_walk
def test_nine_points_read_in_metres_keep_within_the_same_taps(go, quay, tmp_path, taps):
    folder = Path(shutil.copytree(quay, tmp_path / "vesker"))
    on = go("B3", where=folder)
    labels = on.screen.hand.typing.labels
    taps.clear()
    for k, _label in enumerate(labels):
        on.keys("1", "7", "mark", "9", str(k % 7 + 1))
        on.tap_next()
        on.keys(*(("same",) if k else ("1", "7", "mark", "9", "8")))
        on.tap_next()
    assert on.screen.hand.typing.done == len(labels)
    assert len(taps) <= len(labels) * (digits("17.91", "17.98") + 2)


def test_no_reading_with_its_reason_is_two_taps(go, taps):
    on = go()
    taps.clear()
    on.tap_second()
    on.tap_text("cage in the way")
    assert len(taps) == 2
    assert on.screen.hand.typing.typed.points["C"] == {"no_reading": "cage in the way"}
