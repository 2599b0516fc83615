"""Something is looked for among the folders of this device: a project, a place, a key, a PDF, a bundle.

One screen for all of them; what differs stands in `Sought`.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from kivy.uix.screenmanager import Screen

from fieldapp.ui.asks_travel import BUNDLES
from fieldapp.ui.screens.folder_list import FILE, PROJECT, FolderList, named
from fieldapp.ui.screens.setup_page import SetupMiddle, framed
from fieldapp.ui.session import Session
from fieldapp.ui.walk import Walk
from fieldapp.ui.widgets.bar import Bar
from fieldapp.ui.words import papers as paper_words
from fieldapp.ui.words import projects as words
from fieldapp.ui.words import travel as travel_words
from fieldapp.ui.words.tongue import tr

if TYPE_CHECKING:
    from fieldapp.desk.projects.folders import FolderPage


@dataclass(frozen=True, slots=True)
class Sought:
    """What a folder screen looks for: its title, what is tapped to take it, what stands where none is.

    ``next_text`` takes the folder in hand itself: one that is a project with ``in_project``, else one that is
    none.
    """

    title: str
    suffixes: tuple[str, ...] = ()
    takes: str = FILE
    none_text: str = ""
    next_text: str = ""
    in_project: bool = False


PAPER: Final = "paper"
BUNDLE: Final = "bundle"
BUNDLE_PLACE: Final = "bundle place"
SOUGHT: Final = {
    "project": Sought(
        words.CHOOSE_PROJECT,
        takes=PROJECT,
        none_text=words.NO_PROJECT_HERE,
        next_text=words.OPEN_THIS,
        in_project=True,
    ),
    "place": Sought(words.CHOOSE_PLACE, takes="", next_text=words.PUT_HERE),
    "key": Sought(words.CHOOSE_KEY, (".p12", ".pfx"), none_text=words.NO_KEY_HERE),
    PAPER: Sought(paper_words.CHOOSE_PDF, (".pdf",), none_text=paper_words.NO_PDF_HERE),
    BUNDLE: Sought(travel_words.CHOOSE_FILE, BUNDLES, none_text=travel_words.NO_BUNDLE_HERE),
    BUNDLE_PLACE: Sought(travel_words.CHOOSE_FOLDER, takes="", next_text=words.PUT_HERE),
}


class FolderScreen(Screen):
    """``wants`` is a name in `SOUGHT`, ``start`` the folder to begin with; ``chosen`` gets the path."""

    def __init__(self, session: Session, way: Walk, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.session, self.way = session, way
        self.bar = Bar()
        self.bar.bind(on_back=lambda _bar: way.back())
        self.middle = SetupMiddle()
        self.middle.bind(on_next=lambda _middle: self._take_this())
        self.add_widget(framed(session, self.middle, self.bar))
        self.list = FolderList(session, self.middle, self._give, self._show)
        self.sought = SOUGHT[PAPER]
        self._chosen: Callable[[Path], None] | None = None

    def open(self, chosen: Callable[[Path], None], wants: str = PAPER, start: Path | None = None) -> None:
        self.sought, self._chosen = SOUGHT[wants], chosen
        self.list.suffixes, self.list.takes = (lambda: self.sought.suffixes), self.sought.takes
        self.bar.title = tr(self.sought.title)
        self.list.look(start or Path.home())

    def again(self) -> None:
        self.list.again()

    def goes_back(self) -> bool:
        return False

    def _show(self, page: FolderPage) -> None:
        sought = self.sought
        self.bar.subtitle = named(page.path)
        able = bool(sought.next_text) and page.is_project == sought.in_project
        self.middle.next_text = tr(sought.next_text) if able else ""
        self.list.none_text = tr(sought.none_text) if sought.none_text and not able else ""

    def _take_this(self) -> None:
        if self.list.page is not None:
            self._give(self.list.page.path)

    def _give(self, path: Path) -> None:
        chosen = self._chosen
        self.way.back()
        if chosen is not None:
            chosen(path)
