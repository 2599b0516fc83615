"""A PDF file is looked for among the folders of this device: tap one to verify it."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

from kivy.uix.screenmanager import Screen

from fieldapp.ui.screens.folder_list import FolderList, named
from fieldapp.ui.screens.setup_page import SetupMiddle, framed
from fieldapp.ui.session import Session
from fieldapp.ui.walk import Walk
from fieldapp.ui.widgets.bar import Bar
from fieldapp.ui.words import papers as words
from fieldapp.ui.words.tongue import tr

if TYPE_CHECKING:
    from fieldapp.desk.projects.folders import FolderPage


class PaperFolderScreen(Screen):
    """``start`` is the folder to begin with; ``chosen`` gets the path of a file."""

    def __init__(self, session: Session, way: Walk, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.session, self.way = session, way
        self.bar = Bar(title=tr(words.CHOOSE_PDF))
        self.bar.bind(on_back=lambda _bar: way.back())
        self.middle = SetupMiddle()
        self.add_widget(framed(session, self.middle, self.bar))
        self.list = FolderList(session, self.middle, self._give, self._show)
        self.list.suffixes, self.list.none_text = lambda: (".pdf",), tr(words.NO_PDF_HERE)
        self._chosen: Callable[[Path], None] | None = None

    def open(self, start: Path, chosen: Callable[[Path], None]) -> None:
        self._chosen = chosen
        self.list.look(start)

    def again(self) -> None:
        self.list.again()

    def goes_back(self) -> bool:
        return False

    def _show(self, page: FolderPage) -> None:
        self.bar.subtitle = named(page.path)

    def _give(self, path: Path) -> None:
        chosen = self._chosen
        self.way.back()
        if chosen is not None:
            chosen(path)
