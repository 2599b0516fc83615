"""A round on the desk: its form, places, units, what the map says of it, an earlier round, amending."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path

import pytest

from fieldapp.desk.looking import NotOpen
from fieldapp.desk.office import begin_project
from fieldapp.desk.rounds.beside import earlier_rounds, round_beside
from fieldapp.desk.rounds.entry import point_entry, round_entry, texts_now, with_places
from fieldapp.desk.rounds.form import RoundForm, round_form, round_to_amend
from fieldapp.desk.rounds.now import Side, round_now, side_of
from fieldapp.desk.typed_logs import add_logs, read_logs
from fieldapp.desk.workplace import Workplace, open_project
from fieldapp.record.cleaning import SoundingPoint, SoundingRound
from fieldapp.record.reading import Impossible, Reading
from fieldapp.record.said import Said
from fieldapp.record.words import RoundWhy

SAMPLES = Path(__file__).parents[2] / "sample_logs" / "larkwater"
SHAFT = "P2-3"
FIRM = "32' 0\""


@pytest.fixture(scope="module")
def place(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Workplace]:
    """The sample project with the shaft of slaking shale: 6 ft, one round of nine points."""
    folder = tmp_path_factory.mktemp("rounds") / "larkwater"
    begin_project(folder)
    with open_project(folder, device="test") as opened:
        add_logs(opened, read_logs([SAMPLES / "project.log", SAMPLES / f"{SHAFT}.log"]))
        yield opened


@pytest.fixture
def form(place) -> RoundForm:
    return round_form(place, SHAFT)


def read(form: RoundForm, *inches: str) -> dict[str, dict[str, str]]:
    """First contact at these inches over 31 feet, firm at 32 feet."""
    labels = [each.label for each in form.points]
    return {
        label: {"first_contact": f"31' {each}\"", "firm": FIRM}
        for label, each in zip(labels, inches, strict=False)
    }


def test_the_proposed_round_goes_on_from_the_last_one(form):
    assert (form.number, form.why, form.unit, form.place_unit) == (2, RoundWhy.AFTER_PASS, "ft-in", "in")
    assert form.title == "Round 2, after pass 2"
    assert isinstance(form.title, Said)
    # layout rule: 6 ft has centre and eight rim points, 5 in off the wall of 36 in
    assert [each.label for each in form.points] == ["C", *(f"R{k}" for k in range(1, 9))]
    assert {str(each.r) for each in form.points[1:]} == {"31 in"}


def test_a_point_stands_where_it_was_put_and_an_added_one_comes_last(form):
    put = with_places(form, {"R3": {"r": "18", "angle": "90"}, "A1": {"r": "12,5", "angle": "200"}})
    assert [each.label for each in put.points] == [*(each.label for each in form.points), "A1"]
    assert (str(put.point("R3").r), str(put.point("R3").angle)) == ("18 in", "90 deg")
    assert put.point("A1").r.si == Fraction("12.5") * Fraction("0.0254")


@pytest.mark.parametrize(
    ("texts", "named"),
    [
        ({"r": "37", "angle": "0"}, "r"),  # the radius is 36 in
        ({"r": "", "angle": "0"}, "reading"),
        ({"r": "10", "angle": "361"}, "angle"),
    ],
)
def test_a_place_that_cannot_be_is_refused(form, texts, named):
    with pytest.raises(Impossible) as refused:
        with_places(form, {"R3": texts})
    assert refused.value.field_name == named


def test_each_point_is_read_in_its_own_unit(form):
    point = point_entry(form.point("C"), {"first_contact": "9.70", "firm": "9.75", "unit": "m"}, "ft-in")
    assert point.thickness_m == Fraction(5, 100)
    other = point_entry(form.point("C"), {"first_contact": "31' 11\"", "firm": FIRM}, "ft-in")
    assert other.thickness_m == Fraction("0.0254")


def test_a_half_read_round_shows_nothing_of_the_whole_base(place, form):
    now = round_now(place, SHAFT, form, read(form, "11 3/4", "11 1/4", "10", "11 1/4"))
    assert now.unread == ("R4", "R5", "R6", "R7", "R8")
    shown = (now.view.share, now.view.largest, now.view.mean, now.assured)
    assert shown == ("not shown",) * 4
    assert now.over == ("R1", "R2", "R3")  # 3/4, 2 and 3/4 in, under 1/2 in is asked
    assert now.over_side == Side.UP_RIGHT  # at 0, 45 and 90 degrees
    outcomes = {each.requirement: each.outcome for each in now.held}
    assert outcomes["base largest thickness"] == "not met"  # us-classic: 1 1/2 in anywhere
    assert outcomes["base area share"] == "not shown"
    assert (now.classes, now.unit) == (("1/4", "1/2", "1", "1 1/2"), "in")


def test_a_whole_round_shows_measured_and_assured_share(place, form):
    now = round_now(place, SHAFT, form, read(form, *["11 7/8"] * 9))
    assert now.unread == ()
    assert (now.view.share, now.view.largest, now.view.mean) == ("100 %", "1/8 in", "1/8 in")
    assert 90 < float(now.assured.removesuffix(" %")) <= 100
    assert now.confidence == "95 %"
    assert (now.settled, now.next_place) == ("holds", None)
    assert {each.outcome for each in now.held} == {"met"}


def test_assured_is_less_than_measured_where_readings_are_uneven(place, form):
    inches = ["11 3/4", "11 1/8", "11 3/4", "11 1/8", "11 3/4", "11 3/4", "11 1/8", "11 3/4", "11 3/4"]
    now = round_now(place, SHAFT, form, read(form, *inches))
    assert float(now.assured.split(" ")[0]) < float(now.view.share.split(" ")[0])


def test_before_the_third_reading_the_next_place_is_far_from_those_that_were_read(place, form):
    now = round_now(place, SHAFT, form, read(form, "11 3/4"))
    x, y = now.next_place.at
    assert (x * x + y * y) ** 0.5 > 0.5
    typed = {"A1": {"r": now.next_place.r, "angle": now.next_place.angle}}
    assert with_places(form, typed).point("A1")  # it can be added as it is said


@pytest.mark.parametrize(
    ("places", "side"),
    [
        ([(0.0, 0.9)], Side.UP),
        ([(0.9, 0.0)], Side.RIGHT),
        ([(-0.6, -0.6)], Side.DOWN_LEFT),
        ([(0.1, 0.0)], Side.MIDDLE),
        ([(0.9, 0.0), (-0.9, 0.0)], Side.AROUND),
    ],
)
def test_where_points_lie_is_said_in_words(places, side):
    assert side_of(places, 1.0) is side


def test_an_earlier_round_is_compared_with_the_nearest_place(place, form):
    moved = with_places(form, {"R3": {"r": "18", "angle": "90"}})
    (earlier,) = earlier_rounds(place, SHAFT, form)
    typed = read(form, "11 3/4", "11 1/2", "11 3/4", "11 1/4")
    beside = round_beside(place, SHAFT, moved, typed, earlier.entry)
    found = {each.label: each for each in beside.differences}
    # the sample log: C 1/8 in, R1 and R2 1/4 in, R3 1/8 in at 31 in, 90 degrees
    assert (found["C"].change, found["R1"].change, found["R2"].change) == ("+1/8 in", "+1/4 in", "0 in")
    assert (found["R3"].nearest, found["R3"].change, found["R3"].apart) == ("R3", "+5/8 in", "12.99 in")
    assert (found["R4"].known, found["R4"].change, found["R4"].was) == (False, "not shown", "1/4 in")
    assert found["C"].apart == ""


def test_an_unknown_round_is_not_compared(place, form):
    with pytest.raises(NotOpen):
        round_beside(place, SHAFT, form, {}, "no such entry")


def test_an_amended_round_says_again_what_it_said(place, form):
    (earlier,) = earlier_rounds(place, SHAFT, form)
    amended = round_to_amend(place, SHAFT, earlier.entry)
    said = texts_now(amended)
    assert amended.title == "Round 1, amended"
    assert round_entry(amended, said) == amended.before
    assert earlier_rounds(place, SHAFT, amended) == ()
    changed = said | {"R2": {"no_reading": "obstruction"}}
    after = {each.label: each for each in round_entry(amended, changed).points}
    assert after["R2"].no_reading == "obstruction"
    assert [after[each.label] for each in amended.before.points if each.label != "R2"] == [
        each for each in amended.before.points if each.label != "R2"
    ]


def test_amending_loses_no_thickness_and_no_unit(form):
    where = {"r": Reading("0", "in"), "angle": Reading("0", "deg")}
    points = (
        SoundingPoint("C", **where, thickness=Reading("12", "mm")),
        SoundingPoint("R1", **where, first_contact=Reading("31.9", "ft"), firm=Reading("9.75", "m")),
        SoundingPoint("R2", **where, no_reading="cage in the way"),
    )
    before = SoundingRound(1, RoundWhy.OTHER, "camera 1", points, text="by lamp")
    amended = RoundForm(
        1, RoundWhy.OTHER, None, "camera 1", tuple(form.points[:3]), "ft-in", form.radius_m, "in",
        target="entry", before=before,
    )  # fmt: skip
    places = {each.label: {"r": "0", "angle": "0"} for each in points}
    assert round_entry(with_places(amended, places), texts_now(amended)) == before


def test_an_entry_that_is_no_round_is_not_amended_as_one(place):
    other = next(each for each in place.shaft(SHAFT).lines if not isinstance(each.values, SoundingRound))
    with pytest.raises(NotOpen):
        round_to_amend(place, SHAFT, other.id)
