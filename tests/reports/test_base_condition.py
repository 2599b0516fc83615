"""The base condition report: what the designer must find on it, section by section, weeks later."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pypdfium2
import pytest

from fieldapp.base.credit_range import Displacements
from fieldapp.base.factored import Factors
from fieldapp.base.sediment import SedimentSpread
from fieldapp.criteria.finding import Standing
from fieldapp.record.concrete import AsBuilt
from fieldapp.record.decisions import Basis, Disposition, Position
from fieldapp.record.hole import BaseSighting, DiameterAt, GeometrySurvey
from fieldapp.record.reading import Reading
from fieldapp.record.setup import DesignNumbers
from fieldapp.record.words import Decision, InstrumentType, Seen
from reports.base_condition import base_condition
from reports.disposition_part import STANDING_MEANS
from reports.facts import Report, ShaftFacts
from reports.worth_facts import Assumed
from tests.reports.reading_pdf import pages_of, reader, text_of
from tests.reports.si_story import facts_si
from tests.reports.story import (
    DAY,
    DESIGNER,
    Tape,
    facts_only_scheduled,
    facts_us,
    ft,
    full_tape,
    plan_us,
)
from tests.reports.worth_story import FUNNEL, SHAFT, answer_of, held, outlook_of, worth_of

SECTIONS = [
    "Identification",
    "Base standing",
    "Disposition",
    "Base as built",
    "Base plan",
    "Rounds compared",
    "Sediment map and assured share",
    "Forecast against measured",
    "Base credit",
    "At stake",
    "Findings",
    "Parameters and assumptions",
    "Cautions",
    "Signature",
    "Record digest and journal",
]
ASSUMED = Assumed(
    displacements=Displacements(0.010, 0.075),
    spread=SedimentSpread(),
    confidence=0.9,
    simulations=100,
    body=SHAFT,
    factors=Factors(0.55, 0.5, "as stated by the designer"),
    demand_mn=12.0,
)


def tape_with_what_was_built() -> Tape:
    tape = full_tape()
    diameters = (
        DiameterAt(ft("20' 0\""), Reading("6.10", "ft")),
        DiameterAt(ft("60' 0\""), Reading("6.02", "ft")),
    )
    tape.add(GeometrySurvey(InstrumentType.CALIPER, diameters, tip_elevation=Reading("5043.10", "ft")), 15.7)
    tape.add(BaseSighting("camera", (Seen.NOTHING_LOOSE,), "rock and a little fine sand"), 15.9)
    tape.add(
        AsBuilt(
            "cross-hole after 8 days", Reading("5043.05", "ft"), "no anomaly at the toe", toe_doubtful=False
        ),
        200.0,
        author="Engineer B",
    )
    return tape


def facts_full(**more: object) -> ShaftFacts:
    worth = worth_of(assumed=ASSUMED)
    outlook = outlook_of(answer_of(funnel=FUNNEL), held=(held(),))
    return facts_us(tape_with_what_was_built(), worth=worth, outlook=outlook, **more)


@pytest.fixture(scope="module")
def report() -> Report:
    return base_condition(facts_full())


@pytest.fixture(scope="module")
def text(report: Report) -> str:
    return text_of(report.pdf)


def section(text: str, name: str) -> str:
    """The text from a section's heading to the next one's."""
    after = SECTIONS[SECTIONS.index(name) + 1]
    return text.split(f" {name} ", 1)[1].split(f" {after} ", 1)[0]


def test_it_has_all_sections_in_the_order_of_a_designers_questions(report: Report) -> None:
    document = reader(report.pdf)
    assert [each.title for each in document.outline] == SECTIONS
    places = [document.get_destination_page_number(each) for each in document.outline]
    assert places == sorted(places)
    assert document.metadata.title == "Shaft P2-3: base condition report"
    assert document.trailer["/Root"]["/Lang"] == "en-US"


def test_it_says_what_the_standing_means(text: str) -> None:
    assert f"Rework {STANDING_MEANS[Standing.REWORK]}" in text
    assert set(STANDING_MEANS) == set(Standing)


def test_the_base_as_built_stands_beside_the_plan_with_where_it_is_from(text: str) -> None:
    built = section(text, "Base as built")
    for words in (
        # 5104.5 - 5043.0 = 61.5 ft = 18.7452 m; 61 ft 5 in = 18.7198 m
        "drilled depth 61' 6\" (18.75 m) 61' 5\" (18.72 m) excavation stage 2026-05-12 08:30, Inspector A",
        # what integrity testing says afterwards goes before the survey
        "tip elevation 5043.0 ft (1,537.11 m) 5043.05 ft (1,537.12 m) as-built",
        "6.02 ft (1.83 m) at 60' 0\" caliper, geometry survey",
        # 5061.0 - 5043.0 = 18 ft planned; 5061.0 - 5043.05 = 17.95 ft = 17 ft 11 3/8 in = 5.471 m
        "socket length 18' 0\" (5.49 m) 17' 11 3/8\" (5.47 m)",
        # pi/4 x 6^2 = 28.27 ft2 = 2.627 m2
        "base area 28.3 ft2 (2.63 m2)",
        "nothing loose: rock and a little fine sand camera, base sighting",
        "no anomaly at the toe as-built",
    ):
        assert words in built


def test_a_base_of_which_little_was_recorded_says_not_shown(text: str) -> None:
    assert "not shown" not in section(text, "Base as built")
    bare = section(text_of(base_condition(facts_us()).pdf), "Base as built")
    for words in ("not shown not surveyed", "base seen not shown", "integrity test at the toe not shown"):
        assert words in bare
    # 5104.5 ft less 61 ft 5 in = 5043.083 ft
    assert "5,043.08 ft (1,537.13 m) reference elevation less drilled depth; not surveyed" in bare


def test_rounds_are_compared_with_what_came_between(text: str) -> None:
    rounds = section(text, "Rounds compared")
    # round 1 has a point unread: its share lies between; its mean and so the change are not shown
    assert "Round 1, after pass 2 2026-05-12 10:36 8 of 9 not shown, between" in rounds
    assert "not shown; read 1 5/8 in at R4" in rounds
    # the shares and the mean of round 2 are those worked by hand in test_shaft_log
    assert "Round 2, after pass 3 2026-05-12 14:54 9 of 9 79.9 %" in rounds
    assert "1/2 in at R3" in rounds
    assert "0.31 in not shown pass 3 (airlift); 4 h 18 min later" in rounds
    assert "Share under 1/2 in, asked at least 50 %." in rounds


def test_the_map_and_the_assured_share_are_there(text: str) -> None:
    shown = section(text, "Sediment map and assured share")
    for words in (
        "mean of the map",
        "as thick as this (95 %)",
        "at 90 % confidence",
        "by counting points alone",
    ):
        assert words in shown


def test_the_forecast_is_held_against_what_was_measured(text: str) -> None:
    told = section(text, "Forecast against measured")
    assert "Rounds that followed another with no pass between, held against its forecast: 1." in told
    assert "Round 1 to 2: measured 0.24 in" in told  # 6 mm
    none = text_of(base_condition(facts_us()).pdf)
    assert "Without a round of soundings nothing is forecast." in none


def test_the_credit_is_told_at_both_displacements_low_best_high(text: str) -> None:
    told = section(text, "Base credit")
    # even layer of 1/2 in on the reference base (mechanics survey, section 3.6; tests/base/worth_checks.json)
    assert "service, 0.39 in" in told  # 10 mm
    assert "strength, 2.95 in" in told  # 75 mm
    for words in (
        "credit: least",
        "best",
        "greatest",
        "Base load, kip",
        "Load at the head, side and base together",
    ):
        assert words in told


def test_at_stake_gives_kips_meganewtons_and_the_socket_that_would_replace_it(text: str) -> None:
    stake = section(text, "At stake")
    # q_b pi B^2/4 = 10 MPa x 1.7671 m2 = 17.671 MN = 3,973 kip (1 kip = 4.44822 kN); q_b B/(4 f_s) = 5.891 m
    assert "nominal base 3,973 17.67" in stake
    assert "19.3 ft (5.89 m)" in stake
    # factored by 0.5: 8.836 MN = 1,986 kip; its length by 0.5/0.55: 5.3549 m = 17.57 ft
    assert "factored base 1,986 8.84" in stake
    assert "17.6 ft (5.35 m)" in stake
    assert "factored demand 2,698 12" in stake


def test_every_parameter_has_value_range_source_and_confidence(text: str) -> None:
    told = section(text, "Parameters and assumptions")
    for words in (
        # 1 MPa = 20.885 ksf; 0.2 and 5 MPa
        "modulus of the sediment at low stress 20.9 ksf 4.2 ksf to 104.4 ksf usual of this program judgment",
        "strain at which the sediment locks 0.35 0.15 to 0.6 usual: sand to silty gel judgment",
        "resistance factors of base and side 0.5 and 0.55 this value only as stated by the designer",
        "confidence of the assured share 90 % this value only project set-up adopted",
        "maps simulated 100",
        "Poisson's ratio of the ground 0.25",
        "settling, low",
        "settling, high",
    ):
        assert words in told


def test_stated_numbers_are_told_from_those_worked_out_or_assumed() -> None:
    tape = full_tape()
    design = DesignNumbers(
        rock_modulus=Reading("105", "ksi"),
        nominal_base=Reading("104", "ksf"),
        service_displacement=Reading("0.4", "in"),
    )
    tape.add(plan_us(design=design), 5.6, author="Engineer B")
    told = section(text_of(base_condition(facts_us(tape, worth=worth_of(assumed=ASSUMED))).pdf), SECTIONS[11])
    assert "this value only designer, shaft plan as stated; not checked here" in told
    assert "usual where none is stated: 5 % of the diameter judgment" in told


def test_the_disposition_says_who_when_why_and_on_which_record(text: str) -> None:
    assert "None yet No disposition by a designer on the roster is in the record." in section(
        text, "Disposition"
    )
    tape = full_tape()
    basis = Basis((Position("tablet north", 20),), "0c" * 32)
    why = "Share under the limit, and the toe is sound."
    values = Disposition(basis, Decision.REDUCED_CREDIT, why, Reading("0.8", "ratio"), Reading("0.5", "in"))
    tape.add(values, 30.0, author=DESIGNER, device="office")
    facts = facts_us(tape)
    stated = replace(facts, stated=facts.record.of(Disposition)[-1])
    told = section(text_of(base_condition(stated).pdf), "Disposition")
    for words in (
        "Reduced credit: 0.8 at 0.5 in of base displacement",
        "by: Designer C, 2026-05-13 06:00 MDT (entry 1 of office)",
        f"why: {why}",
        "rests on: record 0c0c0c0c0c0c0c0c",
    ):
        assert words in told


def test_what_the_record_lacks_is_named_in_every_section() -> None:
    pages = base_condition(facts_only_scheduled())
    said = text_of(pages.pdf)
    assert [each.title for each in reader(pages.pdf).outline] == SECTIONS
    for words in (
        "There is no round of soundings to compare.",
        "No round of soundings is in the record: the base is not shown.",
        "Without a round of soundings there is no map; no share is assured.",
        "Without a round of soundings nothing is forecast.",
        "The credit is not quantified",
        "Not told: it takes a credit, side resistance and resistance factors from the designer.",
        "Nothing was estimated, so nothing is assumed.",
    ):
        assert words in said


def test_findings_cautions_digest_heads_and_the_licensed_engineer_note_are_there(text: str) -> None:
    facts = facts_full()
    assert "6 asked: 1 not met, 2 not shown, 3 met" in section(text, "Findings")
    for words in (*facts.cautions, "licensed engineers decide", facts.record_digest):
        assert words in text
    for head in facts.heads:
        assert f"{head.device} {head.seq} {head.hash}" in text


def test_every_page_has_number_digest_shaft_and_standing_and_one_box_stands_inside_the_margins(
    report: Report,
) -> None:
    pages = pages_of(report.pdf)
    digest = facts_full().record_digest
    for number, page in enumerate(pages, start=1):
        assert f"page {number} of {len(pages)}" in page
        assert digest in page
        assert "Shaft P2-3, Larkwater crossing (larkwater)" in page
        assert "printed 20" in page
        assert "Printed 20" not in page  # once more at the end, it stood alone on a page of its own
    (field,) = report.fields
    assert (field.name, field.page_index) == ("Designer", len(pages) - 1)
    left, bottom, right, top = field.box_pt
    assert (left, round(right - left), round(top - bottom)) == (36, 170, 72)
    document = pypdfium2.PdfDocument(report.pdf)
    inside = document[field.page_index].get_textpage()
    assert inside.get_text_bounded(left + 2, bottom + 2, right - 2, top - 2).strip() == ""
    document.close()


def test_an_si_project_is_on_a4_in_its_units_with_greek_and_cyrillic_names() -> None:
    report = base_condition(facts_si())
    page = reader(report.pdf).pages[0]
    assert [round(float(each)) for each in page.mediabox[2:]] == [595, 842]
    said = text_of(report.pdf)
    for words in (
        "Ελένη Παπαδοπούλου",
        "Иван Щербаков",
        "22.50 m (73.82 ft)",
        "1.77 m2 (19.0 ft2)",  # pi/4 x 1.5^2
        "no socket top given",
        "Share at most 50 mm.",
    ):
        assert words in said


def test_same_facts_give_the_same_bytes(report: Report) -> None:
    assert base_condition(facts_full()).pdf == report.pdf
    later = facts_full(printed_at=DAY + timedelta(days=1))
    assert base_condition(later).pdf != report.pdf
