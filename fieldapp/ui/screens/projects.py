"""The projects that this device knows, the one opened last first; one that cannot be opened says why."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from kivy.uix.screenmanager import Screen

from fieldapp.ui.moments import day
from fieldapp.ui.screens import projects_asks as asks
from fieldapp.ui.screens.setup_page import SetupMiddle, framed, row_of
from fieldapp.ui.screens.setup_rows import SetupHead, SetupRow
from fieldapp.ui.session import Session
from fieldapp.ui.walk import Walk
from fieldapp.ui.widgets.bar import Bar
from fieldapp.ui.words import projects as words
from fieldapp.ui.words import travel
from fieldapp.ui.words.tongue import told, tr

if TYPE_CHECKING:
    from fieldapp.desk.projects.known import ProjectNow


class ProjectsScreen(Screen):
    """The way may begin here, without a project in hand."""

    def __init__(self, session: Session, way: Walk, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.session, self.way = session, way
        self.bar = Bar(title=tr(words.TITLE))
        self.bar.bind(on_back=lambda _bar: way.back())
        self.middle = SetupMiddle(second_text=tr(words.OPEN_OTHER), next_text=tr(words.NEW))
        self.middle.bind(on_next=lambda _middle: way.go("new project"), on_second=lambda _m: self._choose())
        self.add_widget(framed(session, self.middle, self.bar))

    def open(self) -> None:
        self.bar.back_able = len(self.way.trail) > 1
        self.middle.say(tr(words.LOOKING), "")
        self.again()

    def again(self) -> None:
        """Look anew: a disk may have come back."""
        self.session.jobs.run(asks.projects, self._show, self._refused)

    def goes_back(self) -> bool:
        return bool(self.middle.ids.foot.close())

    def _show(self, found: tuple[ProjectNow, ...]) -> None:
        self.middle.say("" if found else tr(words.NONE_YET), "")
        rows: list[SetupHead | SetupRow] = [SetupHead(text=tr(words.ON_DEVICE))] if found else []
        rows += [row_of(self._tapped, subject=each, **_said(each)) for each in found]
        rows += [SetupHead(text=tr(words.FROM_ELSEWHERE)), self._bundle_row()]
        rows += [SetupHead(text=tr(words.THIS_DEVICE)), self._settings_row()]
        self.middle.show(rows)

    def _tapped(self, now: ProjectNow) -> None:
        if now.able:
            self._open(Path(now.known.folder))
            return
        self.middle.ids.foot.ask(
            tr(words.FORGET_ASKS, name=now.known.name),
            tr(words.KEEP_ON_LIST),
            tr(words.TAKE_OFF),
            lambda: self.session.jobs.run(lambda: asks.forget(now.known.folder), self._show, self._refused),
        )

    def _bundle_row(self) -> SetupRow:
        said = {"title": tr(travel.IN), "says": tr(words.BUNDLE_TELLS)}
        return row_of(lambda _subject: self.way.go("bundle in", alone=True), indented=True, **said)

    def _settings_row(self) -> SetupRow:
        said = {"title": tr(words.SETTINGS_ROW), "says": tr(words.SETTINGS_SAYS)}
        return row_of(lambda _subject: self.way.go("settings"), indented=True, **said)

    def _choose(self) -> None:
        self.way.go("folder", wants="project", chosen=self._open)

    def _open(self, folder: Path) -> None:
        clock = self.session.clock
        self.session.jobs.run(
            lambda: asks.remember(folder, clock),
            lambda found: take_up(self.session, self.way, found),
            self._refused,
        )

    def _refused(self, problem: Exception) -> None:
        self.middle.say(told(problem))


def take_up(session: Session, way: Walk, folder: Path) -> None:
    """Open a project: the screens of the one before go, and the way begins at its board."""
    session.turn_to(folder)
    way.clear_widgets()
    way.trail.clear()
    way.go("board")


def _said(now: ProjectNow) -> dict[str, Any]:
    known = now.known
    if not now.able:
        return {
            "shown": "not met",
            "title": known.name,
            "says": tr(now.says),
            "detail": known.folder,
            "value": tr(words.CANNOT_OPEN),
        }
    opened = tr(words.OPENED, time=day(datetime.fromisoformat(known.opened_at)))
    return {"title": known.name, "detail": known.folder, "value": opened, "indented": True}
