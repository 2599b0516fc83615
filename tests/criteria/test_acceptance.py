"""Reading an acceptance set from its document: what is taken, and what is refused with which words."""

from __future__ import annotations

import tomllib
from fractions import Fraction

import pytest

from fieldapp.criteria.acceptance import Adoption, acceptance_set, added, changed, described, split_unit
from fieldapp.criteria.limits import Case, limit_for
from fieldapp.criteria.parameters import PARAMETERS
from fieldapp.record.acceptance import Applies
from fieldapp.record.codec import encode
from fieldapp.record.reading import Impossible, Reading
from fieldapp.record.words import Fluid, FluidStage
from fieldapp.units import UNITS

HEAD = 'id = "own"\ntitle = "Own set"\nstandard = "the contract"\n'
GOOD = {
    "name": '"max_thickness_anywhere"',
    "value": '"1-1/2 in"',
    "source": '"contract, section 5"',
    "confidence": '"contract"',
}


def table(**cells):
    """One parameter table; a cell of None leaves the line out, any other stands as TOML writes it."""
    lines = [f"{key} = {value}" for key, value in {**GOOD, **cells}.items() if value is not None]
    return "\n".join(["[[parameter]]", *lines, ""])


def read(*tables, head=HEAD):
    return acceptance_set(tomllib.loads(head + "\n".join(tables)))


def refusal(*tables, head=HEAD):
    with pytest.raises(Impossible) as caught:
        read(*tables, head=head)
    return str(caught.value)


def the_one(**cells):
    return read(table(**cells)).parameters[0]


def test_a_value_keeps_its_text_and_parts_from_its_unit():
    found = the_one()
    assert (found.value, found.unit) == ("1-1/2", "in")
    assert found.reading.si == Fraction(381, 10_000)  # 1.5 x 25.4 mm
    assert found.strict is False
    assert found.applies == Applies()


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("1/2 in", ("1/2", "in")),
        ("1 1/2 in", ("1 1/2", "in")),
        ("4 %", ("4", "%")),
        ("40 degF", ("40", "degF")),
        ("1,15 g/cm3", ("1,15", "g/cm3")),
        ("61' 4 1/2\" ft-in", ("61' 4 1/2\"", "ft-in")),
        ("  25   mm ", ("25", "mm")),
        ("9", ("9", "")),
        ("mm", ("mm", "")),
        ("area cells", ("area cells", "")),
        ("5 furlong", ("5 furlong", "")),
    ],
)
def test_the_last_piece_is_the_unit_when_it_is_a_known_unit(text, parts):
    assert split_unit(text) == parts


@pytest.mark.parametrize(
    ("name", "value", "kept"),
    [
        ("min_points", "9", ("9", "count")),
        ("min_points", "9 count", ("9", "count")),
        ("ph_max", "11.5", ("11.5", "pH")),
        ("ph_max", "11.5 pH", ("11.5", "pH")),
        ("single_shaft_reduction", "0.80", ("0.80", "ratio")),
        ("plan_tol", "75 mm", ("75", "mm")),
        ("plan_tol", "10 %", ("10", "%")),
        ("temp_min_test", "-1 degC", ("-1", "degC")),
        ("weighting", "area cells", ("area cells", "")),
        ("resound_events", "slough,cage set", ("slough, cage set", "")),
        ("product_range", "the maker's sheet of May", ("the maker's sheet of May", "")),
    ],
)
def test_counts_acidity_factors_and_words_need_no_unit(name, value, kept):
    found = the_one(name=f'"{name}"', value=f'"{value}"')
    assert (found.value, found.unit) == kept


def test_user_stays_to_be_entered_and_keeps_the_unit_proposed():
    found = the_one(value='"user"', unit='"mm"', confidence='"none"')
    assert (found.value, found.unit, found.reading) == (None, "mm", None)


def test_conditions_become_words_and_readings():
    found = the_one(
        name='"density_max"',
        value='"75 pcf"',
        applies='{ fluid = ["mineral"], stage = ["before concrete", "drilling"], diameter_under = "5 ft" }',
    )
    assert found.applies == Applies(
        fluid=(Fluid.MINERAL,),
        stage=(FluidStage.DRILLING, FluidStage.BEFORE_CONCRETE),
        diameter_under=Reading("5", "ft"),
    )
    assert described(found.name, found.applies) == (
        "density_max (fluid mineral; stage drilling, before concrete; diameter under 5 ft)"
    )


def test_a_set_that_was_read_can_be_written_in_an_entry():
    body = encode(read(table(applies='{ method = ["dry"] }')))
    assert body["parameters"][0]["applies"] == {"method": ["dry"]}


def test_every_known_parameter_says_what_it_is_and_takes_a_value_of_its_dimension():
    for name, kind in PARAMETERS.items():
        assert kind.group, name
        assert kind.meaning, name
        known = {UNITS[symbol].dimension for symbol in kind.units or () if symbol in UNITS}
        assert known <= set(kind.dimensions), name
        assert not (kind.dimensions and kind.words), name
        assert len(name) <= 60


# what is written, and the words that the refusal has to hold
REFUSED = [
    ({"colour": '"red"'}, ["own", "colour", "verified_by"]),
    ({"value": "0.5"}, ["own", "max thickness anywhere", "0.5", "quotation marks"]),
    ({"value": "2"}, ["own", "max thickness anywhere", "2", "quotation marks"]),
    ({"value": None}, ["own", "max thickness anywhere", "value", "some words"]),
    ({"value": '""'}, ["own", "max thickness anywhere", "value", "some words"]),
    ({"value": '"1/2"'}, ["max thickness anywhere", "'1/2'", "a length in m, cm, mm, ft, in"]),
    ({"value": '"4 %"'}, ["max thickness anywhere", "'4 %'", "a length in"]),
    ({"value": '"75 pcf"'}, ["max thickness anywhere", "'75 pcf'", "a length in"]),
    ({"value": '"5 furlong"'}, ["'5 furlong'", "a length in"]),
    ({"value": '"about 1 in"'}, ["'about 1 in'", "not a number"]),
    ({"value": '"nan in"'}, ["'nan in'", "not a number"]),
    ({"value": '"1,500 mm"'}, ["'1,500 mm'", "two ways"]),
    ({"value": '"-1 in"'}, ["'-1 in'", "not negative"]),
    ({"name": '"area_fraction_min"', "value": '"150 %"'}, ["area fraction min", "'150 %'", "at most 100 %"]),
    ({"name": '"area_fraction_min"', "value": '"50"'}, ["area fraction min", "'50'", "a ratio in %"]),
    ({"name": '"area_fraction_min"', "value": '"0.5 ratio"'}, ["'0.5 ratio'", "a ratio in %"]),
    ({"name": '"min_points"', "value": '"5.5"'}, ["min points", "'5.5'", "whole number"]),
    ({"name": '"viscosity_max"', "value": '"45 min"'}, ["viscosity max", "'45 min'", "a time in s"]),
    ({"name": '"weighting"', "value": '"by eye"'}, ["weighting", "'by eye'", "area cells, equal"]),
    ({"name": '"weighting"', "value": '"area cells, equal"'}, ["weighting", "one of area cells, equal"]),
    (
        {"name": '"resound_events"', "value": '"slough, rain"'},
        ["resound events", "'slough, rain'", "cage set"],
    ),
    ({"name": '"resound_events"', "value": '"slough, slough"'}, ["resound events", "each once"]),
    ({"name": '"max_thickness"'}, ["own", "'max_thickness'", "max_thickness_anywhere"]),
    ({"name": None}, ["own", "parameter 1", "name"]),
    ({"unit": '"in"'}, ["max thickness anywhere", "unit", "in the value itself"]),
    ({"value": '"user"', "unit": '"pcf"', "confidence": '"none"'}, ["unit", "'pcf'", "a length in"]),
    ({"confidence": '"memory: weak"'}, ["confidence", "'memory: weak'", "memory: fair"]),
    ({"confidence": '"certain"'}, ["confidence", "'certain'", "second-hand"]),
    ({"confidence": None}, ["max thickness anywhere", "confidence"]),
    ({"confidence": '"none"'}, ["confidence", "'none'", "beside 'user'"]),
    ({"source": None}, ["max thickness anywhere", "source", "some words"]),
    ({"source": '"  "'}, ["max thickness anywhere", "source", "some words"]),
    ({"note": "7"}, ["max thickness anywhere", "note", "quotation marks"]),
    ({"strict": '"yes"'}, ["max thickness anywhere", "strict", "'yes'", "true or false"]),
    ({"strict": "1"}, ["max thickness anywhere", "strict", "true or false"]),
    ({"applies": '"dry"'}, ["max thickness anywhere", "applies", "'dry'"]),
    ({"applies": '{ colour = ["red"] }'}, ["applies", "colour", "structure_class"]),
    ({"applies": '{ fluid = ["mud"] }'}, ["applies fluid", "mud", "none, water, mineral, polymer"]),
    ({"applies": '{ fluid = "mineral" }'}, ["applies fluid", "mineral", "a list of"]),
    ({"applies": "{ fluid = [] }"}, ["applies fluid", "a list of one or more"]),
    ({"applies": '{ fluid = ["mineral", "mineral"] }'}, ["applies fluid", "each once"]),
    ({"applies": "{ fluid = [1] }"}, ["applies fluid", "a list of"]),
    ({"applies": "{ diameter_under = 5 }"}, ["diameter under", "'5'", "quotation marks"]),
    ({"applies": '{ diameter_under = "5" }'}, ["diameter under", "'5'", "a length in"]),
    ({"applies": '{ diameter_from = "8 ft", diameter_under = "60 in" }'}, ["from 8 ft to under 60 in"]),
]


@pytest.mark.parametrize(("cells", "words"), REFUSED)
def test_what_does_not_fit_is_refused_in_words_that_name_it(cells, words):
    sentence = refusal(table(**cells))
    assert "acceptance set 'own'" in sentence
    for each in words:
        assert each in sentence


def test_the_refusal_names_the_place_of_the_parameter_in_the_file():
    sentence = refusal(table(), table(name='"mean_thickness_limit"', value='"1 %"'))
    assert "parameter 2 mean thickness limit" in sentence


@pytest.mark.parametrize(
    ("head", "words"),
    [
        (HEAD + 'edition = "3"\n', ["own", "edition", "standard"]),
        ('title = "Own set"\nstandard = "x"\n', ["id"]),
        ('id = "own"\nstandard = "x"\n', ["own", "title"]),
        ('id = "own"\ntitle = "Own set"\n', ["own", "standard"]),
        ('id = 7\ntitle = "Own set"\nstandard = "x"\n', ["7", "quotation marks"]),
    ],
)
def test_a_bad_head_is_refused(head, words):
    sentence = refusal(table(), head=head)
    for each in words:
        assert each in sentence


@pytest.mark.parametrize("tail", ["", "parameter = []\n", 'parameter = "none"\n', "parameter = [1]\n"])
def test_a_set_without_parameter_tables_is_refused(tail):
    assert "[[parameter]] table" in refusal(head=HEAD + tail)


@pytest.mark.parametrize(
    ("first", "second"),
    [
        ("{}", "{}"),
        ('{ fluid = ["mineral", "polymer"] }', '{ fluid = ["polymer", "mineral"] }'),
        ('{ diameter_under = "5 ft" }', '{ diameter_under = "60 in" }'),
    ],
)
def test_the_same_case_twice_is_refused_however_it_is_written(first, second):
    sentence = refusal(table(applies=first), table(applies=second, value='"2 in"'))
    assert "acceptance set 'own'" in sentence
    assert "max_thickness_anywhere" in sentence
    assert "once for the same case" in sentence


def test_one_name_in_two_cases_is_taken():
    accepted = read(table(), table(applies='{ method = ["dry"] }', value='"2 in"'))
    assert [each.value for each in accepted.parameters] == ["1-1/2", "2"]


OPEN = table(value='"user"', unit='"mm"', confidence='"none"', strict="true", source='"none"')
BY = Adoption("A. Reader", clause="section 5.2")


def test_a_project_enters_its_own_value_and_somebody_answers_for_it():
    before = read(OPEN, table(name='"min_head"', value='"1.0 m"', confidence='"memory: fair"'))
    after = changed(before, "max_thickness_anywhere", Applies(), "50 mm", BY)
    new = after.parameters[0]
    assert (new.value, new.unit, new.strict) == ("50", "mm", True)
    assert (new.confidence, new.verified_by) == ("contract", "A. Reader")
    assert (new.source, new.clause) == ("project contract", "section 5.2")
    assert after.parameters[1:] == before.parameters[1:]
    assert before.parameters[0].value is None


def test_a_project_may_make_a_limit_inclusive():
    after = changed(
        read(OPEN), "max_thickness_anywhere", Applies(), "50 mm", Adoption("A. Reader", strict=False)
    )
    assert after.parameters[0].strict is False


def test_a_change_reaches_only_the_case_it_names():
    accepted = read(table(), table(applies='{ diameter_under = "5 ft" }', value='"1 in"'))
    after = changed(
        accepted, "max_thickness_anywhere", Applies(diameter_under=Reading("60", "in")), "3/4 in", BY
    )
    assert [each.value for each in after.parameters] == ["1-1/2", "3/4"]


@pytest.mark.parametrize(
    ("name", "applies", "value", "words"),
    [
        (
            "max_thickness_anywhere",
            Applies(),
            "4 %",
            ["own", "max thickness anywhere", "'4 %'", "a length in"],
        ),
        ("max_thickness_anywhere", Applies(), "user", ["own", "max thickness anywhere", "'user'"]),
        ("max_thickness_anywhere", Applies(fluid=(Fluid.WATER,)), "1 in", ["(fluid water)", "one of"]),
        ("mean_thickness_limit", Applies(), "1 in", ["own", "mean_thickness_limit", "add it first"]),
    ],
)
def test_a_change_that_does_not_fit_is_refused(name, applies, value, words):
    with pytest.raises(Impossible) as caught:
        changed(read(table()), name, applies, value, BY)
    for each in words:
        assert each in str(caught.value)


def test_nobody_answering_for_a_value_is_refused():
    with pytest.raises(Impossible, match="verified by"):
        Adoption(" ")


def test_a_limit_that_only_the_contract_asks_for_is_added():
    after = added(read(table()), "mean_thickness_limit", Applies(fluid=(Fluid.MINERAL,)), "25 mm", BY)
    found = limit_for(after, "mean_thickness_limit", Case(fluid=Fluid.MINERAL))
    assert (found.value, found.unit, found.confidence) == ("25", "mm", "contract")
    assert limit_for(after, "mean_thickness_limit", Case(fluid=Fluid.WATER)) is None


@pytest.mark.parametrize(
    ("name", "value", "words"),
    [
        ("mean_thickness", "25 mm", ["own", "mean_thickness_limit"]),
        ("mean_thickness_limit", "25 h", ["mean thickness limit", "'25 h'"]),
        ("max_thickness_anywhere", "25 mm", ["max_thickness_anywhere", "once for the same case"]),
    ],
)
def test_an_addition_that_does_not_fit_is_refused(name, value, words):
    with pytest.raises(Impossible) as caught:
        added(read(table()), name, Applies(), value, BY)
    for each in words:
        assert each in str(caught.value)
