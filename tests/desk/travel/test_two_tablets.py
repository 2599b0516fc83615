"""Tablets that record and exchange in any order, with clocks years apart, end with the same record."""

from __future__ import annotations

import os
import shutil
import tempfile
from contextlib import ExitStack
from datetime import datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule, run_state_machine_as_test

from fieldapp.desk.inspector import AskFirst, Refused
from fieldapp.desk.office import all_shafts
from fieldapp.desk.travel.arriving import take_bundle
from fieldapp.desk.travel.sending import Asked, make_bundle
from fieldapp.desk.trust.audit import audit
from fieldapp.desk.workplace import Workplace, open_project
from fieldapp.record.chain import breaks_in, chains_of
from fieldapp.record.column import HeadReading
from fieldapp.record.decisions import DECISIONS, Amend, Hold, Release, Strike, Withdrawal
from fieldapp.record.entry import Draft, Entry
from fieldapp.record.hole import Event, Note
from fieldapp.record.kinds import Values
from fieldapp.record.objections import objections
from fieldapp.record.reading import Reading
from fieldapp.record.words import Happening
from fieldapp.store.opening import reading
from fieldapp.store.read_tables import READ_TABLES
from tests.desk.signed_work import ENGINEER, INSPECTOR, basis, say
from tests.desk.travel.tablets import MORNING, Tablet, TabletClock, pair

TABLETS = (1, 2, 3)
YEARS_APART = {1: timedelta(0), 2: timedelta(days=-1200), 3: timedelta(days=2500)}
LATEST = MORNING + timedelta(days=4000)
tablets = st.sampled_from(TABLETS)


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Three tablets with the same project, to be copied for each story."""
    root = tmp_path_factory.mktemp("tablets")
    with pytest.MonkeyPatch.context() as patch:
        one, _ = pair(root, patch)
        three = Tablet(root, 3, patch)
        three.takes(one.sends("for three").path)
    return root


class Exchange(RuleBasedStateMachine):
    """What three tablets do.  Bundles are never thrown away: any of them may come again, at any time."""

    site: Path

    @initialize()
    def begin(self) -> None:
        self.root = Path(tempfile.mkdtemp(prefix="basenote-tablets-"))
        shutil.copytree(self.site, self.root, dirs_exist_ok=True)
        self.open = ExitStack()
        self.bundles: list[Path] = []
        self.places: dict[int, Workplace] = {}
        self.clocks: dict[int, TabletClock] = {}
        for each in TABLETS:
            self.hand(each)
            clock = self.clocks[each] = TabletClock(each, MORNING + YEARS_APART[each], made=1000)
            opened = open_project(self.root / f"project {each}", clock, f"tablet {each}")
            self.places[each] = self.open.enter_context(opened)

    def hand(self, tablet: int) -> None:
        os.environ["XDG_CONFIG_HOME"] = str(self.root / f"home {tablet}")

    def says(self, tablet: int, values: Values, author: str, target: Entry | None = None) -> None:
        """Record it, unless this tablet's own record speaks against it."""
        self.hand(tablet)
        place, clock = self.places[tablet], self.clocks[tablet]
        clock.at += timedelta(minutes=7)
        try:
            if target is None:
                say(place, values, author)
                return
            now = place.now()
            parents = (_last_change(place, target),)
            draft = Draft(clock.new_id(), "larkwater", target.shaft, values, now, now, author, parents)
            if not [each for each in objections(place.record(), draft) if each.impossible]:
                place.append([draft])
        except (Refused, AskFirst):
            pass

    @rule(tablet=tablets, depth=st.integers(1, 9))
    def reads_the_head(self, tablet: int, depth: int) -> None:
        self.says(tablet, HeadReading(Reading(str(depth), "ft")), INSPECTOR)

    @rule(tablet=tablets, text=st.sampled_from(["sunny", "rain", "the crew waits"]))
    def notes(self, tablet: int, text: str) -> None:
        self.says(tablet, Note(text), INSPECTOR)

    @rule(tablet=tablets)
    def sees_a_slough(self, tablet: int) -> None:
        self.says(tablet, Event(Happening.SLOUGH, "the wall came in"), INSPECTOR)

    @rule(tablet=tablets, pick=st.integers(0, 99), strike=st.booleans())
    def changes(self, tablet: int, pick: int, strike: bool) -> None:
        known = [
            each
            for each in self.places[tablet].entries()
            if each.shaft is not None and not isinstance(each.values, (Amend, Strike, *DECISIONS))
        ]
        target = known[pick % len(known)]
        values = (
            Strike(target.id, "twice")
            if strike or not isinstance(target.values, Note)
            else Amend(target.id, Note("put right"), "typing")
        )
        self.says(tablet, values, INSPECTOR, target)

    @rule(tablet=tablets, releases=st.booleans())
    def decides(self, tablet: int, releases: bool) -> None:
        self.hand(tablet)
        place = self.places[tablet]
        rests, until = basis(place), place.now() + timedelta(days=3000)
        self.says(tablet, Release(rests, until) if releases else Hold(rests, "wait"), ENGINEER)

    @rule(tablet=tablets)
    def withdraws(self, tablet: int) -> None:
        made = [each.id for each in self.places[tablet].entries() if isinstance(each.values, Release)]
        if made:
            self.says(tablet, Withdrawal(made[-1], "not yet"), ENGINEER)

    @rule(tablet=tablets, shafts=st.sampled_from([None, (), ("P1-1",)]))
    def sends(self, tablet: int, shafts: tuple[str, ...] | None) -> None:
        self.bundles.append(self.sent(tablet, shafts))

    def sent(self, tablet: int, shafts: tuple[str, ...] | None = None) -> Path:
        self.hand(tablet)
        path = self.root / f"{len(list(self.root.glob('*.zip')))}.bundle.zip"
        make_bundle(self.places[tablet], path, Asked(ENGINEER, shafts))
        return path

    @rule(tablet=tablets, pick=st.integers(0, 99))
    def receives(self, tablet: int, pick: int) -> None:
        if self.bundles:
            self.takes(tablet, self.bundles[pick % len(self.bundles)])

    def takes(self, tablet: int, path: Path) -> None:
        self.hand(tablet)
        before = tuple(self.places[tablet].entries())
        arrived = take_bundle(self.places[tablet], path)
        after = tuple(self.places[tablet].entries())
        assert set(before) <= set(after)
        assert len(after) == len(before) + arrived.new

    @invariant()
    def every_chain_holds(self) -> None:
        for place in getattr(self, "places", {}).values():
            assert breaks_in(place.entries()) == ()

    def teardown(self) -> None:
        if not hasattr(self, "places"):
            return
        try:
            for each in TABLETS:
                last = self.sent(each)
                for other in TABLETS:
                    self.takes(other, last)
            for each in TABLETS[:-1]:  # the last one has everything; its signature is in the last bundle
                self.takes(each, last)
            self.agree()
        finally:
            self.open.close()
            shutil.rmtree(self.root, ignore_errors=True)

    def agree(self) -> None:
        """Journal, folded record, findings, and the tables for reading are the same on all."""
        whole = [_told(place) for place in self.places.values()]
        for each in whole[1:]:
            for name, found in each.items():
                assert found == whole[0][name], name
        for tablet, place in self.places.items():
            self.hand(tablet)
            assert [each for each in audit(place.folder) if not each.ok] == []


def _told(place: Workplace) -> dict[str, object]:
    record, at = place.record(), LATEST
    told: dict[str, object] = {
        "journal": {
            name: [each.sealed for each in chain] for name, chain in chains_of(place.entries()).items()
        },
        "record": record,
        "digests": {name: each.digest for name, each in record.shafts.items()},
    }
    for moment in (at, MORNING + timedelta(days=1)):
        told[f"findings {moment}"] = [_found(each) for each in all_shafts(place, moment)]
    with reading(place.folder) as connection:
        for table in READ_TABLES:
            rows = connection.execute(f"SELECT {', '.join(table.column_names)} FROM {table.name}")
            told[f"table {table.name}"] = sorted(rows, key=repr)
    return told


def _found(now: object) -> tuple[object, ...]:
    return tuple(getattr(now, name) for name in ("findings", "standing", "release", "credit"))


def _last_change(place: Workplace, target: Entry) -> str:
    """The version that a change follows: the target, or the last change of it that is known here."""
    changes = [
        each
        for each in place.entries()
        if isinstance(each.values, Amend | Strike) and each.values.target == target.id
    ]
    return changes[-1].id if changes else target.id


def run(site: Path, examples: int, steps: int, patch: pytest.MonkeyPatch) -> None:
    patch.setenv("XDG_CONFIG_HOME", str(site))

    class Here(Exchange):
        pass

    Here.site = site
    wanted = settings(max_examples=examples, stateful_step_count=steps, deadline=None)
    run_state_machine_as_test(Here, settings=wanted)


def test_in_whatever_order_they_exchange_they_end_with_the_same_record(site, monkeypatch):
    run(site, 10, 14, monkeypatch)


@pytest.mark.long_walk
def test_many_stories_longer(site, monkeypatch):
    run(site, 150, 40, monkeypatch)


def test_the_moments_are_years_apart():
    assert isinstance(LATEST, datetime)
    assert YEARS_APART[3] - YEARS_APART[2] > timedelta(days=365 * 10)
