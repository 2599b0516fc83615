"""A picture from the device's camera where it gives one, else from a file: seen as it is kept, then kept.

What cannot be a picture gives a sentence and the list stays.  With a digest the screen only shows a
picture that is kept already.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from kivy.clock import Clock
from kivy.uix.screenmanager import Screen

from fieldapp.ui import asks_picture as asks
from fieldapp.ui.moments import day_and_time
from fieldapp.ui.recording import sentence_of
from fieldapp.ui.screens import picture_camera
from fieldapp.ui.screens.folder_list import FolderList, named
from fieldapp.ui.screens.picture_view import PictureView
from fieldapp.ui.screens.setup_page import SetupMiddle, framed
from fieldapp.ui.screens.setup_rows import SetupSays
from fieldapp.ui.session import Session
from fieldapp.ui.walk import Walk
from fieldapp.ui.widgets.bar import Bar
from fieldapp.ui.words import picture as words
from fieldapp.ui.words.tongue import tr

if TYPE_CHECKING:
    from fieldapp.desk.pictures.reading import ReadyPicture, SmallPicture
    from fieldapp.desk.projects.folders import FolderPage

USUAL: Final = ("Pictures", "DCIM")
Chosen = Callable[[str, datetime | None], None]


class PictureScreen(Screen):
    """``chosen`` gets the digest of the kept picture and when it was taken; ``digest`` is one to look at."""

    def __init__(self, session: Session, way: Walk, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.session, self.way = session, way
        self.bar = Bar()
        self.bar.bind(on_back=lambda _bar: way.back())
        self.middle = SetupMiddle()
        self.middle.bind(on_next=lambda _middle: self._keep(), on_second=lambda _middle: self._second())
        self.add_widget(framed(session, self.middle, self.bar))
        self.view = PictureView()
        self.list = FolderList(session, self.middle, self._read, self._show_list)
        self.list.suffixes, self.list.none_text = asks.suffixes, tr(words.NONE_HERE)
        self.looked: asks.Looked | None = None
        self._chosen: Chosen | None = None
        self._start: Path | None = None
        self._visit = 0
        pages = self.middle.ids.pages
        fit = Clock.create_trigger(self._fit)
        pages.bind(height=fit)
        pages.content.bind(height=fit)

    def open(self, chosen: Chosen | None = None, digest: str = "", start: Path | None = None) -> None:
        self._visit += 1
        self._chosen, self.list.page, self.looked = chosen, None, None
        self.middle.next_text = self.middle.second_text = ""
        self.middle.say("", "")
        self.middle.show(())
        if digest:
            self._look_at(digest)
        else:
            self.list.look(start or self._start or _usual())

    def again(self) -> None:
        self.list.again()

    def goes_back(self) -> bool:
        """From a picture that is not taken yet back to the list."""
        if self.looked is None:
            return False
        self._leave_picture()
        return True

    def _fit(self, *_: object) -> None:
        """The picture takes the room that the words under it leave."""
        pages = self.middle.ids.pages
        self.view.most = max(self.view.least, pages.height - (pages.content.height - self.view.height))

    def _show_list(self, page: FolderPage) -> None:
        self.looked, self._start = None, page.path
        self.bar.title, self.bar.subtitle = tr(words.TITLE_CHOOSE), named(page.path)
        self.middle.next_text = ""
        self.middle.second_text = tr(words.WITH_CAMERA) if picture_camera.camera() is not None else ""

    def _read(self, path: Path) -> None:
        visit = self._visit
        self.middle.say(tr(words.READING), "due")

        def show(looked: asks.Looked) -> None:
            picture_camera.forget(path)
            if visit == self._visit:
                self._show_picture(looked)

        def refuse(problem: Exception) -> None:
            picture_camera.forget(path)
            self._refused(problem)

        self.session.ask(lambda place: asks.look(place, path), show, refuse)

    def _show_picture(self, looked: asks.Looked) -> None:
        self.looked, ready = looked, looked.ready
        self.bar.title = tr(words.TITLE_USE)
        size = tr(
            words.SIZE, width=ready.width_px, height=ready.height_px, kilobytes=-(-len(ready.content) // 1000)
        )
        taken = (
            tr(words.TAKEN, moment=day_and_time(ready.taken_at)) if ready.taken_at else tr(words.NOT_TAKEN)
        )
        self.middle.say("", "")
        self.view.show(looked.small)
        self.middle.show([self.view, *_lines(taken, *_position_said(ready), size)])
        self.middle.next_text, self.middle.second_text = tr(words.USE), tr(words.OTHER)
        self.middle.next_able = True

    def _look_at(self, digest: str) -> None:
        visit = self._visit
        self.bar.title, self.bar.subtitle = tr(words.TITLE_LOOK), tr(words.KEPT, digest=digest[:12])

        def show(small: SmallPicture) -> None:
            if visit == self._visit:
                self.view.show(small)
                at = () if small.position is None else (tr(words.POSITION, **small.position.texts),)
                self.middle.show([self.view, *_lines(*at)])

        self.session.ask(lambda place: asks.show(place, digest), show, self._refused)

    def _keep(self) -> None:
        looked = self.looked
        if looked is None:
            return
        self.middle.next_able = False
        self.session.ask(
            lambda place: asks.keep(place, looked.ready),
            lambda digest: self._kept(looked, digest),
            self._refused,
        )

    def _kept(self, looked: asks.Looked, digest: str) -> None:
        chosen, self.looked = self._chosen, None
        self.view.show(None)
        self.way.back()
        if chosen is not None:
            chosen(digest, looked.ready.taken_at)

    def _second(self) -> None:
        if self.looked is not None:
            self._leave_picture()
        else:
            self._with_camera()

    def _leave_picture(self) -> None:
        self.looked = None
        self.view.show(None)
        self.middle.say("", "")
        self.list.show()

    def _with_camera(self) -> None:
        made, visit = picture_camera.camera(), self._visit

        def taken(path: Path | None) -> None:
            if path is None:
                self.middle.say(tr(words.NO_PICTURE_CAME))
            elif visit == self._visit:
                self._read(path)
            else:
                picture_camera.forget(path)

        if made is None or not picture_camera.take(made, taken):
            self.middle.say(tr(words.NO_CAMERA))

    def _refused(self, problem: Exception) -> None:
        self.middle.next_able = True
        self.middle.say(sentence_of(problem)[0])


def _lines(*texts: str) -> list[SetupSays]:
    return [SetupSays(text=each) for each in texts]


def _position_said(ready: ReadyPicture) -> tuple[str, ...]:
    """What becomes of the position, and where it was asked for, which it is or why there is none."""
    if ready.position is not None:
        return tr(words.POSITION_KEPT), tr(words.POSITION, **ready.position.texts)
    removed = tr(words.POSITION_REMOVED)
    return (removed, tr(ready.no_position)) if ready.no_position else (removed,)


def _usual() -> Path:
    """Where pictures usually are on this device."""
    home = Path.home()
    return next((home / each for each in USUAL if (home / each).is_dir()), home)
