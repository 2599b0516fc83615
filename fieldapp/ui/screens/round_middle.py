"""The middle of a round: the base drawn with its points, the two depths of one point, the keypad.

It shows and gives events; what they mean is decided by the screen.
"""

from __future__ import annotations

from collections.abc import Container
from typing import TYPE_CHECKING, Any

from kivy.properties import BooleanProperty, NumericProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout

from fieldapp.ui.plan_parts import figures_of, plan_parts
from fieldapp.ui.round_typing import FIRM, FIRST
from fieldapp.ui.widgets.base_plan import BasePlan
from fieldapp.ui.widgets.boxed import Ground
from fieldapp.ui.widgets.figure import Figure
from fieldapp.ui.widgets.foot import Foot
from fieldapp.ui.widgets.keypad import Keypad
from fieldapp.ui.widgets.keypad_state import KeypadState, finished
from fieldapp.ui.widgets.loading import load_beside
from fieldapp.ui.widgets.notice import Notice
from fieldapp.ui.widgets.pages import Pages
from fieldapp.ui.widgets.press import PlainButton
from fieldapp.ui.widgets.reading_field import ReadingField
from fieldapp.ui.words import round as words

if TYPE_CHECKING:
    from fieldapp.desk.shaft_view import RoundView

REGISTERED = (Foot, Notice, ReadingField)
FEET_INCH = "ft-in"


class RoundFields(BoxLayout):
    """First contact, firm with the thickness, and a sentence when something is to be said of them."""

    __events__ = ("on_field",)
    label = StringProperty("")
    unit = StringProperty("")
    active = StringProperty("")
    first = StringProperty("")
    firm = StringProperty("")
    thickness = StringProperty("")
    shown = StringProperty("")
    said = StringProperty("")
    refused = StringProperty("")

    def on_field(self, _name: str) -> None:
        pass


class RoundFigures(BoxLayout):
    """Share, largest and mean of the round so far."""


class Reasons(BoxLayout):
    """Why there is no reading: a question and a few large answers, in the place of the keys."""

    __events__ = ("on_reason",)
    label = StringProperty("")

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        for reason in words.REASONS:
            button = PlainButton(text=reason, least="72dp")
            button.bind(on_release=lambda _button, reason=reason: self.dispatch("on_reason", reason))
            self.add_widget(button)

    def on_reason(self, _reason: str) -> None:
        pass


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
        self.fill = BoxLayout(orientation="vertical", size_hint_y=None)
        self.fill.bind(minimum_height=self.fill.setter("height"))
        self.left, self.right = Pages(gap="8dp"), Pages(gap="8dp")
        self._showing = False
        self.plan.bind(on_point=lambda _plan, label: self.dispatch("on_point", label))
        self.fields.bind(on_field=lambda _fields, name: self.dispatch("on_field", name))
        self.reasons.bind(on_reason=lambda _reasons, reason: self.dispatch("on_reason", reason))
        self.keypad.bind(text=self._key_pressed)
        self.bind(thickness=self.fields.setter("thickness"), unit=self._take_unit)
        for part, name in ((self.left, "size"), (self.figures, "height"), (self.fields, "height")):
            part.bind(**{name: self._fit_plan})
        self.begin()

    def arrange(self, portrait: bool) -> None:
        """Level: base left, depths and keys right.  Upright: base beside the depths, keys under them."""
        columns, top = self.ids.columns, self.ids.top
        for part in (self.plan, self.figures, self.fields, self.fill, self.left, self.right):
            if part.parent is not None:
                part.parent.remove_widget(part)
        top.clear_widgets()
        columns.orientation = "vertical" if portrait else "horizontal"
        self.right.size_hint_x = 1 if portrait else 0.8
        for page, parts in ((self.left, self._left(portrait)), (self.right, self._right(portrait))):
            for part in parts:
                page.add_widget(part)
            columns.add_widget(page)
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
        was_open, self.reasons_open = self.reasons_open, False
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

    def _take_unit(self, *_: object) -> None:
        self.fields.unit = self.unit
        self.keypad.mode = "feet-inch" if self.unit == FEET_INCH else "decimal"


load_beside(__file__)
