"""A bundle comes in: chosen, shown as what it is, and taken over only then, whole or not at all.

Of another project, or on a device without one, it becomes a project of its own.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

from kivy.uix.screenmanager import Screen

from fieldapp.ui import asks_travel as asks
from fieldapp.ui.moments import day_and_time
from fieldapp.ui.recording import sentence_of
from fieldapp.ui.screens.bundle_out import size_of
from fieldapp.ui.screens.folder_screen import BUNDLE
from fieldapp.ui.screens.projects import take_up
from fieldapp.ui.screens.setup_page import SetupMiddle, framed, row_of
from fieldapp.ui.screens.setup_rows import SetupHead, SetupRow, SetupSays
from fieldapp.ui.screens.signoff_stop import Stoppable
from fieldapp.ui.session import Session
from fieldapp.ui.walk import Walk
from fieldapp.ui.widgets.bar import Bar
from fieldapp.ui.widgets.progress import Progress
from fieldapp.ui.words import travel as words
from fieldapp.ui.words.tongue import tr, tr_count

if TYPE_CHECKING:
    from kivy.uix.widget import Widget

    from fieldapp.desk.travel.looking import BundleSeen


class BundleInScreen(Screen):
    """``open()`` into the project in hand; ``open(alone=True)`` where none is."""

    def __init__(self, session: Session, way: Walk, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.session, self.way = session, way
        self.bar = Bar(title=tr(words.IN))
        self.bar.bind(on_back=lambda _bar: way.back())
        self.middle = SetupMiddle()
        self.middle.bind(on_next=lambda _middle: self._next(), on_second=lambda _middle: self._choose())
        self.progress = Progress()
        self.middle.add_widget(self.progress, index=len(self.middle.children) - 1)
        self.stoppable = Stoppable(self.progress)
        self.add_widget(framed(session, self.middle, self.bar))
        self.alone = False
        self.start = Path.home()
        self.page: asks.InPage | None = None
        self.result: asks.InResult | None = None

    def open(self, alone: bool = False) -> None:
        self.alone = alone
        self.page = self.result = None
        self.middle.say("")
        self._show()

    def again(self) -> None:
        self._show()

    @property
    def busy(self) -> bool:
        """Whether a bundle is on its way."""
        return bool(self.progress.running)

    def goes_back(self) -> bool:
        return self.busy or bool(self.middle.ids.foot.close())

    def look(self, path: Path) -> None:
        """Look into a file; nothing is taken over by that."""
        self.start, self.page, self.result = path.parent, None, None
        self.middle.say(tr(words.LOOKING, file=path.name), "")
        if self.alone:
            self.session.jobs.run(lambda: asks.look(path, None), self._seen, self._refused)
        else:
            self.session.ask(lambda place: asks.look(path, place), self._seen, self._refused)

    def take(self, *, own_came_back: bool = False) -> None:
        """Take over what was shown."""
        page, session = self.page, self.session
        if page is None or self.busy:
            return
        turning = self.stoppable.begin(()).turning
        self.middle.say("")
        self.stoppable.show(True, words.CHECKING, words.WRITING)
        self._show_next()
        seen = page.seen
        if page.of_this:
            session.ask(
                lambda place: asks.take(place, seen, turning, own_came_back=own_came_back),
                self._taken,
                self._refused,
            )
        else:
            by = (session.clock, session.device)
            session.jobs.run(lambda: asks.begin(page.folder, seen, turning, by), self._taken, self._refused)

    def _next(self) -> None:
        result = self.result
        if result is not None and result.folder is not None:
            take_up(self.session, self.way, result.folder)
        elif result is not None:
            self.way.go("board")
            self.way.get_screen("board").again()
        elif self.page is not None:
            self.take()
        else:
            self._choose()

    def _choose(self) -> None:
        self.way.go("bundle folder", wants=BUNDLE, start=self.start, chosen=self.look)

    def _seen(self, page: asks.InPage) -> None:
        self.page = page
        self.middle.say(tr(words.SEEN), "due")
        self._show()

    def _taken(self, result: asks.InResult) -> None:
        self.stoppable.show(False, "", "")
        self.result = result
        first, *_rest = result.says
        self.middle.say(tr(first), "met")
        if result.folder is None:
            self.session.ask(lambda place: place.now(), self.session.kept, self._refused)
        self._show()

    def _refused(self, problem: Exception) -> None:
        stopped = self.progress.running and self.stoppable.shape == "due"
        self.stoppable.show(False, "", "")
        if asks.own_came_back(problem):
            self.middle.ids.foot.ask(
                tr(words.CAME_BACK_ASKS),
                tr(words.NOT_NOW),
                tr(words.TAKE_THEM),
                lambda: self.take(own_came_back=True),
            )
        says = tr(words.STOPPED_IN) if stopped else sentence_of(problem)[0]
        self.middle.say(says, "due" if stopped else "not met")
        self._show()

    def _show(self) -> None:
        if self.result is not None:
            self.middle.show(_rows_of_result(self.result, self._to_shaft))
        elif self.page is not None:
            self.middle.show(_rows_of_page(self.page, alone=self.alone))
        else:
            self.middle.show([] if self.middle.said else [SetupSays(text=tr(words.IN_SAYS))])
        self._show_next()

    def _to_shaft(self, shaft: str) -> None:
        self.way.go("shaft", shaft=shaft)

    def _show_next(self) -> None:
        self.middle.next_able = not self.progress.running
        choosing = self.result is None and self.page is None
        self.middle.second_text = "" if choosing or self.progress.running else tr(words.ANOTHER)
        if self.result is not None:
            text = words.TO_BOARD if self.result.folder is None else words.OPEN_PROJECT
        elif self.page is not None:
            text = words.TAKE if self.page.of_this else words.TAKE_NEW
        else:
            text = words.CHOOSE
        self.middle.next_text = tr(text)


def _rows_of_page(page: asks.InPage, *, alone: bool) -> list[Widget]:
    """What the bundle is, before anything of it is taken over; ``alone``: no project is in hand."""
    seen = page.seen
    becomes = tr(words.NEW_PROJECT if alone else words.OTHER_PROJECT)
    rows: list[Widget] = [_row(words.PROJECT, seen.project, "" if page.of_this else becomes)]
    if not page.of_this:
        rows.append(_row(words.NEW_PLACE, str(page.folder)))
    rows += [
        _row(words.SENDER, _sender(seen), _known(page)),
        _row(words.MADE_AT, day_and_time(seen.made_at)),
        _row(words.ENTRIES, _entries(page)),
        _row(words.FILES, _files(seen)),
        _row(words.SIZE, size_of(seen.size), seen.path.name),
    ]
    return rows


def _row(title: str, says: str, detail: str = "") -> SetupRow:
    return SetupRow(title=tr(title), says=says, detail=detail, disabled=True)


def _sender(seen: BundleSeen) -> str:
    if seen.person:
        return tr(words.SENDER_BOTH, device=seen.device, person=seen.person)
    return tr(words.SENDER_DEVICE, device=seen.device)


def _known(page: asks.InPage) -> str:
    if not page.of_this:
        return ""
    return tr(words.KNOWN_DEVICE if page.seen.known_device else words.UNKNOWN_DEVICE)


def _entries(page: asks.InPage) -> str:
    template = words.ENTRIES_NEW if page.of_this else words.ENTRIES_ALL
    return tr(template, new=page.seen.new, all=page.seen.entries)


def _files(seen: BundleSeen) -> str:
    if seen.shafts is None:
        return tr(words.FILES_OF_ALL, count=seen.files)
    return tr(words.FILES_OF, count=seen.files, shafts=", ".join(seen.shafts) or tr(words.NO_SHAFTS))


def _rows_of_result(result: asks.InResult, tapped: Callable[[str], None]) -> list[Widget]:
    """The rest of the sentences, then every shaft that changed; a tap leads to it."""
    rows: list[Widget] = [SetupSays(text=tr(each)) for each in result.says[1:]]
    if result.shafts:
        rows.append(SetupHead(text=tr(words.CHANGED)))
    for shaft, says, lost, count in result.shafts:
        rows.append(
            row_of(
                tapped,
                subject=shaft,
                title=shaft,
                says=" ".join(tr(each) for each in says),
                value=tr_count(*words.NEW_ENTRIES, count) if count else "",
                shown="not met" if lost else "",
                indented=not lost,
            )
        )
    return rows
