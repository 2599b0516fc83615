"""A button that is held down by the enter key: letting go, repeats, buttons that go, somebody who writes."""

from __future__ import annotations

import pytest
from kivy.core.window import Window
from kivy.uix.boxlayout import BoxLayout

from fieldapp.ui.widgets.hardware_keys import ENTER, NUMPAD_ENTER
from fieldapp.ui.widgets.hold_button import KeyedHoldButton
from fieldapp.ui.widgets.text_field import TextField
from tests.screens import composed
from tests.screens.on_the_glass import key, shown, told


def let_go(code: int = ENTER) -> None:
    Window.dispatch("on_key_up", code, 0)


def test_a_button_is_held_by_the_enter_key_and_letting_go_early_does_nothing(hand):
    button = shown(hand, KeyedHoldButton(text="Hold down to sign"))
    held = told(button, "on_held")
    key(ENTER)
    hand.until(lambda: 0.2 < button.progress < 0.9)
    let_go()
    hand.pump(4)
    assert (held, button.progress) == ([], 0)
    for code in (ENTER, NUMPAD_ENTER):
        held.clear()
        key(code)
        hand.until(lambda: bool(held))
        assert held == [None]
        let_go(code)


def test_an_enter_key_that_stays_down_acts_once(hand):
    button = shown(hand, KeyedHoldButton(text="Hold down to sign", hold_s=0.2))
    held = told(button, "on_held")
    key(ENTER)
    hand.until(lambda: bool(held))
    for _ in range(4):  # a keyboard repeats a key that stays down
        key(ENTER)
        hand.pump(2)
    other = shown(hand, KeyedHoldButton(text="Hold down to release", hold_s=0.2))
    acted = told(other, "on_held")
    key(ENTER)
    hand.pump(8)
    assert (held, acted, other.progress) == ([None], [], 0)
    let_go()
    key(ENTER)
    hand.until(lambda: bool(acted))
    let_go()
    assert (held, acted) == ([None], [None])


@pytest.mark.parametrize("ended", ["taken away", "not able"])
def test_a_hold_ends_with_its_button_and_does_not_act(hand, ended):
    button = shown(hand, KeyedHoldButton(text="Hold down to sign", hold_s=0.2))
    held = told(button, "on_held")
    key(ENTER)
    hand.until(lambda: button.progress > 0)
    if ended == "not able":
        button.disabled = True
    else:
        button.parent.remove_widget(button)
    let_go()
    hand.pump(30)
    assert (held, button.progress, button.state) == ([], 0, "normal")


def test_the_enter_key_of_somebody_who_writes_holds_nothing(hand):
    column = shown(hand, BoxLayout(orientation="vertical"))
    field, button = TextField(long=True), KeyedHoldButton(text="Hold down to sign", hold_s=0.2)
    for each in (field, button):
        column.add_widget(each)
    hand.settle()
    held = told(button, "on_held")
    field.typing.focus = True
    column.remove_widget(button)
    column.add_widget(button)  # made anew while somebody writes, it hears the keys first
    key(ENTER)
    hand.pump(12)
    assert (held, button.state, field.text) == ([], "normal", "\n")
    let_go()
    field.typing.focus = False
    key(ENTER)
    hand.until(lambda: bool(held))
    let_go()


def test_a_release_is_held_by_the_enter_key_of_a_keyboard_too(hand):
    made = composed.fluid()
    hand.show(made.root)
    held = []
    made.strip.bind(on_next=lambda _strip: held.append(True))
    key(ENTER)
    hand.until(lambda: 0.2 < made.strip.next_button.progress < 0.9)
    let_go()
    hand.pump(4)
    assert (held, made.strip.next_button.progress) == ([], 0)
    key(ENTER)
    hand.until(lambda: bool(held))
    let_go()
    assert held == [True]


def test_what_a_hold_puts_in_hand_stays_so_when_the_finger_is_lifted(hand):
    """A passphrase that is asked for by a hold has its keyboard at once, and keeps it."""
    box = BoxLayout()
    button, field = KeyedHoldButton(text="Hold down to sign", hold_s=0.2), TextField()
    for each in (button, field):
        box.add_widget(each)
    hand.show(box)
    held = told(button, "on_held")
    button.bind(on_held=lambda _button: setattr(field.typing, "focus", True))
    touch = hand.touch(*button.to_window(*button.center))
    hand.until(lambda: bool(held))
    touch.touch_up()
    hand.pump(4)
    assert field.typing.focus
    hand.tap_at(*button.to_window(*button.center))  # the next touch elsewhere ends the writing as ever
    assert not field.typing.focus
