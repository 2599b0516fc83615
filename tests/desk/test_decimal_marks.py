"""A decimal comma and a decimal point say the same wherever a number can be typed, also before three digits.

The decimal sign is either one (ISO 80000-1, 7.3.2), and no key groups digits: 1,085 g/cm3 is 1.085 g/cm3.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from fieldapp.criteria.parameters import PARAMETERS
from fieldapp.desk.entry_forms.fluid_form import FluidField, FluidForm, SamplePlace, fluid_entry
from fieldapp.desk.entry_forms.form import Ask, FormField
from fieldapp.desk.entry_forms.opening import form_for
from fieldapp.desk.entry_forms.reading_typed import place_of, reading_of
from fieldapp.desk.entry_forms.sheets import SHEETS
from fieldapp.desk.projects.acceptance_numbers import ready_value, value_field
from fieldapp.desk.rounds.entry import point_entry, thickness_text, with_places
from fieldapp.desk.rounds.form import PointForm, RoundForm
from fieldapp.record.reading import Impossible, Reading
from fieldapp.record.words import FluidStage, RoundWhy, UnitSystem
from fieldapp.units import NotANumber, parse_number, with_point

CENTRE = PointForm("C", Reading("0", "m"), Reading("0", "deg"))
ROUND = RoundForm(1, RoundWhy.AFTER_PASS, 1, "tape 1", (CENTRE,), "m", Fraction(2), "m")
OFFICE = {"shaft scheduled", "instrument"}


@pytest.mark.parametrize(
    ("text", "value"),
    [("1,085", "1.085"), ("12,5", "12.5"), ("-0,4", "-0.4"), ("61' 4,5\"", "61' 4.5\""), ("1/2", "1/2")],
)
def test_a_comma_becomes_a_point_and_nothing_else_changes(text, value):
    assert with_point(text) == value


@pytest.mark.parametrize("text", ["1,085,5", "1,085.5", "1.085,5", ",", "1,"])
def test_two_marks_are_no_number_however_they_stand(text):
    with pytest.raises(NotANumber):
        parse_number(with_point(text))


@pytest.mark.parametrize("kind", sorted(set(SHEETS) - {"sounding round"}))  # has a screen of its own
def test_every_number_of_every_form_takes_either_mark(place, kind):
    opened = form_for(place, None if kind in OFFICE else "P1-1", kind)
    for field in opened.fields:
        if field.ask is Ask.READING:
            comma, point = (reading_of(field, f"1{mark}085") for mark in ",.")
            assert comma == point, field.name
            assert comma.read == "1.085"
        elif field.ask is Ask.PLACE:
            assert place_of(field, "1,085; 12,125") == place_of(field, "1.085; 12.125")


@pytest.mark.parametrize("system", list(UnitSystem))
def test_every_number_of_an_acceptance_set_takes_either_mark(system):
    numbers = [name for name in PARAMETERS if value_field(name, system).ask is Ask.READING]
    assert len(numbers) > 20
    for name in numbers:
        comma, point = (ready_value(name, f"1{mark}085", system) for mark in ",.")
        assert comma == point
        assert comma.split()[0] == "1.085"


def test_depths_of_a_round_take_either_mark(place):
    comma, point = (
        point_entry(CENTRE, {"first_contact": f"18{mark}755", "firm": f"18{mark}76"}, "m") for mark in ",."
    )
    assert comma == point
    assert comma.thickness_m == Fraction(5, 1000)  # by hand: 18.760 - 18.755
    assert comma.first_contact == Reading("18.755", "m")
    assert thickness_text(place, "18,755", "18,76", "m") == thickness_text(place, "18.755", "18.76", "m")


def test_a_place_of_a_round_takes_either_mark():
    comma, point = (with_places(ROUND, {"A1": {"r": f"1{m}125", "angle": f"12{m}5"}}) for m in ",.")
    assert comma == point
    assert comma.point("A1").r == Reading("1.125", "m")


def test_a_sample_before_concrete_takes_either_mark():
    units = {"density": "g/cm3", "sand": "%", "ph": "pH"}
    boxes = tuple(FluidField(name=n, caption=n, unit=unit, limit="", last="") for n, unit in units.items())
    where = SamplePlace("near the base", Reading("18", "m"))
    form = FluidForm(FluidStage.BEFORE_CONCRETE, 1, Reading("946", "mL"), (where,), boxes)
    comma, point = (
        fluid_entry(form, where, {"density": f"1{m}085", "sand": f"0{m}25", "ph": f"9{m}5"}) for m in ",."
    )
    assert comma == point
    assert comma.density == Reading("1.085", "g/cm3")


def test_a_comma_that_parts_thousands_is_refused_where_a_reader_could_take_it_either_way():
    field = FormField("depth", "depth", Ask.READING, unit="m", units=("m",))
    with pytest.raises(Impossible):
        reading_of(field, "1,234,567")
    with pytest.raises(NotANumber, match="two ways"):
        parse_number("1,234")  # a file typed from paper, where nobody says what the comma is
