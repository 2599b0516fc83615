"""The middle of a round: the base drawn with its points, the two depths of one point, the keypad.

It shows and gives events; what they mean is decided by the screen.
"""

from __future__ import annotations

from collections.abc import Container
from typing import TYPE_CHECKING, Any

from kivy.properties import BooleanProperty, NumericProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from fieldapp.ui.plan_parts import figures_of, plan_parts
from fieldapp.ui.round_typing import FIRM, FIRST
from fieldapp.ui.screens.round_parts import Reasons, RoundFields, RoundFigures
from fieldapp.ui.widgets.base_plan import BasePlan
from fieldapp.ui.widgets.boxed import Ground
from fieldapp.ui.widgets.foot import Foot
from fieldapp.ui.widgets.keypad import Keypad
from fieldapp.ui.widgets.keypad_state import KeypadState, finished
from fieldapp.ui.widgets.loading import load_beside
from fieldapp.ui.widgets.pages import Pages

if TYPE_CHECKING:
    from fieldapp.desk.shaft_view import RoundView

REGISTERED = (Foot,)
FEET_INCH = "ft-in"


class Column(BoxLayout):
    """Parts under each other (or side by side), as high as they are."""


class RoundMiddle(Ground):
    """``arrange`` it for the way the tablet is held, then show the base and a point."""

    __events__ = ("on_point", "on_field", "on_typed", "on_reason")
    unit = StringProperty("")
    thickness = StringProperty("")
    reasons_open = BooleanProperty(False)
    least_plan = NumericProperty("280dp")
    most_plan = NumericProperty("460dp")

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.plan = BasePlan(size_hint_y=None)
        self.figures, self.fields, self.reasons = RoundFigures(), RoundFields(), Reasons()
        self.keypad = Keypad(show_unit=False, show_next=False)
        self.fill, self.beside = Column(), Column(spacing="16dp")
        self.upper = Column(orientation="horizontal", spacing="16dp")
        self.base_pages, self.key_pages = Pages(gap="8dp"), Pages(gap="8dp", size_hint_x=0.8)
        self._showing = False
        self.plan.bind(on_point=lambda _plan, label: self.dispatch("on_point", label))
        self.fields.bind(on_field=lambda _fields, name: self.dispatch("on_field", name))
        self.reasons.bind(on_reason=lambda _reasons, reason: self.dispatch("on_reason", reason))
        self.keypad.bind(text=self._key_pressed)
        self.bind(thickness=self.fields.setter("thickness"), unit=self._take_unit)
        for part in (self.base_pages, self.key_pages, self.figures, self.fill):
            part.bind(height=self._fit_plan)
        self.plan.bind(width=self._fit_plan)
        self.begin()

    def arrange(self, portrait: bool) -> None:
        """Level: base left, depths and keys right.  Upright: base beside the depths, keys under them."""
        for part in (
            self.plan,
            self.figures,
            self.fields,
            self.fill,
            self.base_pages,
            self.key_pages,
            self.upper,
            self.beside,
        ):
            if part.parent is not None:
                part.parent.remove_widget(part)
        columns = self.ids.columns
        if portrait:
            _fill(self.beside, self.fields, self.figures)
            _fill(self.upper, self.plan, self.beside)
            _fill(self.key_pages, self.upper, self.fill)
            _fill(columns, self.key_pages)
        else:
            _fill(self.base_pages, self.plan, self.figures)
            _fill(self.key_pages, self.fields, self.fill)
            _fill(columns, self.base_pages, self.key_pages)
        self._fit_plan()

    def begin(self) -> None:
        """Nothing is known yet of the round."""
        self.plan.cells, self.plan.points, self.plan.active = [], [], ""
        self.ids.foot.close()
        self.close_reasons()
        self.say("", "")
        self.show_point("", "", {}, "")

    def show_base(self, so_far: RoundView, answered: Container[str]) -> None:
        self.plan.cells, self.plan.points = plan_parts(so_far, answered)
        texts = figures_of(so_far)
        for name, (number, caption) in zip(("share", "largest", "mean"), texts, strict=True):
            figure = self.figures.ids[name]
            figure.number, figure.caption = number, caption

    def show_point(self, label: str, field: str, reading: dict[str, str], last: str) -> None:
        """Put a point in hand; an empty label is none."""
        self._showing = True
        self.plan.active = self.fields.label = label
        self.fields.active = field if label else ""
        self.fields.first, self.fields.firm = reading.get(FIRST, ""), reading.get(FIRM, "")
        self.keypad.last, self.keypad.fractions_open = last, False
        self.keypad.text = reading.get(field, "")
        self.keypad.disabled = not label
        self._showing = False

    def finished(self, name: str) -> str:
        """The whole reading of a depth as it would be kept, open inches closed; empty while it is none."""
        text = self.fields.first if name == FIRST else self.fields.firm
        return finished(KeypadState(self.keypad.mode, text)) or "" if text else ""

    def say(self, shown: str, text: str) -> None:
        self.fields.shown, self.fields.said, self.fields.refused = shown, text, ""

    def refuse(self, text: str, field: str) -> None:
        """Say in place what cannot be, and mark the depth that it is about."""
        self.say("not met", text)
        self.fields.refused = field

    def turn_reasons(self, label: str) -> None:
        """Reasons in the place of the keys, or the keys again."""
        self.reasons.label = label
        self._put(self.keypad if self.reasons_open else self.reasons)
        self.reasons_open = not self.reasons_open

    def close_reasons(self) -> bool:
        was_open = bool(self.reasons_open)
        self.reasons_open = False
        self._put(self.keypad)
        return was_open

    def on_point(self, _label: str) -> None:
        pass

    def on_field(self, _name: str) -> None:
        pass

    def on_typed(self, _text: str) -> None:
        pass

    def on_reason(self, _reason: str) -> None:
        pass

    def _put(self, part: Keypad | Reasons) -> None:
        self.fill.clear_widgets()
        self.fill.add_widget(part)

    def _key_pressed(self, _pad: Keypad, text: str) -> None:
        if self._showing:
            return
        if self.fields.active == FIRST:
            self.fields.first = text
        elif self.fields.active == FIRM:
            self.fields.firm = text
        self.dispatch("on_typed", text)

    def _fit_plan(self, *_: object) -> None:
        """The base takes what the numbers, or the keys, leave, and is never wider than its place."""
        upright = self.base_pages.parent is None
        rest = (
            self.key_pages.height - self.fill.height
            if upright
            else self.base_pages.height - self.figures.height
        )
        room = min(rest - self.base_pages.gap, self.plan.width + self.plan.caption_px * 1.5, self.most_plan)
        self.plan.height = max(self.least_plan, room)

    def _take_unit(self, *_: object) -> None:
        self.fields.unit = self.unit
        self.keypad.mode = "feet-inch" if self.unit == FEET_INCH else "decimal"


def _fill(holder: Widget, *parts: Widget) -> None:
    for part in parts:
        holder.add_widget(part)


load_beside(__file__)
