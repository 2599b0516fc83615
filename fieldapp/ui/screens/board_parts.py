"""The parts of the board: the rows with what chooses among them, and the way to everything else."""

from __future__ import annotations

from typing import Any

from kivy.properties import BooleanProperty, ListProperty, NumericProperty, ObjectProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from fieldapp.ui.board_rows import NEEDS_A_HAND
from fieldapp.ui.widgets.board_row import Board as BoardTable
from fieldapp.ui.widgets.boxed import Ground
from fieldapp.ui.widgets.button_grid import ButtonGrid
from fieldapp.ui.widgets.loading import load_beside
from fieldapp.ui.widgets.notice import Notice
from fieldapp.ui.widgets.pages import Pages
from fieldapp.ui.widgets.press import PlainButton
from fieldapp.ui.widgets.text_field import TextField
from fieldapp.ui.words import board as words
from fieldapp.ui.words import common
from fieldapp.ui.words.tongue import tr

REGISTERED = (BoardTable, Notice, PlainButton, TextField)


class BoardRows(BoxLayout):
    """The search and the choices, the rows, and a sentence when something keeps the project shut."""

    __events__ = ("on_again", "on_shaft")
    choice = StringProperty(NEEDS_A_HAND)
    sought = StringProperty("")
    find_text = StringProperty("")
    notice = StringProperty("")
    trouble = StringProperty("")
    em = NumericProperty("20sp")
    ems_of_one_line = NumericProperty(52)
    find = ObjectProperty(None)
    choices = ObjectProperty(None)
    table = ObjectProperty(None)

    def on_kv_post(self, _base: Widget) -> None:
        typing = self.find.typing
        for name in ("height", "line_height"):
            typing.fbind(name, self._centre)

    def _centre(self, *_: object) -> None:
        """The line that is typed stands in the middle of its box, as the words of the buttons do."""
        typing = self.find.typing
        side, above = typing.padding[0], max(0, (typing.height - typing.line_height) / 2)
        typing.padding = (side, above, side, 0)

    def on_trouble(self, _rows: BoardRows, sentence: str) -> None:
        self.ids.trouble.clear_widgets()
        if sentence:
            again = PlainButton(text=tr(common.TRY_AGAIN), least="80dp")
            again.bind(on_release=lambda _button: self.dispatch("on_again"))
            self.ids.trouble.add_widget(again)

    def on_again(self) -> None:
        pass

    def on_shaft(self, _shaft: str) -> None:
        pass


class BoardFoot(BoxLayout):
    """Who holds the tablet, and the way to what is not a shaft."""

    __events__ = ("on_who", "on_more")
    who_text = StringProperty("")
    more_text = StringProperty("")
    open = BooleanProperty(False)
    who_button = ObjectProperty(None)
    more_button = ObjectProperty(None)

    def on_who(self) -> None:
        pass

    def on_more(self) -> None:
        pass


class BoardMiddle(Ground):
    """The rows over the foot; ``places`` (screen, text) take their place once more is tapped."""

    __events__ = ("on_who", "on_place")
    places = ListProperty([])

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.rows = BoardRows(find_text=tr(words.FIND))
        self.foot = BoardFoot(more_text=tr(words.MORE))
        self.column = ButtonGrid(least="80dp", gap="12dp", side_room="120dp")
        self.more = Pages()
        self.more.add_widget(self.column)
        self.add_widget(self.rows)
        self.add_widget(self.foot)
        self.ids = {"table": self.rows.table, "who": self.foot.who_button, "more": self.foot.more_button}
        self.bind(places=lambda _middle, places: setattr(self.column, "items", places))
        self.foot.bind(on_who=lambda _foot: self.dispatch("on_who"), on_more=lambda _foot: self._turn())
        self.column.bind(on_choose=lambda _column, name: self.dispatch("on_place", name))

    def on_who(self) -> None:
        pass

    def on_place(self, _name: str) -> None:
        pass

    def close(self) -> bool:
        """Show the rows again; False when they are shown."""
        if not self.foot.open:
            return False
        self._turn()
        return True

    def _turn(self) -> None:
        self.foot.open = not self.foot.open
        shown, hidden = (self.more, self.rows) if self.foot.open else (self.rows, self.more)
        self.remove_widget(hidden)
        self.add_widget(shown, index=1)
        self.foot.more_text = tr(words.TO_THE_BOARD if self.foot.open else words.MORE)


load_beside(__file__)
