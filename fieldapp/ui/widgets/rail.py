"""The rail: where this shaft stands, stage by stage, each with its shape.

Landscape: a column whose rows share the height.  ``across`` (portrait): a row under the bar, in as many
lines as the words need; nothing is hidden.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import floor
from typing import Any

from kivy.properties import BooleanProperty, ListProperty, NumericProperty, StringProperty
from kivy.uix.gridlayout import GridLayout

from fieldapp.ui.widgets.boxed import Ground, Hairline
from fieldapp.ui.widgets.loading import load_beside
from fieldapp.ui.widgets.measure import word_width
from fieldapp.ui.widgets.pages import Pages
from fieldapp.ui.widgets.press import RailRow


@dataclass(frozen=True, slots=True)
class Stage:
    """One stage: its key, its caption, and the state of what is asked in it."""

    key: str
    text: str
    shown: str


class Rail(Ground):
    """Give it ``stages`` and ``chosen``; it gives ``on_stage(key)``."""

    __events__ = ("on_stage",)
    stages = ListProperty([])
    chosen = StringProperty("")
    across = BooleanProperty(False)
    caption_px = NumericProperty("16sp")
    side_room = NumericProperty("8dp")
    least_column = NumericProperty("64dp")

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self._rows: list[RailRow] = []
        self._holder: Pages | RailGrid | None = None
        self.fbind("stages", self._build)
        self.fbind("across", self._build)
        self.fbind("chosen", self._mark)
        for name in ("size", "caption_px"):
            self.fbind(name, self._share)
        self._build()

    def row(self, key: str) -> RailRow:
        return next(row for row in self._rows if row.stage == key)

    def on_stage(self, _key: str) -> None:
        pass

    def _build(self, *_: object) -> None:
        self.clear_widgets()
        self._holder = RailGrid() if self.across else Pages()
        self.add_widget(self._holder)
        self._rows = []
        for stage in self.stages:
            row = RailRow(stage=stage.key, text=stage.text, shown=stage.shown, upright=self.across)
            row.bind(on_release=lambda tapped: self.dispatch("on_stage", tapped.stage))
            self._rows.append(row)
            row.bind(minimum_height=self._share)
            self._holder.add_widget(row)
            if not self.across:
                self._holder.add_widget(Hairline())
        if isinstance(self._holder, RailGrid):
            self._holder.bind(minimum_height=self._share)
        self._mark()
        self._share()

    def _mark(self, *_: object) -> None:
        for row in self._rows:
            row.chosen = row.stage == self.chosen

    def _share(self, *_: object) -> None:
        if not self._rows or self._holder is None:
            return
        if isinstance(self._holder, RailGrid):
            widest = max(word_width(row.text, self.caption_px) for row in self._rows) + self.side_room + 4
            apart = self._holder.spacing[0]
            columns = floor((self.width + apart) / (max(self.least_column, widest) + apart))
            lines = -(-len(self._rows) // max(1, columns))
            self._holder.cols = -(-len(self._rows) // lines)
            for start in range(0, len(self._rows), self._holder.cols):
                line = self._rows[start : start + self._holder.cols]
                for row in line:
                    row.share = max(each.minimum_height for each in line)
            self.height = self._holder.minimum_height
        else:
            hairline = self._holder.content.children[0].height
            share = floor(self.height / len(self._rows) - hairline)
            for row in self._rows:
                row.share = share
            self._rows[-1].share = share + self.height - len(self._rows) * (share + hairline)


class RailGrid(GridLayout):
    """Equal columns, rows as high as their longest caption."""


load_beside(__file__)
