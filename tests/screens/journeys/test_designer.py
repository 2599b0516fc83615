"""The designer weeks later, by touch: what the base is worth, the disposition, and the paper closed."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta
from decimal import Decimal
from pathlib import Path

import pytest

from fieldapp.desk.decisions.signing_off import SignOffAsked, sign_off
from fieldapp.desk.office import begin_project
from fieldapp.desk.trust.people import make_key
from fieldapp.desk.trust.unlocking import unlock_key
from fieldapp.desk.typed_logs import add_logs, read_logs
from fieldapp.desk.workplace import open_project, read_project
from fieldapp.record.attesting import PaperSigned
from fieldapp.record.decisions import Disposition
from fieldapp.record.entry import Entry
from fieldapp.record.words import Decision
from fieldapp.ui.screens.setup_rows import SetupRow
from tests.screens.decision_journey import (
    DESIGNER,
    ENGINEER,
    INSPECTOR,
    PASSPHRASE,
    ZONE,
    draw,
    hold,
    opened,
    rested,
    unlock,
)
from tests.screens.journey import DEVICE, SAMPLES, Journey, SteppedClock
from tests.screens.journeys.by_touch import hand_over, to_board, to_shaft, told, write
from tests.support.driver import Driver

SHAFT = "T-1"
UNREAD = "P1-1"  # scheduled, and nothing else
OFFICE_DAY = datetime(2026, 6, 2, 9, 30, tzinfo=ZONE)


@pytest.fixture
def site(hand: Driver, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[tuple[Journey, Path]]:
    """The test shaft with concrete in and its log signed by the inspector; nobody has decided on its base."""
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "home"))
    folder = tmp_path / "project"
    begin_project(folder)
    logs = [SAMPLES / "larkwater" / f"{name}.log" for name in ("project", SHAFT)]
    clock = SteppedClock(OFFICE_DAY - timedelta(hours=1))
    with open_project(folder, clock, DEVICE) as place:
        add_logs(place, read_logs(logs))
        for who in (INSPECTOR, ENGINEER, DESIGNER):
            make_key(place, who, PASSPHRASE)
        key = unlock_key(place, INSPECTOR, PASSPHRASE)
        sign_off(place, SHAFT, SignOffAsked(confirmed=("sign-open",)), INSPECTOR, key)
    on, _ = opened(hand, folder, OFFICE_DAY)
    yield on, folder
    on.leave()


def made(folder: Path, kind: type) -> list[Entry]:
    with read_project(folder) as place:
        return [each for each in place.entries() if isinstance(each.values, kind)]


def to_papers(on: Journey) -> None:
    """From anywhere to the papers of the project."""
    to_board(on)
    on.tap(on.middle.ids.more)
    on.tap(on.middle.column.button("papers"))
    assert on.walk.current == "papers"


def papers(on: Journey) -> list[SetupRow]:
    return [each for each in on.screen.walk() if isinstance(each, SetupRow)]


def sign_further(on: Journey, person: str, title: str) -> None:
    """Open the log that was signed last, draw, and hold down."""
    hand_over(on, person)
    to_papers(on)
    on.tap(next(each for each in papers(on) if "signed further" not in each.says))
    rested(on)
    assert on.walk.current == "paper"
    assert (on.screen.strip.next_able, title in on.texts()) == (False, True)
    draw(on, on.screen.signature.pad)
    hold(on, on.screen.strip.next_button)
    if on.session.key_of != person:
        unlock(on)
    asked = on.middle.foot.question  # the disposition came after the paper
    assert "has changed since this paper was made. 1 entry since: disposition." in asked.text
    assert asked.text.count("?") == 1
    on.tap(asked.ids.yes)
    rested(on)
    assert told(on).startswith("Signed, and saved as ")


def type_in(on: Journey, name: str, text: str) -> None:
    """A number of the disposition, in the place of what stands there."""
    form = on.screen.form
    on.tap(form.boxes[name])
    for _ in form.keypad.text:
        on.hand.tap(form.keypad.key("back"))
    for each in text:
        on.hand.tap(form.keypad.key("mark" if each == "." else each))
    on.hand.tap(form.keypad.key("next"))
    on.hand.settle()
    assert form.boxes[name].value == text


def test_the_designer_looks_reduces_the_credit_and_closes_the_paper(site):
    on, folder = site
    # looks: a credit stands at its displacement, with its range
    hand_over(on, DESIGNER)
    to_shaft(on, SHAFT, "Credit")
    assert on.walk.current == "credit"
    shown = on.texts()
    service, strength = on.screen.page.credit.rows
    # by the log: 0.5 in and 3.0 in are the designer's own displacements
    for row, name in ((service, "service, 0.5 in"), (strength, "strength, 3 in")):
        assert name in shown
        low, best, high = (Decimal(each) for each in (row.low, row.best, row.high))
        assert 0 <= low < best < high <= 1
        for each in (row.low, row.best, row.high):
            assert each in shown
    assert Decimal(service.best) < Decimal(strength.best)  # a soft layer closes as the base moves

    # a credit above 1 is refused in a sentence, and what was typed stays to be put right
    on.tap_next()
    on.tap(on.screen.form.choices.rows["reduced credit"])
    write(on, on.screen.form.why.field, "Soft layer over most of the base.")
    type_in(on, "credit", "1.2")
    type_in(on, "displacement", "0.5")
    hold(on, on.strip.next_button)
    unlock(on)
    assert told(on) == "Credit: 1.2 cannot be. Expected ratio from 0 to 1."
    assert made(folder, Disposition) == []
    type_in(on, "credit", "0.4")
    hold(on, on.strip.next_button)
    assert on.middle.foot.question is None, told(on)  # below the best estimate nothing is asked
    (entry,) = made(folder, Disposition)
    assert (entry.values.decision, entry.draft.author) == (Decision.REDUCED_CREDIT, DESIGNER)
    assert (str(entry.values.credit), str(entry.values.displacement)) == ("0.4", "0.5 in")
    assert entry.values.why == "Soft layer over most of the base."
    assert "Soft layer over most of the base." in on.texts()

    # a base that nobody sounded has no estimate: its full credit is not passed in silence
    to_shaft(on, UNREAD, "Credit")
    assert "The credit is not shown, for want of:" in on.texts()
    on.tap_next()
    on.tap(on.screen.form.choices.rows["full credit"])
    write(on, on.screen.form.why.field, "As its neighbours.")
    hold(on, on.strip.next_button)
    assert on.middle.foot.question.text.startswith("There is no estimate to hold full credit against")
    on.tap(on.middle.foot.question.ids.no)
    assert [each.shaft for each in made(folder, Disposition)] == [SHAFT]

    # somebody else finds the same buttons, and is told by the desk that it is not his to decide
    hand_over(on, ENGINEER)
    to_shaft(on, SHAFT, "Credit")
    on.tap_second()
    on.tap(on.screen.form.choices.rows["no credit"])
    write(on, on.screen.form.why.field, "I want it so.")
    hold(on, on.strip.next_button)
    unlock(on)
    assert told(on).startswith("Resident engineer may not make a disposition: that takes a designer")
    assert [each.shaft for each in made(folder, Disposition)] == [SHAFT]

    # the paper goes on from the inspector: countersigned by the engineer, closed by the designer
    sign_further(on, ENGINEER, "resident engineer")
    sign_further(on, DESIGNER, "designer")
    to_papers(on)
    closed = [each for each in papers(on) if each.shown == "met"]
    assert len(closed) == 1
    for person in (INSPECTOR, ENGINEER, DESIGNER):
        assert person in closed[0].says
    on.leave()
    assert [each.draft.author for each in made(folder, PaperSigned)] == [INSPECTOR, ENGINEER, DESIGNER]
    (last,) = [each for each in made(folder, PaperSigned) if each.draft.author == DESIGNER]
    assert (folder / "reports" / last.values.file_name).read_bytes().startswith(b"%PDF-")
