"""At 200 % text, level and upright: a whole round, then the screen on which concrete is decided."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from fieldapp.record.cleaning import SoundingRound
from fieldapp.record.decisions import Hold, Release
from fieldapp.ui.widgets.theme import theme
from tests.screens.decision_journey import hold
from tests.screens.journey import Journey, begin, entries_of, set_out
from tests.screens.journeys.by_touch import hand_over, to_shaft, type_point, write
from tests.support.driver import LANDSCAPE, PORTRAIT, Driver

DEPTHS = {
    "C": ("25' 11 3/8\"", "26' 0\""),
    "R1": ("25' 11 1/2\"", "25' 11 7/8\""),
    "R2": ("25' 11 5/8\"", "26' 0\""),
    "R3": ("25' 11 1/4\"", "25' 11 3/4\""),
    "R4": ("25' 11 1/8\"", "25' 11 1/2\""),
}
SHAFT = "P2-1"


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return begin(tmp_path_factory.mktemp("large") / "larkwater", "larkwater", (SHAFT,))


@pytest.fixture
def folder(whole: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(whole, tmp_path / "larkwater"))


@pytest.fixture
def on(hand: Driver, folder: Path) -> Iterator[Journey]:
    theme.text_scale = 2.0
    opened = set_out(hand, folder)
    yield opened
    opened.leave()


def fits(on: Journey) -> None:
    where = on.walk.current
    assert (where, on.hand.cut_labels(), on.hand.small_targets()) == (where, [], [])


def turned(on: Journey, size: tuple[int, int]) -> None:
    on.hand.resize(size)
    on.wait()
    fits(on)


@pytest.mark.long_walk  # that nothing is cut at this size is held in the gate, screen by screen
@pytest.mark.parametrize(
    ("first", "then"),
    [(LANDSCAPE, PORTRAIT), (PORTRAIT, LANDSCAPE)],
    ids=["level first", "upright first"],
)
def test_a_round_and_a_decision_at_twice_the_text(on, folder, first, then):
    turned(on, first)
    hand_over(on, "Inspector A")
    to_shaft(on, SHAFT, "Base")
    fits(on)
    (on.tap_next if on.strip.next_text.startswith("Next: sound") else on.tap_second)()
    fits(on)
    for number, (label, depths) in enumerate(DEPTHS.items()):
        if number == 3:
            turned(on, then)
        type_point(on, label, *depths)
    fits(on)
    on.tap_next()
    assert on.walk.current == "shaft"
    fits(on)

    hand_over(on, "Resident engineer")
    fits(on)
    to_shaft(on, SHAFT, "Release")
    assert on.walk.current == "release"
    fits(on)
    on.tap(on.screen.table.row("Base"))
    fits(on)
    on.tap(on.screen.table.row("Base"))
    write(on, on.screen.form.conditions.field, "Tremie sealed.")
    write(on, on.screen.form.reason.field, "Sounded by hand, the crew stands by, the inspector saw the base.")
    fits(on)
    turned(on, first)
    assert on.screen.form.conditions.text == "Tremie sealed."
    on.tap(on.screen.form.box)
    fits(on)
    for digit in "2130":
        on.tap(on.screen.form.moment.keypad.key(digit))
    on.press()  # back closes the keys of the time, the time stays
    assert on.screen.form.box.value == "21:30"
    assert "21:30" in on.strip.next_text
    hold(on, on.strip.next_button)
    assert on.walk.current == "unlock"
    fits(on)
    turned(on, then)
    on.press()
    assert on.walk.current == "release"
    assert on.screen.form.reason.text.startswith("Sounded by hand")
    fits(on)
    on.leave()
    after = entries_of(folder)
    rounds = [each.values for each in after if each.shaft == SHAFT and isinstance(each.values, SoundingRound)]
    read = {point.label: (str(point.first_contact), str(point.firm)) for point in rounds[-1].points}
    assert read == DEPTHS
    assert not [each for each in after if isinstance(each.values, Release | Hold)]
