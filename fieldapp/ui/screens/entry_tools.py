"""What the box in hand needs: keys, words to choose, free text, a moment, a stopwatch.  One at a time.

Every tool is made once.  A tool gives text as the desk reads it through ``on_typed``.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from typing import TYPE_CHECKING, Any

from kivy.properties import StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from fieldapp.desk.entry_forms.form import Ask
from fieldapp.ui.entry_typing import apart, minus_in, together
from fieldapp.ui.moments import to_the_second
from fieldapp.ui.screens.picture_tool import PictureTool
from fieldapp.ui.widgets.choice_list import ChoiceList
from fieldapp.ui.widgets.keypad import Keypad
from fieldapp.ui.widgets.keypad_state import mode_of
from fieldapp.ui.widgets.loading import load_beside
from fieldapp.ui.widgets.moment_field import MomentField
from fieldapp.ui.widgets.press import PlainButton
from fieldapp.ui.widgets.stopwatch import Stopwatch
from fieldapp.ui.widgets.text import Caption
from fieldapp.ui.widgets.text_field import TextField
from fieldapp.ui.widgets.typed_unit import TypedUnit
from fieldapp.ui.words import entry as words
from fieldapp.ui.words.tongue import tr

if TYPE_CHECKING:
    from fieldapp.desk.entry_forms.form import FormField

YES, NO = "yes", "no"


class ToolHint(Caption):
    """What the field in hand is told by."""


class EntryTools(BoxLayout):
    """Gives ``on_typed(text)``, ``on_done()`` (the box is finished), ``on_unit()``, ``on_watch()``.

    And ``on_picture(digest)``: choose one, or look at the one of this digest.
    """

    __events__ = ("on_typed", "on_done", "on_unit", "on_watch", "on_picture")
    tells = StringProperty("")

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.box: FormField | None = None
        self._showing = False
        self._timed = False
        self._alone = False
        self._kept = ""
        self.keypad = Keypad()
        self.wrong_unit = TypedUnit()
        self.choices = ChoiceList()
        self.text_field = TextField(hint=tr(words.WRITE_HERE))
        self.suggested = ChoiceList()
        self.moment = MomentField(
            now_text=tr(words.TAKE_NOW),
            back_text=tr(words.DAY_BACK),
            forward_text=tr(words.DAY_ON),
            today_text=tr(words.TODAY),
            yesterday_text=tr(words.YESTERDAY),
            next_text=self.keypad.next_text,
        )
        self.watch = Stopwatch(start_text=tr(words.START), stop_text=tr(words.STOP))
        self.picture = PictureTool()
        self.turn = PlainButton(full="20sp")
        self.go_on = PlainButton(text=tr(words.GO_ON), full="20sp")
        self.hint = ToolHint()
        self._listen()

    def _listen(self) -> None:
        self.keypad.bind(
            text=self._key_pressed, unit=self._unit_taken, on_next=lambda *_: self.dispatch("on_done")
        )
        self.wrong_unit.bind(on_take=lambda _offer, unit: self.keypad.take_unit(unit))
        self.choices.bind(on_choice=lambda _list, chosen: self._chosen(chosen))
        self.suggested.bind(on_choice=lambda _list, chosen: self._suggested(chosen))
        self.text_field.bind(on_typed=lambda _field, text: self._type(text))
        self.moment.bind(
            on_taken=lambda _field, moment: self._type(moment.isoformat()),
            on_next=lambda _field: self.dispatch("on_done"),
        )
        self.watch.bind(
            on_started=lambda _watch: self.dispatch("on_watch"),
            on_stopped=lambda _watch, _elapsed_s: self.dispatch("on_watch"),
        )
        self.picture.bind(
            on_choose=lambda _tool: self.dispatch("on_picture", ""),
            on_look=lambda _tool: self.dispatch("on_picture", self._kept),
            on_away=lambda _tool: self._type_picture(""),
        )
        self.turn.bind(on_release=lambda _button: self._turn())
        self.go_on.bind(on_release=lambda _button: self.dispatch("on_done"))

    def show(self, box: FormField, text: str, watched: bool = False, alone: bool = False) -> None:
        """Put a box in hand; ``watched``: the stopwatch can fill it; ``alone``: no other box follows."""
        self.box, self._timed, self._alone = box, watched, alone
        self._showing = True
        self.hint.text = tr(box.tells)
        show: dict[Ask, Callable[[FormField, str], list[Widget]]] = {
            Ask.READING: self._number,
            Ask.COUNT: self._number,
            Ask.TEXT: self._text,
            Ask.CHOICE: self._choice,
            Ask.SEVERAL: self._choice,
            Ask.YES_NO: self._choice,
            Ask.MOMENT: self._moment,
            Ask.PICTURE: self._picture,
        }
        self._fill(show[box.ask](box, text))
        self._showing = False

    def doubt(self, sentence: str, units: tuple[str, ...]) -> None:
        """Say that the number looks like another unit, and offer it."""
        self.wrong_unit.units = [(each, tr(words.TAKE_UNIT, unit=each)) for each in units]
        self.wrong_unit.text = sentence

    def write(self) -> None:
        """Begin to write where the box in hand is a text: it was asked for a second time."""
        if self.text_field.parent is self:
            self.text_field.typing.focus = True

    @property
    def text(self) -> str:
        """The number in hand as the desk reads it."""
        box = self.box
        return "" if box is None else together(box, self.keypad.text, self.keypad.unit)

    def on_typed(self, _text: str) -> None:
        pass

    def on_done(self) -> None:
        pass

    def on_unit(self) -> None:
        pass

    def on_watch(self) -> None:
        pass

    def on_picture(self, _digest: str) -> None:
        pass

    def _fill(self, tools: list[Widget]) -> None:
        self.clear_widgets()
        if self.turn.parent is not None:
            self.turn.parent.remove_widget(self.turn)
        for each in tools:
            self.add_widget(each)
        if self.hint.text:
            self.add_widget(self.hint)

    def _number(self, box: FormField, text: str) -> list[Widget]:
        number, unit = apart(box, text)
        pad = self.keypad
        pad.minus_allowed = minus_in(box)
        pad.units, pad.show_unit = list(box.units), len(box.units) > 1
        pad.fractions_open = False
        pad.mode = "count" if box.ask is Ask.COUNT else mode_of(unit)
        pad.unit, pad.text = unit, number
        pad.last = apart(box, box.last)[0] if apart(box, box.last)[1] == unit else ""
        self.doubt("", ())
        return [*([self.watch] if self._timed else []), pad, self.wrong_unit]

    def _text(self, box: FormField, text: str) -> list[Widget]:
        self.text_field.long = box.long
        self.text_field.text = text
        self.suggested.options = [(each.value, tr(each.caption)) for each in box.options]
        self.suggested.chosen = [each.value for each in box.options if each.value == text]
        return [
            self.text_field,
            *([self.suggested] if box.options else []),
            *([] if self._alone else [self.go_on]),
        ]

    def _choice(self, box: FormField, text: str) -> list[Widget]:
        options = [(each.value, tr(each.caption)) for each in box.options]
        if box.ask is Ask.YES_NO and not options:
            options = [(YES, tr(words.YES)), (NO, tr(words.NO))]
        self.choices.several = box.ask is Ask.SEVERAL
        self.choices.options = options
        self.choices.chosen = [value for value, _ in options if value in text.split("\n")]
        return [self.choices, *([self.go_on] if self.choices.several else [])]

    def _picture(self, _box: FormField, text: str) -> list[Widget]:
        self._kept, self.picture.kept = text, bool(text)
        return [self.picture, *([] if self._alone else [self.go_on])]

    def _type_picture(self, digest: str) -> None:
        self._kept, self.picture.kept = digest, bool(digest)
        self._type(digest)

    def _moment(self, box: FormField, text: str) -> list[Widget]:
        self.moment.moment = self._in_zone(text)
        if self._timed:
            self.turn.text = tr(words.TYPE_THE_TIME)
            return [self.watch, self.turn]
        return [self.moment]

    def _in_zone(self, text: str) -> datetime | None:
        present: datetime | None = self.moment.now() if self.moment.now else None
        moment = datetime.fromisoformat(text) if text else None
        return moment.astimezone(present.tzinfo) if moment and present else moment

    def _turn(self) -> None:
        """From the stopwatch to the keys of a moment, and back."""
        if self.watch.parent is self:
            self.turn.text = tr(words.TO_THE_WATCH)
            self._fill([self.moment])
            self.moment.head.add_widget(self.turn)
        else:
            self.turn.text = tr(words.TYPE_THE_TIME)
            self._fill([self.watch, self.turn])

    def say_watch(self, since: datetime | None) -> None:
        """Under the seconds: since when it runs."""
        self.watch.caption = tr(words.RUNS_SINCE, time=to_the_second(since)) if since else ""
        again = self.watch.elapsed_s > 0 and not self.watch.running
        self.watch.start_text = tr(words.START_AGAIN if again else words.START)

    def _type(self, text: str) -> None:
        if not self._showing:
            self.suggested.chosen = [each for each in self.suggested.rows if each == text]
            self.dispatch("on_typed", text)

    def _key_pressed(self, _pad: Keypad, _text: str) -> None:
        if not self._showing:
            self.doubt("", ())
            self.dispatch("on_typed", self.text)

    def _unit_taken(self, _pad: Keypad, _unit: str) -> None:
        if not self._showing:
            self.doubt("", ())
            self.dispatch("on_typed", self.text)
            self.dispatch("on_unit")

    def _chosen(self, chosen: list[str]) -> None:
        self._type("\n".join(chosen))
        if chosen and not self.choices.several:
            self.dispatch("on_done")

    def _suggested(self, chosen: list[str]) -> None:
        text = chosen[0] if chosen else ""
        self.text_field.text = text
        self._type(text)


load_beside(__file__)
