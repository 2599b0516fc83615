"""The folders of this device in a list of our own, with the PDF files in them: tap one to verify it."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from kivy.uix.screenmanager import Screen

from fieldapp.ui import asks_papers as asks
from fieldapp.ui.recording import sentence_of
from fieldapp.ui.screens.setup_page import SetupMiddle, framed, row_of
from fieldapp.ui.screens.setup_rows import SetupRow
from fieldapp.ui.session import Session
from fieldapp.ui.walk import Walk
from fieldapp.ui.widgets.bar import Bar
from fieldapp.ui.words import papers as words
from fieldapp.ui.words import projects as folder_words
from fieldapp.ui.words.tongue import tr

if TYPE_CHECKING:
    from fieldapp.desk.projects.folders import FolderPage, FolderRow

FILE: Final = "file"
AT_ONCE: Final = 60


class PaperFolderScreen(Screen):
    """``start`` is the folder to begin with; ``chosen`` gets the path of a file."""

    def __init__(self, session: Session, way: Walk, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.session, self.way = session, way
        self.bar = Bar(title=tr(words.CHOOSE_PDF))
        self.bar.bind(on_back=lambda _bar: way.back())
        self.middle = SetupMiddle()
        self.add_widget(framed(session, self.middle, self.bar))
        self.page: FolderPage | None = None
        self._chosen: Callable[[Path], None] | None = None
        self._shown = AT_ONCE

    def open(self, start: Path, chosen: Callable[[Path], None]) -> None:
        self._chosen, self.page = chosen, None
        self._look(start)

    def again(self) -> None:
        if self.page is not None:
            self._look(self.page.path)

    def goes_back(self) -> bool:
        return False

    def _look(self, path: Path) -> None:
        self._shown = AT_ONCE
        self.session.jobs.run(lambda: asks.pdf_folder(path), self._show, self._refused)

    def _show(self, page: FolderPage) -> None:
        self.page = page
        self.bar.subtitle = page.path.name
        self.middle.say("" if page.rows else tr(folder_words.NOTHING_HERE), "")
        rows: list[SetupRow] = []
        if page.above is not None:
            up = tr(folder_words.FOLDER_UP, name=page.above.name or tr(folder_words.DRIVES))
            rows.append(row_of(self._look, subject=page.above, title=up))
        rows += [row_of(self._tapped, subject=each, **_said(each)) for each in page.rows[: self._shown]]
        hidden = len(page.rows) - self._shown
        if hidden > 0:
            rows.append(row_of(self._more, title=tr(folder_words.MORE, count=min(hidden, AT_ONCE))))
        self.middle.show(rows)

    def _more(self, _subject: object) -> None:
        assert self.page is not None
        self._shown += AT_ONCE
        self._show(self.page)

    def _tapped(self, row: FolderRow) -> None:
        if str(row.what) != FILE:
            self._look(row.path)
            return
        chosen = self._chosen
        self.way.back()
        if chosen is not None:
            chosen(row.path)

    def _refused(self, problem: Exception) -> None:
        self.middle.say(sentence_of(problem)[0])


def _said(row: FolderRow) -> dict[str, str]:
    what = folder_words.FILE if str(row.what) == FILE else folder_words.FOLDER
    return {"title": row.path.name or str(row.path), "value": tr(what)}
