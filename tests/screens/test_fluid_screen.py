"""The fluid test by touch: taps counted, the funnel's watch, its water check, sets in a row, large text."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from datetime import timedelta
from pathlib import Path

import pytest
from kivy.uix.behaviors import ButtonBehavior

from fieldapp.desk.inspector import kept_form
from fieldapp.desk.office import begin_project
from fieldapp.desk.typed_logs import add_logs, read_logs
from fieldapp.desk.workplace import open_project
from fieldapp.record.column import FluidTest
from fieldapp.record.setup import Instrument
from fieldapp.ui.widgets.pages import Pages
from fieldapp.ui.widgets.theme import theme
from fieldapp.ui.words import tongue
from tests.screens.journey import (
    DEVICE,
    SAMPLES,
    Journey,
    SteppedClock,
    begin,
    entries_of,
    one_at_a_time,
    set_out,
)
from tests.screens.views.fluid_views import FLUID_VIEWS, number_keys
from tests.support.driver import LANDSCAPE, PORTRAIT

SHAFT = "P1-4"
MOST_TAPS = 45
SET = {"density": "68.5", "funnel_time": "41", "sand": "1.5", "ph": "9.1", "temperature": "62"}
# Of the interval of us-classic the contract leaves two depths in a hole of 34 ft.
TWO_DEPTHS = "  limit           sample_interval_max     at most 20 ft  contract: provision 12.3\n"


class Ticks:
    """The steady clock and the tablet's clock, both as far as a test says."""

    def __init__(self) -> None:
        self.at_s = 5000.0

    def __call__(self) -> float:
        return self.at_s


@pytest.fixture(scope="module")
def larkwater(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return begin(tmp_path_factory.mktemp("whole") / "larkwater", "larkwater", ("P1-4",))


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Larkwater under a contract that asks for two depths, with shaft P1-4."""
    made = tmp_path_factory.mktemp("two")
    logs = made / "logs"
    logs.mkdir()
    text = (SAMPLES / "larkwater" / "project.log").read_text()
    before = "  person          Inspector A"
    (logs / "project.log").write_text(text.replace(before, TWO_DEPTHS + before, 1))
    shutil.copy(SAMPLES / "larkwater" / f"{SHAFT}.log", logs)
    folder = made / "larkwater"
    begin_project(folder)
    with open_project(folder, SteppedClock(), DEVICE) as place:
        add_logs(place, read_logs(sorted(logs.glob("*.log"))))
    return folder


@pytest.fixture
def folder(whole: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(whole, tmp_path / "larkwater"))


@pytest.fixture
def go(hand, folder: Path) -> Iterator[Callable[..., Journey]]:
    clock = SteppedClock()
    with one_at_a_time(hand) as opens:

        def opened(later_s: float = 0.0, where: Path = folder, shaft: str = SHAFT) -> Journey:
            clock.moment += timedelta(seconds=later_s)
            on = opens(where, clock=clock)
            to_fluid(on, shaft)
            return on

        yield opened


def to_fluid(on: Journey, shaft: str = SHAFT) -> None:
    on.walk.go("shaft", shaft=shaft, stage="Fluid")
    on.wait()
    on.walk.go("fluid", shaft=shaft)
    on.wait(hops=3)


def type_into(on: Journey, name: str, text: str, *, last: bool = False) -> None:
    assert on.screen.typing.field == name
    on.keys(*number_keys(text), *([] if last else ["next"]))


def to_funnel(on: Journey) -> Ticks:
    """The funnel field in hand, and the clock by which its watch counts."""
    type_into(on, "density", "68.5")
    return ticking(on)


def ticking(on: Journey) -> Ticks:
    on.middle.watch.ticks = ticks = Ticks()
    return ticks


def press(on: Journey) -> None:
    on.tap(on.middle.watch.ids.key)


def time_it(on: Journey, ticks: Ticks, seconds: float) -> None:
    press(on)
    ticks.at_s += seconds
    press(on)


def new_entries(folder: Path, before: tuple) -> list:
    return sorted(set(entries_of(folder)) - set(before), key=lambda each: each.stamp)


def funnel_text(on: Journey) -> str:
    return on.middle.fields["funnel_time"].value


def kept(on: Journey, folder: Path) -> dict:
    on.leave()
    with open_project(folder, SteppedClock(), DEVICE) as place:
        return kept_form(place, f"fluid {SHAFT}") or {}


def test_a_full_set_at_two_depths_takes_few_touches(go, folder, monkeypatch, record_property):
    before = entries_of(folder)
    on = go()
    assert [each.depth.read for each in on.screen.page.form.places] == ["33'", "13'"]
    touched: list[tuple[float, float]] = []
    touch = on.hand.touch
    monkeypatch.setattr(on.hand, "touch", lambda x, y: touched.append((x, y)) or touch(x, y))
    ticks = ticking(on)
    for turn in range(2):
        for name, text in SET.items():
            if name == "funnel_time" and turn:
                time_it(on, ticks, 41.3)
                assert funnel_text(on) == "41"
                on.keys("next")
            else:
                type_into(on, name, text, last=name == "temperature")
        on.tap_next()
    record_property("taps for a full set at two depths", len(touched))
    assert len(touched) <= MOST_TAPS, len(touched)
    on.wait(hops=3)
    assert on.walk.current == "shaft"  # the set is whole
    on.leave()
    made = [each.draft.values for each in new_entries(folder, before)]
    assert [each.sample_depth.read for each in made] == ["33'", "13'"]
    for each in made:
        assert isinstance(each, FluidTest)
        assert {name: getattr(each, name).read for name in SET} == SET


def test_the_stopped_watch_types_whole_seconds_and_one_key_goes_on(go):
    on = go()
    ticks = to_funnel(on)
    assert on.middle.watch.ids.key.height >= 160
    assert on.middle.keypad.parent is not None  # beside it the time can be typed
    press(on)
    ticks.at_s += 40.6
    assert on.strip.next_text == "Stop the watch first"
    assert on.strip.next_button.disabled
    press(on)
    assert funnel_text(on) == "41"  # to the nearest second, as API RP 13B-1 reports it
    on.keys("next")
    assert on.screen.typing.field == "sand"
    assert on.middle.fields["funnel_time"].shown == "met"
    assert on.middle.watch.parent is None


def test_a_time_that_no_funnel_takes_is_not_typed(go):
    on = go()
    ticks = to_funnel(on)
    time_it(on, ticks, 0.4)  # touched twice
    assert funnel_text(on) == ""
    assert on.middle.said == "0 s cannot be a time of the funnel (20 to 600 s). Time it again."
    time_it(on, ticks, 40 * 60)
    assert funnel_text(on) == ""
    assert "2400 s cannot be" in on.middle.said
    time_it(on, ticks, 38.2)
    assert funnel_text(on) == "38"
    assert on.middle.said == ""


def test_the_watch_runs_on_while_another_screen_is_open(go):
    on = go()
    ticks = to_funnel(on)
    press(on)
    ticks.at_s += 10
    on.press()
    assert on.walk.current == "shaft"
    ticks.at_s += 20.2
    to_fluid(on)
    assert on.screen.typing.field == "funnel_time"
    assert on.middle.watch.running
    on.tap(on.middle.fields["sand"])
    ticks.at_s += 5
    on.tap(on.middle.fields["funnel_time"])
    press(on)
    assert funnel_text(on) == "35"  # by hand: 10 + 20.2 + 5


def test_the_watch_goes_on_after_the_end_of_the_app_and_says_that_it_was_closed(go):
    on = go()
    to_funnel(on)
    press(on)
    on = go(later_s=20)
    assert on.screen.typing.field == "funnel_time"
    watch = on.middle.watch
    assert watch.running
    assert "the app was closed meanwhile" in watch.caption
    assert 20 <= watch.elapsed_s < 60  # by the tablet's clock, which goes on by a second at each look
    press(on)
    assert 20 <= int(funnel_text(on)) < 60


@pytest.mark.parametrize("later_s", [40 * 60, -300], ids=["forty minutes", "a clock that was set back"])
def test_a_watch_that_ran_too_long_while_the_app_was_closed_says_so_and_gives_no_time(go, folder, later_s):
    on = go()
    to_funnel(on)
    press(on)
    on = go(later_s=later_s)
    assert not on.middle.watch.running
    assert "ran while the app was closed. No time is taken" in on.middle.said
    assert funnel_text(on) == ""
    on.keys("back", *"4", "next")
    assert kept(on, folder)["watch"] == {}


def test_the_last_water_check_stands_beside_the_sample(go):
    on = go()
    # sample log: funnel 1 at 18 May 06:48, 26.3 s at 70 degF; 26 +/- 0.5 s by ASTM D6910
    assert (on.middle.check.shown, on.middle.check.text) == (
        "met",
        "funnel 1: water 26.3 s at 18 May 06:48, passed.",
    )


def test_a_check_that_is_older_than_asked_is_not_shown(go):
    on = go(later_s=3 * 86400)  # us-classic: 7 days, from 18 May
    assert on.middle.check.shown == "not shown"
    assert "asked at most 7 day" in on.middle.check.text


def test_the_water_check_is_one_touch_away_and_recorded_as_the_instruments_check(go, folder):
    before = entries_of(folder)
    on = go()
    type_into(on, "density", "68.5")
    on.tap(on.middle.check)
    ticks = ticking(on)
    assert list(on.middle.fields) == ["water_time", "water_temperature"]
    assert on.middle.fields["water_time"].limit == "25.5 to 26.5 s"
    time_it(on, ticks, 25.94)
    assert on.middle.fields["water_time"].value == "25.9"  # to the tenth: held against half a second
    on.keys("next")
    assert on.strip.next_text == "Type its temperature"
    assert on.strip.next_button.disabled
    on.keys("7", "0")
    assert on.strip.next_text == "Record: funnel 1 passed"
    on.tap_next()
    assert "Water check saved" in on.middle.said
    assert on.middle.check.shown == "met"
    assert "water 25.9 s at 22 May" in on.middle.check.text
    assert on.middle.fields["density"].value == "68.5"  # the sample is where it was
    on.leave()
    (entry,) = new_entries(folder, before)
    made = entry.draft.values
    assert isinstance(made, Instrument)
    assert (entry.shaft, made.label, made.passed, made.check) == (
        None,
        "funnel 1",
        True,
        "fresh water at 70 degF",
    )
    assert (made.water_time.read, made.cup_volume.read) == ("25.9", "946")


def test_a_funnel_that_fails_in_water_is_recorded_as_failed(go, folder):
    before = entries_of(folder)
    on = go()
    on.tap(on.middle.check)
    time_it(on, ticking(on), 27.02)
    on.keys("next", "7", "0")
    assert on.strip.next_text == "Record: funnel 1 failed"
    on.tap_next()
    assert on.middle.check.shown == "not met"
    on.leave()
    (entry,) = new_entries(folder, before)
    assert not entry.draft.values.passed


@pytest.mark.parametrize("warmth", ["60", "80"])
def test_water_outside_of_the_asked_warmth_shows_nothing(go, warmth):
    on = go()
    on.tap(on.middle.check)
    time_it(on, ticking(on), 26.0)
    on.keys("next", *warmth)  # 70 +/- 5 degF by ASTM D6910
    assert on.middle.fields["water_time"].shown == "not shown"
    assert on.strip.next_button.disabled
    on.tap_second()
    assert next(iter(on.middle.fields)) == "density"


def test_a_water_check_cannot_go_on_by_the_tablets_clock(go):
    on = go()
    on.tap(on.middle.check)
    press(on)
    on = go(later_s=5)  # a second on either side would be more than the half second that is asked
    assert next(iter(on.middle.fields)) == "water_time"
    assert not on.middle.watch.running
    assert "No time is taken" in on.middle.said


def test_sets_in_a_row_are_counted_while_typing_and_only_whole_ones(go):
    on = go()
    form = on.screen.page.form
    assert on.middle.row_said == f"0 of 2 sets in a row within limits; set {form.set} is not whole yet."
    for turn in range(2):
        for name, text in SET.items():
            type_into(on, name, text, last=name == "temperature")
        if turn:
            wanted = f"1 of 2 sets in a row within limits, set {form.set} among them."
        else:
            wanted = f"0 of 2 sets in a row within limits; set {form.set} is not whole yet."
        on.hand.until(lambda wanted=wanted: on.middle.row_said == wanted)
        if not turn:
            on.tap_next()
    assert on.middle.row_shown == "not shown"  # one of two
    on.tap(on.middle.fields["sand"])
    on.keys("back", "back", "back", "9")
    on.hand.until(lambda: on.middle.row_shown == "not met")
    assert on.middle.row_said == f"Set {form.set} is out of limits: 0 of 2 sets in a row."


def test_what_is_typed_is_held_against_its_limit_when_the_hand_rests(go):
    on = go()
    on.keys("6", "8")
    on.hand.until(lambda: on.middle.fields["density"].shown == "met")
    on.keys("back", "back", "9", "0")
    on.hand.until(lambda: on.middle.fields["density"].shown == "not met")
    assert on.screen.typing.field == "density"  # without a key that goes on


def test_another_funnel_can_be_taken_and_is_named_in_the_record(go, folder):
    before = entries_of(folder)
    on = go()
    assert on.middle.kit.text == "read with balance 1, funnel 1, sand tube 1, pH meter 1"
    type_into(on, "density", "68.5")
    on.tap(on.middle.kit)
    on.tap(on.middle.labels.rows["funnel 2"])
    assert "funnel 1" not in on.middle.labels.chosen  # one of each type
    on.tap_next()
    assert on.middle.check.shown == "not shown"  # checked on 11 May only, and asked at most 7 days before
    assert on.middle.check.text.startswith("funnel 2 was checked 11")
    on.tap(on.middle.fields["funnel_time"])
    on.keys("4", "1", "next")
    on.tap_next()
    on.leave()
    (entry,) = new_entries(folder, before)
    assert entry.draft.values.instruments == ("balance 1", "funnel 2")


@pytest.mark.parametrize(
    ("size", "scale"), [(LANDSCAPE, 1.0), (PORTRAIT, 1.0), (LANDSCAPE, 2.0), (PORTRAIT, 2.0)]
)
@pytest.mark.parametrize("name", ["fluid_watch_runs", "fluid_water_cold", "fluid_instruments"])
def test_nothing_is_cut_and_no_target_is_small(hand, larkwater, tmp_path, name, size, scale):
    on = set_out(hand, Path(shutil.copytree(larkwater, tmp_path / "larkwater")))
    try:
        FLUID_VIEWS[name](on)
        hand.resize(size)
        theme.text_scale = scale
        hand.settle()
        assert hand.cut_labels() == []
        assert hand.small_targets() == []
    finally:
        on.leave()


def halves(on: Journey) -> list[str]:
    """What can be pressed and is parted by the end of its page, though it has room on one."""
    found = []
    for pages in (each for each in on.middle.walk(restrict=True) if isinstance(each, Pages)):
        if not pages.overflow:
            continue
        room, end = pages.height - pages.keys.height, pages.scroller.to_window(*pages.scroller.pos)[1]
        for box in (each for each in pages.content.walk(restrict=True) if isinstance(each, ButtonBehavior)):
            foot, head = box.to_window(*box.pos)[1], box.to_window(0, box.top)[1]
            if foot < end - 1 and head > end + 1 and box.height <= room:
                found.append(f"{type(box).__name__} {box.size}")
    return found


@pytest.mark.parametrize("size", [LANDSCAPE, PORTRAIT], ids=["landscape", "portrait"])
@pytest.mark.parametrize("language", [tongue.ENGLISH, "es"])
def test_no_box_is_parted_while_a_question_makes_its_page_low(hand, larkwater, tmp_path, language, size):
    tongue.choose(language)
    hand.resize(size)
    theme.text_scale = 2.0
    on = set_out(hand, Path(shutil.copytree(larkwater, tmp_path / "larkwater")))
    try:
        FLUID_VIEWS["fluid_asked"](on)
        hand.settle()
        assert on.middle.ids.foot.question is not None
        assert halves(on) == []
        on.middle.ids.foot.close()
        hand.settle()
        assert on.middle.watch.ids.key.height == 160  # as large as a hand again
    finally:
        on.leave()
        tongue.choose(tongue.ENGLISH)
