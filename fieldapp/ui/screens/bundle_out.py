"""A bundle goes out: whose pictures and papers go along, into which folder, who signs it; then it is written.

The journal is signed and taken as it is at once; the file is written beside the work by a worker of its own,
and can be stopped until it has its name.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from kivy.uix.screenmanager import Screen

from fieldapp.ui import asks_travel as asks
from fieldapp.ui.jobs import Jobs
from fieldapp.ui.recording import sentence_of
from fieldapp.ui.screens.folder_screen import BUNDLE_PLACE
from fieldapp.ui.screens.setup_page import SetupMiddle, framed, row_of
from fieldapp.ui.screens.setup_rows import SetupHead, SetupRow, SetupSays
from fieldapp.ui.screens.signoff_stop import Stoppable
from fieldapp.ui.screens.unlock_first import Deciding, own_key
from fieldapp.ui.session import Session
from fieldapp.ui.walk import Walk
from fieldapp.ui.widgets.bar import Bar
from fieldapp.ui.widgets.progress import Progress
from fieldapp.ui.words import travel as words
from fieldapp.ui.words.tongue import tr, tr_count

if TYPE_CHECKING:
    from fieldapp.desk.travel.sending import Ready, SentBundle

AT_ONCE: Final = 60
_MEGABYTE: Final = 1_000_000


class BundleOutScreen(Screen):
    """``open()`` from the board."""

    def __init__(self, session: Session, way: Walk, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.session, self.way = session, way
        self.bar = Bar(title=tr(words.OUT))
        self.bar.bind(on_back=lambda _bar: way.back())
        self.middle = SetupMiddle()
        self.middle.bind(on_next=lambda _middle: self.make())
        self.progress = Progress()
        self.middle.add_widget(self.progress, index=len(self.middle.children) - 1)
        self.stoppable = Stoppable(self.progress)
        self.deciding = Deciding(session, way, self.middle.ids.foot, lambda _: None, self._refused)
        self.add_widget(framed(session, self.middle, self.bar))
        self.page: asks.OutPage | None = None
        self.chosen: set[str] | None = None
        """Shafts whose pictures and papers go along; None for all."""
        self.folder = Path.home()
        self.with_key = False
        self.made: SentBundle | None = None
        self._at_once = AT_ONCE
        self._jobs: Jobs | None = None
        self._of_shaft: dict[str, SetupRow] = {}

    def open(self) -> None:
        self.made = None
        self.middle.say("")
        self.again()

    def again(self) -> None:
        self.session.ask(asks.out_page, self._show, self._refused)

    @property
    def busy(self) -> bool:
        """Whether a bundle is on its way."""
        return bool(self.progress.running)

    def goes_back(self) -> bool:
        return bool(self.middle.ids.foot.close())

    def make(self) -> None:
        """Sign the journal up to now, then write the bundle."""
        if self.busy:
            return
        if not self.session.person:
            self.way.go("person", then=self.make)
            return
        if self.with_key and own_key(self.session) is None:
            self.deciding.with_key(lambda _key: self.make())
            return
        person, shafts = self.session.person, self._shafts()
        key = own_key(self.session) if self.with_key else None
        self.made = None
        self.middle.say("")
        self.turning = self.stoppable.begin(()).turning
        self.stoppable.show(True, words.MAKING, words.NAMING)
        self._show_next()
        self.session.ask(lambda place: asks.ready(place, person, shafts, key), self._write, self._refused)

    def _write(self, ready: Ready) -> None:
        self._jobs = self._jobs or Jobs()
        page, turning = self.page, self.turning
        assert page is not None
        path = self.folder / page.file_name
        self._jobs.run(lambda: asks.write(ready, path, turning), self._made, self._refused)

    def _made(self, made: SentBundle) -> None:
        self.made = made
        self._rest()
        says = tr(
            words.MADE, file=made.path.name, entries=made.entries, files=made.files, size=size_of(made.size)
        )
        self.middle.say(says, "met")
        self.session.ask(lambda place: place.now(), self.session.kept, self._refused)
        self.again()

    def _refused(self, problem: Exception) -> None:
        stopped = self.progress.running and self.stoppable.shape == "due"
        self._rest()
        self.middle.say(sentence_of(problem)[0], "due" if stopped else "not met")

    def _rest(self) -> None:
        self.stoppable.show(False, "", "")
        self._show_next()

    def _shafts(self) -> tuple[str, ...] | None:
        assert self.page is not None
        return (
            None if self.chosen is None else tuple(each for each in self.page.shafts if each in self.chosen)
        )

    def _show(self, page: asks.OutPage) -> None:
        self.page = page
        key = own_key(self.session) if self.session.person else None
        self.with_key = self.with_key and (key is not None or not self.session.person)
        rows: list[SetupRow | SetupHead | SetupSays] = []
        if not self.middle.said:
            rows.append(SetupSays(text=tr(words.OUT_SAYS)))
        if self.made is not None and self.made.left_out:
            rows.append(SetupHead(text=tr(words.LEFT_OUT)))
            rows += [
                SetupRow(title=each.name[:24], says=tr(each.why)) for each in self.made.left_out[:AT_ONCE]
            ]
        self._whose = row_of(self._choose_shafts, title=tr(words.WHOSE), value=self._whose_text())
        rows += [self._whose, self._folder_row(page), self._signed_row()]
        if self.chosen is not None:
            self._of_shaft = {each: self._shaft_row(each) for each in page.shafts[: self._at_once]}
            rows += self._of_shaft.values()
            hidden = len(page.shafts) - self._at_once
            if hidden > 0:
                rows.append(row_of(self._more, title=tr(words.MORE_SHAFTS, count=min(hidden, AT_ONCE))))
        self.middle.show(rows)
        self._show_next()

    def _show_next(self) -> None:
        self.middle.next_text = tr(words.MAKE)
        self.middle.next_able = not self.progress.running and self.page is not None

    def _whose_text(self) -> str:
        assert self.page is not None
        if self.chosen is None:
            return tr(words.ALL_SHAFTS)
        if not self.chosen:
            return tr(words.NO_SHAFTS)
        return tr_count(*words.SOME_SHAFTS, len(self.chosen), all=len(self.page.shafts))

    def _folder_row(self, page: asks.OutPage) -> SetupRow:
        says = tr(words.FILE_NAME, file=page.file_name)
        return row_of(self._choose_folder, title=tr(words.WHERE_TO), says=str(self.folder), detail=says)

    def _signed_row(self) -> SetupRow:
        by = tr(words.BY_PERSON, name=self.session.person) if self.with_key else tr(words.BY_DEVICE)
        tells = tr(words.BY_PERSON_TELLS if self.with_key else words.BY_DEVICE_TELLS)
        return row_of(self._turn_key, title=tr(words.SENT_BY), says=by, detail=tells)

    def _shaft_row(self, shaft: str) -> SetupRow:
        return row_of(self._turn_shaft, subject=shaft, title=shaft, **self._of(shaft))

    def _of(self, shaft: str) -> dict[str, str]:
        goes = shaft in (self.chosen or set())
        return {
            "value": tr(words.GOES_ALONG if goes else words.STAYS),
            "shown": "met" if goes else "not asked",
        }

    def _choose_shafts(self, _subject: object) -> None:
        """All at first; then none, and each is tapped that is to go along."""
        self.chosen = set() if self.chosen is None else None
        self._at_once = AT_ONCE
        self._show_again()

    def _turn_shaft(self, shaft: str) -> None:
        """Only what changed is written anew: the list stays where it is under the finger."""
        assert self.chosen is not None
        self.chosen ^= {shaft}
        for name, text in self._of(shaft).items():
            setattr(self._of_shaft[shaft], name, text)
        self._whose.value = self._whose_text()

    def _more(self, _subject: object) -> None:
        self._at_once += AT_ONCE
        self._show_again()

    def _show_again(self) -> None:
        if self.page is not None:
            self._show(self.page)

    def _choose_folder(self, _subject: object) -> None:
        self.way.go("bundle folder", wants=BUNDLE_PLACE, start=self.folder, chosen=self._into)

    def _into(self, folder: Path) -> None:
        self.folder = folder
        self._show_again()

    def _turn_key(self, _subject: object) -> None:
        if self.with_key:
            self.with_key = False
            self._show_again()
            return
        self.deciding.with_key(lambda _key: self._use_key())

    def _use_key(self) -> None:
        self.with_key = True
        self._show_again()


def size_of(size: int) -> str:
    """A number of bytes as a person reads it."""
    if size >= _MEGABYTE:
        return tr(words.MEGABYTES, size=f"{size / _MEGABYTE:.1f}")
    return tr(words.KILOBYTES, size=max(1, round(size / 1000)))
