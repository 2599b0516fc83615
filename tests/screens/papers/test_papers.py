"""Papers by touch: made, cancelled, verified, signed further; the files on disk are the judge."""

from __future__ import annotations

from statistics import median
from time import monotonic

import pytest
from kivy.base import EventLoop

from fieldapp.desk.workplace import read_project
from fieldapp.record.attesting import PaperSigned
from fieldapp.ui import asks_papers
from fieldapp.ui.widgets.theme import theme
from tests.screens.decision_journey import DESIGNER, ENGINEER, INSPECTOR, draw, go, hold, rested, said, unlock
from tests.screens.office_journey import tap_row
from tests.screens.paper_journey import SHAFT, files_in, shown
from tests.support.driver import LANDSCAPE, PORTRAIT


def test_a_log_is_made_beside_the_work_and_the_screen_stays_alive(site):
    on, folder = site
    before = files_in(folder)
    go(on, "papers", shaft=SHAFT)
    assert "signed by Inspector A (inspector); shows the record as it is" in on.texts()
    on.hand.tap(on.middle.next)
    answered: list[bool] = []
    on.session.ask(lambda place: bool(place.now()), answered.append, lambda _problem: None)
    frames: list[float] = []
    while on.screen.progress.running and len(frames) < 100_000:
        start = monotonic()
        EventLoop.idle()
        frames.append(monotonic() - start)
        if answered and len(answered) == 1:
            answered.append(on.screen.progress.running)
    assert answered == [True, True], "the worker of the project answers while a log is made"
    assert median(frames) < 0.05
    on.wait()
    (new,) = set(files_in(folder)) - set(before)
    assert said(on) == f"Saved as {new}."
    assert new.endswith("-unsigned.pdf")
    assert (folder / "reports" / new).read_bytes().startswith(b"%PDF-")
    assert new in on.texts()


def test_the_other_papers_of_a_shaft_are_offered_and_made(site):
    on, folder = site
    for title, short in (
        ("Make the release sheet of", "release"),
        ("Make the base condition report of", "base"),
    ):
        before = files_in(folder)
        go(on, "papers", shaft=SHAFT)
        tap_row(on, f"{title} {SHAFT}")
        on.hand.until(lambda: not on.screen.progress.running, 60)
        on.wait()
        (new,) = set(files_in(folder)) - set(before)
        assert f"-{short}-" in new
        assert said(on) == f"Saved as {new}."
    assert f"Release sheet of {SHAFT}" in on.texts()
    shown(on, folder / "reports" / new)
    assert on.screen.bar.title == f"Base condition of {SHAFT}"


def test_whose_turn_it_is_is_asked_of_the_journal_and_not_of_every_file(site):
    """A file that was spoilt stands in the list as the journal has it; its own page tells that it is."""
    on, folder = site
    on.leave()
    (path,) = (folder / "reports").glob("*.pdf")
    path.write_bytes(path.read_bytes()[:-1])
    with read_project(folder) as place:
        (row,) = asks_papers.papers_of(place, SHAFT, ENGINEER)
        assert (row.next_role, row.yours) == ("resident engineer", True)
        assert not asks_papers.papers_of(place, SHAFT, INSPECTOR)[0].yours
        page = asks_papers.paper_page(place, path, ENGINEER)
        assert (page.next_role, page.verdict) == ("", "rejected")


def test_a_cancelled_log_leaves_no_file(site):
    on, folder = site
    before = files_in(folder)
    go(on, "papers", shaft=SHAFT)
    on.hand.tap(on.middle.next)
    assert on.screen.progress.running
    on.hand.until(lambda: files_in(folder) != before, 30)  # its own folder is there: the work has begun
    on.hand.tap(on.screen.progress.cancel)
    assert said(on) == "Not made. No file was left."
    assert on.middle.next_able
    on.hand.until(lambda: files_in(folder) == before, 60)
    on.wait()
    assert files_in(folder) == before
    assert said(on) == "Not made. No file was left."


def test_a_paper_is_countersigned_and_closed_and_holds(site):
    on, folder = site
    shown(on, next((folder / "reports").glob("*-signed.pdf")))
    assert on.screen.strip.word == "valid"
    for person, says in ((ENGINEER, "Hold down to countersign"), (DESIGNER, "Hold down to close")):
        on.session.person = person
        assert on.screen.strip.next_text == "Draw your signature"
        draw(on, on.screen.signature.pad)
        assert on.screen.strip.next_text == says
        hold(on, on.screen.strip.next_button)
        unlock(on)
        rested(on)
        assert said(on).startswith("Signed, and saved as "), said(on)
        assert on.screen.strip.word == "valid"
    assert on.screen.strip.next_text == ""
    with read_project(folder) as place:
        papers = [each.values for each in place.entries() if isinstance(each.values, PaperSigned)]
    assert [str(each.role) for each in papers] == ["inspector", "resident engineer", "designer"]
    assert papers[1].drawn
    go(on, "papers", shaft=SHAFT)
    assert "closed" in on.texts()
    assert "signed further in a later file" in on.texts()


def test_the_wrong_role_is_told_by_the_desk_and_no_file_is_made(site):
    on, folder = site
    before = files_in(folder)
    shown(on, next((folder / "reports").glob("*-signed.pdf")))
    on.session.person = DESIGNER
    draw(on, on.screen.signature.pad)
    hold(on, on.screen.strip.next_button)
    unlock(on)
    rested(on)
    assert "Designer is to sign as resident engineer, and is designer" in said(on)
    assert files_in(folder) == before


def test_a_flipped_file_is_rejected_with_its_facts(site):
    on, folder = site
    path = next((folder / "reports").glob("*-signed.pdf"))
    changed = bytearray(path.read_bytes())
    changed[len(changed) // 3] ^= 1
    other = folder / "reports" / "changed.pdf"
    other.write_bytes(changed)
    go(on, "papers")
    on.tap(on.middle.second)
    assert on.walk.current == "paper folder"
    row = next(each for each in on.screen.walk() if getattr(each, "title", "") == "changed.pdf")
    on.tap(row)
    rested(on)
    assert on.screen.strip.word == "rejected"
    answers = [answer for group in on.screen.page.groups for answer, _ in group.facts]
    assert "no" in answers
    assert "not met" in [getattr(each, "shown", "") for each in on.middle.ids.stack.children]
    assert on.screen.strip.next_text == "", "nobody signs a paper that the journal does not name"


def test_a_file_that_is_no_paper_gives_a_sentence(site):
    on, folder = site
    (folder / "reports" / "notes.pdf").write_text("not a paper", "utf-8")
    shown(on, folder / "reports" / "notes.pdf")
    assert "a PDF of at most" in said(on)


@pytest.mark.long_walk
@pytest.mark.parametrize("size", [LANDSCAPE, PORTRAIT, (1920, 1200)], ids=["landscape", "portrait", "wide"])
def test_nothing_is_cut_and_no_target_is_small(site, hand, size):
    on, folder = site
    hand.resize(size)

    def fits(where: str) -> None:
        for scale in (1.0, 1.5, 2.0):
            theme.text_scale = scale
            hand.settle()
            assert (where, scale, hand.cut_labels(), hand.small_targets()) == (where, scale, [], [])

    go(on, "papers", shaft=SHAFT)
    fits("papers")
    on.screen.progress.text, on.screen.progress.cancel_text = "Making the log.", "Do not make it"
    on.screen.progress.running = True
    fits("making")
    on.screen.progress.running = False
    shown(on, next((folder / "reports").glob("*-signed.pdf")))
    fits("paper")
    go(on, "paper folder", start=folder, chosen=lambda _path: None)
    fits("folder")


def test_the_log_that_waits_for_whoever_holds_the_tablet_is_the_next_thing(site):
    on, folder = site
    go(on, "papers", shaft=SHAFT)
    assert on.middle.next.text == f"Make the log of {SHAFT}"  # the inspector has signed it
    on.press()
    on.session.person = ENGINEER
    go(on, "papers", shaft=SHAFT)
    assert on.middle.next.text == f"Countersign the log of {SHAFT}"
    assert f"Make the log of {SHAFT}" in on.texts()
    assert str(folder / "reports") in on.texts()
    on.tap(on.middle.next)
    rested(on)
    assert (on.walk.current, on.screen.page.next_role) == ("paper", "resident engineer")
    assert said(on) == ""
    on.session.person = INSPECTOR
    on.screen.again()
    rested(on)
    assert said(on).startswith(f"The resident engineer signs next. {INSPECTOR} can read it here")
