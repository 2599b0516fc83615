"""The first signature on a paper by touch: made, opened, drawn, held down; files and journal judge."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path
from threading import Event

import pytest

from fieldapp.desk.workplace import read_project
from fieldapp.record.attesting import PaperSigned
from fieldapp.record.hole import Note
from tests.screens.decision_journey import (
    DESIGNER,
    ENGINEER,
    INSPECTOR,
    draw,
    go,
    hold,
    of_kind,
    rested,
    said,
    unlock,
)
from tests.screens.journey import Journey
from tests.screens.office_journey import tap_row
from tests.screens.paper_journey import SHAFT, files_in

KINDS = {
    "release": (SHAFT, "Make the release sheet of", "Release sheet of", ENGINEER, "resident engineer"),
    "base": (SHAFT, "Make the base condition report of", "Base condition of", DESIGNER, "designer"),
    "summary": ("", "", "Project summary", DESIGNER, "designer"),
}


def made(on: Journey, folder: Path, short: str) -> Path:
    """Make a paper by touch and open it from the list."""
    shaft, title, name, person, _ = KINDS[short]
    on.session.person = person
    before = set(files_in(folder))
    go(on, "papers", shaft=shaft)
    if title:
        tap_row(on, f"{title} {shaft}")
    else:
        on.hand.tap(on.middle.next)
    on.hand.until(lambda: not on.screen.progress.running, 60)
    on.wait()
    (new,) = set(files_in(folder)) - before
    tap_row(on, f"{name} {shaft}".strip())
    rested(on)
    assert on.walk.current == "paper"
    return folder / "reports" / new


def sign(on: Journey) -> None:
    draw(on, on.screen.signature.pad)
    hold(on, on.screen.strip.next_button)
    if on.walk.current == "unlock":
        unlock(on)
    rested(on)


_SHORTS = [each if each == "summary" else pytest.param(each, marks=pytest.mark.long_walk) for each in KINDS]


@pytest.mark.parametrize("short", _SHORTS)
def test_a_paper_is_made_read_and_certified_and_holds(site, short):
    on, folder = site
    path = made(on, folder, short)
    role = KINDS[short][4]
    assert path.name.endswith("-unsigned.pdf")
    first = str(on.screen.page.says)
    assert "unsigned copy" in first or "not all could be verified" in first, first
    assert on.screen.strip.next_text == "Draw your signature"
    draw(on, on.screen.signature.pad)
    assert on.screen.strip.next_text == f"Hold down to certify as {role}"
    on.screen.signature.pad.clear()
    sign(on)
    signed = path.with_name(path.name.replace("-unsigned", "-signed"))
    assert said(on) == f"Signed, and saved as {signed.name}."
    assert on.screen.strip.word == "valid", on.screen.page
    assert on.screen.strip.next_text == "", "it takes no further signature"
    assert path.exists(), "the unsigned one is kept"
    with read_project(folder) as place:
        paper = [each.values for each in place.entries() if isinstance(each.values, PaperSigned)][-1]
    assert (paper.file_name, str(paper.role)) == (signed.name, role)
    assert paper.drawn
    go(on, "papers", shaft=KINDS[short][0])
    assert "closed" in on.texts()


def test_who_has_not_the_role_is_told_and_nothing_is_signed(site):
    on, folder = site
    made(on, folder, "base")
    on.session.person = INSPECTOR
    before = files_in(folder)
    sign(on)
    assert "Inspector A is to sign as designer, and is inspector" in said(on)
    assert files_in(folder) == before
    assert len(of_kind(folder, PaperSigned)) == 1


def test_a_record_that_changed_since_is_read_anew_before_it_is_signed(site):
    on, folder = site
    made(on, folder, "release")
    done: list[object] = []

    def more(place):
        from fieldapp.desk.inspector import Saying, record_entry

        return record_entry(place, Saying(SHAFT, Note("rig moved"), INSPECTOR))

    on.session.ask(more, done.append, print)
    on.hand.until(lambda: bool(done), 30)
    before = files_in(folder)
    sign(on)
    assert said(on).startswith("The record has changed since this paper was made. 1 entry since: note.")
    assert said(on).endswith("Nothing was signed; make the paper anew and read it.")
    assert files_in(folder) == before


def occupied(on: Journey) -> Event:
    """Keep the worker busy until the event is set, so that what is asked next has to wait."""
    free = Event()
    on.session.jobs.run(lambda: free.wait(60), lambda _: None, print)
    return free


def asked_in_the_evening(on: Journey, folder: Path) -> None:
    """A release sheet made at two in the afternoon is to be signed at night: time alone has changed it."""
    made(on, folder, "release")
    on.session.clock.moment += timedelta(hours=9)
    sign(on)
    on.hand.until(lambda: on.middle.foot.question is not None, 60)
    assert "by time alone it is otherwise now: " in on.middle.foot.question.text


def test_what_time_alone_has_changed_is_asked_and_answered_with_yes(site):
    on, folder = site
    asked_in_the_evening(on, folder)
    before = files_in(folder)
    on.hand.tap(on.middle.foot.question.ids.yes)
    rested(on)
    assert said(on).startswith("Signed, and saved as ")
    assert len(files_in(folder)) == len(before) + 1
    assert [str(each.values.paper) for each in of_kind(folder, PaperSigned)] == ["shaft log", "release sheet"]


def test_it_is_stopped_before_anything_is_signed_and_no_file_is_there(site):
    on, folder = site
    asked_in_the_evening(on, folder)
    before = files_in(folder)
    free = occupied(on)
    on.hand.tap(on.middle.foot.question.ids.yes)
    assert on.middle.progress.running
    on.hand.tap(on.middle.progress.cancel)
    assert on.middle.progress.cancel.text == "Stopping ..."
    free.set()
    rested(on)
    assert said(on) == "Stopped. Nothing was signed, and nothing was written."
    assert files_in(folder) == before
    assert len(of_kind(folder, PaperSigned)) == 1
