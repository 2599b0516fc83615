"""The folders of this device in rows of our own: one up, into one, and the thing that is looked for.

A folder that is gone gives the nearest one above it.  The list decides nothing: its screen takes what was
tapped.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Final

from fieldapp.ui.recording import sentence_of
from fieldapp.ui.screens import projects_asks as asks
from fieldapp.ui.screens.setup_page import SetupMiddle, row_of
from fieldapp.ui.screens.setup_rows import SetupRow, SetupSays
from fieldapp.ui.session import Session
from fieldapp.ui.words import projects as words
from fieldapp.ui.words.tongue import tr

if TYPE_CHECKING:
    from fieldapp.desk.projects.folders import FolderPage, FolderRow

FILE: Final = "file"
PROJECT: Final = "project"
KINDS: Final = {"folder": words.FOLDER, PROJECT: words.PROJECT, FILE: words.FILE}
AT_ONCE: Final = 60
"""Rows that stand at first; a folder of a camera may hold thousands."""


class FolderList:
    """Fills the rows of ``middle``; ``take`` gets the path that was tapped, ``show`` every folder shown."""

    def __init__(
        self,
        session: Session,
        middle: SetupMiddle,
        take: Callable[[Path], None],
        show: Callable[[FolderPage], None],
    ) -> None:
        self._session, self._middle = session, middle
        self._take, self._show_page = take, show
        self.suffixes: Callable[[], tuple[str, ...]] = tuple
        """Of the files that are listed; asked on the worker."""
        self.takes = FILE
        """What is taken when it is tapped; everything else is gone into."""
        self.none_text = ""
        """Stands under the folders where there is nothing to take."""
        self.page: FolderPage | None = None
        self._shown = AT_ONCE

    def look(self, path: Path) -> None:
        """Show a folder, from its beginning."""
        self._shown = AT_ONCE
        self._session.jobs.run(lambda: asks.folder(path, self.suffixes()), self._found, self._refused)

    def again(self) -> None:
        """Look once more: a card may have been put in."""
        if self.page is not None:
            self.look(self.page.path)

    def show(self) -> None:
        """Show the folder in hand once more, as it was found."""
        page = self.page
        if page is None:
            return
        self._show_page(page)
        rows: list[SetupRow | SetupSays] = []
        if page.above is not None:
            up = tr(words.FOLDER_UP, name=named(page.above))
            rows.append(row_of(self.look, subject=page.above, title=up))
        rows += [row_of(self._tapped, subject=each, **_said(each)) for each in page.rows[: self._shown]]
        hidden = len(page.rows) - self._shown
        if hidden > 0:
            rows.append(row_of(self._more, title=tr(words.MORE, count=min(hidden, AT_ONCE))))
        if self.none_text and not any(str(each.what) == self.takes for each in page.rows):
            rows.append(SetupSays(text=self.none_text))
        self._middle.show(rows)

    def _found(self, page: FolderPage) -> None:
        self.page = page
        self._middle.say("")
        self.show()

    def _more(self, _subject: object) -> None:
        self._shown += AT_ONCE
        self.show()

    def _tapped(self, row: FolderRow) -> None:
        if str(row.what) == self.takes:
            self._take(row.path)
        else:
            self.look(row.path)

    def _refused(self, problem: Exception) -> None:
        self._middle.say(sentence_of(problem)[0])


def named(path: Path) -> str:
    """A folder as it is called on the screens."""
    from fieldapp.desk.projects.folders import DRIVES

    return tr(words.DRIVES) if path == DRIVES else str(path)


def _said(row: FolderRow) -> dict[str, str]:
    return {"title": row.path.name or str(row.path), "value": tr(KINDS[str(row.what)])}
