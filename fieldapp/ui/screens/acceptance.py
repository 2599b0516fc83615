"""Choosing an acceptance set: the adopted one first, then each that comes with the program."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from kivy.uix.screenmanager import Screen

from fieldapp.ui import asks_project as asks
from fieldapp.ui.screens.setup_page import SetupMiddle, framed, row_of
from fieldapp.ui.screens.setup_rows import SetupHead, SetupRow
from fieldapp.ui.session import Session
from fieldapp.ui.walk import Walk
from fieldapp.ui.widgets.bar import Bar
from fieldapp.ui.words import acceptance as words
from fieldapp.ui.words.tongue import told, tr, tr_count

if TYPE_CHECKING:
    from fieldapp.desk.projects.acceptance_editing import PresetShown


class AcceptanceScreen(Screen):
    """A row leads to the numbers; nothing is adopted here."""

    def __init__(self, session: Session, way: Walk, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.session, self.way = session, way
        self.bar = Bar(title=tr(words.TITLE))
        self.bar.bind(on_back=lambda _bar: way.back())
        self.middle = SetupMiddle()
        self.add_widget(framed(session, self.middle, self.bar))
        self.page: asks.SetsPage | None = None

    def open(self) -> None:
        self.again()

    def again(self) -> None:
        self.session.ask(asks.sets_page, self._show, self._refused)

    def goes_back(self) -> bool:
        return bool(self.middle.ids.foot.close())

    def _show(self, page: asks.SetsPage) -> None:
        self.page = page
        self.middle.say("")
        adopted = self._row(page.adopted)
        adopted.detail = tr(words.OPEN_ADOPTED)
        self.middle.show(
            (
                SetupHead(text=tr(words.ADOPTED_NOW)),
                adopted,
                SetupHead(text=tr(words.TO_CHOOSE)),
                *(self._row(each) for each in page.presets),
            )
        )

    def _row(self, found: PresetShown) -> SetupRow:
        counts = [tr_count(*words.NUMBERS, found.numbers)]
        if found.to_enter:
            counts.append(tr_count(*words.MUST_ENTER, found.to_enter))
        what_for = words.FOR.get(found.name, "")
        return row_of(
            self._tapped,
            subject=found,
            shown="not shown" if found.to_enter else "met",
            title=found.title,
            says=tr(what_for),
            detail=found.standard,
            value="\n".join(counts),
        )

    def _tapped(self, found: PresetShown) -> None:
        page = self.page
        assert page is not None
        if found.name == page.start or not page.edited:
            self._begin(found.name, anew=found.name != page.start)
            return
        self.middle.ids.foot.ask(
            tr(words.BEGIN_ASKS, title=found.title),
            tr(words.GO_ON),
            tr(words.BEGIN),
            lambda: self._begin(found.name, anew=True),
        )

    def _begin(self, name: str, *, anew: bool) -> None:
        if anew:
            self.session.ask(
                lambda place: asks.begin_set(place, name),
                lambda _page: self.way.go("acceptance set"),
                self._refused,
            )
        else:
            self.way.go("acceptance set")

    def _refused(self, problem: Exception) -> None:
        self.middle.say(told(problem))
