"""The folders of this device in a list of our own: up, into, and the one thing that is looked for."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from kivy.uix.screenmanager import Screen

from fieldapp.ui.screens import projects_asks as asks
from fieldapp.ui.screens.setup_page import SetupMiddle, framed, row_of
from fieldapp.ui.screens.setup_rows import SetupRow
from fieldapp.ui.session import Session
from fieldapp.ui.walk import Walk
from fieldapp.ui.widgets.bar import Bar
from fieldapp.ui.words import projects as words
from fieldapp.ui.words.tongue import told, tr

if TYPE_CHECKING:
    from fieldapp.desk.projects.folders import FolderPage, FolderRow

TITLES: Final = {
    "project": words.CHOOSE_PROJECT,
    "place": words.CHOOSE_PLACE,
    "key": words.CHOOSE_KEY,
}
NEXT: Final = {"project": words.OPEN_THIS, "place": words.PUT_HERE, "key": ""}
AT_ONCE: Final = 60


class FolderScreen(Screen):
    """``wants`` is a project, a place for one, or a key file; ``chosen`` gets its path."""

    def __init__(self, session: Session, way: Walk, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.session, self.way = session, way
        self.bar = Bar()
        self.bar.bind(on_back=lambda _bar: way.back())
        self.middle = SetupMiddle()
        self.middle.bind(on_next=lambda _middle: self._take())
        self.add_widget(framed(session, self.middle, self.bar))
        self.wants = "project"
        self.page: FolderPage | None = None
        self._chosen: Callable[[Path], None] | None = None
        self._shown = AT_ONCE

    def open(self, wants: str, chosen: Callable[[Path], None], start: Path | None = None) -> None:
        self.wants, self._chosen, self.page = wants, chosen, None
        self.bar.title = tr(TITLES[wants])
        self._look(start or Path.home())

    def again(self) -> None:
        if self.page is not None:
            self._look(self.page.path)

    def goes_back(self) -> bool:
        return False

    def _look(self, path: Path) -> None:
        suffixes = (".p12", ".pfx") if self.wants == "key" else ()
        self._shown = AT_ONCE
        self.session.jobs.run(lambda: asks.folder(path, suffixes), self._show, self._refused)

    def _show(self, page: FolderPage) -> None:
        self.page = page
        self.bar.subtitle = self._named(page.path)
        self.middle.say("" if page.rows else tr(words.NOTHING_HERE), "")
        able = {"project": page.is_project, "place": not page.is_project}.get(self.wants, False)
        self.middle.next_text = tr(NEXT[self.wants]) if able else ""
        rows: list[SetupRow] = []
        if page.above is not None:
            up = tr(words.FOLDER_UP, name=self._named(page.above))
            rows.append(row_of(self._look, subject=page.above, title=up))
        rows += [row_of(self._tapped, subject=each, **_said(each)) for each in page.rows[: self._shown]]
        hidden = len(page.rows) - self._shown
        if hidden > 0:
            rows.append(row_of(self._more, title=tr(words.MORE, count=min(hidden, AT_ONCE))))
        self.middle.show(rows)

    def _named(self, path: Path) -> str:
        from fieldapp.desk.projects.folders import DRIVES

        return tr(words.DRIVES) if path == DRIVES else str(path)

    def _more(self, _subject: object) -> None:
        assert self.page is not None
        self._shown += AT_ONCE
        self._show(self.page)

    def _tapped(self, row: FolderRow) -> None:
        if str(row.what) == "file" or (str(row.what) == "project" and self.wants == "project"):
            self._give(row.path)
        else:
            self._look(row.path)

    def _take(self) -> None:
        if self.page is not None:
            self._give(self.page.path)

    def _give(self, path: Path) -> None:
        chosen = self._chosen
        self.way.back()
        if chosen is not None:
            chosen(path)

    def _refused(self, problem: Exception) -> None:
        self.middle.say(told(problem))


def _said(row: FolderRow) -> dict[str, str]:
    named = {"folder": words.FOLDER, "project": words.PROJECT, "file": words.FILE}[str(row.what)]
    return {"title": row.path.name or str(row.path), "value": tr(named)}
