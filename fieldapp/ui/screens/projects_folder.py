"""A project, a place for a new one, or a key file is looked for among the folders of this device."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from kivy.uix.screenmanager import Screen

from fieldapp.ui.screens.folder_list import FILE, PROJECT, FolderList, named
from fieldapp.ui.screens.setup_page import SetupMiddle, framed
from fieldapp.ui.session import Session
from fieldapp.ui.walk import Walk
from fieldapp.ui.widgets.bar import Bar
from fieldapp.ui.words import projects as words
from fieldapp.ui.words.tongue import tr

if TYPE_CHECKING:
    from fieldapp.desk.projects.folders import FolderPage

TITLES: Final = {
    "project": words.CHOOSE_PROJECT,
    "place": words.CHOOSE_PLACE,
    "key": words.CHOOSE_KEY,
}
NEXT: Final = {"project": words.OPEN_THIS, "place": words.PUT_HERE, "key": ""}
NONE_HERE: Final = {"project": words.NO_PROJECT_HERE, "place": "", "key": words.NO_KEY_HERE}
KEY_FILES: Final = (".p12", ".pfx")


class FolderScreen(Screen):
    """``wants`` is a project, a place for one, or a key file; ``chosen`` gets its path."""

    def __init__(self, session: Session, way: Walk, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.session, self.way = session, way
        self.bar = Bar()
        self.bar.bind(on_back=lambda _bar: way.back())
        self.middle = SetupMiddle()
        self.middle.bind(on_next=lambda _middle: self._take_this())
        self.add_widget(framed(session, self.middle, self.bar))
        self.list = FolderList(session, self.middle, self._give, self._show)
        self.wants = "project"
        self._chosen: Callable[[Path], None] | None = None

    def open(self, wants: str, chosen: Callable[[Path], None], start: Path | None = None) -> None:
        self.wants, self._chosen = wants, chosen
        self.list.suffixes = lambda: KEY_FILES if wants == "key" else ()
        self.list.takes = FILE if wants == "key" else PROJECT if wants == "project" else ""
        self.bar.title = tr(TITLES[wants])
        self.list.look(start or Path.home())

    def again(self) -> None:
        self.list.again()

    def goes_back(self) -> bool:
        return False

    def _show(self, page: FolderPage) -> None:
        self.bar.subtitle = named(page.path)
        able = {"project": page.is_project, "place": not page.is_project}.get(self.wants, False)
        self.middle.next_text = tr(NEXT[self.wants]) if able else ""
        none = "" if able else NONE_HERE[self.wants]
        self.list.none_text = tr(none) if none else ""

    def _take_this(self) -> None:
        if self.list.page is not None:
            self._give(self.list.page.path)

    def _give(self, path: Path) -> None:
        chosen = self._chosen
        self.way.back()
        if chosen is not None:
            chosen(path)
