"""Typing a number: every text on the way is the beginning of a reading that units can read."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldapp.ui.widgets.keypad_state import (
    BACK,
    EIGHTHS,
    FRACTIONS,
    MODES,
    SAME,
    KeypadState,
    accepts,
    finished,
    press,
)
from fieldapp.units import NotANumber, parse_feet_inch, parse_number, with_point

KEYS = (*"0123456789", ".", ",", "-", "'", '"', *FRACTIONS, BACK, SAME, EIGHTHS, "x")
LASTS = {
    "decimal": ["", "12.5", "12,5", "-3", "1 1/2", "no", "007"],
    "inch": ["", "1 1/2", "3/4", "0.5", "-1/2"],
    "feet-inch": ["", "61' 4 1/2\"", "61'4\"", "61'", "-2' 3\"", "61", "9' 12\""],
}
COMPLETIONS = {
    "decimal": ("", "0"),
    "inch": ("", "0", "/2", "1/2"),
    "feet-inch": ("", "'", "0'", '"', '0"', '/8"', '2"', ' 1/2"'),
}


def read(mode: str, text: str) -> Fraction:
    text = with_point(text)  # the pad has no key that parts thousands
    return parse_feet_inch(text) if mode == "feet-inch" else parse_number(text)


def is_beginning_of_a_reading(mode: str, text: str) -> bool:
    for rest in COMPLETIONS[mode]:
        try:
            read(mode, text + rest)
        except NotANumber:
            continue
        return True
    return False


def typed(keys: list[str] | str, state: KeypadState) -> KeypadState:
    for key in keys:
        state = press(state, key)
    return state


@st.composite
def a_walk(draw: st.DrawFn) -> tuple[KeypadState, list[str]]:
    mode = draw(st.sampled_from(MODES))
    start = KeypadState(mode, last=draw(st.sampled_from(LASTS[mode])), minus_allowed=draw(st.booleans()))
    return start, draw(st.lists(st.sampled_from(KEYS), max_size=14))


@given(a_walk())
def test_every_reachable_text_is_the_beginning_of_a_reading(walk):
    state, keys = walk
    for key in keys:
        state = press(state, key)
        assert is_beginning_of_a_reading(state.mode, state.text), state


@given(a_walk())
def test_a_finished_reading_is_read_by_units_and_begins_with_what_was_typed(walk):
    state, keys = walk
    state = typed(keys, state)
    whole = finished(state)
    if whole is not None:
        assert whole.startswith(state.text)
        value = read(state.mode, whole)
        assert state.minus_allowed or value >= 0


@given(a_walk())
def test_a_key_is_accepted_exactly_when_it_changes_the_state(walk):
    state, keys = walk
    state = typed(keys, state)
    for key in KEYS:
        assert accepts(state, key) == (press(state, key) != state)


@given(a_walk())
def test_backspace_always_leads_to_an_empty_text(walk):
    state, keys = walk
    state = typed(keys, state)
    for _ in range(30):
        state = press(state, BACK)
    assert state.text == ""


@pytest.mark.parametrize(
    ("mode", "keys", "text"),
    [
        ("decimal", "68.5", "68.5"),
        ("decimal", "68,5", "68,5"),
        ("decimal", ".5", "0.5"),
        ("decimal", "6.8.5", "6.85"),
        ("decimal", "6'", "6"),
        ("decimal", "05", "0"),
        ("inch", ["1", "1/2"], "1 1/2"),
        ("inch", ["3/4"], "3/4"),
        ("inch", ["1", ".", "5", "1/2"], "1.5"),
        ("feet-inch", ["6", "1", "'", "4", "1/2"], "61' 4 1/2\""),
        ("feet-inch", ["6", "1", "'", "1/8"], "61' 1/8\""),
        ("feet-inch", ["6", "1", "'", "1", "1", '"'], "61' 11\""),
        ("feet-inch", ["6", "1", "'", "1", "2"], "61' 1"),
        ("feet-inch", ["1/8"], ""),
        ("feet-inch", ["6", '"'], "6"),
    ],
)
def test_keys_give_the_text_that_a_person_would_write(mode, keys, text):
    assert typed(list(keys), KeypadState(mode)).text == text


@pytest.mark.parametrize("mark", [",", "."])
@pytest.mark.parametrize(
    ("mode", "keys", "value"),
    [
        ("decimal", "1m085", "1.085"),
        ("decimal", "18m7550", "18.755"),
        ("inch", "2m125", "2.125"),
        ("feet-inch", "61'4m125", "61.34375"),  # by hand: 61 + 4.125 / 12
    ],
)
def test_either_mark_makes_a_whole_reading_with_three_digits_after_it(mark, mode, keys, value):
    whole = finished(typed(list(keys.replace("m", mark)), KeypadState(mode)))
    assert whole is not None
    assert mark in whole
    assert read(mode, whole) == Fraction(value)


def test_sixty_one_feet_four_and_a_half_inches_is_that_number():
    state = typed(["6", "1", "'", "4", "1/2"], KeypadState("feet-inch"))
    assert parse_feet_inch(finished(state)) == Fraction(61) + Fraction(9, 2) / 12  # by hand


def test_open_inches_are_closed_but_bare_feet_are_not_guessed():
    inches = typed(["6", "1", "'", "4"], KeypadState("feet-inch"))
    assert finished(inches) == "61' 4\""
    assert finished(typed("61", KeypadState("feet-inch"))) is None


def test_backspace_takes_a_fraction_away_whole():
    state = typed(["6", "'", "4", "3/8", BACK], KeypadState("feet-inch"))
    assert state.text == "6' 4"


def test_same_repeats_the_last_value_only_when_it_can_be_read_in_this_mode():
    assert press(KeypadState("decimal", last="41"), SAME).text == "41"
    assert not accepts(KeypadState("decimal", last="61' 4\""), SAME)
    assert not accepts(KeypadState("decimal", last=""), SAME)


def test_minus_is_taken_only_first_and_only_where_allowed():
    assert press(KeypadState("decimal"), "-").text == ""
    allowed = KeypadState("decimal", minus_allowed=True)
    assert typed("-3-", allowed).text == "-3"


def test_the_eighths_open_only_where_a_fraction_can_stand_and_close_after_one():
    after_feet = typed(["6", "'"], KeypadState("feet-inch"))
    opened = press(after_feet, EIGHTHS)
    assert opened.fractions_open
    assert not press(opened, "5/8").fractions_open
    assert press(opened, EIGHTHS) == replace(opened, fractions_open=False)
    assert not press(KeypadState("feet-inch"), EIGHTHS).fractions_open
    assert not press(KeypadState("decimal", "6"), EIGHTHS).fractions_open
