"""The walk through a shaft by touch: stages with their state, what is recorded in each, and the way on."""

from __future__ import annotations

import shutil
import time
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path

import pytest

from fieldapp.criteria.finding import Work
from fieldapp.desk.entry_forms.sheets import SHEETS
from fieldapp.desk.inspector import keep_form
from fieldapp.desk.shaft.stages import STAGES
from fieldapp.desk.workplace import open_project
from fieldapp.ui import asks, asks_walk, ways
from fieldapp.ui.walk import SCREENS
from fieldapp.ui.widgets.entry_block import EntryBlock
from fieldapp.ui.widgets.finding_block import FindingBlock
from fieldapp.ui.widgets.line_chart import LineChart
from fieldapp.ui.widgets.theme import theme
from fieldapp.ui.words import shaft as words
from tests.screens.journey import DEVICE, Journey, SteppedClock, begin, set_out
from tests.support.driver import LANDSCAPE, PORTRAIT, Driver

SHAFTS = ("P1-2_hole", "P1-2_fluid", "P1-4", "P2-1", "P2-3")
RAIL = [
    *("Hole", "Fluid", "Head", "Cleaning", "Base", "Pictures and notes"),
    *("Sign the log", "Release", "Credit"),
]
SHOWN_HERE = RAIL[:6]
WARM_S = 0.3


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return begin(tmp_path_factory.mktemp("walk") / "larkwater", "larkwater", SHAFTS)


@pytest.fixture
def folder(whole: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(whole, tmp_path / "larkwater"))


@pytest.fixture
def on(hand: Driver, folder: Path) -> Iterator[Journey]:
    opened = set_out(hand, folder)
    yield opened
    opened.leave()


def go(on: Journey, shaft: str, stage: str = "") -> None:
    on.walk.go("shaft", shaft=shaft, stage=stage)
    on.wait()


def content(on: Journey) -> list:
    return list(reversed(on.middle.ids.pages.content.children))


def buttons(on: Journey) -> dict[str, object]:
    grids = [each for each in content(on) if type(each).__name__ == "StageButtons"]
    return {button.key: button for grid in grids for button in grid.children}


def test_every_work_leads_to_a_screen_that_can_settle_it():
    assert set(ways.OF_WORK) == {str(each) for each in Work}
    for way in ways.OF_WORK.values():
        assert way.screen in SCREENS
        assert way.kind in SHEETS or way.screen in {"timeline", "acceptance", "release"}
    assert set(ways.OF_STAGE) == {"Sign the log", "Release", "Credit"}
    assert {each.screen for each in ways.OF_STAGE.values()} <= set(SCREENS)


def test_the_rail_has_the_stages_of_the_walk_each_with_its_state(on):
    go(on, "P1-4")
    rail = on.screen.sides.rail
    assert [each.key for each in rail.stages] == RAIL == list(STAGES)
    states = {each.key: each.shown for each in rail.stages}
    assert (states["Hole"], states["Head"], states["Base"]) == ("met", "not met", "not met")
    assert states["Fluid"] == "not shown"
    go(on, "P2-1")
    states = {each.key: each.shown for each in on.screen.sides.rail.stages}
    assert states["Base"] == "due"  # the next useful thing is done there
    assert states["Sign the log"] == "not asked"
    go(on, "P1-2")
    states = {each.key: each.shown for each in on.screen.sides.rail.stages}
    assert (states["Sign the log"], states["Release"], states["Credit"]) == ("met", "met", "due")


def test_the_next_useful_thing_leads_to_the_screen_that_does_it(on):
    go(on, "P1-4", "Hole")
    assert on.strip.next_text == "Next: restore the head"
    on.tap_next()
    assert on.walk.current == "entry"
    assert on.screen.hand.wanted.kind == "head reading"
    on.press()
    assert (on.walk.current, on.screen.stage) == ("shaft", "Hole")
    go(on, "P2-3", "Fluid")
    on.tap_next()
    assert (on.walk.current, on.screen.hand.wanted.kind) == ("entry", "event")


@pytest.mark.parametrize(
    ("shaft", "requirement", "screen", "kind"),
    [
        ("P1-4", "head now", "entry", "head reading"),
        ("P1-4", "base area share", "entry", "cleanout pass"),
        ("P1-4", "fluid sand", "fluid", ""),
        ("P2-1", "sounding rounds", "round", ""),
    ],
)
def test_a_reason_leads_to_the_entry_that_would_settle_it(on, shaft, requirement, screen, kind):
    go(on, shaft)
    reasons = {each.subject: each for each in on.strip.pages.content.children}
    if requirement not in reasons:
        requirement = next(each for each in reasons if each and each.startswith("fluid"))
    on.screen.sides.strip.dispatch("on_reason", requirement)
    on.wait()
    assert on.walk.current == screen
    assert not kind or on.screen.hand.wanted.kind == kind


def test_once_concrete_is_in_a_reason_leads_to_its_stage(hand, tmp_path):
    folder = begin(tmp_path / "larkwater", "larkwater", ("P1-3",))
    on = set_out(hand, folder)
    go(on, "P1-3", "Hole")
    first = next(
        each for each in on.screen.page.view.reasons if str(each.work or "") == "clean the base again"
    )
    on.screen.sides.strip.dispatch("on_reason", first.requirement)
    on.wait()
    assert on.walk.current == "shaft"
    assert on.screen.stage in {"Base", "Cleaning", "Head"}
    on.leave()


def test_each_stage_offers_what_is_recorded_in_it(on):
    go(on, "P1-4", "Head")
    assert next(iter(buttons(on))) == "head reading"
    on.tap_stage("Base")
    assert {"base sighting", "standing water"} <= set(buttons(on))
    assert on.strip.second_text == "Sound the base"  # the round is offered there
    on.tap_stage("Pictures and notes")
    assert {"note", "photo", "event", "delay", "concrete started"} <= set(buttons(on))
    on.tap(buttons(on)["note"])
    assert (on.walk.current, on.screen.hand.wanted.kind) == ("entry", "note")


def test_a_half_typed_entry_is_gone_on_with(hand, folder):
    with open_project(folder, SteppedClock(), DEVICE) as place:
        keep_form(place, "entry note P1-4", "P1-4", {"fields": {"text": "the pump"}, "watch": {}})
    on = set_out(hand, folder)
    go(on, "P1-4", "Pictures and notes")
    assert buttons(on)["note"].text == "Go on: note"
    on.leave()


def test_the_stages_show_their_figures_and_their_last_entries(on):
    go(on, "P1-4", "Head")
    (chart,) = (each for each in content(on) if isinstance(each, LineChart))
    # seven readings on the log of the shaft; the last three are below the 5 ft that is asked
    assert [each.shown for each in chart.dots] == ["met"] * 4 + ["not met"] * 3
    assert chart.level_text == "at least 5 ft"
    last = [each for each in content(on) if isinstance(each, EntryBlock)]
    assert [each.title for each in last] == ["Head reading"] * 3
    assert last[0].when == "15 May 12:10"
    go(on, "P1-2", "Cleaning")
    blocks = [each for each in content(on) if isinstance(each, FindingBlock)]
    passes = [each for each in blocks if each.title.startswith("pass")]
    titles = ["pass 3, airlift", "pass 2, airlift", "pass 1, cleanout bucket"]
    assert [each.title for each in passes] == titles
    assert passes[2].says == "27' 10\" to 28' 0\" by tape: 2 in deeper\nshale chips, little sand"
    worth = next(each for each in content(on) if getattr(each, "title", "") == "next pass")
    assert (worth.shown, worth.says) == (
        "not shown",
        "One pass has soundings before and after it; a trend needs two such passes.",
    )


def test_an_entry_and_all_entries_are_a_tap_away(on):
    go(on, "P1-4", "Head")
    block = next(each for each in content(on) if isinstance(each, EntryBlock))
    on.tap(block)
    assert (on.walk.current, on.screen.entry) == ("timeline", block.entry)
    on.press()
    assert (on.walk.current, on.screen.stage) == ("shaft", "Head")
    on.tap(buttons(on)["shaft"])
    assert on.walk.current == "timeline"
    assert len(on.screen.page.entries) == 26


@pytest.mark.parametrize(
    ("stage", "screen"), [("Sign the log", "signoff"), ("Release", "release"), ("Credit", "credit")]
)
def test_what_is_decided_opens_its_screen_and_back_leads_to_the_shaft(on, stage, screen):
    go(on, "P2-1", "Fluid")
    on.tap_stage(stage)
    assert on.walk.current == screen
    on.press()
    assert (on.walk.current, on.screen.stage) == ("shaft", "Fluid")
    go(on, "P2-1", stage)  # as another screen of the shaft asks for it
    assert on.walk.current == screen
    on.press()
    assert on.walk.current == "shaft"
    assert on.screen.stage in SHOWN_HERE


def test_concrete_is_recorded_in_the_stage_of_its_release(on):
    go(on, "P1-2", "Release")
    assert on.walk.current == "shaft"
    offered = buttons(on)
    assert {"as-built", "Release"} <= set(offered)
    assert "concrete finished" not in offered  # it is recorded, and what it says is amended
    assert offered["Release"].text == words.RELEASE_MADE  # nothing is left to release or hold
    assert words.OPEN_STAGE["Release"] not in on.texts()
    titles = [each.title for each in content(on) if isinstance(each, FindingBlock)]
    assert "release before concrete" in titles


def test_the_title_of_a_round_never_stands_alone_at_the_end_of_a_page(hand, tmp_path):
    hand.resize(PORTRAIT)
    theme.text_scale = 2.0
    on = set_out(hand, begin(tmp_path / "larkwater", "larkwater", ("P2-5",)))
    try:
        go(on, "P2-5", "Base")
        pages, (title,) = on.middle.ids.pages, [w for w in content(on) if type(w).__name__ == "BaseStage"]
        caption = next(each for each in title.children if type(each).__name__ == "RoundTitle")
        assert pages.overflow
        end = pages.scroller.to_window(*pages.scroller.pos)[1]
        foot = caption.to_window(*caption.pos)[1]
        assert foot < end - 1 or foot > end + caption.height  # on the next page, or with some of the plan
    finally:
        on.leave()


def test_the_strip_counts_down_with_the_clock_of_the_session(hand, folder):
    on = set_out(hand, folder, as_of=None)
    clock = SteppedClock(datetime.fromisoformat("2026-05-18T12:30:00-06:00"))
    on.session.clock = on.session._place.clock = clock
    go(on, "P2-1")
    assert (on.strip.clock_caption, on.strip.clock) == ("overream if open past 18 May", "13:36")
    assert on.strip.clock_note == "1:05 left"
    clock.moment = datetime.fromisoformat("2026-05-18T13:00:30-06:00")
    on.screen.sides._count_down()
    assert on.strip.clock_note == "0:35 left"
    clock.moment = datetime.fromisoformat("2026-05-18T14:00:00-06:00")
    on.screen.sides._count_down()
    assert on.strip.clock_caption == "open too long since"
    on.leave()


def test_a_shaft_opens_at_once_when_the_project_is_warm(folder):
    with open_project(folder, SteppedClock(), DEVICE) as place:
        for shaft in ("P2-3", "P1-2"):
            asks.shaft_page(place, shaft, None)
            began = time.thread_time()  # not the time on the wall: the machine may be busy
            asks.shaft_page(place, shaft, None)
            asks_walk.stage_more(place, shaft, "Base", None)
            assert time.thread_time() - began < WARM_S


@pytest.mark.long_walk
@pytest.mark.parametrize("size", [LANDSCAPE, PORTRAIT, (1920, 1200)])
@pytest.mark.parametrize("scale", [1.0, 1.5, 2.0])
def test_every_stage_fits(hand, folder, size, scale):
    hand.resize(size)
    theme.text_scale = scale
    on = set_out(hand, folder)
    try:
        for shaft in ("P1-4", "P1-2"):
            for stage in SHOWN_HERE:
                go(on, shaft, stage)
                assert (stage, hand.cut_labels(), hand.small_targets()) == (stage, [], [])
        go(on, "P1-2", "Release")
        assert (hand.cut_labels(), hand.small_targets()) == ([], [])
    finally:
        on.leave()
