"""What a release takes: until when, with everything that ends one, its conditions, and the reason.

The earliest end that is still to come stands there first; it is changed by the keys of a moment or by a tap
on another end.  It decides nothing.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from typing import TYPE_CHECKING, Any, Final

from kivy.metrics import dp
from kivy.properties import BooleanProperty, NumericProperty
from kivy.uix.boxlayout import BoxLayout

from fieldapp.ui.moments import day, hours_minutes
from fieldapp.ui.screens.entry_fields import EntryField
from fieldapp.ui.screens.setup_rows import SetupRow
from fieldapp.ui.screens.signoff_middle import GroupHead, Stack, Written
from fieldapp.ui.widgets.moment_field import MomentField
from fieldapp.ui.widgets.text import Caption
from fieldapp.ui.words import entry as entry_words
from fieldapp.ui.words import release as words
from fieldapp.ui.words.tongue import tr

if TYPE_CHECKING:
    from fieldapp.desk.decisions.engineer import ReleaseUntil

COLUMN_EM: Final = 30
UNTIL_SHARE: Final = 0.5


class ReleaseForm(Stack):
    """Gives ``on_typed()`` for every change and ``on_left()`` when it is worth keeping.

    While ``timing`` the keys of a moment stand there alone.
    """

    __events__ = ("on_typed", "on_left")
    timing = BooleanProperty(False)
    asks_until = BooleanProperty(True)
    """A release that holds is withdrawn with a reason; no time is asked for then."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.now: Callable[[], datetime] | None = None
        self.until: datetime | None = None
        self._taken = False
        self.box = EntryField(number=True, caption=tr(words.UNTIL))
        self.box.bind(on_release=lambda _box: self.open_until())
        self.pair = UntilAndConditions()
        self.limits = Stack(spacing=0)
        self._bounds: ReleaseUntil | None = None
        self.conditions = Written(caption=tr(words.CONDITIONS), hint=tr(words.WRITE))
        self.reason = Written(caption=tr(words.REASON_TELLS), hint=tr(words.WRITE))
        self.moment = MomentField(
            now_text=tr(entry_words.TAKE_NOW),
            back_text=tr(entry_words.DAY_BACK),
            forward_text=tr(entry_words.DAY_ON),
            today_text=tr(entry_words.TODAY),
            yesterday_text=tr(entry_words.YESTERDAY),
            days_on=1,
        )
        self._listen()

    def _listen(self) -> None:
        self.moment.bind(
            on_taken=lambda _field, moment: self._take(moment), on_next=lambda _field: self.close()
        )
        for each in (self.conditions, self.reason):
            each.bind(
                on_typed=lambda _written, _text: self.dispatch("on_typed"),
                on_left=lambda _written: self.dispatch("on_left"),
            )
        self.fbind("asks_until", self._stand)
        self._stand()

    @property
    def is_over(self) -> bool:
        """Whether the time that is said is over already."""
        return self.until is not None and self.now is not None and self.until <= self.now()

    def on_typed(self) -> None:
        pass

    def on_left(self) -> None:
        pass

    def begin(self, typed: dict[str, str]) -> None:
        """Take in hand what is half written."""
        until = typed.get("until", "")
        self.until = datetime.fromisoformat(until) if until else None
        self._taken = bool(until)
        self.conditions.text, self.reason.text = typed.get("conditions", ""), typed.get("reason", "")
        self.timing = False
        self._stand()
        self._say()

    def typed(self) -> dict[str, str]:
        """What is written, for the draft; a time only where it was chosen by hand."""
        texts = {"conditions": self.conditions.text, "reason": self.reason.text}
        if self._taken and self.until is not None:
            texts["until"] = self.until.isoformat()
        return {name: text for name, text in texts.items() if text}

    def show_limits(self, bounds: ReleaseUntil, preset: datetime | None) -> None:
        """List what ends a release, and say the preset unless a time was chosen by hand."""
        self._bounds = bounds
        if not self._taken:
            self.until = preset
        elif self.until is not None and self.now is not None:
            self.until = self.until.astimezone(self.now().tzinfo)
        self.limits.clear_widgets()
        if bounds.limits:
            self.limits.add_widget(GroupHead(text=tr(words.LIMITS)))
        for each in bounds.limits:
            row = SetupRow(title="", says=tr(each.says), value=hours_minutes(each.until), subject=each.until)
            row.bind(on_release=lambda tapped: self._take(tapped.subject))
            self.limits.add_widget(row)
        notes = [tr(each) for each in bounds.not_told] + ([] if bounds.limits else [tr(words.NO_LIMIT)])
        for note in notes:
            self.limits.add_widget(Caption(text=note, padding=(0, 8, 0, 8)))
        self._say()

    def open_until(self) -> None:
        """The keys of a moment, in place of the ends."""
        if self.timing:
            self.close()
            return
        self.timing = True
        self.moment.now = self.now
        self.moment.moment = self.until
        self._stand()

    def close(self) -> bool:
        """Back to the ends; False when the keys are not there."""
        if not self.timing:
            return False
        self.timing = False
        self._stand()
        return True

    def _take(self, moment: datetime) -> None:
        self.until, self._taken = moment, True
        self._say()
        for event in ("on_typed", "on_left"):
            self.dispatch(event)

    def _say(self) -> None:
        until = self.until
        self.box.value = hours_minutes(until) if until else "--:--"
        self.box.limit = day(until) if until else ""
        self.box.says = tr(words.IS_OVER) if self.is_over else ""
        self.box.shown = "not met" if self.is_over else ""

    @property
    def because(self) -> str:
        """What ends a release at the time that is said; empty for a time of somebody's own."""
        limits = self._bounds.limits if self._bounds is not None else ()
        return next((tr(each.says) for each in limits if each.until == self.until), "")

    def _stand(self, *_: object) -> None:
        self.clear_widgets()
        if not self.asks_until:
            self.add_widget(self.reason)
            return
        if self.timing:
            self.add_widget(self.moment)
            return
        self.pair.hold(self.conditions, self.box)
        for each in (self.pair, self.reason, self.limits):
            self.add_widget(each)


class UntilAndConditions(BoxLayout):
    """Under which conditions and until when, side by side; under each other where text is large."""

    em = NumericProperty("20sp")

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(size_hint_y=None, spacing=dp(12), **kwargs)
        self.bind(minimum_height=self.setter("height"))
        self._until: EntryField | None = None
        for name in ("width", "em"):
            self.fbind(name, self._turn)

    def hold(self, conditions: Written, until: EntryField) -> None:
        """Put both in their places."""
        self.clear_widgets()
        conditions.pos_hint, until.pos_hint = {"top": 1}, {"y": 0}
        for each in (conditions, until):
            self.add_widget(each)
        if self._until is not until:
            self._until = until
            conditions.bind(height=lambda _written, high: setattr(until, "least", high - dp(10)))
        until.least = conditions.height - dp(10)  # both boxes end on one line
        self._turn()

    def _turn(self, *_: object) -> None:
        self.orientation = "vertical" if self.width < COLUMN_EM * self.em else "horizontal"
        if self._until is not None:
            self._until.size_hint_x = 1 if self.orientation == "vertical" else UNTIL_SHARE
