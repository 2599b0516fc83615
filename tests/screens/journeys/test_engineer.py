"""The resident engineer's day on one shaft, by touch: hold, release, lapsed, released anew, withdrawn."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from pathlib import Path

import pytest

from fieldapp.desk.workplace import read_project
from fieldapp.record.column import HeadReading
from fieldapp.record.decisions import Hold, Release, Withdrawal
from fieldapp.record.entry import Entry
from tests.screens.decision_journey import (
    DESIGNER,
    ENGINEER,
    INSPECTOR,
    ZONE,
    decision_project,
    hold,
    opened,
    unlock,
)
from tests.screens.journey import Journey
from tests.screens.journeys.by_touch import (
    board_row,
    hand_over,
    read_the_head,
    to_shaft,
    told,
    type_point,
    write,
)
from tests.support.driver import Driver

# P1-1 of the sample, cut before the round before concrete: the cage and the tremie are set.
UNSOUNDED = ("P1-1", 290, datetime(2026, 5, 12, 13, 6, tzinfo=ZONE))
SHAFT = UNSOUNDED[0]
# As the sample log has round 3: nowhere more than 3/8 in, of 1/2 in over half and 1-1/2 in anywhere.
ROUND = {
    "C": ("30' 0 3/4\"", "30' 1\""),
    "R1": ("30' 0 1/2\"", "30' 0 3/4\""),
    "R2": ("30' 0 5/8\"", "30' 0 7/8\""),
    "R3": ("30' 0 3/4\"", "30' 0 7/8\""),
    "R4": ("30' 0 5/8\"", "30' 1\""),
    "R5": ("30' 0 7/8\"", "30' 1 1/4\""),
    "R6": ("30' 0 3/4\"", "30' 1\""),
    "R7": ("30' 0 5/8\"", "30' 0 3/4\""),
    "R8": ("30' 0 7/8\"", "30' 1\""),
}


@pytest.fixture
def site(hand: Driver, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[tuple[Journey, Path]]:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "home"))
    folder = decision_project(tmp_path / "site", UNSOUNDED)
    on, _ = opened(hand, folder, UNSOUNDED[2])
    yield on, folder
    on.leave()


def made(folder: Path, *kinds: type) -> list[Entry]:
    with read_project(folder) as place:
        return [each for each in place.entries() if isinstance(each.values, kinds)]


def may_not_release(on: Journey, person: str) -> str:
    """What somebody is told who holds the release down with a key of his own."""
    hand_over(on, person)
    to_shaft(on, SHAFT, "Release")
    hold(on, on.strip.next_button)
    unlock(on)
    return told(on)


def test_the_engineers_day_on_one_shaft(site):
    on, folder = site
    # reads: what is not shown has its sentence one tap away
    hand_over(on, ENGINEER)
    to_shaft(on, SHAFT, "Release")
    assert on.screen.table.row("Base").shown == "not shown"
    on.tap(on.screen.table.row("Base"))
    assert "No round before concrete since the last cleaning." in on.texts()

    # holds, and a hold without its reason is none
    on.tap_second()
    assert on.walk.current == "release"  # nobody types a passphrase for nothing
    assert "reason" in told(on)
    assert on.screen.form.reason.field.typing.focus
    write(on, on.screen.form.reason.field, "Sound again with the tremie in.")
    on.tap_second()
    unlock(on)
    assert told(on) == "Concrete is on hold by Resident engineer. Sound again with the tremie in."
    assert board_row(on, SHAFT).clock_caption == "concrete held\noverream if open past 13:50"

    # the inspector sees the hold, sounds the base, and reads the head
    hand_over(on, INSPECTOR)
    to_shaft(on, SHAFT, "Base")
    assert on.strip.clock_caption.startswith("concrete held, ")
    on.tap_next()
    assert on.walk.current == "round"
    for label, (first, firm) in ROUND.items():
        type_point(on, label, first, firm)
    on.tap_next()
    assert (on.walk.current, on.strip.word) == ("shaft", "clean")
    read_the_head(on, SHAFT, "3", "'", "3")

    # nobody else can release: the desk says so, the button is there for all
    for person in (INSPECTOR, DESIGNER):
        assert may_not_release(on, person).startswith(f"{person} may not make a release: that takes a")
    assert made(folder, Release) == []

    # released until a time, under conditions; nothing stands against it, so nothing is asked
    hand_over(on, ENGINEER)
    to_shaft(on, SHAFT, "Release")
    # the slurry touches the bottom since 09:50, at most 4 h by the acceptance set
    assert on.strip.next_text == "Hold down to release until 13:50"
    write(on, on.screen.form.conditions.field, "Tremie tip on the base.")
    hold(on, on.strip.next_button)
    unlock(on)
    assert told(on) == (
        "Released until 12 May 13:50 by Resident engineer. Conditions: Tremie tip on the base."
    )
    row = board_row(on, SHAFT)
    assert (row.word, row.clock_caption) == ("clean", "released until 13:50")
    assert row.next_text == "Start concrete before 12 May 13:50"

    # a low head is recorded: by hand 5030.5 - 9.25 - 5021.4 = 1.85 ft where 5 ft are asked
    hand_over(on, INSPECTOR)
    read_the_head(on, SHAFT, "9", "'", "3")
    if on.walk.current == "entry":
        on.tap(on.middle.ids.foot.question.ids.yes)
    low = "Head 1.9 ft at 12 May 13:1"
    assert on.strip.clock_caption.startswith("release lapsed, ")
    assert on.strip.reasons[0].text.startswith(low)
    row = board_row(on, SHAFT)
    assert (row.word, row.next_text, row.late) == ("rework", "Restore the head", "due")
    assert row.clock_caption == "release lapsed\n12 May"
    hand_over(on, ENGINEER)
    to_shaft(on, SHAFT, "Release")
    assert told(on).startswith(f"The release by Resident engineer has lapsed. Head now: {low}")

    # released over it with a reason and a second word, then withdrawn with a reason
    write(on, on.screen.form.reason.field, "The head was low for a minute only.")
    hold(on, on.strip.next_button)
    unlock(on)
    assert "over 2 not met: head now, head through cleaning" in on.middle.foot.question.text
    assert len(made(folder, Release)) == 1
    on.tap(on.middle.foot.question.ids.yes)
    assert "Reason: The head was low for a minute only." in told(on) or on.screen.released
    assert on.strip.second_text == "Withdraw the release"
    write(on, on.screen.form.reason.field, "The pump failed.")
    on.tap_second()
    assert told(on) == "The release was withdrawn by Resident engineer. The pump failed."
    assert board_row(on, SHAFT).clock_caption.startswith("release withdrawn\n")

    on.leave()
    kinds = [type(each.values) for each in made(folder, Hold, Release, Withdrawal)]
    assert kinds == [Hold, Release, Release, Withdrawal]
    assert {each.draft.author for each in made(folder, Hold, Release, Withdrawal)} == {ENGINEER}
    first, second = made(folder, Release)
    assert (first.values.conditions, first.draft.confirmed) == ("Tremie tip on the base.", ())
    assert (second.values.reason, second.draft.confirmed) == (
        "The head was low for a minute only.",
        ("override",),
    )
    assert [str(each.values.fluid_level) for each in made(folder, HeadReading)[-2:]] == ["3' 3\"", "9' 3\""]
