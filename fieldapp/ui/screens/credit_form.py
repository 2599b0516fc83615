"""What a disposition takes: which one, for a reduced credit its number and displacement, and why.

Numbers are typed with the keypad.  It decides nothing.
"""

from __future__ import annotations

from typing import Any, Final

from kivy.clock import Clock
from kivy.metrics import dp
from kivy.properties import NumericProperty
from kivy.uix.boxlayout import BoxLayout

from fieldapp.ui.screens.entry_fields import EntryField
from fieldapp.ui.screens.signoff_middle import Stack, Written
from fieldapp.ui.widgets.choice_list import ChoiceList
from fieldapp.ui.widgets.keypad import Keypad
from fieldapp.ui.words import credit as words
from fieldapp.ui.words import release as release_words
from fieldapp.ui.words.tongue import tr

REDUCED: Final = "reduced credit"
CREDIT: Final = "credit"
DISPLACEMENT: Final = "displacement"
COLUMN_EM: Final = 30


class CreditForm(BoxLayout):
    """Gives ``on_typed()`` for every change and ``on_left()`` when it is worth keeping."""

    __events__ = ("on_typed", "on_left")
    em = NumericProperty("20sp")

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(size_hint_y=None, spacing=dp(16), **kwargs)
        self.bind(minimum_height=self.setter("height"))
        self.choosing, self.typing = (Stack(pos_hint={"top": 1}) for _ in range(2))
        self.unit = ""
        self.in_hand = ""
        self._showing = False
        self.choices = ChoiceList(options=[(value, tr(text)) for value, text in words.DECISIONS.items()])
        self.boxes = {name: EntryField(name=name, number=True) for name in (CREDIT, DISPLACEMENT)}
        self.keypad = Keypad(mode="decimal", show_unit=False)
        self.why = Written(caption=tr(words.WHY), hint=tr(release_words.WRITE))
        self._listen()

    def _listen(self) -> None:
        self.choices.bind(on_choice=lambda _choices, _chosen: self._chosen())
        for each in self.boxes.values():
            each.bind(on_release=lambda box: self.take(box.name))
        self.keypad.bind(text=self._typed, on_next=lambda _pad, _reading: self._go_on())
        for name in ("width", "em"):
            self.fbind(name, Clock.create_trigger(self._stand))
        self.why.bind(
            on_typed=lambda _written, _text: self.dispatch("on_typed"),
            on_left=lambda _written: self.dispatch("on_left"),
        )
        self._stand()

    @property
    def decision(self) -> str:
        """The disposition that is chosen, or nothing."""
        return self.choices.chosen[0] if self.choices.chosen else ""

    @property
    def missing(self) -> str:
        """Name of the box that a reduced credit still needs, or nothing."""
        if self.decision != REDUCED:
            return ""
        return next((name for name, box in self.boxes.items() if not box.value), "")

    def on_typed(self) -> None:
        pass

    def on_left(self) -> None:
        pass

    def begin(self, typed: dict[str, str], unit: str, displacement: str) -> None:
        """Take in hand what is half written; the strength displacement is offered."""
        self.unit, self.in_hand = unit, ""
        self.choices.chosen = [typed["decision"]] if typed.get("decision") in words.DECISIONS else []
        self.boxes[CREDIT].value = typed.get(CREDIT, "")
        self.boxes[CREDIT].caption = tr(words.CREDIT)
        self.boxes[DISPLACEMENT].value = typed.get(DISPLACEMENT, displacement)
        self.boxes[DISPLACEMENT].caption = tr(words.DISPLACEMENT, unit=unit)
        self.why.text = typed.get("why", "")
        self._stand()

    def typed(self) -> dict[str, str]:
        """What is written, for the draft."""
        if not (self.decision or self.why.text or self.boxes[CREDIT].value):
            return {}
        texts = {name: box.value for name, box in self.boxes.items()}
        texts |= {"decision": self.decision, "why": self.why.text}
        return {name: text for name, text in texts.items() if text}

    def take(self, name: str) -> None:
        """A box was tapped, or is next."""
        self.in_hand = name
        self._showing = True
        self.keypad.text = self.boxes[name].value
        self._showing = False
        self._stand()

    def _typed(self, _pad: Keypad, text: str) -> None:
        if not self._showing and self.in_hand:
            self.boxes[self.in_hand].value = text
            self.dispatch("on_typed")

    def _go_on(self) -> None:
        self.dispatch("on_left")
        if self.in_hand == CREDIT:
            self.take(DISPLACEMENT)
        else:
            self.in_hand = ""
            self._stand()

    def _chosen(self) -> None:
        if self.decision == REDUCED and self.missing:
            self.take(self.missing)
        else:
            self.in_hand = ""
            self._stand()
        for event in ("on_typed", "on_left"):
            self.dispatch(event)

    def _stand(self, *_: object) -> None:
        """Choices and reason left, numbers right; with large text all under each other."""
        reduced = self.decision == REDUCED
        for name, box in self.boxes.items():
            box.active = name == self.in_hand
        numbers = [*self.boxes.values(), *([self.keypad] if self.in_hand else [])] if reduced else []
        stacked = self.width < COLUMN_EM * self.em
        left, right = [self.choices, *(numbers if stacked else []), self.why], [] if stacked else numbers
        for column in (self.choosing, self.typing):
            column.clear_widgets()
        for column, wanted in ((self.choosing, left), (self.typing, right)):
            for each in wanted:
                column.add_widget(each)
        self.orientation = "horizontal" if right else "vertical"  # under each other pages turn box by box
        self.clear_widgets()
        for column in (self.choosing, self.typing) if right else (self.choosing,):
            self.add_widget(column)
