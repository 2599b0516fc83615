"""A time of day and its day: now by one tap, or hour and minute by the keys; a day back by one tap more.

Never a wheel.  Half a time changes nothing: the moment stays what it was until hour and minute are whole.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, timedelta
from typing import Any

from kivy.properties import NumericProperty, ObjectProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout

from fieldapp.ui.moments import day as day_of
from fieldapp.ui.widgets.keypad import Keypad
from fieldapp.ui.widgets.loading import load_beside
from fieldapp.ui.widgets.press import PlainButton
from fieldapp.ui.widgets.text import Caption, Number

REGISTERED = (Caption, Number, PlainButton)


class MomentField(BoxLayout):
    """``moment`` is what is said; ``now`` is asked for the present, in the zone that is meant.

    ``head`` is the row of the time, with room for one button more.  Gives ``on_taken(moment)`` for every
    change by hand, and ``on_next()``.  Words come in as ``now_text``, ``back_text``, ``forward_text``,
    ``today_text``, ``yesterday_text`` and ``next_text``.
    """

    __events__ = ("on_taken", "on_next")
    moment = ObjectProperty(None, allownone=True)
    head = ObjectProperty(None)
    now = ObjectProperty(None, allownone=True)
    day_text = StringProperty("")
    time_text = StringProperty("")
    days_on = NumericProperty(0)
    """How many days after today it can be: none for what was seen, one for a release over midnight."""
    now_text = StringProperty("")
    back_text = StringProperty("")
    forward_text = StringProperty("")
    today_text = StringProperty("today")
    yesterday_text = StringProperty("yesterday")
    next_text = StringProperty("next")

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self._showing = False
        self.head = self.ids.head
        self._day: datetime | None = None
        self.keypad = Keypad(mode="time", show_unit=False)
        self.add_widget(self.keypad)
        self.fbind("next_text", self.keypad.setter("next_text"))
        self.fbind("moment", self._show)
        self.fbind("now", self._show)
        self.keypad.bind(text=self._typed, on_next=lambda *_: self.dispatch("on_next"))
        self.ids.now.bind(on_release=lambda _button: self.take(self._present()))
        self.ids.back.bind(on_release=lambda _button: self.turn_day(-1))
        self.ids.forward.bind(on_release=lambda _button: self.turn_day(1))
        self._show()

    def take(self, moment: datetime | None) -> None:
        """Say this moment, and tell of it."""
        if moment is None:
            return
        self.moment = moment
        self._show()
        self.dispatch("on_taken", moment)

    def turn_day(self, days: int) -> None:
        """The same time of day, a day earlier or later; never after the last day that it can be."""
        present, day = self._present(), self._day
        if present is None or day is None:
            return
        turned = day + timedelta(days=days)
        if (turned.date() - present.date()).days > self.days_on:
            return
        self._day = turned
        if self.moment is not None:
            self.take(self._on_day(self.moment.hour, self.moment.minute))
        else:
            self._say()

    def on_taken(self, _moment: datetime) -> None:
        pass

    def on_next(self) -> None:
        pass

    def _present(self) -> datetime | None:
        ask: Callable[[], datetime] | None = self.now
        return ask() if ask is not None else None

    def _show(self, *_: object) -> None:
        self._day = self.moment or self._present()
        self._showing = True
        self.keypad.text = f"{self.moment:%H:%M}" if self.moment is not None else ""
        self._showing = False
        self._say()

    def _say(self) -> None:
        present, day = self._present(), self._day
        self.time_text = self.keypad.text
        if day is None or present is None:
            self.day_text = ""
            return
        away = (present.date() - day.date()).days
        named = {0: self.today_text, 1: self.yesterday_text}.get(away, "")
        self.day_text = f"{named}, {day_of(day)}" if named else day_of(day)
        self.ids.forward.disabled = away <= -self.days_on

    def _typed(self, _pad: Keypad, text: str) -> None:
        if self._showing:
            return
        self.time_text = text
        if len(text) == len("00:00"):
            moment = self._on_day(int(text[:2]), int(text[3:]))
            if moment is not None and moment != self.moment:
                self.take(moment)

    def _on_day(self, hour: int, minute: int) -> datetime | None:
        day = self._day
        return None if day is None else day.replace(hour=hour, minute=minute, second=0, microsecond=0, fold=0)


load_beside(__file__)
