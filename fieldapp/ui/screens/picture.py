"""A picture from the device's camera where it gives one, else from a file: seen as it is kept, then kept.

What cannot be a picture gives a sentence and the list stays.  With a digest the screen only shows a
picture that is kept already.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from kivy.uix.screenmanager import Screen

from fieldapp.ui import asks_picture as asks
from fieldapp.ui.moments import day_and_time
from fieldapp.ui.recording import sentence_of
from fieldapp.ui.screens import picture_camera
from fieldapp.ui.screens.picture_view import PictureView
from fieldapp.ui.screens.setup_page import SetupMiddle, framed, row_of
from fieldapp.ui.screens.setup_rows import SetupSays
from fieldapp.ui.session import Session
from fieldapp.ui.walk import Walk
from fieldapp.ui.widgets.bar import Bar
from fieldapp.ui.words import picture as words
from fieldapp.ui.words import projects as folder_words
from fieldapp.ui.words.tongue import tr

if TYPE_CHECKING:
    from fieldapp.desk.pictures.reading import SmallPicture
    from fieldapp.desk.projects.folders import FolderPage, FolderRow

FILE: Final = "file"
AT_ONCE: Final = 60
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
        self.page: FolderPage | None = None
        self.looked: asks.Looked | None = None
        self._chosen: Chosen | None = None
        self._start: Path | None = None
        self._shown = AT_ONCE
        self._visit = 0

    def open(self, chosen: Chosen | None = None, digest: str = "", start: Path | None = None) -> None:
        self._visit += 1
        self._chosen, self.page, self.looked = chosen, None, None
        self.middle.next_text = self.middle.second_text = ""
        self.middle.say("", "")
        self.middle.show(())
        if digest:
            self._look_at(digest)
        else:
            self._list(start or self._start or _usual())

    def again(self) -> None:
        if self.page is not None:
            self._list(self.page.path)

    def goes_back(self) -> bool:
        """From a picture that is not taken yet back to the list."""
        if self.looked is None:
            return False
        self._leave_picture()
        return True

    def _list(self, path: Path) -> None:
        self._shown = AT_ONCE
        self.session.jobs.run(lambda: asks.picture_folder(path), self._show_list, self._refused)

    def _show_list(self, page: FolderPage) -> None:
        self.page, self.looked = page, None
        self._start = page.path
        self.bar.title, self.bar.subtitle = tr(words.TITLE_CHOOSE), self._named(page.path)
        self.middle.next_text = ""
        self.middle.second_text = tr(words.WITH_CAMERA) if picture_camera.camera() is not None else ""
        rows: list[Any] = []
        if page.above is not None:
            up = tr(folder_words.FOLDER_UP, name=self._named(page.above))
            rows.append(row_of(self._list_anew, subject=page.above, title=up))
        rows += [row_of(self._tapped, subject=each, **_said(each)) for each in page.rows[: self._shown]]
        hidden = len(page.rows) - self._shown
        if hidden > 0:
            rows.append(row_of(self._more, title=tr(folder_words.MORE, count=min(hidden, AT_ONCE))))
        if not any(str(each.what) == FILE for each in page.rows):
            rows.append(SetupSays(text=tr(words.NONE_HERE)))
        self.middle.show(rows)

    def _list_anew(self, path: Path) -> None:
        self.middle.say("", "")
        self._list(path)

    def _named(self, path: Path) -> str:
        from fieldapp.desk.projects.folders import DRIVES

        return tr(folder_words.DRIVES) if path == DRIVES else str(path)

    def _more(self, _subject: object) -> None:
        assert self.page is not None
        self._shown += AT_ONCE
        self._show_list(self.page)

    def _tapped(self, row: FolderRow) -> None:
        if str(row.what) == FILE:
            self._read(row.path)
        else:
            self._list_anew(row.path)

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
        self.middle.show(
            [self.view, *(SetupSays(text=each) for each in (taken, tr(words.POSITION_REMOVED), size))]
        )
        self.middle.next_text, self.middle.second_text = tr(words.USE), tr(words.OTHER)
        self.middle.next_able = True

    def _look_at(self, digest: str) -> None:
        visit = self._visit
        self.bar.title, self.bar.subtitle = tr(words.TITLE_LOOK), tr(words.KEPT, digest=digest[:12])

        def show(small: SmallPicture) -> None:
            if visit == self._visit:
                self.view.show(small)
                self.middle.show([self.view])

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
        if self.page is not None:
            self._show_list(self.page)

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


def _usual() -> Path:
    """Where pictures usually are on this device."""
    home = Path.home()
    return next((home / each for each in USUAL if (home / each).is_dir()), home)


def _said(row: FolderRow) -> dict[str, str]:
    what = folder_words.FILE if str(row.what) == FILE else folder_words.FOLDER
    return {"title": row.path.name or str(row.path), "value": tr(what)}
