"""What of the rest of a project bears on a shaft goes with its paper, so that it alone says the same."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import pytest

from fieldapp.criteria.finding import Outcome, ReleaseStatus
from fieldapp.desk.office import ShaftNow, shaft_now
from fieldapp.desk.papers.attached import attached_place
from fieldapp.desk.papers.journal import paper_journal, read_paper_journal, written
from fieldapp.desk.papers.logs import write_shaft_log
from fieldapp.desk.trust.audit import audit
from fieldapp.desk.typed_logs import add_logs, read_logs
from fieldapp.desk.workplace import Workplace
from fieldapp.identity.certificates import to_pem
from fieldapp.record.attesting import DeviceKey, PaperSigned, Revocation
from fieldapp.record.decisions import Release
from fieldapp.record.entry import Draft
from fieldapp.record.hole import Event, Note
from fieldapp.record.revoked import fingerprint_of
from fieldapp.record.words import Happening, Role
from tests.desk.conftest import PLAN_ONLY
from tests.desk.signed_papers import basis, new_key, pin_all, release


def alone(place: Workplace, shaft: str = "P1-1") -> ShaftNow:
    """The shaft as its attached journal tells it, written and read back."""
    whole = paper_journal(place.entries(), shaft, place.now())
    assert paper_journal(place.around(shaft), shaft, place.now()) == whole
    data = written(whole)
    journal = read_paper_journal(data)
    return shaft_now(attached_place(journal), shaft, place.now())


def in_project(place: Workplace, shaft: str = "P1-1") -> ShaftNow:
    return shaft_now(place, shaft, place.now())


def second_shaft(place: Workplace, folder: Path) -> None:
    path = folder / "P9-1.log"
    path.write_text(PLAN_ONLY, "utf-8")
    add_logs(place, read_logs([path]))


def outcome(now: ShaftNow, name: str) -> Outcome:
    return next(each.outcome for each in now.findings if each.requirement == name)


def note(place: Workplace, shaft: str, hours: float, device: str) -> None:
    """A note whose clock says so many hours before or after now."""
    at = place.now() + timedelta(hours=hours)
    draft = Draft(place.clock.new_id(), place.project_id, shaft, Note("seen"), at, at, "Inspector A")
    place.append([draft], device)


def test_a_clock_that_was_corrected_on_another_shaft_is_corrected_on_this_one(
    place: Workplace, tmp_path: Path
) -> None:
    second_shaft(place, tmp_path)
    note(place, "P1-1", 0, "tablet x")
    note(place, "P1-1", -2, "tablet x")
    assert outcome(in_project(place), "clocks") is Outcome.NOT_SHOWN
    assert outcome(alone(place), "clocks") is Outcome.NOT_SHOWN
    event = Event(Happening.CLOCK_CORRECTED, "the clock was two hours ahead")
    at = place.now() - timedelta(hours=1)
    draft = Draft(place.clock.new_id(), place.project_id, "P9-1", event, at, at, "Inspector A")
    place.append([draft], "tablet x")
    note(place, "P9-1", 0, "tablet x")
    assert outcome(in_project(place), "clocks") is Outcome.MET
    assert outcome(alone(place), "clocks") is Outcome.MET


def test_a_release_on_positions_in_chains_of_other_shafts_is_founded_in_the_paper_too(
    place: Workplace, tmp_path: Path
) -> None:
    second_shaft(place, tmp_path)
    note(place, "P9-1", 0, "tablet y")
    release(place, hours=2)
    assert in_project(place).release.status is ReleaseStatus.RELEASED
    assert alone(place).release == in_project(place).release


def test_a_release_that_saw_a_signed_paper_is_founded_in_the_paper_too(place: Workplace) -> None:
    pens = pin_all(place)
    write_shaft_log(place, "P1-1", shaft_now(place, "P1-1").at, "Inspector A", pens[Role.INSPECTOR])
    assert isinstance(tuple(place.entries())[-1].values, PaperSigned)
    rests = basis(place)
    values = Release(rests, place.now() + timedelta(hours=2), reason="the rig stands by")
    draft = Draft(
        place.clock.new_id(),
        place.project_id,
        "P1-1",
        values,
        place.now(),
        place.now(),
        "Resident engineer",
        confirmed=("override",),
    )
    place.append([draft], "tablet z")  # the paper stays the last entry of its own chain
    assert in_project(place).release.status is ReleaseStatus.RELEASED
    journal = paper_journal(place.entries(), "P1-1", place.now())
    assert [each.kind for each in journal.bearing] == ["paper signed"]
    assert alone(place).release == in_project(place).release


def test_a_paper_signed_afterwards_changes_nothing_of_the_journal(place: Workplace) -> None:
    pens = pin_all(place)
    at = shaft_now(place, "P1-1").at
    before = written(paper_journal(place.entries(), "P1-1", at))
    write_shaft_log(place, "P1-1", at, "Inspector A", pens[Role.INSPECTOR])
    assert written(paper_journal(place.entries(), "P1-1", at)) == before


@pytest.mark.parametrize("where", ["P1-1", "P9-1"])
def test_what_a_revoked_device_recorded_is_not_shown_in_the_paper_either(
    place: Workplace, tmp_path: Path, where: str
) -> None:
    """Its first entry since stands on another shaft: that this one's entry came after is told by it alone."""
    second_shaft(place, tmp_path)
    pem = to_pem(new_key(Role.INSPECTOR).x509_certificate)
    key = DeviceKey(pem)
    note(place, "P1-1", 0, "tablet lost")
    at = place.now()
    draft = Draft(place.clock.new_id(), place.project_id, None, key, at, at, "Inspector A")
    place.append([draft], "tablet lost")
    since = at + timedelta(hours=1)
    revoked = Revocation("tablet lost", fingerprint_of(pem), since, "tablet lost on site")
    draft = Draft(place.clock.new_id(), place.project_id, None, revoked, at, at, "Resident engineer")
    place.append([draft])
    assert outcome(in_project(place), "revoked devices") is Outcome.NOT_ASKED
    note(place, where, 2, "tablet lost")
    note(place, "P1-1", 0.5, "tablet lost")  # its clock was set back
    for now in (in_project(place), alone(place)):
        found = next(each for each in now.findings if each.requirement == "revoked devices")
        assert found.outcome is Outcome.NOT_SHOWN
        assert "Recorded on device tablet lost after its key was revoked" in found.says
    journal = paper_journal(place.entries(), "P1-1", place.now())
    lost = [each for each in journal.bearing if each.device == "tablet lost"]
    assert [each.seq for each in lost] == ([3] if where == "P9-1" else [])
    assert read_paper_journal(written(journal)) == journal
    tables = next(each for each in audit(place.folder) if each.what == "read tables equal a rebuild")
    assert tables.ok, tables.detail
