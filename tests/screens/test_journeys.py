"""The inspector's way by touch: board, shaft, a round, a fluid test; the journal on disk is the judge."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from datetime import timedelta
from pathlib import Path

import pytest

from fieldapp.desk.inspector import keep_form, kept_form
from fieldapp.desk.workplace import open_project
from fieldapp.record.cleaning import SoundingRound
from fieldapp.record.column import FluidTest
from fieldapp.ui import asks, asks_round
from tests.screens.journey import (
    DEVICE,
    EVENING,
    Journey,
    SteppedClock,
    begin,
    depth_keys,
    entries_of,
    set_out,
)
from tests.support.driver import Driver

FIVE = {
    "C": ("25' 11 3/8\"", "26' 0\""),
    "R1": ("25' 11 1/2\"", "25' 11 7/8\""),
    "R2": ("25' 11 5/8\"", "26' 0\""),
    "R3": ("25' 11 1/4\"", "25' 11 3/4\""),
    "R4": ("25' 11 1/8\"", "25' 11 1/2\""),
}
NINE = {label: (f"31' 11 {part}/8\"", "32' 0\"") for label, part in zip(
    ("C", *(f"R{n}" for n in range(1, 9))), (1, 3, 5, 7, 1, 3, 5, 7, 1), strict=True
)}  # fmt: skip
# by hand: 32' 0" - 31' 11 1/8" = 7/8 in, and so on
NINE_THICK = dict(zip(NINE, ("7/8", "5/8", "3/8", "1/8", "7/8", "5/8", "3/8", "1/8", "7/8"), strict=True))
FLUID = {"density": "66.4", "funnel_time": "38", "sand": "1.5", "ph": "9.1"}


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return begin(tmp_path_factory.mktemp("whole") / "larkwater", "larkwater", ("P2-1", "P2-3", "P1-4"))


@pytest.fixture
def folder(whole: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(whole, tmp_path / "larkwater"))


@pytest.fixture
def leave_last(hand: Driver) -> Iterator[list[Journey]]:
    begun: list[Journey] = []
    yield begun
    for each in begun:
        each.leave()


@pytest.fixture
def go(hand: Driver, folder: Path, leave_last: list[Journey]) -> Callable[..., Journey]:
    def opened(**kwargs) -> Journey:
        for each in leave_last:
            each.leave()
        leave_last[:] = [set_out(hand, folder, **kwargs)]
        return leave_last[0]

    return opened


def sound(on: Journey, label: str, first: str, firm: str) -> None:
    assert on.screen.hand.typing.label == label
    on.keys(*depth_keys(first))
    on.tap_next()
    on.keys(*depth_keys(firm))
    on.tap_next()


def half_typed(folder: Path, shaft: str, depths: dict[str, tuple[str, str]]) -> None:
    """A round left half typed by an earlier opening of the app."""
    points = {label: {"first_contact": first, "firm": firm} for label, (first, firm) in depths.items()}
    with open_project(folder, SteppedClock(EVENING - timedelta(minutes=20)), DEVICE) as place:
        asks_round.keep_round(place, shaft, asks_round.RoundTyped(2, points, {}, place.now().isoformat()))


def to_round(on: Journey, shaft: str) -> None:
    on.tap_shaft(shaft)
    on.tap_stage("Base")
    (on.tap_next if on.strip.next_text.startswith("Next: sound") else on.tap_second)()
    assert on.walk.current == "round"


def type_fluid(on: Journey, fields: dict[str, str]) -> None:
    for name, text in fields.items():
        assert on.screen.typing.field == name
        on.keys(*("mark" if each == "." else each for each in text), "next")


def test_nine_points_by_touch_are_in_the_journal_exactly_as_typed(go, folder):
    shaft, depths = "P2-3", NINE
    before = entries_of(folder)
    on = go()
    to_round(on, shaft)
    for label, (first, firm) in depths.items():
        sound(on, label, first, firm)
    assert on.strip.next_text == "Record round 2"
    on.tap_next()
    assert on.walk.current == "person"  # the first recording asks who holds the tablet
    on.tap_text("Inspector A")
    assert on.walk.current == "shaft"
    saved = on.session.saved
    shown = on.texts()
    cells = {each.label: each for each in on.screen.base.ids.plan.cells}
    assert {label: each.text for label, each in cells.items()} == NINE_THICK
    assert "as of 22 May" in on.screen.sides.bar.right  # as of now, after it was worked on
    on.leave()
    after = entries_of(folder)
    assert len(after) == len(before) + 1
    (new,) = set(after) - set(before)
    assert isinstance(new.draft.values, SoundingRound)
    assert (new.shaft, new.draft.author, new.draft.values.number) == (shaft, "Inspector A", 2)
    read = {p.label: (str(p.first_contact), str(p.firm)) for p in new.draft.values.points}
    assert read == depths
    assert f"{new.draft.recorded_at:%H:%M:%S}" == saved
    assert f"saved {saved}" in shown
    assert "Round 2, after pass" in shown


def test_a_half_typed_round_survives_closing_and_reopening(go, folder):
    on = go()
    to_round(on, "P2-1")
    sound(on, "C", *FIVE["C"])
    on.keys(*depth_keys("25' 11 1/2\""))
    on.tap_next()  # R1: first contact typed, firm depth not yet
    before = len(entries_of_a_copy(folder))
    on = go()
    on.tap_shaft("P2-1")
    assert on.strip.next_text == "Next: go on with the round"
    on.tap_next()
    typing = on.screen.hand.typing
    assert (typing.label, typing.field, typing.done) == ("R1", "firm", 1)
    assert on.middle.fields.first == "25' 11 1/2\""
    assert {c.label: c.text for c in on.middle.plan.cells} == {"C": "5/8"}
    assert len(entries_of_a_copy(folder)) == before  # a form is no entry


def entries_of_a_copy(folder: Path) -> tuple:
    copy = folder.parent / "looked at"
    shutil.rmtree(copy, ignore_errors=True)
    return entries_of(Path(shutil.copytree(folder, copy)))


def test_firm_above_first_contact_is_refused_in_place_and_no_firm_depth_shows_nothing(go):
    on = go()
    to_round(on, "P2-1")
    on.keys(*depth_keys("26' 0\""))
    on.tap_next()
    on.keys(*depth_keys("25' 11\""))
    on.tap_next()
    assert on.middle.fields.refused == "firm"
    assert "not above first contact at 26' 0\"" in on.middle.fields.said
    assert not on.strip.next_button or on.strip.next_button.disabled
    assert on.screen.hand.typing.done == 0
    on.keys("back")
    assert on.middle.fields.said == ""  # what was said of it holds no more
    on.keys(*["back"] * 5, *depth_keys("26' 0\""))
    on.tap_next()
    assert on.screen.hand.typing.done == 1
    on.keys(*depth_keys("25' 11\""))
    on.tap_next()
    on.tap_next()  # no firm depth typed, as the button says
    assert "R1 has one depth only: its thickness is not shown." in on.middle.fields.said
    assert {each.label: each.no_reading for each in on.middle.plan.points}["R1"]
    assert on.screen.hand.typing.label == "R2"


def test_a_point_without_a_reading_says_why_and_shows_nothing(go, folder):
    half_typed(folder, "P2-1", {label: FIVE[label] for label in ("R1", "R2", "R3")})
    on = go()
    on.session.person = "Inspector A"
    on.walk.go("round", shaft="P2-1")
    on.wait()
    for reason in ("cage in the way", "could not reach"):
        on.tap_second()
        on.tap_text(reason)
    assert [(p.label, p.no_reading) for p in on.middle.plan.points] == [("C", True), ("R4", True)]
    assert on.middle.figures.ids.share.number == "not shown"
    on.tap_next()
    on.leave()
    values = max(entries_of(folder), key=lambda each: each.stamp).draft.values
    assert [p.no_reading for p in values.points] == ["cage in the way", "", "", "", "could not reach"]


def test_a_tapped_point_is_taken_in_hand_with_what_was_read_there(go, folder):
    half_typed(folder, "P2-1", {"R3": FIVE["R3"]})
    on = go()
    on.walk.go("round", shaft="P2-1")
    on.wait()
    on.tap_point("R4")
    assert (on.middle.fields.first, on.middle.fields.firm) == ("", "")
    on.tap_point("R3")
    assert (on.middle.fields.first, on.middle.fields.firm) == FIVE["R3"]
    assert on.middle.fields.thickness == "1/2 in"


def test_a_depth_far_off_the_base_is_asked_and_recorded_with_the_answer(go, folder):
    half_typed(folder, "P2-1", {**FIVE, "C": ("20' 0\"", "20' 1\"")})
    on = go()
    on.session.person = "Inspector A"
    on.walk.go("shaft", shaft="P2-1")
    on.wait()
    on.tap_next()
    on.tap_next()
    assert on.walk.current == "round"
    assert "1.5 ft or more off the base" in on.middle.ids.foot.question.text
    on.press()  # escape closes the question, nothing else
    assert on.middle.ids.foot.question is None
    on.tap_next()
    on.tap(on.middle.ids.foot.question.ids.yes)
    assert on.walk.current == "shaft"
    assert not on.screen.page.round_begun  # the half-typed form is gone from the disk
    on.leave()
    new = max(entries_of(folder), key=lambda each: each.stamp)
    assert new.draft.confirmed == ("depth-off",)
    # observed when the last point was saved, recorded twenty minutes later
    assert timedelta(minutes=20) <= new.draft.recorded_at - new.draft.observed_at < timedelta(minutes=21)


def test_a_round_that_was_recorded_before_its_form_was_dropped_is_not_offered_twice(go, folder):
    half_typed(folder, "P2-1", FIVE)
    with open_project(folder, SteppedClock(), DEVICE) as place:
        page = asks_round.round_page(place, "P2-1", None)
        body = kept_form(place, "round P2-1")
        asks_round.record_round(place, "P2-1", page.form, page.typed, asks.By("Inspector A"))
        keep_form(place, "round P2-1", "P2-1", body)  # as if the tablet had died in between
    on = go()
    on.walk.go("round", shaft="P2-1")
    on.wait()
    assert on.screen.hand.typing.done == 0
    assert "Round 3" in on.screen.sides.bar.subtitle


def test_a_fluid_sample_is_asked_about_recorded_as_typed_and_the_next_depth_is_offered(go, folder):
    before = entries_of(folder)
    on = go()
    on.session.person = "Inspector B"
    on.tap_shaft("P1-4")
    on.tap_stage("Fluid")
    on.tap_second()
    assert on.walk.current == "fluid"
    first = on.screen.typing.typed.depth
    type_fluid(on, {"density": "85"})
    on.tap_next()
    question = on.middle.ids.foot.question
    assert question.text.startswith("Density 85 pcf is far off the last one")
    on.tap(question.ids.no)
    on.tap_next()
    on.tap(on.middle.ids.foot.question.ids.yes)
    second = on.screen.typing.typed.depth
    assert second != first
    assert f"{first} saved {on.session.saved}." in on.texts()
    type_fluid(on, {**FLUID, "density": "84.5"})
    shapes = {name: field.shown for name, field in on.middle.fields.items()}
    assert shapes == {**dict.fromkeys(FLUID, "met"), "density": "not met", "temperature": ""}
    on.tap_next()
    assert on.walk.current == "fluid"
    assert on.screen.typing.typed.depth not in {first, second}
    on.leave()
    odd, plain = sorted(set(entries_of(folder)) - set(before), key=lambda each: each.stamp)
    assert (odd.draft.values.density.read, odd.draft.confirmed) == ("85", ("density-jump",))
    test = plain.draft.values
    assert isinstance(test, FluidTest)
    assert (plain.shaft, plain.draft.author, test.sample_depth.read) == ("P1-4", "Inspector B", second)
    assert plain.draft.confirmed == ()
    read = (test.density.read, test.funnel_time.read, test.sand.read, test.ph.read, test.temperature)
    assert read == ("84.5", "38", "1.5", "9.1", None)


def test_a_reading_over_its_limit_is_marked_and_one_that_cannot_be_is_refused_in_place(go):
    on = go()
    on.tap_shaft("P1-4")
    on.tap_stage("Fluid")
    on.tap_second()
    type_fluid(on, {**FLUID, "sand": "4.5"})
    assert on.middle.fields["sand"].shown == "not met"  # us-classic: at most 4 %
    assert "asked at most 4 %" in on.texts()
    on.tap(on.middle.fields["density"])
    on.keys("back", "back", "back", "next")  # 66.4 becomes 6: the balance cannot show it
    assert on.middle.fields["density"].shown == "not met"
    assert "Density: 6 pcf cannot be." in on.middle.said
    assert on.strip.next_button.disabled


def test_a_half_typed_sample_survives_closing_and_reopening(go):
    on = go()
    on.tap_shaft("P1-4")
    on.tap_stage("Fluid")
    on.tap_second()
    type_fluid(on, {"density": "66.4", "funnel_time": "38"})
    on = go()
    on.tap_shaft("P1-4")
    on.tap_stage("Fluid")
    assert on.strip.second_text == "Go on with the fluid test"
    on.tap_second()
    assert {n: f.value for n, f in on.middle.fields.items() if f.value} == {
        "density": "66.4",
        "funnel_time": "38",
    }
    assert on.screen.typing.field == "sand"


def test_back_and_escape_lead_the_way_that_was_come(go):
    on = go()
    to_round(on, "P2-1")
    on.tap_second()
    assert on.middle.reasons_open
    on.press()
    assert not on.middle.reasons_open
    on.press()
    assert on.walk.current == "shaft"
    on.tap(on.screen.sides.bar.ids.back)
    assert on.walk.current == "board"
    on.press()
    assert on.walk.current == "board"  # escape never ends the app


def test_a_reason_leads_to_the_entry_that_settles_it_and_a_finding_to_its_source(go):
    on = go()
    on.tap_shaft("P2-1")
    reasons = {each.subject: each for each in on.strip.pages.content.children}
    on.tap(reasons["sounding rounds"])
    assert on.walk.current == "round"
    on.press()
    assert on.walk.current == "shaft"
    on.tap_stage("Base")
    blocks = {each.title: each for each in on.middle.ids.pages.content.children if hasattr(each, "title")}
    assert blocks["sounding rounds"].says.startswith("No round after cage")
    assert "source:" not in on.texts()
    on.tap(blocks["sounding rounds"])
    assert "source: common practice" in on.texts()


def test_a_shaft_is_shown_as_of_its_latest_entry_or_as_of_now(go):
    on = go()
    on.tap_shaft("P2-1")
    assert on.screen.sides.bar.right.startswith("as of 18 May")
    on.session.as_of = None
    on.press()
    on.tap_shaft("P2-1")
    assert on.screen.sides.bar.right.startswith("as of 22 May 18:0")
    on.session.as_of = "2026-05-20T09:30:00-06:00"
    on.press()
    on.tap_shaft("P2-1")
    assert on.screen.sides.bar.right == "as of 20 May 09:30"


def test_a_project_that_is_open_elsewhere_says_so_and_can_be_tried_again(go, hand, folder):
    with open_project(folder, device="tablet other"):
        on = go()
        assert "open for writing in another program" in on.texts()
        assert "P2-1" in on.texts()  # the board can still be read
    on.tap_text("Try again")
    hand.until(lambda: on.session.ready)
    assert on.session.trouble == ""


def test_an_error_that_nobody_foresaw_leaves_one_calm_sentence_and_a_file(go, folder):
    from kivy.base import ExceptionManager

    from fieldapp.ui.crash import LastGuard

    on = go()
    secret = "passphrase of the inspector"
    guard = LastGuard(on.session, on.walk.stop_here)
    on.session.saved = "18:02:03"
    try:
        raise KeyError(secret)
    except KeyError as problem:
        assert guard.handle_exception(problem) == ExceptionManager.PASS
        assert guard.handle_exception(problem) == ExceptionManager.RAISE
    on.wait()
    assert on.walk.current == "stopped"
    assert "Last saved 18:02:03." in on.texts()
    assert "Traceback" not in on.texts()
    (written,) = folder.parent.glob("basenote-stopped-*.txt")
    assert "KeyError" in written.read_text()
    assert secret not in written.read_text()
    on.press()
    assert on.walk.current == "stopped"
