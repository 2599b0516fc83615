"""The papers of a shaft or of the project: the list, a paper in the making, a file to be verified.

The log is the next thing: to be signed further by whoever holds the tablet, else to be made.  What else can
be made is offered over the list.  A paper is made beside the work by a worker of its own: nothing else waits
for it, and it can be stopped without leaving a file.
"""

from __future__ import annotations

from functools import partial
from threading import Event
from typing import TYPE_CHECKING, Any

from kivy.clock import Clock
from kivy.uix.screenmanager import Screen

from fieldapp.ui import asks_papers as asks
from fieldapp.ui.jobs import Jobs
from fieldapp.ui.recording import sentence_of
from fieldapp.ui.screens.setup_page import SetupMiddle, framed, row_of
from fieldapp.ui.screens.setup_rows import SetupHead
from fieldapp.ui.session import Session
from fieldapp.ui.walk import Walk
from fieldapp.ui.widgets.bar import Bar
from fieldapp.ui.widgets.progress import Progress
from fieldapp.ui.words import papers as words
from fieldapp.ui.words import signoff as sign_words
from fieldapp.ui.words.tongue import tr

if TYPE_CHECKING:
    from pathlib import Path

    from fieldapp.desk.papers.paper import Paper


class PapersScreen(Screen):
    """``open(shaft)`` for one shaft, ``open()`` for the whole project."""

    def __init__(self, session: Session, way: Walk, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.session, self.way = session, way
        self.shaft = ""
        self.waiting: asks.PaperRow | None = None
        """The log of the shaft that waits for a signature of whoever holds the tablet."""
        self.bar = Bar()
        self.bar.bind(on_back=lambda _bar: way.back())
        self.middle = SetupMiddle()
        self.middle.bind(on_next=lambda _middle: self._next(), on_second=lambda _middle: self._choose())
        self.progress = Progress()
        self.progress.bind(on_cancel=lambda _progress: self.cancel(), seconds=self._say_seconds)
        self.middle.add_widget(self.progress, index=len(self.middle.children) - 1)
        self.add_widget(framed(session, self.middle, self.bar))
        self._jobs: Jobs | None = None
        self._stopped = Event()

    def open(self, shaft: str = "") -> None:
        self.shaft, self.waiting = shaft, None
        self.middle.say("")
        self.bar.title, self.bar.subtitle = (shaft or tr(words.TITLE)), (tr(words.TITLE) if shaft else "")
        self.again()

    def again(self) -> None:
        shaft, person = self.shaft, self.session.person
        self._show_next()
        self.session.ask(
            lambda place: asks.papers_of(place, shaft, person),
            lambda rows: self._show(shaft, rows),
            self._refused,
        )

    @property
    def busy(self) -> bool:
        """Whether a log is in the making."""
        return bool(self.progress.running)

    def goes_back(self) -> bool:
        return False

    def make(self, kind: str = "") -> None:
        """Make a paper of the shaft as it is now, the log first; without a shaft the summary of all."""
        session, shaft = self.session, self.shaft
        kind = kind or self._first
        if self.progress.running:
            return
        if not session.person:
            self.way.go("person", then=lambda: self.make(kind))
            return
        stopped = self._stopped = Event()
        making = asks.Making(shaft, kind, session.person, stopped, partial(self._told, stopped))
        make = asks.make_paper if shaft else asks.make_summary
        folder, clock = session.folder, session.clock
        self._jobs = self._jobs or Jobs()
        self.middle.say("")
        self.progress.text = tr(words.MAKING[kind], shaft=shaft)
        self.progress.cancel_text, self.progress.running = tr(words.CANCEL), True
        self._show_next()
        self._jobs.run(
            lambda: make(folder, clock, making),
            lambda paper: None if stopped.is_set() else self._made(paper),
            lambda problem: None if stopped.is_set() else self._refused(problem),
        )

    @property
    def _first(self) -> str:
        """The kind of paper that is made next here."""
        return asks.LOG if self.shaft else asks.SUMMARY

    def _told(self, stopped: Event, number: int, count: int) -> None:
        """How far a summary is, from its worker: the words change on the screen's thread."""

        def say(_passed_s: float) -> None:
            if not stopped.is_set() and self.progress.running:
                self.progress.text = tr(words.MAKING_FAR, number=number + 1, count=count)

        Clock.schedule_once(say)

    def cancel(self) -> None:
        """Make it no further; what is half made is thrown away by its worker."""
        self._stopped.set()
        self.progress.running = False
        self.middle.say(tr(words.CANCELLED), "due")
        self._show_next()

    def _made(self, paper: Paper | None) -> None:
        if paper is None:
            return
        self.progress.running = False
        self.middle.say(tr(words.MADE if paper.new else words.THERE, file=paper.path.name), "met")
        self.session.ask(lambda place: place.now(), self.session.kept, self._refused)
        self.again()

    def _refused(self, problem: Exception) -> None:
        self.progress.running = False
        self.middle.say(sentence_of(problem)[0])
        self._show_next()

    def _show(self, shaft: str, rows: tuple[asks.PaperRow, ...]) -> None:
        if shaft != self.shaft:
            return
        if not rows and not self.middle.said:
            self.middle.say(tr(words.NONE_OF_SHAFT, shaft=shaft) if shaft else tr(words.NONE_YET), "")
        logs = (each for each in rows if shaft and each.yours and each.kind == asks.LOG)
        self.waiting = next(logs, None)
        offered = [each for each in words.MAKE_SAYS if shaft and (self.waiting or each != asks.LOG)]
        offers = [row_of(self.make, subject=kind, **_offer(kind, shaft)) for kind in offered]
        made = [row_of(self._tapped, subject=each.path, **_said(each)) for each in rows]
        where = tr(words.KEPT_IN, folder=str(self.session.folder / "reports"))
        self.middle.show((*offers, *([SetupHead(text=where)] if made else ()), *made))
        self._show_next()

    def _show_next(self) -> None:
        self.middle.second_text = tr(words.VERIFY)
        waiting = self.waiting
        first = words.SIGN_NEXT[waiting.next_role] if waiting else words.MAKE[self._first]
        self.middle.next_text = tr(first, shaft=self.shaft)
        self.middle.next_able = not self.progress.running

    def _next(self) -> None:
        if self.waiting is not None:
            self._tapped(self.waiting.path)
        else:
            self.make()

    def _say_seconds(self, *_: object) -> None:
        self.progress.seconds_text = tr(sign_words.SECONDS, seconds=int(self.progress.seconds))

    def _tapped(self, path: Path) -> None:
        self.way.go("paper", path=path)

    def _choose(self) -> None:
        self.way.go("paper folder", start=self.session.folder / "reports", chosen=self._tapped)


def _offer(kind: str, shaft: str) -> dict[str, str]:
    """A paper that can be made, in words."""
    return {
        "title": tr(words.MAKE[kind], shaft=shaft),
        "says": tr(words.MAKE_SAYS[kind]),
        "detail": "",
        "value": "",
        "shown": "due",
    }


def _said(row: asks.PaperRow) -> dict[str, str]:
    """A paper in words: whose signatures, which record; its shape says how far it is signed."""
    names = ", ".join(f"{name} ({tr(role)})" for name, role in row.signed)
    parts = [tr(words.SIGNED_BY, names=names) if names else tr(words.NO_SIGNATURE)]
    if row.further:
        parts.append(tr(words.FURTHER))
    elif row.as_now is not None:
        parts.append(tr(words.AS_NOW if row.as_now else words.OLDER))
    whole = 0 < row.most <= len(row.signed)
    shape = "met" if whole else "due" if row.signed and not row.further else "not asked"
    known = bool(row.shaft) or row.kind == asks.SUMMARY
    return {
        "title": tr(words.PAPER_OF[row.kind], shaft=row.shaft) if known else row.path.name,
        "says": "; ".join(parts),
        "detail": row.path.name if known else "",
        "value": tr(words.CLOSED) if whole else _how_far(row),
        "shown": shape,
    }


def _how_far(row: asks.PaperRow) -> str:
    signed = len(row.signed)
    return tr(words.SOME_SIGNED, count=signed, most=row.most) if signed and not row.further else ""
