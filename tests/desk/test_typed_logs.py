"""Plain logs through the desk: whole or not at all, once however often they are added."""

from __future__ import annotations

from pathlib import Path

import pytest

from fieldapp.desk.office import begin_project
from fieldapp.desk.trust.audit import audit
from fieldapp.desk.typed_logs import add_logs, read_logs
from fieldapp.desk.workplace import Workplace, open_project
from fieldapp.exchange.plain_problem import PlainLogRefused
from fieldapp.record.chain import breaks_in
from fieldapp.record.decisions import LogSigned
from fieldapp.record.shaft import digest_of

HEAD = """\
project   larkwater
device    tablet north
author    Inspector A
zone      America/Denver
day       2026-05-12
shaft     P1-1

"""


def add(place: Workplace, text: str, name: str = "more.log") -> None:
    path = place.folder.parent / name
    path.write_text(HEAD + text, "utf-8")
    add_logs(place, read_logs([path]))


def test_the_project_file_comes_first_and_all_is_in_the_journal(place: Workplace) -> None:
    kinds = [each.kind for each in place.entries()]
    assert kinds == ["project set-up", "instrument", "shaft scheduled", "excavation stage", "sounding round"]
    assert [each.device for each in place.entries()] == ["office"] * 3 + ["tablet north"] * 2
    assert breaks_in(place.entries()) == ()


def test_adding_the_same_files_again_adds_nothing(place: Workplace, logs: Path) -> None:
    before = tuple(place.entries())
    added = add_logs(place, read_logs(list(logs.glob("*.log"))))
    assert [(each.new, each.known) for each in added] == [(0, 3), (0, 2)]
    assert tuple(place.entries()) == before


@pytest.mark.parametrize(
    ("text", "line", "field", "said"),
    [
        ("08:50  head reading\n  fluid level  pH 81\n", 9, "fluid level", "81"),
        ("08:50  note\n  txt  x\n", 9, "txt", "text"),
        (
            "08:50  fluid test\n  stage  drilling\n  set  1\n  sample depth  29' 0\"\n  pH  81\n",
            12,
            "ph",
            "acidity from 0 to 14",
        ),
        ("08:50  shaft P9-9  note\n  text  x\n", 8, "shaft", "a shaft that is scheduled"),
        (
            "07:00  cleanout pass\n  number  1\n  method  airlift\n  started at  07:00\n",
            8,
            "observed at",
            "a time from 2026-05-12 07:10",
        ),
        (
            "08:50  sounding round\n  number  2\n  why  other\n  instrument  tape 1\n"
            "  point  C   r 40 in   angle 0 deg   first 29' 11\"   firm 30' 0\"\n",
            12,
            "point C",
            "a place on the base",
        ),
        (
            "08:50  sounding round\n  number  2\n  why  other\n  instrument  tape 1\n"
            "  point  C   r 0 in   angle 0 deg   first 30' 0\"   firm 29' 11\"\n",
            12,
            "firm",
            "not above first contact",
        ),
        (
            "08:50  sounding round\n  number  2\n  why  other\n  instrument  tape 1\n"
            "  point  C   r 0 in   angle 0 deg   first 27' 11\"   firm 28' 0\"\n",
            12,
            "point C",
            "confirmed  depth-off",
        ),
    ],
)
def test_a_file_with_one_bad_entry_is_refused_whole_and_says_where(
    place: Workplace, text: str, line: int, field: str, said: str
) -> None:
    before = tuple(place.entries())
    good = "09:30  note\n  text  this one is good\n\n"
    with pytest.raises(PlainLogRefused) as refused:
        add(place, text + "\n" + good)
    sentences = [str(each) for each in refused.value.problems]
    assert any(
        each.startswith(f"more.log line {line}, ") and field in each and said in each for each in sentences
    ), sentences
    assert tuple(place.entries()) == before


def test_an_unlikely_entry_is_added_with_its_confirmation(place: Workplace) -> None:
    add(
        place,
        "08:50  sounding round\n  number  2\n  why  other\n  instrument  tape 1\n  confirmed  depth-off\n"
        "  point  C   r 0 in   angle 0 deg   first 27' 11\"   firm 28' 0\"\n",
    )
    assert tuple(place.entries())[-1].draft.confirmed == ("depth-off",)


def test_a_changed_entry_is_refused_because_changes_are_amendments(place: Workplace, logs: Path) -> None:
    path = logs / "P1-1.log"
    text = path.read_text("utf-8")
    assert text.count("29' 11 1/2") == 1
    path.write_text(text.replace("29' 11 1/2", "29' 11 3/4"), "utf-8")
    with pytest.raises(PlainLogRefused) as refused:
        add_logs(place, read_logs([path]))
    (problem,) = refused.value.problems
    line = next(number for number, each in enumerate(text.splitlines(), 1) if "29' 11 1/2" in each)
    assert (problem.line, problem.field) == (line, "first contact of point N")
    assert problem.read == "29' 11 3/4\""
    assert problem.expected == (
        "29' 11 1/2\", as the journal has it; what was wrong is changed by an amend block that says why"
    )


@pytest.mark.parametrize(
    ("was", "now", "field", "read", "expected"),
    [
        ("author    Inspector A", "author    Inspector B", "author", "Inspector B", "Inspector A"),
        ("rock auger", "core barrel", "tool", "core barrel", "rock auger"),
        ("  point  C ", "  point  D ", "point D", "label D", "nothing"),
    ],
)
def test_a_changed_entry_names_each_field_that_differs(
    place: Workplace, logs: Path, was: str, now: str, field: str, read: str, expected: str
) -> None:
    path = logs / "P1-1.log"
    text = path.read_text("utf-8")
    assert was in text
    path.write_text(text.replace(was, now), "utf-8")
    with pytest.raises(PlainLogRefused) as refused:
        add_logs(place, read_logs([path]))
    found = [each for each in refused.value.problems if each.field == field]
    assert found
    assert all(each.read.startswith(read) and each.expected.startswith(expected) for each in found)


def test_a_decision_rests_on_the_journal_as_it_stood(place: Workplace) -> None:
    expected = digest_of(place.shaft("P1-1").entries)
    add(place, "10:00  log signed\n  statement  recorded as seen\n\n10:05  note\n  text  later\n")
    signed = next(each for each in place.entries() if each.kind == "log signed")
    assert isinstance(signed.values, LogSigned)
    assert signed.values.basis.record_digest == expected
    assert {(each.device, each.seq) for each in signed.values.basis.positions} == {
        ("office", 3),
        ("tablet north", 2),
    }
    again = tuple(place.entries())
    add(place, "10:00  log signed\n  statement  recorded as seen\n\n10:05  note\n  text  later\n")
    assert tuple(place.entries()) == again


def test_a_file_of_another_project_is_refused(place: Workplace) -> None:
    path = place.folder.parent / "other.log"
    path.write_text(HEAD.replace("larkwater", "elsewhere") + "09:00  note\n  text  x\n", "utf-8")
    with pytest.raises(PlainLogRefused, match="larkwater"):
        add_logs(place, read_logs([path]))


def test_what_was_added_holds_up_in_an_audit(place: Workplace) -> None:
    add(place, "10:00  note\n  text  all well\n")
    assert [each for each in audit(place.folder) if not each.ok] == []


def test_a_folder_that_is_a_project_already_is_left_alone(place: Workplace) -> None:
    assert begin_project(place.folder) is False


def test_two_programs_cannot_write_one_project_at_once(place: Workplace) -> None:
    from fieldapp.store.problems import StoreProblem

    with pytest.raises(StoreProblem), open_project(place.folder):
        pass
