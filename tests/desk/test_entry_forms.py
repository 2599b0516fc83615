"""Forms of every kind of entry: what they ask, what they make of it, and what they refuse."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from fractions import Fraction

import pytest

from fieldapp.desk.entry_forms.amending import form_to_amend
from fieldapp.desk.entry_forms.form import OBSERVED_AT, WHY, Ask, EntryForm
from fieldapp.desk.entry_forms.opening import form_for
from fieldapp.desk.entry_forms.recording import record_typed
from fieldapp.desk.entry_forms.sheets import SHEETS
from fieldapp.desk.entry_forms.values import values_of
from fieldapp.desk.inspector import AskFirst, Refused, Saying, record_entry, strike
from fieldapp.desk.looking import NotOpen
from fieldapp.desk.workplace import UnknownShaft, Workplace
from fieldapp.record.cleaning import CleanoutPass
from fieldapp.record.column import FluidTest, HeadReading
from fieldapp.record.entry import Draft
from fieldapp.record.hole import BaseSighting, DiameterAt, Event, GeometrySurvey, Note, Photo
from fieldapp.record.kinds import PROJECT_KINDS, Values
from fieldapp.record.reading import Impossible, Reading
from fieldapp.record.roles import MAY_MAKE
from fieldapp.record.setup import PiezometricLevel, ShaftScheduled
from fieldapp.record.words import CleanoutMethod, FluidStage, Happening, InstrumentType, MakeUp, Role
from fieldapp.store.pictures import save_picture
from tests.support.examples import EXAMPLES, MORNING, SOMETHING, feet

INSPECTOR = "Inspector A"
OWN_SCREENS = {
    "project set-up", "amend", "strike", "log signed", "release", "hold", "withdrawal", "disposition",
    "device key", "stretch signed", "paper signed", "revocation",
}  # fmt: skip
FORMS = sorted(set(SHEETS) - {"sounding round"})
TYPED = [each for each in EXAMPLES if each.KIND in SHEETS]


def shaft_of(kind: str) -> str | None:
    return None if kind in PROJECT_KINDS else "P1-1"


def in_record(place: Workplace, values: Values) -> str:
    """The id of an entry put straight into the journal."""
    now = place.now()
    draft = Draft(place.clock.new_id(), "larkwater", shaft_of(values.KIND), values, now, now, INSPECTOR)
    place.append([draft])
    return draft.id


def form(place: Workplace, kind: str) -> EntryForm:
    if kind == "shaft scheduled":
        return form_for(place, "P7-1", kind)
    return form_for(place, shaft_of(kind), kind)


def test_every_kind_has_a_form_or_a_screen_of_its_own() -> None:
    assert set(SHEETS) | OWN_SCREENS == {each.KIND for each in EXAMPLES}
    assert not set(SHEETS) & OWN_SCREENS


def test_a_kind_with_a_screen_of_its_own_is_refused_with_a_sentence(place: Workplace) -> None:
    for kind in sorted({*OWN_SCREENS, "sounding round"}):
        with pytest.raises(NotOpen, match=f"{kind} has its own screen"):
            form_for(place, "P1-1", kind)


OTHERS: tuple[Values, ...] = (
    CleanoutPass(2, CleanoutMethod.PUMP, MORNING, depth_before=Reading("18.75", "m")),
    GeometrySurvey(
        InstrumentType.TAPE,
        tuple(DiameterAt(Reading(str(n), "m"), Reading("72", "in")) for n in range(12)),
    ),
    HeadReading(Reading("-0.4", "m"), MakeUp.OFF, Reading("5021.4", "ft"), "alluvium"),
    Event(Happening.SLOUGH, "line one\nline two ", feet("20' 0\""), Reading("21.5", "ft")),
    FluidTest(FluidStage.DRILLING, 1, feet("9' 0\""), ph=Reading("9", "pH"), instruments=("meter 1, spare",)),
)


def test_what_an_entry_says_is_typed_back_into_equal_values(place: Workplace) -> None:
    assert len(TYPED) == len(SHEETS)
    digest = save_picture(place.folder, b"a picture", ".png")
    for each in (*TYPED, *OTHERS):
        values = replace(each, picture=digest) if isinstance(each, BaseSighting | Photo) else each
        entry = in_record(place, values)
        opened, typed = form_to_amend(place, shaft_of(values.KIND), entry)
        assert (opened.target, opened.parents) == (entry, (entry,))
        assert values_of(opened, typed) == values
        assert set(typed) <= {one.name for one in opened.fields}


def test_a_file_attached_to_a_note_stays_when_its_text_is_amended(place: Workplace) -> None:
    digest = save_picture(place.folder, b"displacement,load\n", ".csv")
    note = Note(text="curve", attached=digest, attached_name="load_test_T-1.csv")
    opened, typed = form_to_amend(place, "P1-1", in_record(place, note))
    assert values_of(opened, {**typed, "text": "the curve"}) == replace(note, text="the curve")


def test_every_form_refuses_an_empty_needed_field_by_its_name(place: Workplace) -> None:
    for kind in FORMS:
        opened = form(place, kind)
        needed = [each.name for each in opened.fields if each.needed]
        assert needed, kind
        for name in needed:
            others = {each: texts_for(opened, each) for each in needed if each != name}
            with pytest.raises(Impossible, match="read 'nothing'") as refused:
                values_of(opened, {**others, name: "  "})
            assert refused.value.field_name == name


def texts_for(opened: EntryForm, name: str) -> str:
    field = opened.field(name)
    by_ask = {
        Ask.MOMENT: "2026-05-12T08:50:00-06:00",
        Ask.YES_NO: "yes",
        Ask.COUNT: "1",
        Ask.PICTURE: SOMETHING,
        Ask.TEXT: "words",
        Ask.READING: "20",
    }
    return by_ask.get(field.ask) or field.options[0].value


def test_captions_are_in_lower_case_and_every_form_takes_a_late_entry(place: Workplace) -> None:
    for kind in FORMS:
        opened = form(place, kind)
        for each in opened.fields:
            assert each.caption[0].islower() or each.caption == "pH"
            assert not each.units or each.units[0] == each.unit
        assert opened.field(OBSERVED_AT).ask is Ask.MOMENT
        names = [each.name for each in opened.fields]
        assert len(set(names)) == len(names)
        assert all(name in names for name in opened.timer.split("/") if name)


def test_amending_a_delay_asks_for_its_cause_and_for_the_reason_apart(place: Workplace) -> None:
    delay = next(each for each in EXAMPLES if each.KIND == "delay")
    opened, typed = form_to_amend(place, "P1-1", in_record(place, delay))
    assert typed["cause"] == "cage late"
    assert WHY not in typed
    assert opened.field(WHY).needed


def test_a_head_reading_is_typed_recorded_and_amended(place: Workplace) -> None:
    opened = form_for(place, "P1-1", "head reading")
    entry = record_typed(place, "P1-1", opened, {"fluid_level": "2' 0,5\"", "make_up": "on"}, INSPECTOR)
    assert entry.values == HeadReading(feet("2' 0.5\""), MakeUp.ON)
    assert entry.draft.observed_at == place.now()
    assert [each.value for each in opened.field("stratum").options] == ["alluvium"]
    again = form_for(place, "P1-1", "head reading")
    assert again.field("fluid_level").last == "2' 0.5\""
    amended, typed = form_to_amend(place, "P1-1", entry.id)
    with pytest.raises(Impossible, match="why"):
        record_typed(place, "P1-1", amended, typed, INSPECTOR)
    typed |= {"fluid_level": "2' 1\"", WHY: "read the wrong mark"}
    change = record_typed(place, "P1-1", amended, typed, INSPECTOR)
    assert (change.kind, change.draft.parents) == ("amend", (entry.id,))
    assert change.values.observed_at is None  # type: ignore[union-attr]
    line = next(each for each in place.shaft("P1-1").lines if each.id == entry.id)
    assert line.values.fluid_level == feet("2' 1\"")  # type: ignore[union-attr]


def test_a_survey_offers_what_can_measure_a_hole_and_keeps_what_another_one_named(place: Workplace) -> None:
    offered = [each.value for each in form_for(place, "P1-1", "geometry survey").field("means").options]
    assert offered == ["weighted tape", "probe rod", "caliper"]
    kept = in_record(place, GeometrySurvey(InstrumentType.CAMERA, plumbness=Reading("1", "%")))
    amended, typed = form_to_amend(place, "P1-1", kept)
    assert typed["means"] == "camera"
    assert [each.value for each in amended.field("means").options] == [*offered, "camera"]


def test_an_amendment_moves_an_entry_in_time_only_when_a_time_is_typed(place: Workplace) -> None:
    entry = record_entry(place, Saying("P1-1", HeadReading(feet("2' 0\"")), INSPECTOR))
    opened, typed = form_to_amend(place, "P1-1", entry.id)
    earlier = place.now() - timedelta(minutes=30)
    typed |= {OBSERVED_AT: earlier.isoformat(), WHY: "the clock was wrong"}
    record_typed(place, "P1-1", opened, typed, INSPECTOR)
    line = next(each for each in place.shaft("P1-1").lines if each.id == entry.id)
    assert line.observed_at == earlier


def test_two_forms_opened_on_one_version_leave_it_contested_and_a_third_settles_it(place: Workplace) -> None:
    entry = record_entry(place, Saying("P1-1", HeadReading(feet("2' 0\"")), INSPECTOR))
    first, second = (form_to_amend(place, "P1-1", entry.id) for _ in range(2))
    for (opened, typed), level in ((first, "2' 1\""), (second, "2' 2\"")):
        record_typed(place, "P1-1", opened, {**typed, "fluid_level": level, WHY: "x"}, INSPECTOR)

    def line() -> object:
        return next(each for each in place.shaft("P1-1").lines if each.id == entry.id)

    assert line().contested  # type: ignore[attr-defined]
    opened, typed = form_to_amend(place, "P1-1", entry.id)
    assert len(opened.parents) == 2
    record_typed(place, "P1-1", opened, {**typed, "fluid_level": "2' 2\"", WHY: "x"}, INSPECTOR)
    assert line().counts  # type: ignore[attr-defined]


def test_a_pass_is_observed_when_it_ended_and_takes_the_next_number(place: Workplace) -> None:
    now = place.now()
    opened = form_for(place, "P1-1", "cleanout pass")
    assert dict(opened.given) == {"number": "1"}
    assert opened.timer == "started_at/ended_at"
    typed = {
        "method": "airlift",
        "started_at": (now - timedelta(minutes=40)).isoformat(),
        "ended_at": (now - timedelta(minutes=5)).isoformat(),
        "air_pressure": "55",
        "flow_out": "400",
    }
    entry = record_typed(place, "P1-1", opened, typed, INSPECTOR)
    assert entry.draft.observed_at == now - timedelta(minutes=5)
    assert entry.values.air_pressure == Reading("55", "psi")  # type: ignore[union-attr]
    assert dict(form_for(place, "P1-1", "cleanout pass").given) == {"number": "2"}
    late = {**typed, OBSERVED_AT: (now - timedelta(minutes=4)).isoformat(), "number": "7"}
    entry = record_typed(place, "P1-1", opened, late, INSPECTOR)
    assert entry.draft.observed_at == now - timedelta(minutes=4)
    assert entry.values.number == 7  # type: ignore[union-attr]


def test_what_is_unlikely_is_asked_about_and_what_is_impossible_refused(place: Workplace) -> None:
    opened = form_for(place, "P1-1", "excavation stage")
    typed = {
        "from_depth": "0",
        "to_depth": "33.5",
        "tool": "auger",
        "material": "shale",
        "drilled_depth": "33.5",
    }
    with pytest.raises(AskFirst) as asked:
        record_typed(place, "P1-1", opened, typed, INSPECTOR)
    entry = record_typed(place, "P1-1", opened, typed, INSPECTOR, asked.value.codes)
    assert entry.values.drilled_depth == Reading("33.5", "ft")  # type: ignore[union-attr]
    with pytest.raises(Refused, match="roster"):
        record_typed(place, "P1-1", opened, typed, "Somebody", asked.value.codes)


REFUSED = [
    ("head reading", {"fluid_level": "abc"}, "fluid_level"),
    ("head reading", {"fluid_level": "1 psi"}, "fluid_level"),
    ("head reading", {"fluid_level": "900"}, "fluid_level"),
    ("head reading", {"fluid_level": "1.2.3"}, "fluid_level"),
    ("head reading", {"fluid_level": "2", "make_up": "maybe"}, "make_up"),
    ("head reading", {"fluid_level": "2", "piezometric_elevation": "5020"}, "stratum"),
    ("cleanout pass", {"method": "pump", "started_at": "8 o'clock"}, "method"),
    ("cleanout pass", {"method": "vacuum", "started_at": "8 o'clock"}, "started_at"),
    ("cleanout pass", {"method": "vacuum", "number": "-1", "started_at": "x"}, "number"),
    ("base sighting", {"means": "x", "seen": "water", "text": "y", "place": "25"}, "place"),
    ("base sighting", {"means": "x", "seen": "water", "text": "y", "place": "25; 400"}, "place"),
    ("base sighting", {"means": "x", "seen": "water, fish", "text": "y"}, "seen"),
    ("geometry survey", {"means": "caliper", "diameter 2": "6"}, "depth 2"),
    ("geometry survey", {"means": "caliper", "diameter 2": "600", "depth 2": "9"}, "diameter 2"),
    ("standing water", {"pumps_off": "yes", "rise": "1"}, "rise"),
    ("standing water", {"pumps_off": "perhaps", "depth": "1"}, "pumps_off"),
    ("delay", {"cause": "x" * 3000, "started_at": "2026-05-12T08:50:00-06:00"}, "cause"),
    ("photo", {"picture": "mine.png", "caption": "x"}, "picture"),
]  # fmt: skip


def test_what_cannot_be_is_refused_at_its_field(place: Workplace) -> None:
    for kind, typed, field in REFUSED:
        with pytest.raises(Impossible) as refused:
            values_of(form_for(place, "P1-1", kind), typed)
        assert refused.value.field_name == field, (kind, typed)


def test_a_comma_is_a_decimal_mark_and_is_kept_as_a_point(place: Workplace) -> None:
    opened = form_for(place, "P1-1", "fluid test")
    typed = {"stage": "drilling", "sample_depth": "9"}
    comma, point = (values_of(opened, {**typed, "density": f"1{mark}085 g/cm3"}) for mark in ",.")
    assert comma == point
    assert comma.density == Reading("1.085", "g/cm3")  # type: ignore[union-attr]
    for odd in ("1,085,5", "1,085.5", "1.085,5", ",", "nan"):
        with pytest.raises(Impossible) as refused:
            values_of(opened, {**typed, "density": f"{odd} g/cm3"})
        assert refused.value.field_name == "density"


def test_a_point_of_a_round_is_amended_by_its_label_and_refused_by_it(place: Workplace) -> None:
    values = next(each for each in EXAMPLES if each.KIND == "sounding round")
    opened, typed = form_to_amend(place, "P1-1", in_record(place, values))
    assert typed["C first contact"] == "61' 4 1/2\""
    assert typed["N no reading"] == "cage in the way"
    assert opened.field("C firm").caption == "C firm"
    made = values_of(opened, {**typed, "E firm": "61' 5\""})
    assert made.points[2].thickness_m == Fraction(254, 10_000)  # type: ignore[union-attr]  # 1 in
    for typed_too, field in (
        ({"C firm": "61' 0\""}, "C firm"),
        ({"C firm": "700"}, "C firm"),
        ({"N no reading": ""}, "N first contact"),
        ({"S place": ""}, "S place"),
        ({"S place": "25; 361"}, "S place"),
    ):
        with pytest.raises(Impossible) as refused:
            values_of(opened, {**typed, **typed_too})
        assert refused.value.field_name == field


def test_a_sighting_keeps_what_was_seen_where_and_its_picture(place: Workplace) -> None:
    typed = {
        "means": "camera from the surface",
        "seen": "loose material\nwater",
        "text": "film",
        "place": "12,5 in; 90 deg",
        "picture": SOMETHING,
    }
    made = values_of(form_for(place, "P1-1", "base sighting"), typed)
    assert made.seen == ("loose material", "water")  # type: ignore[union-attr]
    assert (made.r, made.angle) == (Reading("12.5", "in"), Reading("90", "deg"))  # type: ignore[union-attr]


def test_a_shaft_is_scheduled_with_its_strata_and_design_numbers(place: Workplace) -> None:
    with pytest.raises(NotOpen, match="scheduled already"):
        form_for(place, "P1-1", "shaft scheduled")
    opened = form_for(place, None, "shaft scheduled")
    typed = {
        "shaft": "P9-1",
        "location": "pier 9",
        "method": "wet",
        "fluid": "mineral",
        "design_basis": "both",
        "diameter": "6",
        "reference_elevation": "5104.5",
        "tip_elevation": "5043",
        "cautions": "karst, artesian",
        "stratum 1": "sandstone",
        "piezometric elevation 1": "5098,2",
        "rock_strength": "1450",
        "base_factor": "0.5",
    }
    entry = record_typed(place, None, opened, typed, "Designer")
    values = entry.values
    assert isinstance(values, ShaftScheduled)
    assert entry.shaft == "P9-1"
    assert values.piezometric_levels == (PiezometricLevel("sandstone", Reading("5098.2", "ft")),)
    assert values.design is not None
    assert values.design.rock_strength == Reading("1450", "psi")
    assert values.cautions == ("karst", "artesian")
    with pytest.raises(Impossible) as refused:
        values_of(opened, {**typed, "piezometric elevation 1": ""})
    assert refused.value.field_name == "piezometric elevation 1"
    with pytest.raises(Impossible, match="shaft"):
        record_typed(place, None, opened, {**typed, "shaft": "P9/1?"}, "Designer")


def test_an_instrument_belongs_to_the_project(place: Workplace) -> None:
    with pytest.raises(NotOpen, match="belongs to the project"):
        form_for(place, "P1-1", "instrument")
    opened = form_for(place, None, "instrument")
    assert [each.value for each in opened.field("label").options] == ["tape 1"]
    typed = {"label": "tape 1", "type": "weighted tape", "check": "against a steel tape", "passed": "no"}
    entry = record_typed(place, None, opened, typed, INSPECTOR)
    assert entry.shaft is None
    assert [each.values.passed for each in place.record().checks_of("tape 1")] == [True, False]


def test_a_form_says_why_it_cannot_be_opened(place: Workplace) -> None:
    with pytest.raises(UnknownShaft):
        form_for(place, "P9-9", "note")
    with pytest.raises(NotOpen, match="choose the shaft"):
        form_for(place, None, "note")
    example = next(each for each in EXAMPLES if isinstance(each, ShaftScheduled))
    record_entry(place, Saying("P2-1", example, "Designer"))
    with pytest.raises(NotOpen, match="no drilling"):
        form_for(place, "P2-1", "cleanout pass")
    with pytest.raises(NotOpen, match="not in this record"):
        form_to_amend(place, "P2-1", "nothing")
    entry = record_entry(place, Saying("P1-1", Note("x"), INSPECTOR))
    line = next(each for each in place.shaft("P1-1").lines if each.id == entry.id)
    strike(place, line, "entered twice", INSPECTOR)
    with pytest.raises(NotOpen, match="struck"):
        form_to_amend(place, "P1-1", entry.id)


def test_cautions_stand_where_the_risk_is(place: Workplace) -> None:
    assert "Air hoses" in form_for(place, "P1-1", "cleanout pass").caution
    assert "Bad air" not in form_for(place, "P1-1", "standing water").caution
    assert "Nobody enters the hole" in form_for(place, "P1-1", "standing water").caution


def test_an_inspector_may_make_what_the_forms_of_the_hole_are_for() -> None:
    at_hole = set(SHEETS) - {"shaft scheduled"}
    assert all(Role.INSPECTOR in MAY_MAKE[kind] for kind in at_hole)
