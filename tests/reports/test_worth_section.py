"""What the base is worth, on paper: numbers that promise nothing, reasons, and figures without colour."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import timedelta
from itertools import pairwise

import pytest
from reportlab.graphics.shapes import Drawing, Group, Line, Polygon, String

from fieldapp.base.next_sounding import Settled
from fieldapp.base.pass_worth import NoTrend
from fieldapp.base.sediment_map import NoMap, sediment_map
from fieldapp.fluid.forecast import BoundOnly, Forecast, NotForecast, RiseOnly
from fieldapp.record.words import UnitSystem
from reports.curve_chart import BOUND, LONG, MIXED, SHORT, SOLID, Curve, CurveChart, apart, below, curve_chart
from reports.facts import ShaftFacts
from reports.map_drawing import MapLook, map_drawing
from reports.pages import PageFrame, build
from reports.quantities import shown_by
from reports.shaft_log import shaft_log
from reports.style import CIVIDIS
from reports.worth_facts import OutlookFacts, WorthFacts
from reports.worth_section import ESTIMATE, worth_section
from reports.worth_words import credit_text, least_share, listed
from tests.reports.reading_pdf import pages_of, reader, text_of
from tests.reports.story import concrete, facts_us, full_tape, setup_us
from tests.reports.worth_story import (
    FUNNEL,
    HALF_INCH_M,
    answer_of,
    held,
    outlook_of,
    soundings,
    worth_of,
)

FRAME = PageFrame(UnitSystem.US, "t", "a", "s", "left", "met", "Clean", "0" * 64, "printed")


@pytest.fixture(scope="module")
def facts() -> ShaftFacts:
    return facts_us()


@pytest.fixture(scope="module")
def worth() -> WorthFacts:
    return worth_of()


def section(facts: ShaftFacts, worth: WorthFacts | None, outlook: OutlookFacts | None = None) -> str:
    """The section alone, as text."""
    told = replace(facts, worth=worth, outlook=outlook)
    return text_of(build(worth_section(told, shown_by(told.setup)), FRAME)[0])


@pytest.fixture(scope="module")
def whole(facts: ShaftFacts, worth: WorthFacts) -> ShaftFacts:
    return replace(facts, worth=worth, outlook=outlook_of(answer_of(funnel=FUNNEL), held=(held(),)))


@pytest.fixture(scope="module")
def pdf(whole: ShaftFacts) -> bytes:
    return shaft_log(whole).pdf


def test_credits_are_those_of_the_checks_rounded_down_and_loads_in_the_unit_of_the_project(pdf: bytes):
    """C25-t12.7-w10: 0.37299, 0.68575, 0.88400; C8-t12.7-w75: 0.98532; 10 MPa on 1.5 m: 17.671 MN."""
    text = text_of(pdf)
    assert "service, 0.39 in 0.37 0.68 0.88 no map" in text
    row = text.split("strength, 2.95 in ")[1]
    assert row.split()[1] == "0.98"
    # 17.6715 MN over 4.4482216 kN a kip
    assert "3,973 kip" in row[:60]
    # 10 MPa over 47.880259 kPa a ksf; 0.2 MPa likewise
    assert "nominal unit base resistance 208.9 ksf (stated by the designer)" in text
    assert "sediment modulus 4.2 ksf and 104.4 ksf" in text


def test_an_si_project_reads_its_loads_in_mn_and_its_stresses_in_mpa(facts: ShaftFacts, worth: WorthFacts):
    text = section(replace(facts, setup=setup_us(units=UnitSystem.SI)), worth)
    assert "service, 10 mm 0.37 0.68 0.88" in text
    assert "17.67 MN" in text
    assert "nominal unit base resistance 10 MPa" in text
    assert "kip" not in text
    assert "ksf" not in text


@pytest.mark.parametrize(
    ("credit", "said"),
    [
        (1.0, "1.00"),
        (1.0000004, "1.00"),
        (0.9999, "0.99"),
        (0.29, "0.29"),
        (0.699999, "0.69"),
        (0.004, "0.00"),
    ],
)
def test_a_credit_is_rounded_down_and_never_over_one(credit: float, said: str):
    assert credit_text(credit) == said
    assert least_share(0.9999) == "99 %"


def test_a_clean_base_has_full_credit(facts: ShaftFacts):
    assert "service, 0.39 in 1.00 1.00 1.00" in section(facts, worth_of(0.0))


def test_the_section_stands_after_the_base_plan_with_estimate_caveats_and_what_is_at_stake(pdf: bytes):
    outline = [each.title for each in reader(pdf).outline]
    at = outline.index("What the base is worth")
    assert outline[at - 1] == "Base plan"
    assert outline[at + 1] == "Head"
    text = text_of(pdf)
    for fact in (
        ESTIMATE,
        "Licensed engineers decide.",
        "no load test has calibrated it",
        "Parameters of the sediment and their ranges are judgment.",
        "Points chosen by eye are not a random sample",
        # factored base 0.5 of 17.671 MN = 1986 kip; side 0.55 of 15.0003 MN
        "a factored base of 1,986 kip, 52 % of the factored shaft",
        "Resistance factors as stated by the designer",
        "The factored demand of 2,698 kip is reached as built from",
        "of the base under 1/2 in as measured",
        "of 100 simulated maps",
        "assured by counting points alone, indicative",
    ):
        assert fact in text


def test_the_signature_places_stay_on_the_last_page_and_the_log_grows_by_two_pages_at_most(
    whole: ShaftFacts, facts: ShaftFacts, pdf: bytes
):
    report, before = shaft_log(whole), shaft_log(facts)
    pages = len(reader(report.pdf).pages)
    assert pages - len(reader(before.pdf).pages) <= 2
    assert {each.page_index for each in report.fields} == {pages - 1}
    assert report.pdf == pdf


def test_what_is_not_quantified_says_why_and_draws_no_curve(facts: ShaftFacts):
    lacks = WorthFacts("Round 2", missing=("rock modulus, or geological strength index", "a fresh round"))
    text = section(facts, lacks)
    assert "The credit is not quantified, for want of:" in text
    assert "rock modulus, or geological strength index" in text
    assert "a fresh round" in text
    assert "Base load" not in text
    assert "The credit is not quantified." in section(facts, WorthFacts("Round 2"))


def test_what_is_missing_beside_a_credit_is_named_too(facts: ShaftFacts, worth: WorthFacts):
    short = replace(
        worth, demand=None, stake=None, heads=None, missing=("resistance factors of base and side",)
    )
    text = section(facts, short)
    assert "Not shown, for want of: – resistance factors of base and side" in text
    assert "not quantified" not in text
    assert "Load at the head" not in text


def test_without_facts_there_is_no_section(facts: ShaftFacts):
    assert worth_section(facts, shown_by(facts.setup)) == []


def test_a_demand_that_is_not_reached_says_whether_a_clean_base_would(facts: ShaftFacts):
    assert "is not reached as built up to 3.94 in at the head, nor would a clean base" in section(
        facts, worth_of(demand_mn=60.0)
    )
    assert "demand" not in section(facts, worth_of(demand_mn=0.0))


def test_too_few_readings_give_words_in_place_of_a_map(facts: ShaftFacts, worth: WorthFacts):
    none = sediment_map(soundings([HALF_INCH_M, None, None, None, None]))
    assert isinstance(none, NoMap)
    text = section(facts, replace(worth, sediment=none, credit=None, missing=("a thickness at R1",)))
    assert none.why in text
    assert "mean of the map" not in text


def test_a_map_with_unread_points_counts_them(facts: ShaftFacts, worth: WorthFacts):
    seen = sediment_map(soundings([0.01, 0.02, None, 0.03, 0.01, None]))
    assert "points read (4); broken rings: not read (2)" in section(facts, replace(worth, sediment=seen))


def test_the_next_sounding_is_told_while_the_hole_is_open_only(facts: ShaftFacts, worth: WorthFacts):
    told = "tells most 16.7 in from the centre at 45 deg, clockwise from upstation"
    assert told in section(facts, worth)
    tape = full_tape()
    concrete(tape, 17.0)
    assert told not in section(facts_us(tape), worth)
    settled = replace(worth, next_place=Settled(0.99, True, "why"))
    assert (
        "More soundings cannot change whether the requirement on the sediment is met: by the map it is."
        in (section(facts, settled))
    )


def test_a_forecast_shows_its_courses_when_to_sound_again_and_what_the_last_one_was_worth(
    whole: ShaftFacts,
):
    answer = whole.outlook.answer if whole.outlook else None
    assert isinstance(answer, Forecast)
    text = section(whole, None, whole.outlook)
    assert "Sediment after round 2, as time goes by" in text
    assert "Sound again by 2026-05-12 15:54" in text
    assert "At worst it may break from 2026-05-12 15:04" in text
    assert re.search(r"Round 1 to 2: measured 0\.24 in, (within|outside) the forecast", text)
    assert "(judgment)" in text


def test_once_concrete_is_in_the_forecast_ends_there(worth: WorthFacts):
    tape = full_tape()
    concrete(tape, 16.4)
    text = section(facts_us(tape), worth, outlook_of(answer_of(funnel=FUNNEL)))
    assert "concrete, 16:24" in text
    assert "Concrete started 1 h 30 min after the round." in text
    assert "Sound again" not in text


@pytest.mark.parametrize(
    ("answer", "kind", "says"),
    [
        (
            answer_of(funnel=FUNNEL, now_m=None),
            RiseOnly,
            "Only the rise is forecast; not shown: thickness now.",
        ),
        (answer_of(), BoundOnly, "How fast is not shown, for want of funnel time."),
        (answer_of(now_m=None), BoundOnly, "for want of funnel time and thickness now."),
        (answer_of(sand=None), NotForecast, "Not forecast, for want of sand content."),
        (answer_of(funnel=FUNNEL, limit_m=None), Forecast, "Only a sounding shows the thickness."),
        (answer_of(funnel=FUNNEL, now_m=0.02), Forecast, "leaves no room for any rise after round 2"),
        (answer_of(sand=0.0, funnel=FUNNEL), Forecast, "Mean thickness, in"),
    ],
)
def test_every_answer_of_the_forecast_is_told(facts: ShaftFacts, answer: object, kind: type, says: str):
    assert isinstance(answer, kind)
    if kind is Forecast and "Only a" in says:
        assert says in section(facts, None, outlook_of(answer, sound_again_by=None, may_break_from=None))
    else:
        assert says in section(facts, None, outlook_of(answer))


def test_no_answer_says_what_is_lacking_and_what_a_pass_would_do(facts: ShaftFacts):
    lacks = outlook_of(None, missing=("a fluid test",), next_pass=NoTrend("One pass has soundings."))
    text = section(facts, None, lacks)
    assert "Not forecast, for want of a fluid test." in text
    assert "is not told. One pass has soundings." in text


def test_the_charts_use_dashes_that_differ(pdf: bytes):
    dashes = dashes_of(pdf)
    for dash in (LONG, SHORT, MIXED, BOUND):
        assert dash in dashes
    assert len({SOLID, LONG, SHORT, MIXED, BOUND}) == 5


def test_a_chart_is_drawn_in_greys_alone():
    """No more than 0.06 between the parts of a colour: the blue tint of the house's greys, no more."""
    names = ("fillColor", "strokeColor")
    colors = [getattr(each, name, None) for each in shapes(curve_chart(CHART, 260, 150)) for name in names]
    seen = [each.rgb() for each in colors if each is not None]
    assert len(seen) > 10
    assert all(max(each) - min(each) <= 0.06 for each in seen)


def dashes_of(pdf: bytes) -> set[tuple[float, ...]]:
    """Dash arrays on the pages of the section."""
    pages = reader(pdf).pages
    found = [
        i for i, text in enumerate(pages_of(pdf)) if "Load at the head" in text or "as time goes" in text
    ]
    content = b" ".join(pages[i].get_contents().get_data() for i in found).decode("latin-1")
    runs = re.findall(r"\[([0-9. ]*)\] 0 d\b", content)
    return {tuple(float(part) for part in run.split()) for run in runs}


CHART = CurveChart(
    title="Load, kip",
    x_title="moved, in",
    curves=(
        Curve("clean", ((0, 0), (1, 80), (2, 100))),
        Curve("best", ((0, 0), (1, 60), (2, 99.9)), LONG),
        Curve("least", ((0, 0), (1, 20), (2, 99.8)), SHORT),
        Curve("away", ((0, 0), (1, 150), (2, 900)), MIXED),
    ),
    band=(((0, 0), (2, 90)), ((0, 0), (2, 100))),
    top=120.0,
)


def shapes(node: Drawing | Group) -> list[object]:
    return [
        each for child in node.contents for each in (shapes(child) if isinstance(child, Group) else [child])
    ]


def test_every_curve_is_named_beside_its_own_dashes_and_no_two_names_touch():
    drawing = curve_chart(CHART, 260, 150)
    named = {}
    for group in drawing.contents:
        if isinstance(group, Group):
            words = [each for each in group.contents if isinstance(each, String)]
            samples = [each for each in group.contents if isinstance(each, Line) and each.y1 == each.y2]
            if words and samples:
                named[words[0].text] = (samples[-1].strokeDashArray, words[0].y)
    assert {name: dash for name, (dash, _) in named.items()} == {
        "clean": None,
        "best": LONG,
        "least": SHORT,
        "away": MIXED,
    }
    heights = sorted(y for _, y in named.values())
    assert all(b - a >= 9 for a, b in pairwise(heights))


def test_a_curve_that_leaves_the_chart_is_cut_at_its_top():
    assert below(((0, 0), (1, 150), (2, 900)), 120.0) == ((0, 0), (0.8, 120.0))
    assert below(((0, 5), (1, 5)), 120.0) == ((0, 5), (1, 5))
    assert below(((0, 130), (1, 140)), 120.0) == ()
    band = next(each for each in shapes(curve_chart(CHART, 260, 150)) if isinstance(each, Polygon))
    assert max(band.points[1::2]) < 150


def test_names_keep_their_room_at_the_top_too():
    assert apart([10, 11, 12], 0, 100) == [10, 19.5, 29]
    placed = apart([98, 99, 100], 0, 100)
    assert placed[-1] == 100
    assert all(b - a == pytest.approx(9.5) for a, b in pairwise(placed))


def test_the_classes_of_the_map_get_darker_with_thickness():
    """Luminance by the sRGB weights of ITU-R BT.709: thin is light, thick is dark, in grey too."""
    grey = [0.2126 * c.fill.red + 0.7152 * c.fill.green + 0.0722 * c.fill.blue for c in CIVIDIS]
    assert all(a - b > 0.08 for a, b in pairwise(grey))


def test_the_map_is_drawn_in_the_classes_of_its_cells(worth: WorthFacts):
    seen = sediment_map(soundings([0.01, 0.05, 0.05, 0.05, 0.0, 0.0, 0.0]))
    assert not isinstance(seen, NoMap)
    look = MapLook(120.0, (0.00635, 0.0127, 0.0254, 0.0381), None)
    fills = {
        each.fillColor for each in shapes(map_drawing(seen, seen.mean_m, look)) if hasattr(each, "fillColor")
    }
    assert {CIVIDIS[0].fill, CIVIDIS[-1].fill} <= fills


def test_lists_read_as_people_write_them():
    assert (listed([]), listed("a"), listed("ab"), listed("abc")) == ("", "a", "a and b", "a, b and c")


def test_a_round_after_concrete_is_no_reason_to_break(worth: WorthFacts):
    tape = full_tape()
    concrete(tape, 14.0)
    later = outlook_of(answer_of(funnel=FUNNEL))
    assert later.from_moment - timedelta(hours=0.5) > tape.entries[-1].draft.observed_at
    assert "as time goes by" in section(facts_us(tape), worth, later)
