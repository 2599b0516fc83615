"""Widgets in a real window, touched as a gloved hand touches them."""

from __future__ import annotations

import pytest
from kivy.graphics import Color
from kivy.metrics import Metrics
from kivy.utils import get_color_from_hex

from fieldapp.ui.widgets.palette import NIGHT, NOON
from fieldapp.ui.widgets.press import HoldButton
from fieldapp.ui.widgets.shapes import STATES, StateShape
from fieldapp.ui.widgets.theme import TOKENS, theme
from tests.screens import composed


def keys(hand, pad, *codes):
    for code in codes:
        hand.tap(pad.key(code))


def test_a_reading_in_feet_and_inches_is_typed_into_the_field(hand):
    made = composed.sounding()
    hand.show(made.root)
    readings = []
    made.keypad.bind(on_next=lambda _pad, reading: readings.append(reading))
    keys(hand, made.keypad, "back", "back", "back", "back", "back", "back")
    assert made.fields[0].value == ""
    keys(hand, made.keypad, "6", "1", "'", "5", "eighths", "3/8", "next")
    assert made.fields[0].value == "61' 5 3/8\""
    assert readings == ["61' 5 3/8\""]


def test_the_eighths_stand_in_place_of_the_digits_and_go_again(hand):
    made = composed.sounding()
    made.keypad.text = "61'"
    hand.show(made.root)
    seven = made.keypad.key("7").pos
    hand.tap(made.keypad.key("eighths"))
    assert [made.keypad.key(f).text for f in ("1/8", "1/4", "3/8", "1/2", "5/8", "3/4", "7/8")]
    assert made.keypad.key("1/8").pos == seven
    hand.tap(made.keypad.key("7/8"))
    assert made.keypad.text == "61' 7/8\""
    assert made.keypad.key("7").pos == seven


def test_a_key_that_cannot_be_part_of_the_number_does_nothing(hand):
    made = composed.fluid()
    hand.show(made.root)
    assert made.keypad.key("mark").disabled
    keys(hand, made.keypad, "mark", "mark", "7")
    assert made.fields[2].value == "4.57"


def test_same_gives_the_last_value_and_a_comma_mark_types_a_comma(hand):
    made = composed.fluid()
    hand.show(made.root)
    keys(hand, made.keypad, "same")
    assert made.fields[2].value == "3.5"
    made.keypad.mark = ","
    made.keypad.text = ""
    keys(hand, made.keypad, "0", "mark", "5")
    assert made.fields[2].value == "0,5"


def test_next_waits_for_a_whole_reading(hand):
    made = composed.sounding()
    made.keypad.text = "61"
    hand.show(made.root)
    readings = []
    made.keypad.bind(on_next=lambda _pad, reading: readings.append(reading))
    hand.tap(made.keypad.key("next"))
    assert readings == []
    keys(hand, made.keypad, "'", "4", "next")
    assert readings == ["61' 4\""]


def test_minus_is_on_the_pad_only_where_allowed(hand):
    made = composed.fluid()
    made.keypad.text = ""
    made.keypad.minus_allowed = True
    hand.show(made.root)
    keys(hand, made.keypad, "-", "2")
    assert made.fields[2].value == "-2"
    made.keypad.minus_allowed = False
    with pytest.raises(KeyError):
        made.keypad.key("-")


def test_a_touch_that_leaves_the_key_types_nothing(hand):
    made = composed.fluid()
    hand.show(made.root)
    key = made.keypad.key("7")
    touch = hand.touch(*key.to_window(*key.center))
    touch.touch_move(*key.to_window(key.center_x, key.y - 40))
    touch.touch_up()
    hand.pump(4)
    assert made.keypad.text == "4.5"


@pytest.mark.parametrize("label", ["1", "4", "6", "8", "9"])
def test_a_tap_near_a_point_of_the_base_plan_means_that_point(hand, label):
    made = composed.sounding()
    hand.show(made.root)
    tapped = []
    made.plan.bind(on_point=lambda _plan, point: tapped.append(point))
    x, y = dict(made.plan.places())[label]
    hand.tap_at(*made.plan.to_window(x + 20, y - 20))
    hand.until(lambda: bool(tapped))
    assert tapped == [label]


def test_a_tap_beside_the_base_means_no_point(hand):
    made = composed.sounding()
    hand.show(made.root)
    tapped = []
    made.plan.bind(on_point=lambda _plan, point: tapped.append(point))
    hand.tap_at(*made.plan.to_window(made.plan.x + 4, made.plan.y + 4))
    hand.pump(10)
    assert tapped == []


def test_points_are_sixty_four_dp_apart_in_touch_where_nine_are_read(hand):
    made = composed.sounding()
    hand.show(made.root)
    assert 2 * made.plan.reach >= 64 * Metrics.density
    places = [at for _, at in made.plan.places()]
    for i, (x, y) in enumerate(places):
        for other_x, other_y in places[i + 1 :]:
            assert (x - other_x) ** 2 + (y - other_y) ** 2 >= 64**2


def test_a_reason_in_the_strip_leads_to_what_settles_it(hand):
    made = composed.sounding()
    hand.show(made.root)
    subjects = []
    made.strip.bind(on_reason=lambda _strip, subject: subjects.append(subject))
    hand.tap(made.strip.pages.content.children[-2])
    hand.until(lambda: bool(subjects))
    assert subjects == ["pass"]


def test_a_stage_of_the_rail_is_chosen_by_a_tap(hand):
    made = composed.sounding()
    hand.show(made.root)
    stages = []
    made.rail.bind(on_stage=lambda _rail, stage: stages.append(stage))
    hand.tap(made.rail.row("fluid"))
    assert stages == ["fluid"]
    made.rail.chosen = "fluid"
    assert made.rail.row("fluid").chosen
    assert not made.rail.row("base").chosen


def test_a_row_of_the_board_gives_its_shaft(hand):
    frame = hand.show(composed.board())
    board = frame.middle.children[0]
    shafts = []
    board.bind(on_shaft=lambda _board, shaft: shafts.append(shaft))
    hand.tap(next(row for row in board.rows.layout_manager.children if row.shaft == "P1-4"))
    hand.until(lambda: bool(shafts))
    assert shafts == ["P1-4"]


def test_a_long_board_keeps_only_the_rows_in_view_alive(hand):
    frame = hand.show(composed.board(repeat=200))
    board = frame.middle.children[0]
    assert len(board.rows.data) == 1400
    assert 7 <= len(board.rows.layout_manager.children) <= 20
    hand.tap(board.keys.children[0])
    assert board.rows.scroll_y < 1


def test_the_next_thing_acts_on_release_when_it_is_able(hand):
    made = composed.sounding()
    hand.show(made.root)
    acted = []
    made.strip.bind(on_next=lambda _strip: acted.append(True))
    hand.tap(made.strip.next_button)
    assert acted == [True]
    made.strip.next_able = False
    hand.tap(made.strip.next_button)
    assert acted == [True]


def test_a_release_is_held_for_a_second_with_progress_in_view(hand):
    made = composed.fluid()
    hand.show(made.root)
    held = []
    made.strip.bind(on_next=lambda _strip: held.append(True))
    button = made.strip.next_button
    assert isinstance(button, HoldButton)
    hand.tap(button)
    hand.until(lambda: button.state == "normal")  # a button stays down for a moment after a tap
    assert held == []
    assert button.progress == 0
    touch = hand.touch(*button.to_window(*button.center))
    hand.until(lambda: 0.2 < button.progress < 0.9)
    assert held == []
    hand.until(lambda: bool(held))
    touch.touch_up()
    hand.pump(4)
    assert held == [True]


def test_the_band_of_a_portrait_screen_opens_upwards(hand):
    hand.resize((800, 1280))
    made = composed.sounding(portrait=True)
    hand.show(made.root)
    low = made.strip.height
    assert made.strip.x == 0
    assert made.strip.y == 0
    assert made.strip.width == 800
    hand.tap(made.strip.ids.toggle)
    hand.settle()
    assert made.strip.height >= low + 250
    assert made.strip.y == 0


def test_a_column_that_does_not_fit_gets_keys_that_move_it(hand):
    theme.text_scale = 2.0
    made = composed.sounding()
    hand.show(made.root)
    pages = made.strip.pages
    assert pages.overflow
    before = pages.scroller.scroll_y
    hand.tap(pages.keys.children[0])
    assert pages.scroller.scroll_y < before
    theme.text_scale = 1.0
    hand.settle()
    assert not pages.overflow
    assert pages.keys.parent is None


def test_large_text_never_pushes_the_standing_out_of_the_strip(hand):
    theme.text_scale = 2.0
    made = composed.fluid()
    hand.show(made.root)
    assert made.strip.tight
    assert made.strip.pages.height >= 64
    assert made.strip.ids.head.y >= made.strip.pages.top
    assert made.strip.ids.head.top <= made.strip.top
    theme.text_scale = 1.0
    hand.settle()
    assert not made.strip.tight
    assert made.strip.ids.times.y == made.strip.foot.top


def test_buttons_side_by_side_are_as_high_as_the_highest(hand):
    theme.text_scale = 2.0
    made = composed.sounding()
    hand.show(made.root)
    plain, act = reversed(made.root.middle.children[0].children)
    assert plain.height == act.height > 80


def test_a_chevron_is_drawn_in_the_middle_of_its_key(hand):
    theme.text_scale = 2.0
    made = composed.sounding()
    hand.show(made.root)
    for arrow in made.strip.pages.keys.children:
        tip_x = arrow._line.points[2]
        assert abs(tip_x - (arrow.x + arrow.width / 2)) < 1


def test_the_theme_switches_what_is_already_on_the_screen(hand):
    made = composed.sounding()
    hand.show(made.root)
    label, shape = made.fields[0].children[1].children[1], made.rail.row("hole").children[-1]
    assert label.color == get_color_from_hex(NOON.soft)
    theme.scheme = "night"
    hand.settle()
    assert label.color == get_color_from_hex(NIGHT.soft)
    assert made.plan.ground == get_color_from_hex(NIGHT.ground)
    assert shape.ink == get_color_from_hex(NIGHT.ink)
    for token in TOKENS:
        assert getattr(theme, token) == get_color_from_hex(getattr(NIGHT, token))


def test_text_scale_and_density_change_what_is_already_on_the_screen(hand):
    made = composed.fluid()
    hand.show(made.root)
    caption, key = made.fields[0].children[1].children[1], made.keypad.key("7")
    assert caption.font_size == 16
    theme.text_scale = 1.5
    hand.settle()
    assert caption.font_size == 24
    Metrics.density = 1.25
    hand.settle()
    try:
        assert key.height == 90
    finally:
        Metrics.density = 1.0


@pytest.mark.parametrize("state", [s for s in STATES if s])
@pytest.mark.parametrize("side", [26, 40])
def test_each_state_draws_a_shape_of_its_own_inside_its_square(hand, state, side):
    shape = StateShape(state=state, size=(side, side))
    kinds = tuple(type(i).__name__ for i in shape.canvas.children if not isinstance(i, Color))
    drawn = [k for k in kinds if k != "BindTexture"]
    others = []
    for other in STATES:
        if other and other != state:
            parts = StateShape(state=other, size=(side, side)).canvas.children
            others.append(
                [
                    type(i).__name__
                    for i in parts
                    if not isinstance(i, Color) and type(i).__name__ != "BindTexture"
                ]
            )
    assert drawn
    assert drawn not in others


def test_an_unknown_state_is_refused_not_drawn_as_met():
    with pytest.raises(ValueError, match="state"):
        StateShape(state="fine")
