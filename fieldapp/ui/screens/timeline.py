"""Every entry of a shaft, the newest first; a tap opens one, with what became of it and what can be done."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Any, Final

from kivy.properties import StringProperty
from kivy.uix.screenmanager import Screen

from fieldapp.ui import asks_walk, ways
from fieldapp.ui.screens.onward import Onward
from fieldapp.ui.screens.shaft_rows import entry_row
from fieldapp.ui.screens.sides import Sides
from fieldapp.ui.screens.timeline_rows import page_rows
from fieldapp.ui.session import Session
from fieldapp.ui.walk import Walk
from fieldapp.ui.widgets.boxed import Ground
from fieldapp.ui.widgets.button_grid import ButtonGrid
from fieldapp.ui.widgets.loading import load_beside
from fieldapp.ui.widgets.notice import Notice
from fieldapp.ui.widgets.pages import Pages
from fieldapp.ui.widgets.press import PlainButton
from fieldapp.ui.widgets.text import Caption, Words
from fieldapp.ui.words import timeline as words
from fieldapp.ui.words.tongue import told, tr, tr_count

if TYPE_CHECKING:
    from fieldapp.desk.shaft.timeline import TimelineEntry

REGISTERED = (ButtonGrid, Notice, Pages)
AT_ONCE: Final = 20
EVERY, ONE = "every", "one"
BACK, AMEND, STRIKE = "back", "amend", "strike"


class TimelineMiddle(Ground):
    """The choice of entries, the entries or the page of one, and what can be done with it."""

    notice = StringProperty("")


class TimelineScreen(Screen):
    """``open(shaft)`` for every entry, with a stage for its own, with the id of an entry for its page."""

    def __init__(self, session: Session, way: Walk, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.session, self.way = session, way
        self.middle = TimelineMiddle()
        self.sides = Sides(session, self.middle, self._choose_stage, self._reason)
        self.add_widget(self.sides.frame)
        self.onward = Onward(way, self.sides, self._to_shaft)
        self.sides.bar.bind(on_back=lambda _bar: way.back())
        self.middle.ids.choices.bind(on_choose=lambda _grid, which: self._choose(which))
        self.middle.ids.actions.bind(on_choose=lambda _grid, what: self._act(what))
        self.shaft = self.stage = self.entry = ""
        self.page: asks_walk.TimelinePage | None = None
        self.shown = AT_ONCE
        self._last_stage = ""
        self._from_outside = False

    def open(self, shaft: str, stage: str = "", entry: str = "") -> None:
        if shaft != self.shaft:
            self.shaft, self.page = shaft, None
            self.middle.ids.pages.clear()
            self.middle.ids.choices.items = self.middle.ids.actions.items = []
            self.sides.name(shaft)
        self.stage, self.entry, self.shown = stage, entry, AT_ONCE
        self._last_stage, self._from_outside = stage, bool(entry)
        self.again()

    def again(self) -> None:
        """Ask for the entries anew: one may have been amended."""
        shaft = self.shaft
        self.middle.notice = ""
        self.session.ask(
            lambda place: asks_walk.timeline_page(place, shaft, self.session.moment(place, shaft)),
            partial(self._show, shaft),
            self._refused,
        )

    def goes_back(self) -> bool:
        """From the page of an entry to the list, unless it was opened from elsewhere."""
        if not self.entry or self._from_outside:
            return False
        self.entry = ""
        self._show_middle()
        return True

    def _show(self, shaft: str, page: asks_walk.TimelinePage) -> None:
        if shaft != self.shaft:
            return
        self.page = page
        self.sides.fill(page.page.view, self.stage)
        self.sides.bar.subtitle = tr(words.TITLE)
        self.onward.show(page.page, "")
        self._show_middle()

    def _show_middle(self) -> None:
        if self.page is None:
            return
        entry = self._opened()
        pages = self.middle.ids.pages
        pages.clear()
        pages.scroller.scroll_y = 1.0
        self.sides.rail.chosen = entry.stage if entry else self.stage
        self.middle.ids.choices.items = [] if entry else self._choices()
        self.middle.ids.choices.chosen = ONE if self.stage else EVERY
        self.middle.ids.actions.items = self._actions(entry) if entry else []
        if entry is not None:
            for row in page_rows(entry):
                pages.add_widget(row)
            return
        for each in self._rows():
            pages.add_widget(each)

    def _rows(self) -> list[Any]:
        entries = self._chosen()
        rows: list[Any] = [entry_row(each, self._open_entry) for each in entries[: self.shown]]
        older = len(entries) - self.shown
        if older > 0:
            more = PlainButton(text=tr_count(*words.OLDER, older), full="20sp")
            more.bind(on_release=lambda _button: self._show_older())
            rows.append(more)
        if not self.stage:
            rows.insert(0, Caption(text=tr(words.CHOOSE_STAGE)))
        return rows if entries else [Words(text=tr(words.NO_ENTRY))]

    def _choices(self) -> list[tuple[str, str]]:
        assert self.page is not None
        items = [(EVERY, tr(words.EVERY, count=len(self.page.entries)))]
        stage = self.stage or self._last_stage
        if stage:
            count = sum(each.stage == stage for each in self.page.entries)
            items.append((ONE, tr(words.ONE_STAGE, stage=tr(stage), count=count)))
        return items

    def _actions(self, entry: TimelineEntry) -> list[tuple[str, str]]:
        items = [(BACK, tr(words.TO_ENTRIES))]
        if entry.instead:
            return items
        if entry.contested:
            return [*items, (AMEND, tr(words.SETTLE))]
        if entry.by_round:
            return [*items, (STRIKE, tr(words.STRIKE)), (AMEND, tr(words.AMEND))]
        return [*items, (AMEND, tr(words.AMEND_OR_STRIKE))]

    def _opened(self) -> TimelineEntry | None:
        assert self.page is not None
        return next((each for each in self.page.entries if each.id == self.entry), None)

    def _chosen(self) -> list[TimelineEntry]:
        assert self.page is not None
        return [each for each in self.page.entries if self.stage in {"", each.stage}]

    def _choose(self, which: str) -> None:
        self.stage = "" if which == EVERY else self._last_stage
        self.shown = AT_ONCE
        self._show_middle()

    def _choose_stage(self, stage: str) -> None:
        """The rail chooses among the entries here."""
        self.stage = self._last_stage = stage
        self.entry, self.shown = "", AT_ONCE
        self._show_middle()

    def _open_entry(self, entry: str) -> None:
        self.entry, self._from_outside = entry, False
        self._show_middle()

    def _show_older(self) -> None:
        place = self.middle.ids.pages.scroller.scroll_y
        self.shown += AT_ONCE
        self._show_middle()
        self.middle.ids.pages.scroller.scroll_y = place

    def _act(self, what: str) -> None:
        entry = self._opened() if self.page is not None else None
        if what == BACK or entry is None:
            self.entry, self._from_outside = "", False
            self._show_middle()
        elif what == AMEND and entry.by_round and not entry.contested:
            self.way.go(ways.ROUND, shaft=self.shaft, amend=entry.id)
        else:
            self.way.go(ways.ENTRY, shaft=self.shaft, amend=entry.id)

    def _to_shaft(self, stage: str) -> None:
        self.way.go("shaft", shaft=self.shaft, stage=stage)

    def _reason(self, requirement: str) -> None:
        if self.page is not None:
            self.onward.reason(requirement)

    def _refused(self, problem: Exception) -> None:
        self.middle.notice = told(problem)


load_beside(__file__)
