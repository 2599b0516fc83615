"""A load test from CSV: units, both kinds of test, and every problem with its file, line and field."""

import hashlib
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldapp.base.load_test import Closure, read_load_test
from fieldapp.exchange.load_test_file import read_load_test_file
from fieldapp.exchange.plain_problem import PlainLogRefused

SAMPLE = Path(__file__).parents[2] / "sample_logs" / "larkwater" / "load_test_T-1.csv"
ONE_WAY = "base displacement (in),base load (kip)\n0.00,0\n0.50,135\n1.00,1155\n"
BOTH_WAYS = """# bidirectional test, invented
load cell above base,4' 6"
base diameter,60 in
cell load (kip),downward displacement (mm),upward displacement (mm)
0,0,0
100,1.5,
200,,0.8
300,20,1.0
"""


def problems(text):
    with pytest.raises(PlainLogRefused) as refused:
        read_load_test_file(text, "t.csv")
    return refused.value.problems


def only(text):
    (problem,) = problems(text)
    return problem


def test_units_come_from_the_header():
    """By hand: 0.5 in is 0.0127 m; 1155 kip at 4448.2216152605 N is 5.13769597 MN."""
    test = read_load_test_file(ONE_WAY, "t.csv")
    assert test.base.displacement_m == pytest.approx((0.0, 0.0127, 0.0254), rel=1e-12)
    assert test.base.load_mn[2] == pytest.approx(1155 * 4448.2216152605e-6, rel=1e-12)
    assert (test.upward, test.cell_above_base_m, test.diameter_m) == (None, None, None)


def test_columns_may_come_in_any_order_and_case_and_with_other_separators():
    wanted = read_load_test_file(ONE_WAY, "t.csv")
    turned = "Base Load (kip); Base Displacement (in)\n0;0,00\n135;0,50\n1155;1,00\n"
    assert read_load_test_file(turned, "t.csv") == wanted
    assert read_load_test_file("\ufeff" + ONE_WAY.replace(",", "\t").replace("\n", "\r\n"), "t.csv") == wanted


def test_a_bidirectional_test_gives_both_curves_and_the_place_of_the_cell():
    test = read_load_test_file(BOTH_WAYS, "t.csv")
    assert test.base.displacement_m == pytest.approx((0.0, 0.0015, 0.020))
    assert test.base.load_mn == pytest.approx([kip * 4448.2216152605e-6 for kip in (0, 100, 300)])
    assert test.upward.displacement_m == pytest.approx((0.0, 0.0008, 0.001))
    assert test.cell_above_base_m == pytest.approx(4.5 * 0.3048)
    assert test.diameter_m == pytest.approx(1.524)


def test_the_sample_test_starts_flat_and_closes_at_about_half_an_inch():
    """Its note says: the base moved about half an inch before it took load."""
    assert hashlib.sha256(SAMPLE.read_bytes()).hexdigest().startswith("7ffcf131")
    found = read_load_test(read_load_test_file(SAMPLE.read_text("utf-8"), SAMPLE.name))
    assert isinstance(found, Closure)
    assert found.low_m / 0.0254 > 0.4
    assert found.closure_m / 0.0254 == pytest.approx(0.5, abs=0.03)
    assert found.high_m / 0.0254 < 0.6


def test_a_number_that_is_none_names_file_line_and_column():
    problem = only(ONE_WAY.replace("135", "a lot"))
    assert (problem.file, problem.line, problem.field) == ("t.csv", 3, "base load")
    assert str(problem).startswith("t.csv line 3, base load: read 'a lot kip', expected a number")


def test_every_problem_is_told_at_once():
    text = ONE_WAY.replace("0.50", "nan").replace("1155", "") + "1.2\n80,1200\n"
    assert [(p.line, p.field) for p in problems(text)] == [
        (3, "base displacement"),
        (4, "base load"),
        (5, "row"),
        (6, "base displacement"),
    ]


@pytest.mark.parametrize(
    ("header", "field"),
    [
        ("base displacement (in),base load", "base load"),
        ("base displacement (in),base load (psi)", "base load"),
        ("base displacement (kip),base load (kip)", "base displacement"),
        ("base displacement (in),settlement (in)", "column 2"),
        ("base displacement (in)", "header"),
        ("base displacement (in),cell load (kip)", "header"),
        ("cell load (kip),upward displacement (in)", "header"),
        ("base displacement (in),base load (kip),base load (kip)", "header"),
        ("0.0,0", "column 1"),
    ],
)
def test_a_header_that_does_not_tell_what_and_in_which_unit_is_refused(header, field):
    found = problems(header + "\n0,0\n")
    assert found[0].line == 1
    assert found[0].field == field


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("load cell above base,4", "a length with its unit"),
        ("load cell above base,-4 ft", "at least 0"),
        ("load cell above base,4 kip x", "a length with its unit"),
        ("base diameter,90 m", "at most 20 m"),
        ("base diameter,5 ft\nbase diameter,6 ft", "one line of it"),
    ],
)
def test_a_fact_above_the_header_is_held_to_its_unit_and_range(line, said):
    assert said in only(line + "\n" + ONE_WAY).expected


def test_a_fact_in_a_unit_of_another_kind_is_refused():
    problem = only("load cell above base,4 kip\n" + ONE_WAY)
    assert (problem.line, problem.field, problem.read) == (1, "load cell above base", "4 kip")


def test_a_file_without_header_or_rows_is_refused():
    assert only("").field == "header"
    assert only("# only a remark\n").field == "header"
    assert only("base displacement (in),base load (kip)\n").field == "rows"
    assert only("cell load (kip),downward displacement (in)\n5,\n").field == "rows"


@pytest.mark.parametrize("start", ["load cell above base,", "base displacement (", "", "base diameter,4 "])
def test_an_endless_line_is_refused_and_not_gone_through_letter_by_letter(start):
    """Before there was a limit, 60,000 digits took seconds and a million would have taken an hour."""
    with pytest.raises(PlainLogRefused, match="at most 500 characters in a line"):
        read_load_test_file(start + "9" * 1_000_000, "T-1.csv")


def test_a_file_that_is_too_large_is_refused():
    assert only(ONE_WAY + "0,0\n" * 10_000).field == "size"


@settings(max_examples=120, deadline=None)
@given(st.sampled_from([ONE_WAY, BOTH_WAYS]), st.integers(0, 400), st.text(max_size=4))
def test_a_slip_of_the_pen_is_refused_or_read_but_never_breaks(text, place, slip):
    place %= len(text)
    try:
        read_load_test_file(text[:place] + slip + text[place + 1 :], "t.csv")
    except PlainLogRefused as refused:
        assert all(each.expected for each in refused.problems)


@settings(max_examples=100, deadline=None)
@given(st.text(max_size=200))
def test_any_text_is_refused_or_read_but_never_breaks(text):
    try:
        read_load_test_file(text, "t.csv")
    except PlainLogRefused as refused:
        assert refused.problems
