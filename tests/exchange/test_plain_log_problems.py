"""What is wrong with a typed log is said with file, line, field, what was read and what was expected."""

from __future__ import annotations

import pytest

from fieldapp.exchange.plain_log import load_plain_log, read_plain_log
from fieldapp.exchange.plain_problem import MOST_PROBLEMS, PlainLogRefused
from tests.exchange.plain_text import HEAD

FILE = "larkwater-p1-1.log"


def problems(text: str):
    with pytest.raises(PlainLogRefused) as refused:
        read_plain_log(text, FILE)
    return refused.value.problems


def only_problem(body: str):
    (problem,) = problems(HEAD + body)
    return problem


LEVEL_IS = "09:10  head reading\n  fluid level  "
LEVEL = "09:10  head reading  #h1\n  fluid level  3' 2\"\n"
POINT = "  point  C   r 0 in   angle 0   first 61' 4 1/2\"   firm 61' 4\"\n"
ROUND = "09:10  sounding round\n  number  1\n  why  after pass\n  instrument  tape 1\n"


def test_a_firm_depth_above_first_contact_gives_the_whole_sentence():
    problem = only_problem(ROUND + POINT)
    assert (problem.file, problem.line, problem.read) == (FILE, 12, "61' 4\"")
    assert "firm depth of point C" in problem.field
    assert "first contact at 61' 4 1/2\"" in problem.expected
    assert str(problem).startswith(
        "larkwater-p1-1.log line 12, firm depth of point C: read '61' 4\"', expected "
    )


@pytest.mark.parametrize(
    ("body", "line", "field", "read", "expected"),
    [
        (LEVEL_IS + "NaN\n", 9, "fluid level", "NaN", "61' 4 1/2\""),
        (LEVEL_IS + "3.2\n", 9, "fluid level", "3.2", "with its unit"),
        (LEVEL_IS + "3 pcf\n", 9, "fluid level", "3 pcf", "length"),
        (LEVEL_IS + "300 m\n", 9, "fluid level", "300 m", "length from -20 m to 150 m"),
        (LEVEL_IS + "3' 14\"\n", 9, "fluid level", "3' 14\"", "twelve inches"),
        ("09:10  head reading\n  fluid levl  3' 2\"\n", 9, "field", "fluid levl", "mean 'fluid level'?"),
        ("09:10  head reading\n  make up  on\n", 8, "fluid level", "nothing", "a value for fluid level"),
        (LEVEL + "  make up  full\n", 10, "make up", "full", "one of on, off"),
        (LEVEL + "  fluid level  3' 3\"\n", 10, "fluid level", "3' 3\"", "line 9 has it already"),
        (LEVEL + "  make up\n", 10, "make up", "nothing", "a value after 'make up'"),
        ("09:10  soundng round\n", 8, "kind", "soundng round", "did you mean 'sounding round'?"),
        ("09:10\n", 8, "kind", "nothing", "one of project set-up, shaft scheduled"),
        ("25:10  note\n  text  x\n", 8, "time", "25:10", "a time from 00:00 to 23:59"),
        ("9.10  note\n", 8, "time", "9.10", "a time like 07:40"),
        ("weather  rain\n", 8, "line", "weather  rain", "an entry that begins with its time"),
        ("day  2026-02-30\n" + LEVEL, 8, "day", "2026-02-30", "a day like 2026-05-12"),
        ("zone  Mars/Olympus\n" + LEVEL, 8, "zone", "Mars/Olympus", "a time zone like America/Denver"),
        ("shaft  P1?\n" + LEVEL, 8, "shaft", "P1?", "letters, digits"),
        ("project  other\n" + LEVEL, 8, "project", "other", "one project in a file"),
        ("  fluid level  3' 2\"\n" + LEVEL, 8, "line", "fluid level  3' 2\"", "an entry above it"),
        (LEVEL + "09:20  amend #h2\n  because  x\n  make up  on\n", 10, "amend", "#h2", "known are #h1"),
        (LEVEL + "09:20  amend #h1\n  because  x\n", 10, "amend", "nothing", "a field that changes"),
        (LEVEL + "09:20  amend #h1\n  make up  on\n", 10, "why", "nothing", "a value for why"),
        (LEVEL + "09:20  strike\n", 10, "strike", "nothing", "the label of the entry meant"),
        (LEVEL + "09:20  note  #h1\n  text  x\n", 10, "label", "#h1", "a label that no entry above has"),
        (LEVEL + "09:00  note\n  text  x\n", 10, "time", "2026-05-12 09:00", "a 'day' line may be missing"),
        (LEVEL + "  recorded  09:00\n", 10, "recorded", "2026-05-12 09:00", "not before 2026-05-12 09:10"),
        ("13:00  withdrawal\n  release  #r\n  reason  x\n", 9, "release", "#r", "label of a release above"),
        (ROUND + "  point  C  r 0  angle 0\n", 12, "r", "0", "a length with its unit"),
        (ROUND + "  point  C  r 0 in  first 3 m\n", 12, "position of point C", "r 0 in, angle None", "r and"),
        (ROUND + "  point  C  radius 0 in\n", 12, "field", "radius 0 in", "names are label, r, angle"),
    ],
)  # fmt: skip
def test_a_bad_line_is_named_with_what_was_expected(body, line, field, read, expected):
    problem = only_problem(body)
    assert (problem.line, problem.field, problem.read) == (line, field, read)
    assert expected in problem.expected


def test_an_entry_without_a_shaft_is_refused():
    (problem,) = problems(HEAD.replace("shaft     P1-1\n", "") + LEVEL)
    assert (problem.line, problem.field, problem.read) == (7, "shaft", "nothing")


@pytest.mark.parametrize("name", ["project", "device", "author", "zone", "day"])
def test_every_header_is_asked_for_once(name):
    head = "".join(line for line in HEAD.splitlines(keepends=True) if not line.startswith(name))
    (problem,) = problems(head + LEVEL + LEVEL.replace("#h1", "#h2"))
    assert (problem.field, problem.read) == (name, "nothing")
    assert f"a line '{name}  ...'" in problem.expected


def test_an_amendment_of_a_struck_entry_is_refused():
    body = LEVEL + "09:20  strike #h1\n  because  twice\n\n09:30  amend #h1\n  make up  on\n  because  x\n"
    problem = only_problem(body)
    assert (problem.line, problem.field) == (13, "amend")
    assert "struck above" in problem.expected


def test_a_decision_is_not_amended_but_made_anew():
    body = "13:00  release  #rel\n  until  15:00\n\n13:10  amend #rel\n  until  16:00\n  because  x\n"
    assert "made anew" in only_problem(body).expected


def test_all_problems_of_a_file_are_told_at_once():
    body = "09:10  head reading\n  fluid level  x\n\n09:20  nte\n\n09:30  note\n  txt  y\n"
    found = problems(HEAD + body)
    assert [each.line for each in found] == [9, 11, 14]
    text = str(PlainLogRefused(found))
    assert text.splitlines()[0] == (
        f"{FILE} was not added (3 problems). Nothing is recorded; correct it and add it again."
    )
    assert len(text.splitlines()) == 4


def test_a_time_that_the_zone_skips_or_has_twice_needs_its_offset():
    spring = HEAD.replace("2026-05-12", "2026-03-08")
    (skipped,) = problems(spring + "02:30  note\n  text  x\n")
    assert "is skipped" in skipped.expected
    autumn = HEAD.replace("2026-05-12", "2026-11-01")
    (twice,) = problems(autumn + "01:30  note\n  text  x\n")
    assert "comes twice" in twice.expected
    (entry,) = read_plain_log(autumn + "01:30-07:00  note\n  text  x\n", FILE).entries
    assert entry.observed_at.isoformat() == "2026-11-01T01:30:00-07:00"


def test_an_empty_file_is_refused():
    (problem,) = problems("# nothing yet\n")
    assert (
        str(problem) == f"{FILE}, entries: read 'nothing', expected at least one entry, such as '07:40  note'"
    )


def test_long_lines_and_control_characters_are_refused():
    assert only_problem(LEVEL + f"  make up  {'o' * 500}\n").line == 10
    assert "control characters" in only_problem(LEVEL + "09:20  note\n  text  a\x07b\n  text  c\n").expected


def test_a_file_of_more_than_2_mb_is_refused_without_reading_its_lines(tmp_path):
    path = tmp_path / FILE
    path.write_text(HEAD + LEVEL + "# x\n" * 500_000, "utf-8")
    with pytest.raises(PlainLogRefused, match="at most 2 MB"):
        load_plain_log(path)
    assert "at most 2 MB" in problems("#" * 2_000_001)[0].expected


def test_reading_stops_when_there_are_too_many_problems():
    found = problems(HEAD + "nonsense\n" * 5000)
    assert len(found) == MOST_PROBLEMS + 1
    assert "reading stopped" in found[-1].expected


def test_a_file_that_is_not_utf_8_names_the_line(tmp_path):
    path = tmp_path / FILE
    path.write_bytes((HEAD + LEVEL).encode() + b"09:20  note\n  text  62 \xb0F\n")
    with pytest.raises(PlainLogRefused) as refused:
        load_plain_log(path)
    (problem,) = refused.value.problems
    assert str(problem) == (
        f"{FILE} line 11, encoding: read 'byte B0 after 'text  62'', expected UTF-8; save the file as UTF-8 "
        "and look at this line again"
    )


@pytest.mark.parametrize(
    ("content", "line", "read"),
    [
        (b"Dear all,\nplease find attached\nthe notes of today.\n" * 40, 1, "Dear all,"),
        (b"# 2026\ndepth,density\n1.0,68.5\n2.0,69.1\n", 2, "depth,density"),
        (b"1.0,68.5\n2.0,69.1\n", 1, "1.0,68.5"),
        (b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n1 0 obj\n", 1, "%PDF-1.7"),
        (b"PK\x03\x04\x14\x00\x08\xff\xfe", 1, "'PK"),
    ],
)
def test_a_file_that_is_no_log_is_told_once(tmp_path, content, line, read):
    path = tmp_path / FILE
    path.write_bytes(content)
    with pytest.raises(PlainLogRefused) as refused:
        load_plain_log(path)
    (problem,) = refused.value.problems
    assert (problem.line, problem.field) == (line, "file")
    assert problem.read.startswith(read)
    assert problem.expected == "a plain log, which begins with a line such as 'project   larkwater'"


def test_a_fluid_by_its_name_on_site_is_suggested_by_its_word():
    body = "09:10  shaft scheduled\n  fluid  bentonite\n"
    found = next(each for each in problems(HEAD + body) if each.field == "fluid")
    assert found.expected.endswith("; did you mean 'mineral'?")


def test_a_byte_order_mark_and_windows_line_ends_are_fine(tmp_path):
    path = tmp_path / FILE
    path.write_bytes(b"\xef\xbb\xbf" + (HEAD + LEVEL).replace("\n", "\r\n").encode())
    assert load_plain_log(path).entries == read_plain_log(HEAD + LEVEL, FILE).entries


def test_a_file_with_too_many_entries_or_an_entry_with_too_many_lines_is_refused():
    many = problems(HEAD + "09:10  note\n  text  x\n" * 5001)
    assert many[-1].expected == "at most 5000 entries in a file; split it"
    long = "".join(f"  point  P{i}  r 0 in  angle 0  thickness 0 in\n" for i in range(298))
    assert only_problem(ROUND + long).expected == "at most 300 lines under an entry"
