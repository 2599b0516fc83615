"""Views of the decisions: sign-off, release, credit, papers, and the key that each of them needs."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any, Final

from tests.screens.views.sites import decide_on, fresh, occupy

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from tests.screens.decision_journey import Sample
    from tests.screens.journey import Journey


def _at(on: Journey, screen: str, sample: Sample, person: str) -> Path:
    from tests.screens.decision_journey import go

    folder = decide_on(on, sample, person)
    go(on, screen, shaft=sample[0])
    return folder


def _names() -> Any:
    from tests.screens import decision_journey

    return decision_journey


# --- sign-off -------------------------------------------------------------------------------------------


def signoff(on: Journey) -> None:
    _at(on, "signoff", _names().SANDY, _names().INSPECTOR)


def _to_the_end(on: Journey) -> None:
    for _ in range(30):
        if on.screen.reading.done:
            break
        on.tap_next()
        on.hand.until(lambda: not on.screen.reading._look.is_triggered)
    on.hand.settle()


def signoff_read(on: Journey) -> None:
    signoff(on)
    _to_the_end(on)


def signoff_drawn(on: Journey) -> None:
    signoff_read(on)
    _names().draw(on, on.screen.signature.pad)


def signoff_key(on: Journey) -> None:
    signoff_drawn(on)
    _names().hold(on, on.strip.next_button)


def signoff_asked(on: Journey) -> None:
    signoff_key(on)
    _names().unlock(on)
    on.hand.until(lambda: on.middle.foot.question is not None, 60)


def signoff_at_work(on: Journey) -> None:
    signoff_asked(on)
    screen = on.screen
    occupy(on, on.session.jobs, lambda: setattr(screen, "again", lambda: None))  # it was left meanwhile
    on.hand.tap(on.middle.foot.question.ids.yes)
    on.hand.until(lambda: on.middle.progress.running)


def signoff_done(on: Journey) -> None:
    signoff_asked(on)
    on.tap(on.middle.foot.question.ids.yes)
    _names().rested(on)


def signoff_refused(on: Journey) -> None:
    _at(on, "signoff", _names().SANDY, _names().ENGINEER)
    _to_the_end(on)
    _names().draw(on, on.screen.signature.pad)
    _names().hold(on, on.strip.next_button)
    _names().unlock(on)
    _names().rested(on)


def signoff_clean(on: Journey) -> None:
    _at(on, "signoff", _names().CLEAN, _names().INSPECTOR)


# --- release --------------------------------------------------------------------------------------------


def release(on: Journey) -> None:
    _at(on, "release", _names().SANDY, _names().ENGINEER)


def release_clean(on: Journey) -> None:
    _at(on, "release", _names().CLEAN, _names().ENGINEER)


def release_foot(on: Journey) -> None:
    release(on)
    on.middle.pages.scroller.scroll_y = 0.0
    on.hand.settle()


def release_row(on: Journey) -> None:
    release(on)
    on.tap(on.screen.table.row("Base"))


def release_until(on: Journey) -> None:
    release(on)
    on.tap(on.screen.form.box)


def release_over(on: Journey) -> None:
    release_until(on)
    on.screen.form.moment.keypad.text = "11:15"
    on.hand.pump(4)
    on.screen.form.close()
    on.hand.settle()


def release_no_reason(on: Journey) -> None:
    release(on)
    on.tap_next()


def release_hold_why(on: Journey) -> None:
    release(on)
    on.tap_second()


def release_asked(on: Journey) -> None:
    release(on)
    on.screen.form.reason.field.typing.text = "Sounded by hand, crew stands by."
    on.screen.form.conditions.field.typing.text = "Tremie sealed. Sound again before the first charge."
    _names().hold(on, on.strip.next_button)
    _names().unlock(on)


def release_given(on: Journey) -> None:
    release_asked(on)
    on.tap(on.middle.foot.question.ids.yes)


def release_held(on: Journey) -> None:
    release(on)
    on.screen.form.reason.field.typing.text = "Exchange the fluid first."
    on.wait()  # the strip says another thing now
    on.tap_second()
    _names().unlock(on)


def release_withdrawn(on: Journey) -> None:
    release_given(on)
    on.screen.form.reason.field.typing.text = "The pump failed."
    on.tap_second()


def release_lapsed(on: Journey) -> None:
    from fieldapp.desk.inspector import Saying, record_entry
    from fieldapp.record.cleaning import SoundingRound
    from fieldapp.record.reading import Reading

    release_clean(on)
    _names().hold(on, on.strip.next_button)
    _names().unlock(on)
    if on.middle.foot.question is not None:
        on.tap(on.middle.foot.question.ids.yes)
    shaft = _names().CLEAN[0]

    def dirty(place: Any) -> Any:
        values = place.shaft(shaft).last(SoundingRound).values
        layer: dict[str, Any] = {"first_contact": None, "firm": None, "thickness": Reading("3", "in")}
        points = tuple(replace(each, **layer) for each in values.points)
        soft = replace(values, number=values.number + 1, points=points)
        return record_entry(place, Saying(shaft, soft, _names().INSPECTOR))

    on.session.ask(dirty, on.session.recorded, print)
    on.wait()
    on.screen.again()
    on.wait()


def release_past(on: Journey) -> None:
    """The time of a release is over, and concrete has not started."""
    from datetime import timedelta

    release_given(on)
    on.session.clock.moment += timedelta(hours=3)
    on.screen.again()
    on.wait()


def release_refused(on: Journey) -> None:
    _at(on, "release", _names().CLEAN, _names().DESIGNER)
    _names().hold(on, on.strip.next_button)
    _names().unlock(on)


def release_concrete_in(on: Journey) -> None:
    on.session.person = _names().ENGINEER
    _names().go(on, "release", shaft="P1-1")


# --- credit ---------------------------------------------------------------------------------------------


def credit(on: Journey) -> None:
    _at(on, "credit", _names().SOFT, _names().DESIGNER)


def credit_on(on: Journey) -> None:
    credit(on)
    on.tap(on.middle.pages.keys.children[0])


def credit_foot(on: Journey) -> None:
    credit(on)
    on.middle.pages.scroller.scroll_y = 0.0
    on.hand.settle()


def credit_reduced_base(on: Journey) -> None:
    on.session.person = _names().DESIGNER
    _names().go(on, "credit", shaft="P2-1")


def credit_form(on: Journey) -> None:
    credit(on)
    on.tap_next()


def credit_number(on: Journey) -> None:
    credit_form(on)
    on.tap(on.screen.form.choices.rows["reduced credit"])
    for code in ("0", "mark", "4"):
        on.reach(on.screen.form.keypad.key(code))
        on.hand.tap(on.screen.form.keypad.key(code))
    on.wait()


def credit_asked(on: Journey) -> None:
    credit_form(on)
    on.tap(on.screen.form.choices.rows["full credit"])
    on.screen.form.why.field.typing.text = "By the load test."
    _names().hold(on, on.strip.next_button)
    _names().unlock(on)


def credit_decided(on: Journey) -> None:
    credit_asked(on)
    on.tap(on.middle.foot.question.ids.yes)


def credit_unread(on: Journey) -> None:
    _at(on, "credit", _names().SANDY, _names().DESIGNER)


# --- papers ---------------------------------------------------------------------------------------------


def papers_none(on: Journey) -> None:
    _at(on, "papers", _names().CLEAN, _names().INSPECTOR)


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

    names = _names()
    papers_none(on)
    made: list[Path] = []

    def write(place: Any) -> Path:
        pen = Pen(unlock_key(place, names.INSPECTOR, names.PASSPHRASE), Role.INSPECTOR)
        return write_shaft_log(place, names.CLEAN[0], place.now(), names.INSPECTOR, pen).path

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
    _names().rested(on)


def paper(on: Journey) -> None:
    path = _signed_log(on)
    on.session.person = _names().ENGINEER
    _paper(on, path)


def paper_drawn(on: Journey) -> None:
    paper(on)
    _names().draw(on, on.screen.signature.pad)


def paper_damaged(on: Journey) -> None:
    path = _signed_log(on)
    changed = bytearray(path.read_bytes())
    changed[len(changed) // 3] ^= 1
    other = path.with_name("changed.pdf")
    other.write_bytes(changed)
    _paper(on, other)


def paper_none(on: Journey) -> None:
    path = _signed_log(on).with_name("notes.pdf")
    path.write_text("not a paper", "utf-8")
    _paper(on, path)


def paper_folder(on: Journey) -> None:
    path = _signed_log(on)
    (path.parent / "from the office").mkdir()
    _names().go(on, "paper folder", start=path.parent, chosen=lambda _path: None)


def paper_folder_empty(on: Journey) -> None:
    papers_none(on)
    _names().go(on, "paper folder", start=fresh("nothing here"), chosen=lambda _path: None)


# --- the key --------------------------------------------------------------------------------------------


def unlock(on: Journey) -> None:
    release(on)
    on.screen.form.reason.field.typing.text = "Exchange the fluid first."
    on.wait()  # the strip says another thing now
    on.tap_second()


def unlock_wrong(on: Journey) -> None:
    unlock(on)
    _names().unlock(on, "quite another phrase")


def unlock_slowed(on: Journey) -> None:
    unlock(on)
    for _ in range(6):
        _names().unlock(on, "quite another phrase")


DECISION_VIEWS: Final[dict[str, Callable[[Journey], None]]] = {
    each.__name__: each
    for each in (
        signoff, signoff_read, signoff_drawn, signoff_key, signoff_asked, signoff_at_work, signoff_done,
        signoff_refused, signoff_clean, release, release_clean, release_foot, release_row, release_until,
        release_over, release_no_reason, release_hold_why, release_asked, release_given, release_held,
        release_withdrawn,
        release_lapsed, release_past, release_refused, release_concrete_in, credit, credit_on, credit_foot,
        credit_reduced_base, credit_form, credit_number, credit_asked, credit_decided, credit_unread,
        papers_none, papers_of_project, papers, papers_making, paper, paper_drawn, paper_damaged, paper_none,
        paper_folder, paper_folder_empty, unlock, unlock_wrong, unlock_slowed,
    )
}  # fmt: skip
