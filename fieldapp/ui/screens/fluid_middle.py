"""The middle of a fluid test: depths to choose from, one box a property with its limit, the keypad."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from kivy.properties import StringProperty
from kivy.uix.boxlayout import BoxLayout

from fieldapp.ui.widgets.boxed import Ground
from fieldapp.ui.widgets.foot import Foot
from fieldapp.ui.widgets.keypad import Keypad
from fieldapp.ui.widgets.loading import load_beside
from fieldapp.ui.widgets.notice import Notice
from fieldapp.ui.widgets.pages import Pages
from fieldapp.ui.widgets.press import PlainButton
from fieldapp.ui.widgets.reading_field import ReadingField
from fieldapp.ui.words import fluid as words
from fieldapp.ui.words.tongue import tr

if TYPE_CHECKING:
    from fieldapp.desk.entry_forms.fluid_form import FieldAnswer, FluidForm
    from fieldapp.ui.asks_fluid import FluidTyped

REGISTERED = (BoxLayout, Foot, Keypad, Notice, Pages)
WITHOUT_UNIT = ("pH", "count", "ratio")
MINUS_FOR = ("temperature",)


class PlaceChoice(PlainButton):
    """A depth at which a sample is asked for."""


class FluidField(ReadingField):
    """One property of the sample."""


class FluidMiddle(Ground):
    """It shows and gives events; what they mean is decided by the screen."""

    __events__ = ("on_place", "on_field", "on_typed", "on_next_field")
    shown = StringProperty("")
    said = StringProperty("")
    refused = StringProperty("")

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.fields: dict[str, FluidField] = {}
        self.places: dict[str, PlaceChoice] = {}
        self._last: dict[str, str] = {}
        self._showing = False
        self.keypad = self.ids.keypad
        self._places, self._pages = self.ids.places.__self__, self.ids.key_pages.__self__
        self.ids.foot.bind(on_asking=lambda _foot, asking: self.lock(asking))
        self.keypad.bind(text=self._key_pressed, on_next=lambda *_: self.dispatch("on_next_field"))

    def begin(self) -> None:
        """Nothing is known yet of the sample."""
        self.ids.foot.close()
        self.say("", "")
        self.fields, self.places = {}, {}
        for holder in (self.ids.fields, self._places, self.ids.answers):
            holder.clear_widgets()

    def show_form(self, form: FluidForm) -> None:
        self.begin()
        for each in form.places:
            text = tr(words.PLACE, where=tr(each.caption), depth=each.depth)
            self.places[each.depth.read] = choice = PlaceChoice(text=text)
            choice.bind(on_release=lambda _choice, depth=each.depth.read: self.dispatch("on_place", depth))
            self._places.add_widget(choice)
        for field in form.fields:
            unit = "" if field.unit in WITHOUT_UNIT else field.unit
            made = FluidField(
                caption=tr(field.caption), unit=words.degrees(unit), limit=words.degrees(tr(field.limit))
            )
            made.bind(on_release=lambda _field, name=field.name: self.dispatch("on_field", name))
            self.fields[field.name] = made
            self._last[field.name] = field.last
            self.ids.fields.add_widget(made)

    def show_field(self, typed: FluidTyped, name: str) -> None:
        """Put one field in hand."""
        self._showing = True
        for depth, choice in self.places.items():
            choice.chosen = depth == typed.depth
        for each, field in self.fields.items():
            field.value, field.active = typed.fields.get(each, ""), each == name
        self.keypad.minus_allowed = name in MINUS_FOR
        self.keypad.last = self._last.get(name, "")
        self.keypad.text = typed.fields.get(name, "")
        self._showing = False

    def answer(self, answers: Mapping[str, FieldAnswer]) -> None:
        """What the limits say, as a shape in each box and a sentence where it matters."""
        self.refused = ""
        self.ids.answers.clear_widgets()
        for name, field in self.fields.items():
            found = answers.get(name)
            field.shown = found.outcome if found else ""
            if found and found.says:
                self.ids.answers.add_widget(Notice(shown=found.outcome, text=tr(found.says)))
        if answers:
            self.said = ""

    def forget(self, name: str) -> None:
        """A field is being typed again: what was said of it holds no more."""
        self.fields[name].shown = ""
        self.say("", "")

    def lock(self, asking: bool) -> None:
        """While a question stands the depth cannot be changed: the choice makes room for the question."""
        places, pages = self._places, self._pages
        if asking and places.parent is not None:
            pages.content.remove_widget(places)
        elif not asking and places.parent is None:
            pages.add_widget(places)

    def say(self, shown: str, text: str) -> None:
        self.shown, self.said, self.refused = shown, text, ""

    def refuse(self, text: str, field: str) -> None:
        """Say in place what cannot be, and mark the field that it is about."""
        self.say("not met", text)
        self.refused = field
        if field in self.fields:
            self.fields[field].shown = "not met"

    def on_place(self, _depth: str) -> None:
        pass

    def on_field(self, _name: str) -> None:
        pass

    def on_typed(self, _text: str) -> None:
        pass

    def on_next_field(self) -> None:
        pass

    def _key_pressed(self, _pad: Keypad, text: str) -> None:
        active = [each for each in self.fields.values() if each.active]
        if not self._showing and active:
            active[0].value = text
            self.dispatch("on_typed", text)


load_beside(__file__)
