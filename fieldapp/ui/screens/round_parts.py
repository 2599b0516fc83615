"""Parts of a round: what is typed of a point, the numbers of the base, why there is no reading.

With large text only the box in hand is shown: it stays in view, and a tap on it goes to the other one.
"""

from __future__ import annotations

from typing import Any, Final

from kivy.properties import BooleanProperty, ListProperty, NumericProperty, StringProperty
from kivy.uix.behaviors import ButtonBehavior
from kivy.uix.boxlayout import BoxLayout

from fieldapp.ui.widgets.boxed import Boxed
from fieldapp.ui.widgets.figure import Figure
from fieldapp.ui.widgets.loading import load_beside
from fieldapp.ui.widgets.notice import Notice
from fieldapp.ui.widgets.press import PlainButton
from fieldapp.ui.widgets.reading_field import ReadingField
from fieldapp.ui.widgets.text import Caption, Number, Words
from fieldapp.ui.words import round as words
from fieldapp.ui.words.tongue import tr

REGISTERED = (Caption, Figure, Notice, Number, ReadingField, Words)
DEPTH_BOXES: Final = ("first_contact", "firm")
PLACE_BOXES: Final = ("r", "angle")


class HandField(ButtonBehavior, Boxed, BoxLayout):
    """The box in hand when the text is large: one line where there is width for it."""

    caption = StringProperty("")
    value = StringProperty("")
    limit = StringProperty("")
    level = BooleanProperty(False)


class RoundFields(BoxLayout):
    """First contact and firm with the thickness, or the place of a point; then what is to be said of them.

    The boxes are ``away`` while something is looked at that nobody types.
    """

    __events__ = ("on_field",)
    label = StringProperty("")
    unit = StringProperty("")
    place_unit = StringProperty("")
    placing = BooleanProperty(False)
    tight = BooleanProperty(False)
    away = BooleanProperty(False)
    active = StringProperty("")
    first = StringProperty("")
    firm = StringProperty("")
    r = StringProperty("")
    angle = StringProperty("")
    thickness = StringProperty("")
    shown = StringProperty("")
    said = StringProperty("")
    refused = StringProperty("")
    captions = ListProperty(["", ""])
    least = NumericProperty("84dp")

    def on_kv_post(self, _base: object) -> None:
        self._boxes: list[ReadingField] = [self.ids.upper.__self__, self.ids.lower.__self__]
        self._hand: HandField = self.ids.hand.__self__
        for name in ("tight", "away", "placing", "active", "captions"):
            self.fbind(name, self._arrange)
        for name in ("label", "placing"):
            self.fbind(name, self._name)
        self._arrange()
        self._name()

    @property
    def names(self) -> tuple[str, str]:
        """What the two boxes are now."""
        return PLACE_BOXES if self.placing else DEPTH_BOXES

    @property
    def in_hand(self) -> ReadingField | HandField:
        """The box that is being typed in."""
        return self._hand if self.tight else self._boxes[self.active == self.names[1]]

    def text_of(self, name: str) -> str:
        """What stands in a box."""
        return str(getattr(self, {"first_contact": "first"}.get(name, name)))

    def write(self, name: str, text: str) -> None:
        """Put a text into a box."""
        setattr(self, {"first_contact": "first"}.get(name, name), text)

    def other(self) -> str:
        """The box that is not in hand."""
        first, second = self.names
        return first if self.active == second else second

    def on_field(self, _name: str) -> None:
        pass

    def _arrange(self, *_: object) -> None:
        for each in (*self._boxes, self._hand):
            if each.parent is not None:
                self.remove_widget(each)
        boxes = [self._hand] if self.tight else self._boxes
        for each in boxes if self.active and not self.away else ():
            self.add_widget(each, index=1)  # above the notice, which is the last child
        self._hand.caption = self.captions[self.active == self.names[1]]

    def _name(self, *_: object) -> None:
        if self.placing:
            templates = (words.FROM_CENTRE, words.FROM_UPSTATION)
        else:
            templates = (words.FIRST_CONTACT, words.FIRM)
        plain = (words.FIRST_CONTACT_ONLY, words.FIRM_ONLY)
        self.captions = (
            [tr(each, label=self.label) for each in templates] if self.label else [tr(each) for each in plain]
        )


class RoundFigures(BoxLayout):
    """Share, assured share, largest and mean of the round so far, and what the map says of the next sounding.

    While a point has no thickness one sentence says so in the place of the numbers.
    """

    upright = BooleanProperty(False)
    """Upright the strip is closed: what it says of the round stands here too."""
    missing = StringProperty("")
    over = StringProperty("")
    advice = StringProperty("")
    settled = BooleanProperty(False)


class FigureGrid(BoxLayout):
    """Numbers beside each other, as many as fit, their tops in line."""

    least_px = NumericProperty("130sp")
    cols = NumericProperty(0)

    def on_kv_post(self, _base: object) -> None:
        self._figures = list(reversed(self.children))
        self.fbind("cols", self._arrange)
        self._arrange()

    def _arrange(self, *_: object) -> None:
        for each in self._figures:
            if each.parent is not None:
                each.parent.remove_widget(each)
        self.clear_widgets()
        in_row = max(1, int(self.cols))
        for start in range(0, len(self._figures), in_row):
            row = FigureRow()
            for each in self._figures[start : start + in_row]:
                row.add_widget(each)
            self.add_widget(row)


class FigureRow(BoxLayout):
    """Numbers in one line."""


class Reasons(BoxLayout):
    """Why there is no reading: a question and a few large answers, in the place of the keys."""

    __events__ = ("on_reason",)
    label = StringProperty("")

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        for reason in words.REASONS:
            button = PlainButton(text=tr(reason))
            button.bind(on_release=lambda _button, reason=reason: self.dispatch("on_reason", reason))
            self.add_widget(button)

    def on_reason(self, _reason: str) -> None:
        pass


load_beside(__file__)
