"""The widgets of an entry in a real window: choices, moments, stopwatch, drawing, chart ..."""

from __future__ import annotations

import re
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st
from kivy.metrics import dp

from fieldapp.identity.drawn import check_drawing, strokes
from fieldapp.ui.widgets.choice_list import ChoiceList
from fieldapp.ui.widgets.drawing_pad import MOST, DrawingPad
from fieldapp.ui.widgets.hardware_keys import DOWN, SPACE, UP
from fieldapp.ui.widgets.keypad import Keypad
from fieldapp.ui.widgets.keypad_state import KeypadState, accepts, finished, kept_in, press
from fieldapp.ui.widgets.line_chart import Dot, LineChart
from fieldapp.ui.widgets.moment_field import MomentField
from fieldapp.ui.widgets.stopwatch import Stopwatch, as_read
from fieldapp.ui.widgets.text_field import TextField
from fieldapp.ui.widgets.typed_unit import TypedUnit
from tests.screens import composed
from tests.screens.on_the_glass import key, shown, told
from tests.support.driver import Driver

DENVER = ZoneInfo("America/Denver")
NOON = datetime(2026, 5, 22, 12, 4, 30, tzinfo=DENVER)
METHODS = [("airlift", "airlift"), ("pump", "submersible pump"), ("bucket", "cleanout bucket")]


def test_one_word_is_chosen_by_a_tap_and_taken_back_by_another(hand):
    chosen = shown(hand, ChoiceList(options=METHODS))
    heard = told(chosen, "on_choice")
    hand.tap(chosen.rows["pump"])
    hand.tap(chosen.rows["bucket"])
    hand.tap(chosen.rows["bucket"])
    assert heard == [["pump"], ["bucket"], []]
    assert not any(row.chosen for row in chosen.rows.values())


def test_a_word_that_is_needed_is_not_taken_back(hand):
    chosen = shown(hand, ChoiceList(options=METHODS, needed=True))
    hand.tap(chosen.rows["pump"])
    hand.tap(chosen.rows["pump"])
    assert chosen.chosen == ["pump"]


def test_several_words_are_given_in_the_order_in_which_they_stand(hand):
    chosen = shown(hand, ChoiceList(options=METHODS, several=True))
    heard = told(chosen, "on_choice")
    hand.tap(chosen.rows["bucket"])
    hand.tap(chosen.rows["airlift"])
    assert heard[-1] == ["airlift", "bucket"]


def test_up_and_down_choose_one_word_and_space_one_of_several(hand):
    one = shown(hand, ChoiceList(options=METHODS))
    for code in (DOWN, DOWN, DOWN, DOWN, UP):
        key(code)
    assert one.chosen == ["pump"]
    several = shown(hand, ChoiceList(options=METHODS, several=True))
    for code in (DOWN, SPACE, DOWN, DOWN, SPACE):
        key(code)
    assert several.chosen == ["airlift", "bucket"]
    assert one.chosen == ["pump"]  # it is not on the glass any more and hears no key


def test_the_shape_of_a_chosen_word_differs_from_that_of_the_others(hand):
    chosen = shown(hand, ChoiceList(options=METHODS))
    hand.tap(chosen.rows["pump"])
    marks = {value: row.children[-1].canvas.length() for value, row in chosen.rows.items()}
    assert marks["pump"] > marks["airlift"] == marks["bucket"]


def test_text_grows_with_what_is_written_and_stops_at_its_longest(hand):
    field = shown(hand, TextField(hint="write here"))
    heard = told(field, "on_typed")
    low = field.height
    field.long = True
    field.typing.insert_text("made level\n" * 9)
    hand.settle()
    assert heard[-1].startswith("made level")
    assert field.height > low + 100
    field.typing.longest = 200
    field.typing.insert_text("x" * 500)
    assert len(field.text) == 200
    field.text = "from the draft"
    assert field.typing.text == "from the draft"
    assert heard[-1] != "from the draft"  # only what a hand types is told


@pytest.fixture
def moment(hand):
    made = shown(
        hand, MomentField(now=lambda: NOON, now_text="Now", back_text="Day before", forward_text="Day after")
    )
    made.heard = told(made, "on_taken")
    return made


def test_now_is_one_tap(hand, moment):
    hand.tap(moment.ids.now)
    assert moment.heard == [NOON]
    assert (moment.time_text, moment.day_text) == ("12:04", "today, 22 May")


def test_hour_and_minute_are_typed_and_a_day_back_is_one_tap_more(hand, moment):
    for code in "9", "1":
        hand.tap(moment.keypad.key(code))
    assert (moment.time_text, moment.heard) == ("09:1", [])  # half a time says nothing
    hand.tap(moment.keypad.key("5"))
    assert moment.heard == [NOON.replace(hour=9, minute=15, second=0)]
    hand.tap(moment.ids.back)
    assert moment.heard[-1] == datetime(2026, 5, 21, 9, 15, tzinfo=DENVER)
    assert moment.day_text == "yesterday, 21 May"
    hand.tap(moment.ids.forward)
    hand.tap(moment.ids.forward)  # never after today
    assert moment.moment == datetime(2026, 5, 22, 9, 15, tzinfo=DENVER)


def test_a_release_over_midnight_may_end_tomorrow_and_not_later(hand):
    late = datetime(2026, 5, 22, 23, 30, tzinfo=DENVER)
    made = shown(hand, MomentField(now=lambda: late, days_on=1))
    made.take(late)
    hand.tap(made.ids.forward)
    hand.tap(made.ids.forward)
    assert made.ids.forward.disabled
    for code in "0130":
        hand.tap(made.keypad.key(code))
    assert made.moment == datetime(2026, 5, 23, 1, 30, tzinfo=DENVER)


def test_a_day_back_over_the_change_of_the_clock_keeps_the_time_of_day(hand):
    after = datetime(2026, 3, 8, 12, 0, tzinfo=DENVER)  # clocks went from 02:00 to 03:00 that night
    made = shown(hand, MomentField(now=lambda: after))
    made.take(after)
    made.turn_day(-1)
    assert (made.moment.isoformat(), after.isoformat()) == (
        "2026-03-07T12:00:00-07:00",
        "2026-03-08T12:00:00-06:00",
    )


@given(st.lists(st.sampled_from("0123456789"), max_size=9))
def test_keys_of_a_moment_only_ever_reach_a_time_of_day(keys):
    state = KeypadState("time")
    for each in keys:
        state = press(state, each)
        assert re.fullmatch(r"|[0-2]|([01]\d|2[0-3]):([0-5]\d?)?", state.text)
        assert (finished(state) is not None) == (len(state.text) == 5)


def test_a_count_takes_no_mark_and_no_second_zero():
    assert not accepts(KeypadState("count", "4"), ".")
    assert press(press(KeypadState("count"), "0"), "1").text == "0"


class Ticks:
    """A clock that goes on when the test says so."""

    def __init__(self) -> None:
        self.at_s = 1000.0

    def __call__(self) -> float:
        return self.at_s


def test_a_stopwatch_counts_from_start_to_stop_and_is_as_large_as_a_hand(hand):
    ticks = Ticks()
    watch = shown(hand, Stopwatch(ticks=ticks, size_hint_x=None, width=300))
    stopped = told(watch, "on_stopped")
    assert min(watch.ids.key.size) >= dp(160)
    hand.tap(watch.ids.key)
    assert watch.running
    ticks.at_s += 41.37
    hand.until(lambda: watch.shown == "41.3")
    hand.tap(watch.ids.key)
    assert not watch.running
    assert stopped == [pytest.approx(41.37)]
    ticks.at_s += 10
    hand.pump(8)
    assert watch.shown == "41.3"


def test_a_stopwatch_goes_on_after_it_left_the_glass(hand):
    ticks = Ticks()
    watch = shown(hand, Stopwatch(ticks=ticks))
    watch.run_from(300)
    watch.parent.remove_widget(watch)
    ticks.at_s += 7.2
    shown(hand, watch)
    hand.until(lambda: watch.shown == "5:07.2")


@pytest.mark.parametrize(
    ("elapsed_s", "text"),
    [(0, "0.0"), (41.39, "41.3"), (60, "1:00.0"), (307.25, "5:07.2"), (3907, "1:05:07")],
)
def test_seconds_are_read_to_the_tenth_and_never_rounded_up(elapsed_s, text):
    assert as_read(elapsed_s) == text


def draw(hand: Driver, pad: DrawingPad, *places: tuple[float, float]) -> None:
    sheet = pad.sheet
    at = [sheet.to_window(sheet.x + x, sheet.y + y) for x, y in places]
    touch = hand.touch(*at[0])
    for place in at[1:]:
        touch.touch_move(*place)
    touch.touch_up()
    hand.pump(2)


def test_strokes_are_points_in_a_unit_square_that_the_stamp_can_draw(hand):
    pad = shown(hand, DrawingPad(size_hint_x=None, width=500, sheet_height=200))
    draw(hand, pad, (50, 40), (250, 160))
    assert (pad.enough, pad.strokes, pad.text) == (False, (), "")  # two points are no signature
    draw(hand, pad, (300, 40), (450, 150), (700, 900))  # leaves the box: ends at its edge
    # by hand: the longer side, 500 px, is 1
    assert pad.text == "0.100,0.080 0.500,0.320;0.600,0.080 0.900,0.300 1.000,0.400"
    check_drawing(pad.strokes)
    assert strokes(pad.strokes, 60, 30).count(b" l") == 3
    hand.tap(pad.ids.wipe)
    assert (pad.enough, pad.strokes) == (False, ())


def test_a_drawing_never_grows_past_what_an_entry_takes(hand):
    pad = shown(hand, DrawingPad(size_hint_x=None, width=500, sheet_height=200))
    places = [(20 + 3 * (n % 150), 20 + 40 * (n % 4)) for n in range(MOST + 200)]
    draw(hand, pad, *places)
    assert sum(len(each) for each in pad.strokes) == MOST
    assert len(pad.text) <= 20_000


def test_a_line_is_not_drawn_over_a_time_without_readings(hand):
    begin = NOON.replace(hour=7)
    dots = [Dot(begin + timedelta(minutes=m), v, s) for m, v, s in (
        (0, 5.1, "met"), (30, 5.0, "met"), (120, 2.0, "not met"), (140, -1.7, "not met")
    )]  # fmt: skip
    chart = shown(hand, LineChart(dots=dots, level=5.0, level_text="at least 5 ft", unit="ft", gap_s=3600))
    assert [(a.value, b.value) for a, b in chart.joined()] == [(5.1, 5.0), (2.0, -1.7)]
    chart.gap_s = None
    assert len(chart.joined()) == 3
    places = [chart.place(each.at, each.value) for each in dots]
    assert [x for x, _ in places] == sorted(x for x, _ in places)
    assert places[3][1] < chart.place(begin, 0)[1] < places[2][1] < chart.place(begin, 5)[1] < chart.top
    assert all(chart.x <= x <= chart.right for x, _ in places)


@pytest.mark.parametrize("values", [[0.2], [5.1, 5.1], [-3.0, 400.0], [0.001, 0.004]])
def test_an_axis_carries_two_to_eight_round_marks_whatever_the_range(hand, values):
    dots = [Dot(NOON + timedelta(hours=n), value) for n, value in enumerate(values)]
    chart = shown(hand, LineChart(dots=dots, unit="m"))
    marks = chart.marks()
    assert 2 <= len(marks) <= 8
    low, high = min(values), max(values)
    assert min(marks) <= max(low, marks[1])
    assert high - max(marks) <= marks[1] - marks[0] + 0.12 * (high - low)


def test_a_unit_that_was_meant_is_offered_and_taken_by_one_tap(hand):
    offer = shown(hand, TypedUnit())
    taken = told(offer, "on_take")
    assert (offer.height, offer.buttons()) == (0, [])
    offer.units = [("g/cm3", "Take g/cm3")]
    offer.text = "1.05 looks like g/cm3; the project shows pcf"
    hand.settle()
    hand.tap(offer.buttons()[0])
    assert taken == ["g/cm3"]


def test_the_unit_key_goes_round_the_units_and_the_keys_go_with_it(hand):
    made = composed.fluid()
    pad = made.keypad
    pad.units, pad.unit, pad.text = ["ft-in", "ft", "m"], "m", "4.5"
    hand.show(made.root)
    hand.tap(pad.key("unit"))
    assert (pad.unit, pad.mode, pad.text) == ("ft-in", "feet-inch", "")  # 4.5 is no feet and inches
    for code in ("6", "1", "'"):
        hand.tap(pad.key(code))
    hand.tap(pad.key("unit"))
    assert (pad.unit, pad.mode, pad.text) == ("ft", "decimal", "")
    pad.units = ["pcf"]
    assert pad.key("unit").disabled


def test_what_was_typed_stays_in_another_unit_where_it_can():
    assert kept_in("decimal", "61") == "61"
    assert kept_in("feet-inch", "61") == "61"
    assert kept_in("decimal", "61' 4") == ""


def test_a_key_is_made_once_whatever_the_mode(hand):
    pad = shown(hand, Keypad(text="61'"))
    seven = pad.key("7")
    for mode in ("feet-inch", "inch", "decimal", "time", "count", "feet-inch"):
        pad.mode = mode
        assert pad.key("7") is seven
    pad.fractions_open = True
    eighth = pad.key("1/8")
    pad.fractions_open = False
    assert eighth.parent is None
    pad.fractions_open = True
    assert pad.key("1/8") is eighth
