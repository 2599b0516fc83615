"""Views of the papers: those of a shaft and of the project, one paper, and where one lies."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from tests.screens.views.deciding import decide_at, names
from tests.screens.views.sites import fresh, occupy

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from tests.screens.journey import Journey


def papers_none(on: Journey) -> None:
    decide_at(on, "papers", names().CLEAN, names().INSPECTOR)


def papers_of_project(on: Journey) -> None:
    """The papers of the project, with its summary just made."""
    papers_none(on)
    on.screen.open()
    on.screen.make()
    on.hand.until(lambda: not on.screen.progress.running, 60)
    on.wait()


def _signed_log(on: Journey) -> Path:
    from fieldapp.desk.papers.logs import write_shaft_log
    from fieldapp.desk.papers.paper import Pen
    from fieldapp.desk.trust.unlocking import unlock_key
    from fieldapp.record.words import Role

    known = names()
    papers_none(on)
    made: list[Path] = []

    def write(place: Any) -> Path:
        pen = Pen(unlock_key(place, known.INSPECTOR, known.PASSPHRASE), Role.INSPECTOR)
        return write_shaft_log(place, known.CLEAN[0], place.now(), known.INSPECTOR, pen).path

    on.session.ask(write, made.append, print)
    on.hand.until(lambda: bool(made), 60)
    return made[0]


def papers(on: Journey) -> None:
    _signed_log(on)
    on.screen.make()
    on.hand.until(lambda: not on.screen.progress.running, 60)
    on.wait()


def papers_making(on: Journey) -> None:
    from fieldapp.ui.jobs import Jobs

    _signed_log(on)
    on.screen.again()
    on.wait()
    screen = on.screen
    screen._jobs = screen._jobs or Jobs()

    def stop_it() -> None:
        screen._stopped.set()  # of the log that is asked for next

    occupy(on, screen._jobs, stop_it)
    screen.make()


def _paper(on: Journey, path: Path) -> None:
    on.walk.go("paper", path=path)
    names().rested(on)


def paper(on: Journey) -> None:
    path = _signed_log(on)
    on.session.person = names().ENGINEER
    _paper(on, path)


def paper_drawn(on: Journey) -> None:
    paper(on)
    names().draw(on, on.screen.signature.pad)


def paper_damaged(on: Journey) -> None:
    path = _signed_log(on)
    changed = bytearray(path.read_bytes())
    changed[len(changed) // 3] ^= 1
    other = path.with_name("changed.pdf")
    other.write_bytes(changed)
    _paper(on, other)


def _unsigned(on: Journey, kind: str, shaft: str, person: str) -> None:
    """A paper just made and opened by whoever certifies it."""
    papers_none(on)
    on.session.person = person
    on.screen.open(shaft)
    on.wait()
    on.screen.make(kind)
    on.hand.until(lambda: not on.screen.progress.running, 60)
    on.wait()
    _paper(on, next((on.session.folder / "reports").glob("*-unsigned.pdf")))


def paper_first_signature(on: Journey) -> None:
    """The release sheet before the resident engineer certifies it, drawn already."""
    _unsigned(on, "release sheet", names().CLEAN[0], names().ENGINEER)
    names().draw(on, on.screen.signature.pad)


def paper_summary(on: Journey) -> None:
    """The summary, which the designer may sign and nobody has to."""
    _unsigned(on, "project summary", "", names().DESIGNER)


def paper_none(on: Journey) -> None:
    path = _signed_log(on).with_name("notes.pdf")
    path.write_text("not a paper", "utf-8")
    _paper(on, path)


def paper_folder(on: Journey) -> None:
    path = _signed_log(on)
    (path.parent / "from the office").mkdir()
    names().go(on, "paper folder", start=path.parent, chosen=lambda _path: None)


def paper_folder_empty(on: Journey) -> None:
    papers_none(on)
    names().go(on, "paper folder", start=fresh("nothing here"), chosen=lambda _path: None)


PAPER_VIEWS: Final[dict[str, Callable[[Journey], None]]] = {
    each.__name__: each
    for each in (
        papers_none, papers_of_project, papers, papers_making, paper, paper_drawn, paper_damaged,
        paper_first_signature, paper_summary,
        paper_none, paper_folder, paper_folder_empty,
    )
}  # fmt: skip
