"""What belongs to the project as a whole and touches some shafts leaves all rows as a rebuild writes them."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from fieldapp.desk.projector import Rows
from fieldapp.desk.workplace import Workplace, open_project
from fieldapp.record.decisions import Amend, Strike
from fieldapp.record.entry import Draft
from fieldapp.record.kinds import Values
from fieldapp.record.setup import Instrument
from fieldapp.record.words import InstrumentType
from fieldapp.store.checking import check_store
from tests.support.many_shafts import sample_entries

AUTHOR = "Resident engineer"


@pytest.fixture(scope="module")
def project(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("sample") / "larkwater"
    sample_entries("larkwater", folder)
    return folder


def say(place: Workplace, values: Values, *parents: str) -> str:
    at = place.shaft("P1-1").lines[-1].observed_at
    draft = Draft(place.clock.new_id(), place.project_id, None, values, at, at, AUTHOR, parents)
    (entry,) = place.append([draft])
    return entry.id


def test_a_check_of_an_instrument_is_seen_by_the_shafts_that_name_it(project: Path) -> None:
    written = []

    class Watched(Rows):
        def shaft_rows(self, record, shaft):
            written.append(shaft.id)
            return super().shaft_rows(record, shaft)

    with open_project(project, device="office 9") as place:
        place.writer()._projector = Watched()
        labels = sorted({each.values.label for each in place.record().instruments})
        assert len(labels) > 3
        everybody = set(place.record().shafts)
        seen = {}
        for label in labels:
            written.clear()
            last = place.record().checks_of(label)[-1].values
            failed = replace(last, passed=False)
            check = say(place, failed)
            amended = say(place, Amend(check, replace(failed, label="tape 99"), "another tape"), check)
            struck = say(place, Strike(check, "not checked at all"), amended)
            assert struck
            seen[label] = set(written)
        assert any(set() < each < everybody for each in seen.values()), "some shafts, and not all"
        say(place, Instrument("a tape that nobody uses", last.type, passed=True, check="against another"))
    found = {each.what: each for each in check_store(project, Rows())}
    assert found["read tables equal a rebuild"].ok, found["read tables equal a rebuild"].detail


def test_a_check_that_comes_after_its_amendment_is_seen_as_it_was_amended(project: Path) -> None:
    with open_project(project, device="office 9") as place:
        checks = place.record().instruments
        label = next(each.values.label for each in checks if each.values.type is InstrumentType.TAPE)
        failed = replace(place.record().checks_of(label)[-1].values, passed=False)
        at, check = place.shaft("P1-1").lines[-1].observed_at, place.clock.new_id()
        say(place, Amend(check, failed, "it was this tape"), check)
        draft = Draft(check, place.project_id, None, replace(failed, label="tape 98"), at, at, AUTHOR)
        place.append([draft])
        assert any(each.id == check for each in place.record().checks_of(label))
    found = {each.what: each for each in check_store(project, Rows())}
    assert found["read tables equal a rebuild"].ok, found["read tables equal a rebuild"].detail


def test_rows_are_those_of_a_rebuild_after_each_failed_check(project: Path) -> None:
    with open_project(project, device="office 9") as place:
        for label in sorted({each.values.label for each in place.record().instruments}):
            say(place, replace(place.record().checks_of(label)[-1].values, passed=False))
    found = {each.what: each for each in check_store(project, Rows())}
    assert found["read tables equal a rebuild"].ok, found["read tables equal a rebuild"].detail
