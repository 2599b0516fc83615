"""A bundle, or a folder for one, is looked for among the folders of this device."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from kivy.uix.screenmanager import Screen

from fieldapp.ui.asks_travel import BUNDLES
from fieldapp.ui.screens.folder_list import FILE, FolderList, named
from fieldapp.ui.screens.setup_page import SetupMiddle, framed
from fieldapp.ui.session import Session
from fieldapp.ui.walk import Walk
from fieldapp.ui.widgets.bar import Bar
from fieldapp.ui.words import travel as words
from fieldapp.ui.words.tongue import tr

if TYPE_CHECKING:
    from fieldapp.desk.projects.folders import FolderPage

PLACE: Final = "place"
BUNDLE: Final = "bundle"


class BundleFolderScreen(Screen):
    """``wants`` is a place or a bundle, ``start`` the folder to begin with; ``chosen`` gets the path."""

    def __init__(self, session: Session, way: Walk, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.session, self.way = session, way
        self.bar = Bar()
        self.bar.bind(on_back=lambda _bar: way.back())
        self.middle = SetupMiddle()
        self.middle.bind(on_next=lambda _middle: self._take_this())
        self.add_widget(framed(session, self.middle, self.bar))
        self.list = FolderList(session, self.middle, self._give, self._show)
        self.wants = BUNDLE
        self._chosen: Callable[[Path], None] | None = None

    def open(self, wants: str, start: Path, chosen: Callable[[Path], None]) -> None:
        self.wants, self._chosen = wants, chosen
        self.list.suffixes = lambda: BUNDLES if wants == BUNDLE else ()
        self.list.takes = FILE if wants == BUNDLE else ""
        self.list.none_text = tr(words.NO_BUNDLE_HERE) if wants == BUNDLE else ""
        self.bar.title = tr(words.CHOOSE_FILE if wants == BUNDLE else words.CHOOSE_FOLDER)
        self.list.look(start)

    def again(self) -> None:
        self.list.again()

    def goes_back(self) -> bool:
        return False

    def _show(self, page: FolderPage) -> None:
        self.bar.subtitle = named(page.path)
        able = self.wants == PLACE and not page.is_project
        self.middle.next_text = tr(words.PUT_HERE) if able else ""

    def _take_this(self) -> None:
        if self.list.page is not None:
            self._give(self.list.page.path)

    def _give(self, path: Path) -> None:
        chosen = self._chosen
        self.way.back()
        if chosen is not None:
            chosen(path)
