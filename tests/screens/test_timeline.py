"""The entries of a shaft by touch: newest first, both versions of what was changed, amend and strike."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from fieldapp.desk.shaft.timeline import INSTEAD, TimelineEntry, timeline
from fieldapp.desk.workplace import open_project, read_project
from fieldapp.record.column import HeadReading
from fieldapp.record.decisions import Amend, Strike
from fieldapp.record.entry import Draft
from fieldapp.record.reading import Reading
from fieldapp.ui.widgets.entry_block import EntryBlock
from fieldapp.ui.widgets.theme import theme
from fieldapp.ui.words import timeline as words
from tests.screens.journey import DEVICE, Journey, SteppedClock, begin, entries_of, set_out
from tests.support.driver import LANDSCAPE, PORTRAIT, Driver

SHAFTS = ("P1-1", "P1-4", "P1-3")


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return begin(tmp_path_factory.mktemp("timeline") / "larkwater", "larkwater", SHAFTS)


@pytest.fixture
def folder(whole: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(whole, tmp_path / "larkwater"))


@pytest.fixture
def on(hand: Driver, folder: Path) -> Iterator[Journey]:
    opened = set_out(hand, folder)
    yield opened
    opened.leave()


def go(on: Journey, shaft: str, **given: str) -> None:
    on.walk.go("shaft", shaft=shaft)
    on.wait()
    on.walk.go("timeline", shaft=shaft, **given)
    on.wait()


def blocks(on: Journey) -> list[EntryBlock]:
    found = reversed(on.middle.ids.pages.content.children)
    return [each for each in found if isinstance(each, EntryBlock)]


def entries(on: Journey) -> tuple[TimelineEntry, ...]:
    return on.screen.page.entries


def tap_entry(on: Journey, entry: TimelineEntry) -> None:
    while entry.id not in {each.entry for each in blocks(on)}:
        on.tap_text(words.OLDER.many.format(count=len(on.screen._chosen()) - on.screen.shown))
    on.tap(next(each for each in blocks(on) if each.entry == entry.id))


def rows(on: Journey) -> dict[str, tuple[str, str]]:
    found = on.middle.ids.pages.content.children
    return {each.caption: (each.was, each.text) for each in found if type(each).__name__ == "FieldRow"}


def actions(on: Journey) -> list[str]:
    return [each.key for each in reversed(on.middle.ids.actions.children)]


def test_every_entry_of_the_shaft_is_there_the_newest_first(on, folder):
    go(on, "P1-1")
    with read_project(folder) as place:
        told = [each.id for each in timeline(place, "P1-1")]
        assert told == [each.id for each in reversed(place.shaft("P1-1").lines)]
    assert [each.id for each in entries(on)] == told
    assert len(blocks(on)) == 20
    on.tap_text("18 older entries")
    assert [each.entry for each in blocks(on)] == told
    first = blocks(on)[0]
    assert (first.title, first.when, first.who) == ("Disposition", "20 May 15:30", "Designer, office 13")


def test_the_rail_chooses_the_entries_of_a_stage(on):
    go(on, "P1-4", stage="Head")
    assert {each.title for each in blocks(on)} == {"Head reading"}
    on.tap_stage("Base")
    assert {each.title for each in blocks(on)} <= {"Sounding round", "Base sighting", "Standing water"}
    assert on.middle.ids.choices.chosen == "one"
    on.tap(on.middle.ids.choices.button("every"))
    assert len(blocks(on)) == 20
    on.tap_stage("Sign the log")
    assert on.walk.current == "timeline"


def test_an_amended_entry_shows_was_and_is_with_who_and_why(on):
    go(on, "P1-4", stage="Head")
    entry = next(each for each in entries(on) if each.amended)
    block = next(each for each in blocks(on) if each.entry == entry.id)
    assert block.marks == f"amended: {entry.why}"
    assert not block.struck
    on.tap(block)
    text = on.texts()
    assert "amended by" in text
    assert entry.why in text
    # the tablet was an hour slow: what it said is struck through, what it says stands beside it
    was, now = rows(on)["observed at"]
    assert was.split()[:2] == now.split()[:2] == ["15", "May"]
    assert int(now.split()[2][:2]) - int(was.split()[2][:2]) == 1
    on.press()
    assert on.middle.ids.actions.items == []


def test_a_struck_entry_stays_struck_through_with_its_reason(on):
    go(on, "P1-1")
    entry = next(each for each in entries(on) if each.struck)
    tap_entry(on, entry)
    assert "struck by Inspector A" in on.texts()
    assert "the same reading as the one above, entered twice" in on.texts()
    struck = [each for each in on.middle.ids.pages.content.children if getattr(each, "struck", False)]
    assert {each.caption for each in struck} >= {"fluid level below the reference"}
    assert actions(on) == ["back"]  # it stays struck
    on.tap(on.middle.ids.actions.button("back"))
    block = next(each for each in blocks(on) if each.entry == entry.id) if blocks(on) else None
    assert block is None or block.struck


@pytest.mark.parametrize("kind", ["release", "log signed", "disposition"])
def test_a_decision_says_what_to_do_in_the_place_of_an_amendment(on, kind):
    go(on, "P1-1")
    entry = next(each for each in entries(on) if each.kind == kind)
    tap_entry(on, entry)
    assert actions(on) == ["back"]
    says = next(text for made, text in INSTEAD.items() if kind == made.KIND)
    assert says in on.texts()


def test_a_reading_is_amended_from_its_page_and_both_versions_are_seen(on, folder):
    before = len(entries_of_copy(folder))
    on.session.person = "Inspector B"
    go(on, "P1-4", stage="Head")
    entry = entries_in(on, "Head")[0]
    said = {each.caption: each.text for each in entry.told}
    assert said["fluid level below the reference"] == "3' 0\""
    tap_entry(on, entry)
    on.tap(on.middle.ids.actions.button("amend"))
    assert (on.walk.current, on.screen.hand.wanted.amend) == ("entry", entry.id)
    on.keys("back", "back", "1", '"', "next")
    on.tap_next()
    on.tap(on.middle.tools.suggested.rows["read the wrong mark"])
    on.tap_next()
    assert (on.walk.current, on.screen.stage) == ("shaft", "Head")
    go(on, "P1-4", stage="Head")
    tap_entry(on, next(each for each in entries(on) if each.id == entry.id))
    assert rows_of_change(on) == {"fluid level below the reference": ("3' 0\"", "3' 1\"")}
    assert "why: read the wrong mark" in on.texts()
    on.leave()
    after = entries_of(folder)
    assert len(after) == before + 1
    assert isinstance(max(after, key=lambda each: each.stamp).values, Amend)


def rows_of_change(on: Journey) -> dict[str, tuple[str, str]]:
    found = on.middle.ids.pages.content.children
    changed = [each for each in found if type(each).__name__ == "FieldRow" and each.was]
    return {each.caption: (each.was, each.text) for each in changed}


def entries_in(on: Journey, stage: str) -> list[TimelineEntry]:
    return [each for each in entries(on) if each.stage == stage]


def entries_of_copy(folder: Path) -> tuple:
    copy = folder.parent / "looked at"
    shutil.rmtree(copy, ignore_errors=True)
    return entries_of(Path(shutil.copytree(folder, copy)))


def test_a_round_is_amended_on_its_own_screen_and_struck_on_that_of_an_entry(on):
    go(on, "P1-4", stage="Base")
    entry = next(each for each in entries(on) if each.kind == "sounding round")
    tap_entry(on, entry)
    assert actions(on) == ["back", "strike", "amend"]
    on.tap(on.middle.ids.actions.button("strike"))
    assert (on.walk.current, on.screen.hand.wanted.amend) == ("entry", entry.id)
    on.press()
    assert on.walk.current == "timeline"
    on.tap(on.middle.ids.actions.button("amend"))
    assert on.walk.current == "round"


def contest(folder: Path) -> str:
    """Two people amend one reading without knowing of each other, and a third strikes it."""
    with open_project(folder, SteppedClock(), DEVICE) as place:
        line = place.shaft("P1-4").last(HeadReading)
        says = [HeadReading(Reading(f"{feet}' 0\"", "ft-in"), line.values.make_up) for feet in (4, 5)]
        changes = [Amend(line.id, each, f"reads {each.fluid_level}") for each in says]
        for number, change in enumerate((*changes, Strike(line.id, "read twice"))):
            at = place.now()
            made = Draft(
                id=place.clock.new_id(),
                project=place.project_id,
                shaft="P1-4",
                values=change,
                observed_at=at,
                recorded_at=at,
                author=f"Inspector {'ABA'[number]}",
                parents=(line.id,),
            )
            place.append([made], device=f"tablet {number}")
    return line.id


def test_a_contested_entry_shows_every_version_and_is_settled_from_its_page(hand, folder):
    disputed = contest(folder)
    on = set_out(hand, folder)
    go(on, "P1-4", stage="Head")
    block = next(each for each in blocks(on) if each.entry == disputed)
    assert block.shown == "not shown"
    assert block.marks.startswith("contested")
    on.tap(block)
    text = on.texts()
    for part in ("4' 0\"", "5' 0\"", "reads 4' 0\"", "reads 5' 0\"", "read twice", "Inspector B", "tablet 1"):
        assert part in text
    on.tap(on.middle.ids.actions.button("amend"))
    assert (on.walk.current, on.screen.hand.wanted.amend) == ("entry", disputed)
    on.leave()


def test_a_reason_to_settle_leads_to_the_entries(hand, folder):
    contest(folder)
    on = set_out(hand, folder)
    on.walk.go("shaft", shaft="P1-4")
    on.wait()
    on.strip.dispatch("on_reason", "amendments settled")
    on.wait()
    assert on.walk.current == "timeline"
    on.leave()


def test_late_and_confirmed_entries_are_marked(hand, tmp_path):
    folder = begin(tmp_path / "vesker", "vesker", ("B2",))
    on = set_out(hand, folder)
    go(on, "B2")
    marks = {each.title: each.marks for each in blocks(on) if each.marks}
    assert marks["Fluid test"] == "unlikely, asked about and confirmed: density far off the last one"
    on.leave()


def test_a_late_entry_says_how_late(on):
    go(on, "P1-3", stage="Pictures and notes")
    late = next(each for each in blocks(on) if each.marks)
    assert late.title == "Delay"
    assert late.marks == "late: recorded 20 h 5 min after it was observed"


@pytest.mark.long_walk
@pytest.mark.parametrize("size", [LANDSCAPE, PORTRAIT, (1920, 1200)])
@pytest.mark.parametrize("scale", [1.0, 1.5, 2.0])
def test_the_entries_and_their_pages_fit(hand, folder, size, scale):
    hand.resize(size)
    theme.text_scale = scale
    on = set_out(hand, folder)
    try:
        go(on, "P1-1")
        assert (hand.cut_labels(), hand.small_targets()) == ([], [])
        for wanted in ("sounding round", "head reading", "release", "shaft scheduled"):
            entry = next(each for each in entries(on) if each.kind == wanted)
            on.screen._open_entry(entry.id)
            on.wait()
            assert (wanted, hand.cut_labels(), hand.small_targets()) == (wanted, [], [])
    finally:
        on.leave()
