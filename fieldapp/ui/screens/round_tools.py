"""What stands in the place of the keys when it is asked for: an earlier round, the tape, why it is changed.

And the four buttons that ask for it, or put a point somewhere else.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from kivy.metrics import dp
from kivy.properties import NumericProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.gridlayout import GridLayout

from fieldapp.ui.plan_parts import plan_parts
from fieldapp.ui.widgets.base_plan import BasePlan
from fieldapp.ui.widgets.choice_list import ChoiceList
from fieldapp.ui.widgets.loading import load_beside
from fieldapp.ui.widgets.notice import Notice
from fieldapp.ui.widgets.press import PlainButton
from fieldapp.ui.widgets.text import Caption, Words
from fieldapp.ui.widgets.text_field import TextField
from fieldapp.ui.words import round as words
from fieldapp.ui.words.tongue import tr

if TYPE_CHECKING:
    from fieldapp.desk.rounds.beside import Beside, Difference, EarlierRound

REGISTERED = (BasePlan, Caption, ChoiceList, Notice, TextField, Words)
MOVE: Final = "move"
ADD: Final = "add"
TAPE: Final = "tape"
COMPARE: Final = "compare"
MOST_COLUMNS: Final = 4


class ToolButton(PlainButton):
    """One of the other things that can be done to a round."""

    name = StringProperty("")


class Tools(GridLayout):
    """``show`` the names of what can be done with their words; gives ``on_tool(name)``."""

    __events__ = ("on_tool",)
    least_px = NumericProperty("148sp")

    def show(self, texts: dict[str, str]) -> None:
        """Show these buttons, in this order."""
        if [each.name for each in reversed(self.children)] != list(texts):
            self.clear_widgets()
            for name in texts:
                button = ToolButton(name=name)
                button.bind(on_release=lambda pressed: self.dispatch("on_tool", pressed.name))
                self.add_widget(button)
        for each in self.children:
            each.text = texts[each.name]

    def columns(self, width: float, least_px: float, count: int) -> int:
        """As many columns as there is room for, and no more than fill the last line best."""
        gap = dp(8)
        room = max(1, min(MOST_COLUMNS, int((width + gap) / (least_px + gap))))
        lines = max(1, -(-count // room))
        return max(1, -(-count // lines))

    def button(self, name: str) -> ToolButton:
        """The button of this name.  Raises StopIteration when it is not shown."""
        found: ToolButton = next(each for each in self.children if each.name == name)
        return found

    def on_tool(self, _name: str) -> None:
        pass


class Tape(BoxLayout):
    """How the tape is marked; gives ``on_tape(unit)``."""

    __events__ = ("on_tape",)

    def show(self, units: tuple[str, ...], chosen: str) -> None:
        """Offer these units."""
        self.ids.units.options = [(each, tr(words.TAPES[each])) for each in units]
        self.ids.units.chosen = [chosen]

    def on_tape(self, _unit: str) -> None:
        pass


class Why(BoxLayout):
    """Why a round is changed: a few reasons, or other words; gives ``on_why(text)``."""

    __events__ = ("on_why",)

    def show(self, text: str) -> None:
        """Offer the reasons, with the one that stands."""
        self.ids.reasons.options = [(each, tr(each)) for each in words.WHY_REASONS]
        self.ids.reasons.chosen = [text] if text in words.WHY_REASONS else []
        self.ids.written.text = text

    def on_why(self, _text: str) -> None:
        pass


class RoundBeside(BoxLayout):
    """A row of earlier rounds; the chosen one is drawn, and its difference said point by point."""

    __events__ = ("on_round",)
    title = StringProperty("")

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self._entries: list[str] = []

    def offer(self, earlier: tuple[EarlierRound, ...]) -> None:
        """The rounds that can be compared."""
        row = self.ids.row
        row.clear_widgets()
        self._entries = [each.entry for each in earlier]
        for each in earlier:
            button = ToolButton(name=each.entry, text=tr(words.ROUND, number=each.number))
            button.bind(on_release=lambda pressed: self.dispatch("on_round", pressed.name))
            row.add_widget(button)

    def show(self, beside: Beside) -> None:
        """Draw a round, and say the differences."""
        for each in self.ids.row.children:
            each.chosen = each.name == beside.entry
        self.title = tr(beside.view.title)
        plan = self.ids.plan
        plan.cells, plan.points = plan_parts(beside.view, {each.label for each in beside.view.cells})
        said = self.ids.said
        said.clear_widgets()
        for each in beside.differences:
            said.add_widget(Words(text=_said(each)))

    def on_round(self, _entry: str) -> None:
        pass


def _said(each: Difference) -> str:
    values = {"label": each.label, "was": tr(each.was)}
    if not each.known:
        return tr(words.NO_CHANGE_SHOWN, **values)
    if each.apart:
        return tr(words.CHANGE_FROM, **values, change=each.change, nearest=each.nearest, apart=each.apart)
    return tr(words.CHANGE, **values, change=each.change)


load_beside(__file__)
