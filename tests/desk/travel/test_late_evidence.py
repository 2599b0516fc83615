"""What another tablet saw makes a release lapse when it arrives, whichever of the two was recorded first."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import pytest

from fieldapp.criteria.finding import ReleaseState, ReleaseStatus
from fieldapp.desk.travel.arriving import Arrived, NewFolder, begin_from_bundle, take_bundle
from fieldapp.desk.travel.sending import Asked, make_bundle
from fieldapp.desk.travel.told import told_of
from fieldapp.desk.workplace import open_project
from fieldapp.record.hole import Event, Note
from fieldapp.record.kinds import Values
from fieldapp.record.words import Happening
from tests.desk.decision_site import CLEAN, ENGINEER, site
from tests.desk.signed_work import INSPECTOR, say
from tests.desk.travel.tablets import TabletClock

WEST = "tablet west"


def carried(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, values: Values) -> tuple[ReleaseState, Arrived]:
    """A release here, and what a second tablet recorded before it, brought over after it."""
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "east"))
    with site(tmp_path, CLEAN) as on:
        first = make_bundle(on.place, tmp_path / "first.bundle.zip", Asked(ENGINEER)).path
        west, clock = tmp_path / "west project", TabletClock(9, on.clock.at - timedelta(minutes=1))
        monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "west"))
        begin_from_bundle(NewFolder(west, clock, WEST), first)
        with open_project(west, clock, WEST) as there:
            say(there, values, INSPECTOR, on.shaft)
            late = make_bundle(there, tmp_path / "late.bundle.zip", Asked(INSPECTOR)).path
        monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "east"))
        on.release("13:50")
        assert on.state.status is ReleaseStatus.RELEASED
        arrived = take_bundle(on.place, late)
        return on.state, arrived


def test_a_slough_that_arrives_late_makes_the_release_lapse(tmp_path, monkeypatch):
    state, arrived = carried(tmp_path, monkeypatch, Event(Happening.SLOUGH, "the wall came in"))
    assert state.status is ReleaseStatus.LAPSED
    (change,) = arrived.changed
    assert change.lost_release
    assert change.says[0].startswith("The release does not hold any more: lapsed. ")
    assert state.reason in change.says[0]
    assert told_of(arrived)[0].startswith(f"Taken over from device {WEST}")


def test_a_note_that_arrives_late_leaves_the_release_standing(tmp_path, monkeypatch):
    state, arrived = carried(tmp_path, monkeypatch, Note("sunny"))
    assert state.status is ReleaseStatus.RELEASED
    assert not any(each.lost_release for each in arrived.changed)
