"""The middle of a fluid test: one box a property with its limit, the watch and the keypad, the depths.

In its place the water check of the funnel, or the choice of what the sample is read with.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING, Any, Final

from kivy.properties import StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from fieldapp.ui.widgets.boxed import Ground
from fieldapp.ui.widgets.choice_list import ChoiceList
from fieldapp.ui.widgets.finding_row import ReasonRow
from fieldapp.ui.widgets.foot import Foot
from fieldapp.ui.widgets.keypad import Keypad
from fieldapp.ui.widgets.loading import load_beside
from fieldapp.ui.widgets.notice import Notice
from fieldapp.ui.widgets.pages import Pages
from fieldapp.ui.widgets.press import PlainButton
from fieldapp.ui.widgets.reading_field import ReadingField
from fieldapp.ui.widgets.stopwatch import Stopwatch
from fieldapp.ui.widgets.text import Words
from fieldapp.ui.words import entry as entry_words
from fieldapp.ui.words import fluid as words
from fieldapp.ui.words.tongue import degrees, tr

if TYPE_CHECKING:
    from fieldapp.desk.entry_forms.fluid_form import FluidField as FormField
    from fieldapp.desk.entry_forms.fluid_form import FluidForm
    from fieldapp.desk.entry_forms.form import FieldAnswer
    from fieldapp.ui.asks import Texts

REGISTERED = (Foot, Notice, Pages)
WITHOUT_UNIT: Final = ("pH", "count", "ratio")
MINUS_FOR: Final = ("temperature",)
WATCH_KEY: Final = "160dp"
WATCH_KEY_ASKED: Final = "88dp"
GIVEN: Final = ("on_place", "on_field", "on_typed", "on_next_field", "on_watch", "on_check", "on_kit")


class PlaceChoice(PlainButton):
    """A depth at which a sample is asked for."""


class FluidField(ReadingField):
    """One property of the sample."""


class FluidFact(ReasonRow):
    """Something known beside the sample; a tap leads to what changes it."""


class FluidColumn(BoxLayout):
    """Parts under each other, as high as they are."""


class FluidMiddle(Ground):
    """It shows and gives events; what they mean is decided by the screen."""

    __events__ = (*GIVEN, "on_labels")
    shown = StringProperty("")
    said = StringProperty("")
    refused = StringProperty("")
    row_shown = StringProperty("")
    row_said = StringProperty("")

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.fields: dict[str, FluidField] = {}
        self.places: dict[str, PlaceChoice] = {}
        self._boxes: dict[str, FormField] = {}
        self._showing = False
        self.keypad = Keypad(show_unit=False)
        self.watch = Stopwatch(
            start_text=tr(entry_words.START), stop_text=tr(entry_words.STOP), number_px="44sp"
        )
        self.check, self.kit = FluidFact(), FluidFact()
        self.labels = ChoiceList(several=True)
        self.notice = Notice()
        self._answers, self._places = FluidColumn(), FluidColumn()
        self._listen()

    def _listen(self) -> None:
        for name in ("shown", "said"):
            self.bind(**{name: lambda *_: self._say()})
        self.ids.foot.bind(on_asking=lambda *_: self.show_tools())
        self.keypad.bind(text=self._key_pressed, on_next=lambda *_: self.dispatch("on_next_field"))
        self.watch.bind(
            on_started=lambda _watch: self.dispatch("on_watch"),
            on_stopped=lambda _watch, _elapsed_s: self.dispatch("on_watch"),
        )
        self.check.bind(on_release=lambda _fact: self.dispatch("on_check"))
        self.kit.bind(on_release=lambda _fact: self.dispatch("on_kit"))
        self.labels.bind(on_choice=lambda _list, chosen: self.dispatch("on_labels", chosen))

    def begin(self) -> None:
        """Nothing is known yet of the sample."""
        self.ids.foot.close()
        self.say("", "")
        self.show_row(None)
        self.fields, self.places, self._boxes = {}, {}, {}
        for holder in (self.ids.fields, self.ids.facts, self._places, self._answers):
            holder.clear_widgets()
        self.show_tools()

    def show_form(self, form: FluidForm) -> None:
        """The boxes of a sample, the depths that are left, the funnel's check, what it is read with."""
        self.begin()
        for each in form.places:
            text = tr(words.PLACE, where=tr(each.caption), depth=each.depth)
            self.places[each.depth.read] = choice = PlaceChoice(text=text)
            choice.bind(on_release=lambda _choice, depth=each.depth.read: self.dispatch("on_place", depth))
            self._places.add_widget(choice)
        self._show_boxes(form.fields)
        if form.funnel_check is not None:
            self.check.shown, self.check.text = form.funnel_check.outcome, tr(form.funnel_check.says)
            self.ids.facts.add_widget(self.check)
        labels = ", ".join(label for _, label in form.instruments)
        self.kit.text = tr(words.READ_WITH, labels=labels) if labels else tr(words.NO_INSTRUMENT)
        if form.choices:
            self.ids.facts.add_widget(self.kit)

    def show_water(self, fields: Iterable[FormField]) -> None:
        """The two boxes of a water check."""
        self.begin()
        self._show_boxes(fields)

    def show_choices(self, choices: Iterable[tuple[str, str]], chosen: Iterable[str]) -> None:
        """What a sample can be read with, in the place of its boxes."""
        self.begin()
        self.labels.options = [
            (label, tr(words.NAMED, label=label, type=tr(kind))) for label, kind in choices
        ]
        self.labels.chosen = list(chosen)
        self.ids.fields.add_widget(Words(text=tr(words.WHICH_INSTRUMENTS)))
        self.ids.fields.add_widget(self.labels)

    def show_field(self, texts: Texts, name: str, depth: str = "") -> None:
        """Put one field in hand."""
        self._showing = True
        for each, choice in self.places.items():
            choice.chosen = each == depth
        for each, field in self.fields.items():
            field.value, field.active = texts.get(each, ""), each == name
        self.keypad.minus_allowed = name in MINUS_FOR
        self.keypad.last = self._boxes[name].last
        self.keypad.text = texts.get(name, "")
        self._showing = False
        self.show_tools()

    def fill(self, name: str, text: str) -> None:
        """Put a text in the field in hand without a key."""
        self._showing = True
        self.fields[name].value = self.keypad.text = text
        self._showing = False

    def show_tools(self) -> None:
        """The watch where it can fill the field in hand, the keys, and the depths where there is room.

        While a question stands the depth cannot be changed and nothing is timed: the choice makes room for
        the question, and the key of the watch is lower.
        """
        asking = self.ids.foot.question is not None
        self.watch.ids.key.least = WATCH_KEY_ASKED if asking else WATCH_KEY
        active = next((each for each, field in self.fields.items() if field.active), "")
        watched = bool(active) and self._boxes[active].watched_s is not None
        wanted: list[Widget] = [self.watch] if watched else []
        if active:
            wanted += [self.keypad]
        wanted += [self.notice, self._answers]
        if not watched and not asking:
            wanted += [self._places]
        pages = self.ids.key_pages
        if [*reversed(pages.content.children)] != wanted:
            pages.clear()
            for each in wanted:
                pages.add_widget(each)

    def answer(self, answers: Mapping[str, FieldAnswer]) -> None:
        """What the limits say, as a shape in each box and a sentence where it matters."""
        self.refused = ""
        self._answers.clear_widgets()
        for name, field in self.fields.items():
            found = answers.get(name)
            field.shown = found.outcome if found else ""
            if found and found.says:
                self._answers.add_widget(Notice(shown=found.outcome, text=tr(found.says)))
        if answers and self.shown == "not met":
            self.said = ""

    def show_row(self, row: FieldAnswer | None) -> None:
        """How many sets in a row are within limits."""
        self.row_shown, self.row_said = (row.outcome, tr(row.says)) if row is not None else ("", "")

    def forget(self, name: str) -> None:
        """A field is being typed again: what was said of it holds no more."""
        self.fields[name].shown = ""
        self.say("", "")

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

    def on_watch(self) -> None:
        pass

    def on_check(self) -> None:
        pass

    def on_kit(self) -> None:
        pass

    def on_labels(self, _labels: list[str]) -> None:
        pass

    def _show_boxes(self, fields: Iterable[FormField]) -> None:
        for each in fields:
            unit = "" if each.unit in WITHOUT_UNIT else each.unit
            made = FluidField(caption=tr(each.caption), unit=degrees(unit), limit=degrees(tr(each.limit)))
            made.bind(on_release=lambda _field, name=each.name: self.dispatch("on_field", name))
            self.fields[each.name], self._boxes[each.name] = made, each
            self.ids.fields.add_widget(made)

    def _say(self) -> None:
        self.notice.shown, self.notice.text = self.shown, self.said

    def _key_pressed(self, _pad: Keypad, text: str) -> None:
        active = [each for each in self.fields.values() if each.active]
        if not self._showing and active:
            active[0].value = text
            self.dispatch("on_typed", text)


load_beside(__file__)
