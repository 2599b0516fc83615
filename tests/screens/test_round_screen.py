"""The sounding round by touch: taps counted, points moved and added, earlier rounds, amending, large text."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from datetime import timedelta
from pathlib import Path

import pytest

from fieldapp.desk.inspector import kept_form
from fieldapp.desk.workplace import open_project
from fieldapp.record.cleaning import SoundingRound
from fieldapp.record.decisions import Amend
from fieldapp.ui.widgets.pages import Pages
from fieldapp.ui.widgets.theme import theme
from tests.screens.journey import DEVICE, Journey, SteppedClock, begin, depth_keys, entries_of, set_out
from tests.screens.views.round_views import (
    EIGHTHS,
    FIRM,
    ROUND_VIEWS,
    SHAFT,
    amend_round,
    depth,
    first_round,
    texts,
)
from tests.support.driver import LANDSCAPE, PORTRAIT

FIVE = ("C", "R1", "R2", "R3", "R4")


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return begin(tmp_path_factory.mktemp("whole") / "larkwater", "larkwater", (SHAFT, "P2-1"))


@pytest.fixture(scope="module")
def quay(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return begin(tmp_path_factory.mktemp("quay") / "vesker", "vesker")


@pytest.fixture
def folder(whole: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(whole, tmp_path / "larkwater"))


@pytest.fixture
def go(hand, folder: Path) -> Iterator[Callable[..., Journey]]:
    begun: list[Journey] = []

    def opened(shaft: str = SHAFT, where: Path = folder, **given: str) -> Journey:
        for each in begun:
            each.leave()
        begun[:] = [set_out(hand, where)]
        on = begun[0]
        on.session.person = "Inspector A"
        if shaft:
            to_round(on, shaft, **given)
        return on

    yield opened
    for each in begun:
        each.leave()


def to_round(on: Journey, shaft: str = SHAFT, **given: str) -> None:
    on.walk.go("shaft", shaft=shaft, stage="Base")
    on.wait()
    on.walk.go("round", shaft=shaft, **given)
    on.wait(hops=3)


def begin_with(on: Journey, labels: tuple[str, ...], **changed: dict[str, str]) -> None:
    """The round with these points read at an earlier opening, as it is kept on disk."""
    from fieldapp.ui import asks_round

    points = {label: texts(EIGHTHS[label]) for label in labels} | changed
    typed = asks_round.RoundTyped(2, points, {}, "2026-05-22T17:40:00-06:00")
    on.session.ask(lambda place: asks_round.keep_round(place, SHAFT, typed), on.session.kept, pytest.fail)
    on.wait()
    to_round(on)


def read_back(folder: Path) -> SoundingRound:
    values = max(entries_of(folder), key=lambda each: each.stamp).draft.values
    assert isinstance(values, SoundingRound)
    return values


def digits(*readings: str) -> int:
    return sum(letter.isdigit() for reading in readings for letter in reading)


@pytest.fixture
def taps(hand, monkeypatch) -> list[tuple[float, float]]:
    """Every tap of the hand, counted where it meets the glass."""
    made: list[tuple[float, float]] = []
    plain = hand.tap_at

    def counted(x: float, y: float) -> None:
        made.append((x, y))
        plain(x, y)

    monkeypatch.setattr(hand, "tap_at", counted)
    return made


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


@pytest.mark.every_size
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


@pytest.mark.every_size
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


def test_a_point_is_moved_by_a_tap_on_the_plan_and_stands_there_in_the_record(go, folder):
    on = go()
    begin_with(on, tuple(label for label in EIGHTHS if label != "R3"))
    assert on.screen.hand.typing.label == "R3"
    on.tap(on.middle.tools.button("move"))
    assert (on.middle.fields.r, on.middle.fields.angle) == ("31", "90")
    plan = on.middle.plan
    on.hand.tap_at(*plan.to_window(*plan.place((0.5, 0.0))))
    on.wait()
    # by hand: half of the radius of 36 in, to the right
    assert (on.middle.fields.r, on.middle.fields.angle) == ("18", "90")
    assert on.strip.next_text == "Move R3 here"
    on.tap_next()
    assert dict(plan.places())["R3"] == pytest.approx(plan.place((0.5, 0.0)), abs=0.5)
    assert on.screen.hand.typing.label == "R3"  # in hand again, to be read
    on.keys(*depth_keys("31' 11 1/2\""))
    on.tap_next()
    on.keys("same")
    on.tap_next()
    on.tap_next()
    on.leave()
    moved = next(each for each in read_back(folder).points if each.label == "R3")
    assert (str(moved.r), str(moved.angle)) == ("18 in", "90 deg")


def test_a_moved_point_survives_the_end_of_the_app_before_it_is_read(go):
    on = go()
    on.tap_point("R2")
    on.tap(on.middle.tools.button("move"))
    on.tap(on.middle.fields.ids.upper)
    on.keys("back", "back", "2", "0")
    on.tap(on.middle.fields.ids.lower)
    on.keys("back", "back", "6", "0")
    on.tap_next()
    on = go()
    assert on.screen.hand.typing.typed.places == {"R2": {"r": "20", "angle": "60"}}
    at = next(each.at for each in on.middle.plan.points if each.label == "R2")
    # by hand: 20/36 at 60 degrees clockwise from upstation
    assert at == pytest.approx((20 / 36 * 0.8660254, 20 / 36 * 0.5))


def test_a_place_off_the_base_is_refused_beside_its_number(go):
    on = go()
    on.tap(on.middle.tools.button("move"))
    on.keys("back", "5", "0")
    assert on.strip.next_button.disabled
    assert on.middle.plan.ghost is None
    on.keys("back", "back", "3")
    assert not on.strip.next_button.disabled
    on.tap(on.middle.fields.ids.lower)
    on.keys("back", "9", "9", "9")
    on.tap_next()
    assert on.middle.fields.refused == "angle"
    assert on.screen.hand.typing.typed.places == {}


def test_a_tap_on_an_empty_place_adds_a_point_that_is_recorded_with_the_others(go, folder):
    on = go()
    begin_with(on, tuple(EIGHTHS))
    plan = on.middle.plan
    on.hand.tap_at(*plan.to_window(*plan.place((-0.42, 0.17))))
    on.wait()
    assert on.strip.next_text == "Add A1 here"
    on.tap_next()
    assert on.screen.sides.bar.subtitle.endswith("9 of 10 points")
    assert on.middle.figures.ids.share.number == "not shown"  # an added point is unread
    on.keys(*depth_keys("31' 11 3/4\""))
    on.tap_next()
    on.keys("same")
    on.tap_next()
    on.wait(hops=3)
    assert on.middle.figures.ids.share.number.endswith("%")
    on.tap_next()
    on.leave()
    labels = [each.label for each in read_back(folder).points]
    assert labels == [*EIGHTHS, "A1"]


def test_a_point_is_added_where_the_next_sounding_tells_most_and_can_be_taken_out(go):
    on = go()
    begin_with(on, ("C", "R1", "R2", "R5"))
    place = on.screen.hand.now.next_place
    on.tap(on.middle.tools.button("add"))
    assert (on.middle.fields.r, on.middle.fields.angle) == (place.r, place.angle)
    on.tap_next()
    assert on.screen.hand.typing.label == "A1"
    on.tap(on.middle.tools.button("move"))
    on.tap(on.middle.tools.button("take out"))
    assert "A1" not in on.screen.hand.typing.labels
    assert "A1" not in dict(on.middle.plan.places())
    on = go()
    assert "A1" not in on.screen.hand.typing.labels


def test_leaving_a_place_changes_nothing(go):
    on = go()
    on.tap(on.middle.tools.button("move"))
    on.keys("back", "9")
    on.press()  # escape
    assert on.walk.current == "round"
    assert on.screen.hand.typing.typed.places == {}
    on.tap(on.middle.tools.button("move"))
    on.tap_second()
    assert (on.screen.hand.place.in_hand, on.middle.fields.placing) == (None, False)


def test_nothing_is_shown_of_the_whole_base_while_a_point_has_no_thickness(go):
    on = go()
    begin_with(
        on, tuple(each for each in EIGHTHS if each != "R8"), R8={"first_contact": "31' 11\"", "unit": "ft-in"}
    )
    figures = on.middle.figures
    numbers = {name: figures.ids[name].number for name in ("share", "assured", "largest", "mean")}
    assert set(numbers.values()) == {"not shown"}
    assert figures.missing == "Share, largest and mean not shown: 1 of 9 points have no thickness."
    assert figures.ids.grid.opacity == 0
    reasons = {each.text: each.shown for each in on.strip.reasons}
    assert reasons["1 of 9 points have no thickness"] == "not shown"


def test_every_saved_point_updates_map_shares_and_the_place_to_sound_next(go):
    on = go()
    begin_with(on, tuple(each for each in EIGHTHS if each != "R8"))
    assert on.screen.hand.now.unread == ("R8",)
    on.keys(*depth_keys("31' 11 3/4\""))
    on.tap_next()
    on.keys("same")
    on.tap_next()
    on.wait(hops=3)
    now, figures = on.screen.hand.now, on.middle.figures
    assert now.unread == ()
    assert figures.ids.share.number == now.view.share
    assert figures.ids.assured.number == now.assured
    assert figures.ids.assured.caption.replace("\u00a0", " ") == "assured at 95 %"
    assert figures.ids.largest.number == "1 5/8 in"  # R4: 13 eighths
    assert {each.label: each.text for each in on.middle.plan.cells}["R8"] == "1/4"


def test_the_strip_says_what_is_over_and_where_and_leads_to_the_point(go):
    on = go()
    begin_with(on, tuple(EIGHTHS))
    reasons = [(each.shown, each.text) for each in on.strip.reasons]
    # R1 4/8 (under 1/2 is asked), R2 7/8, R3 10/8, R4 13/8: from upstation to the lower right
    assert ("not met", "R1, R2, R3, R4 over 1/2 in, on the right") in reasons
    assert any(shown == "not met" and text.startswith("Largest 1 5/8 in") for shown, text in reasons)
    row = next(w for w in on.strip.pages.content.children if getattr(w, "text", "").startswith("R1, R2"))
    on.tap(row)
    assert on.walk.current == "round"
    assert on.screen.hand.typing.label == "R1"


def test_an_earlier_round_stands_beside_with_its_difference_at_each_point(go):
    on = go()
    begin_with(on, FIVE)
    on.tap(on.middle.tools.button("compare"))
    panel = on.middle.beside_panel
    assert [each.text for each in panel.ids.row.children] == ["Round 1"]
    assert {each.label: each.text for each in panel.ids.plan.cells}["C"] == "1/8"
    said = [each.text for each in reversed(panel.ids.said.children)]
    # round 1 of the sample log: C 1/8, R1 1/4, R2 1/4 in; now 2/8, 4/8, 7/8 in
    assert said[:3] == ["C: +1/8 in, was 1/8 in", "R1: +1/4 in, was 1/4 in", "R2: +5/8 in, was 1/4 in"]
    assert "R5: not shown, was 3/8 in" in said
    on.tap_second()
    assert on.middle.part == "keys"


def test_the_unit_of_the_tape_is_kept_for_the_round_and_every_reading_keeps_its_own(go, folder):
    on = go()
    on.keys(*depth_keys("31' 11\""))
    on.tap_next()
    on.keys(*depth_keys(FIRM))
    on.tap_next()
    on.tap(on.middle.tools.button("tape"))
    on.tap(on.middle.tape.ids.units.rows["ft"])
    assert on.middle.keypad.mode == "decimal"
    assert on.middle.tools.button("tape").text == "Tape: ft"
    on.keys("3", "1", "mark", "9")
    on.tap_next()
    assert on.screen.hand.typing.last_typed() == ""  # the depth before was read in another unit
    on.keys("3", "2")
    on.tap_next()
    assert {each.label: each.text for each in on.middle.plan.cells} == {"C": "1", "R1": "1.2"}
    on = go()
    assert on.screen.hand.typing.unit == "ft"
    for _ in range(7):
        on.tap_second()
        on.tap_text("could not reach")
    on.tap_next()
    on.leave()
    read = {each.label: each.first_contact for each in read_back(folder).points if each.first_contact}
    assert {label: (each.read, each.unit) for label, each in read.items()} == {
        "C": ("31' 11\"", "ft-in"),
        "R1": ("31.9", "ft"),
    }


def test_a_round_is_amended_with_a_reason_and_keeps_what_was_not_touched(go, folder):
    before = entries_of(folder)
    on = go("")
    target = first_round(on)
    amend_round(on)
    assert on.screen.sides.bar.subtitle == "Round 1, amended, 9 of 9 points"
    assert (on.strip.next_text, on.strip.next_button.disabled) == ("Nothing is changed yet", True)
    on.tap_point("R4")
    assert on.middle.fields.first == "31' 11 5/8\""
    on.tap(on.middle.fields.ids.upper)
    on.keys("back", "back", "back", "1", "0", '"')
    assert on.middle.fields.first == "31' 10\""
    on.tap_next()
    assert on.strip.next_text == "Next: why it is changed"
    on.tap_next()
    assert on.strip.next_button.disabled
    on.tap(on.middle.why.ids.reasons.rows["read the wrong mark"])
    assert on.strip.next_text == "Record the change"
    on.tap_next()
    assert on.walk.current == "shaft"
    on.leave()
    (new,) = set(entries_of(folder)) - set(before)
    change = new.draft.values
    assert isinstance(change, Amend)
    assert (change.target, change.why) == (target, "read the wrong mark")
    was = next(each.draft.values for each in before if each.draft.id == target)
    points = {each.label: each for each in change.says.points}
    assert points["R4"].first_contact.read == "31' 10\""
    assert [points[each.label] for each in was.points if each.label != "R4"] == [
        each for each in was.points if each.label != "R4"
    ]
    with open_project(folder, SteppedClock(), DEVICE) as place:
        line = place.shaft(SHAFT).of(SoundingRound)[0]
        assert line.observed_at == next(each for each in before if each.draft.id == target).draft.observed_at
        assert kept_form(place, f"round amend {target}") is None


def test_a_half_typed_amendment_is_kept_apart_from_a_new_round(go):
    on = go("")
    amend_round(on)
    on.tap_point("R2")
    on.tap_second()
    on.tap_text("obstruction")
    to_round(on)
    assert on.screen.hand.typing.done == 0
    amend_round(on)
    assert on.screen.hand.typing.typed.points["R2"] == {"no_reading": "obstruction"}


@pytest.mark.parametrize("size", [LANDSCAPE, PORTRAIT], ids=["landscape", "portrait"])
@pytest.mark.parametrize(
    "scale",
    [pytest.param(1.0, marks=pytest.mark.every_size), pytest.param(1.5, marks=pytest.mark.every_size), 2.0],
)
def test_the_field_in_hand_never_scrolls_out_of_view(hand, go, size, scale):
    hand.resize(size)
    theme.text_scale = scale
    on = go()
    for scroll in (1.0, 0.5, 0.0):
        for page in (w for w in on.middle.walk() if isinstance(w, Pages)):
            page.scroller.scroll_y = scroll
        hand.settle()
        box = on.middle.fields.in_hand
        assert box.get_root_window() is not None
        (_, low), (_, high) = box.to_window(*box.pos), box.to_window(box.right, box.top)
        middle = on.middle
        assert middle.to_window(0, middle.y)[1] <= low < high <= middle.to_window(0, middle.top)[1] + 1
        assert hand.cut_labels() == []
        assert hand.small_targets() == []
    on.keys("3", "1", "'")
    assert "31'" in box.value
    on.keys("back", "back", "back")


@pytest.mark.every_size
@pytest.mark.parametrize("size", [LANDSCAPE, PORTRAIT], ids=["landscape", "portrait"])
def test_no_text_is_cut_in_any_state_of_the_round_with_large_text(hand, go, size):
    hand.resize(size)
    theme.text_scale = 2.0
    on = go("")
    for name, walk_to in ROUND_VIEWS.items():
        walk_to(on)
        assert (name, hand.cut_labels()) == (name, [])
        assert (name, hand.small_targets()) == (name, [])


def test_moving_a_point_that_was_read_keeps_the_moment_of_its_reading(go):
    on = go()
    begin_with(on, FIVE)
    read_at = on.screen.hand.typing.typed.read_at
    on.tap_point("R2")
    on.tap(on.middle.tools.button("move"))
    on.keys("back", "0")
    on.tap_next()
    typed = on.screen.hand.typing.typed
    assert typed.places["R2"]["r"] == "30"
    assert typed.read_at == read_at


def test_turning_the_tablet_keeps_what_is_typed(hand, go):
    on = go()
    begin_with(on, FIVE)
    on.keys("3", "1", "'", "9")
    hand.resize(PORTRAIT)
    hand.settle()
    assert on.middle.fields.first == "31' 9"
    assert "over 1/2 in" in on.middle.figures.over
    assert on.middle.figures.upright
    on.keys('"')
    assert on.middle.fields.first == "31' 9\""


def test_first_contact_only_shows_no_thickness_and_says_so_by_shape(go):
    on = go()
    begin_with(
        on, (), **{label: {"first_contact": depth(each), "unit": "ft-in"} for label, each in EIGHTHS.items()}
    )
    assert on.middle.plan.cells == []
    assert all(each.no_reading for each in on.middle.plan.points)
    assert on.middle.figures.missing.startswith("Share, largest and mean not shown: 9 of 9")
    assert on.screen.hand.now.over == ()


def test_a_point_saved_twenty_minutes_ago_gives_the_moment_of_the_round(go, folder):
    on = go()
    begin_with(on, tuple(EIGHTHS))
    on.tap_next()
    on.leave()
    new = max(entries_of(folder), key=lambda each: each.stamp)
    assert new.draft.recorded_at - new.draft.observed_at > timedelta(minutes=19)
