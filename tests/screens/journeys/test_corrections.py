"""What was wrongly read is put right by touch: amended, struck, contested by another tablet, settled."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from fieldapp.desk.trust.receiving import receive
from fieldapp.desk.workplace import open_project
from fieldapp.record.column import HeadReading
from fieldapp.record.decisions import Amend, Strike
from fieldapp.record.entry import Draft, Entry
from fieldapp.record.reading import Reading
from tests.screens.decision_journey import INSPECTOR, ZONE, hold, opened
from tests.screens.journey import DEVICE, Journey, SteppedClock
from tests.screens.journeys.by_touch import (
    blocks,
    box,
    cut_project,
    hand_over,
    open_entry,
    take,
    tap_a_row,
    tap_action,
    to_shaft,
    write,
)
from tests.support.driver import Driver

# P1-1 of the sample, cut before the round before concrete; the last head was read at 12:38.
UNSOUNDED = ("P1-1", 290, datetime(2026, 5, 12, 13, 6, tzinfo=ZONE))
SHAFT = UNSOUNDED[0]
OTHER = "tablet west"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return cut_project(tmp_path / "project", UNSOUNDED)


@pytest.fixture
def on(hand: Driver, folder: Path) -> Iterator[Journey]:
    begun, _ = opened(hand, folder, UNSOUNDED[2])
    hand_over(begun, INSPECTOR)
    yield begun
    begun.leave()


def heads(folder: Path) -> list[Entry]:
    with open_project(folder, SteppedClock(UNSOUNDED[2]), DEVICE) as place:
        return [each.original for each in place.shaft(SHAFT).lines if isinstance(each.values, HeadReading)]


def to_entries(on: Journey, stage: str) -> None:
    to_shaft(on, SHAFT, stage)
    tap_a_row(on, f"Entries of {stage}")
    assert on.walk.current == "timeline"


def retype_level(on: Journey, *keys: str) -> None:
    """Another level in the place of the one that stands there."""
    take(on, "fluid_level")
    on.keys(*["back"] * len(on.middle.keypad.text), *keys, "next")


def change_of(on: Journey, caption: str) -> list[tuple[str, str]]:
    """Was and is of a field, on the page of an entry, as often as it was changed."""
    rows = [each for each in on.middle.ids.pages.content.children if type(each).__name__ == "FieldRow"]
    return [(each.was, each.text) for each in reversed(rows) if each.caption == caption and each.was]


def elsewhere(folder: Path, target: str) -> list[bytes]:
    """Another tablet, out of reach since this morning, amends the same reading: its entries, sealed."""
    copy = Path(shutil.copytree(folder, folder.parent / "elsewhere"))
    with open_project(copy, SteppedClock(UNSOUNDED[2] + timedelta(minutes=4)), OTHER) as place:
        at = place.now()
        says = HeadReading(Reading("4' 6\"", "ft-in"), place.shaft(SHAFT).last(HeadReading).values.make_up)
        change = Amend(target, says, "the tape was read at the collar")
        made = Draft(
            place.clock.new_id(), place.project_id, SHAFT, change, at, at, "Inspector B", parents=(target,)
        )
        return [each.sealed for each in place.append([made])]


def test_a_reading_is_amended_struck_and_its_findings_follow(on, folder):
    level = "fluid level below the reference"
    to_entries(on, "Head")
    last = blocks(on)[0]
    assert (last.title, last.when) == ("Head reading", "12 May 12:38")
    target = last.entry

    # amended from the list: by hand 5032.5 - 9.25 - 5021.4 = 1.85 ft of head, where 5 ft are asked
    open_entry(on, target)
    tap_action(on, "amend")
    assert box(on, "fluid_level").value == "3' 3\""
    retype_level(on, "9", "'", "3", '"')
    assert box(on, "fluid_level").before == "it said 3' 3\""
    on.tap_next()
    on.tap(on.middle.tools.suggested.rows["read the wrong mark"])
    on.tap_next()
    if on.walk.current == "entry":
        on.tap(on.middle.ids.foot.question.ids.yes)
    assert (on.walk.current, on.strip.word) == ("shaft", "rework")
    assert "Head 1.9 ft at 12 May 12:38, asked at least 5 ft." in on.texts()

    # both versions stay readable, in the list and on the page
    to_entries(on, "Head")
    assert next(each for each in blocks(on) if each.entry == target).marks == "amended: read the wrong mark"
    open_entry(on, target)
    assert change_of(on, level) == [("3' 3\"", "9' 3\"")]
    assert "why: read the wrong mark" in on.texts()

    # struck from its own page, held down, with a reason typed by hand
    tap_action(on, "amend")
    on.tap_second()
    assert (on.strip.next_text, on.strip.next_able) == ("Hold down to strike", False)
    write(on, on.middle.tools.text_field, "read on another shaft")
    on.press()  # back leads to amending, and the reason stays
    on.tap_second()
    assert on.middle.tools.text_field.text == "read on another shaft"
    hold(on, on.strip.next_button)
    assert on.walk.current == "shaft"
    assert "Head 1.9 ft" not in on.texts()
    assert on.strip.word == "not shown"
    to_entries(on, "Head")
    struck = next(each for each in blocks(on) if each.entry == target)
    assert struck.struck
    open_entry(on, target)
    assert "read on another shaft" in on.texts()
    assert change_of(on, level) == [("3' 3\"", "9' 3\"")]

    on.leave()
    with open_project(folder, SteppedClock(UNSOUNDED[2]), DEVICE) as place:
        changes = [each.values for each in place.entries() if isinstance(each.values, Amend | Strike)]
        line = next(each for each in place.shaft(SHAFT).lines if each.id == target)
    mine = [each for each in changes if each.target == target]
    assert [type(each) for each in mine] == [Amend, Strike]
    assert [each.why for each in mine] == ["read the wrong mark", "read on another shaft"]
    assert (line.original.values.fluid_level.read, line.struck) == ("3' 3\"", True)


def test_two_tablets_amend_one_reading_and_somebody_settles_it(on, hand, folder):
    to_entries(on, "Head")
    target = blocks(on)[0].entry
    arriving = elsewhere(folder, target)
    open_entry(on, target)
    tap_action(on, "amend")
    retype_level(on, "3", "'", "6", '"')
    on.tap_next()
    on.tap(on.middle.tools.suggested.rows["read the wrong mark"])
    on.tap_next()
    assert on.walk.current == "shaft"
    on.leave()
    with open_project(folder, SteppedClock(UNSOUNDED[2] + timedelta(minutes=6)), DEVICE) as place:
        assert receive(place, arriving).new == 1

    again, _ = opened(hand, folder, UNSOUNDED[2] + timedelta(minutes=7))
    try:
        hand_over(again, INSPECTOR)
        to_shaft(again, SHAFT)
        reason = next(
            each for each in again.strip.pages.content.children if each.subject == "amendments settled"
        )
        again.tap(reason)
        assert again.walk.current == "timeline"
        disputed = next(each for each in blocks(again) if each.entry == target)
        assert (disputed.shown, disputed.marks.partition(":")[0]) == ("not shown", "contested")
        open_entry(again, target)
        text = again.texts()
        for said in ("3' 6\"", "4' 6\"", "read the wrong mark", "the tape was read at the collar", OTHER):
            assert said in text
        tap_action(again, "amend")
        retype_level(again, "3", "'", "6", '"')
        again.tap_next()
        write(again, again.middle.tools.text_field, "asked both: the reference, not the collar")
        again.tap_next()
        assert again.walk.current == "shaft"
        assert "amendments settled" not in [each.subject for each in again.strip.reasons]
    finally:
        again.leave()
    with open_project(folder, SteppedClock(UNSOUNDED[2] + timedelta(minutes=9)), DEVICE) as place:
        line = next(each for each in place.shaft(SHAFT).lines if each.id == target)
        assert (str(line.values.fluid_level), line.contested) == ("3' 6\"", False)
        assert len(line.changes) == 3
