"""The inspector's first log in one piece: from an empty device to a signed paper, by touch alone."""

from __future__ import annotations

from collections import Counter
from datetime import datetime
from pathlib import Path
from typing import Final

import pytest

from fieldapp.desk.papers.verifying import verify_file
from fieldapp.desk.trust.audit import audit
from fieldapp.desk.workplace import read_project
from fieldapp.record.attesting import PaperSigned
from fieldapp.record.cleaning import CleanoutPass, SoundingRound
from fieldapp.record.column import FluidTest, HeadReading
from fieldapp.ui.words import people as people_words
from fieldapp.ui.words import projects as words
from tests.screens.journey import Journey, SteppedClock
from tests.screens.journeys.conftest import Taps
from tests.screens.journeys.inspecting import (
    ZONE,
    back,
    clock_at,
    enter,
    fill,
    findings,
    read_to_the_end,
    reasons,
    record,
    sample,
    secret,
    sign,
    sound,
    standing,
    tap_row,
    time_a_pass,
    work_until,
    write,
)
from tests.support.driver import PORTRAIT

DAY: Final = "2026-06-02"
PASSPHRASE: Final = "seven quiet herons on the bank"
ENGINEER, INSPECTOR, SHAFT = "R. Heron", "I. Wren", "P1"
INSTRUMENTS: Final = {
    "tape 1": "weighted tape",
    "balance 1": "mud balance",
    "funnel 1": "funnel",
    "sand tube 1": "sand tube",
    "pH 1": "pH meter",
}
AFTER_PASS: Final = {
    "C": ("15' 11 3/4\"", "16' 0\""),
    "R1": ("15' 11 1/2\"", "15' 11 3/4\""),
    "R2": ("15' 11 5/8\"", "15' 11 7/8\""),
    "R3": ("15' 11 7/8\"", "16' 0\""),
    "R4": ("16' 0\"", "16' 1/8\""),
}
AFTER_CAGE: Final = {**AFTER_PASS, "R3": ("15' 11 5/8\"", "16' 0\"")}
BEFORE_CONCRETE: Final = {**AFTER_CAGE, "C": ("15' 11 3/8\"", "16' 0\"")}
# by hand: 16' 0" - 15' 11 3/8" = 5/8 in, and so on
THICK: Final = {"C": "5/8", "R1": "1/4", "R2": "1/4", "R3": "3/8", "R4": "1/8"}
MOST_TAPS: Final = 580


@pytest.mark.parametrize(
    "size", [None, pytest.param(PORTRAIT, marks=pytest.mark.long_walk)], ids=["landscape", "portrait"]
)
def test_from_an_empty_device_to_a_signed_log(hand, opens, taps, record_property, size):
    if size:
        hand.resize(size)
    clock = clock_at(DAY, "06:30")
    on = opens(None, clock)
    made = Steps(taps)
    new_project(on)
    made.by("project")
    people_and_keys(on)
    made.by("people and keys")
    schedule(on)
    made.by("shaft")
    checks(on, clock)
    made.by("instruments")
    drilled(on, clock)
    made.by("fluid introduced, head, drilling")
    cleaned(on, clock)
    made.by("cleanout pass")
    on.tap_next()
    sound(on, AFTER_PASS)
    record(on)
    made.by("round after the pass")
    assert standing(on) == "not shown"
    assert reasons(on)["head now"].endswith("was the last reading; read it again.")
    fluid_sets(on, clock)
    made.by("two sets before concrete")
    before_concrete(on, clock)
    made.by("survey, cage, tremie, head, two rounds")

    assert standing(on) == "clean", reasons(on)
    assert reasons(on) == {}
    assert shown_round(on) == THICK
    found = findings(on)
    assert found["standing water"] == found["seepage"] == "Only asked of a dry shaft."
    signed_text = signed(on)
    made.by("sign-off")
    says_what_was_typed(signed_text)
    folder = on.session.folder
    on.leave()
    is_on_paper(folder, clock.moment)
    is_in_the_journal(folder)
    record_property("taps", dict(made.taps))
    assert taps.made <= MOST_TAPS, made.taps


class Steps:
    """Taps of each step."""

    def __init__(self, taps: Taps) -> None:
        self._counted = taps
        self.taps: Counter[str] = Counter()

    def by(self, step: str) -> None:
        self.taps[step] = self._counted.made - self.taps.total()


# --- the office -------------------------------------------------------------------------------------------


def new_project(on: Journey) -> None:
    on.tap(on.middle.next)
    fill(on, name="Heron bridge", units="US")
    write(on, "time_zone", "denv")
    on.tap(on.middle.tools.suggested.rows["America/Denver"])
    fill(on, preset="us-classic", person=ENGINEER, roles="resident engineer")
    on.tap(on.middle.next)
    assert on.walk.current == "setup"
    assert on.session.person == ENGINEER


def people_and_keys(on: Journey) -> None:
    tap_row(on, words.PEOPLE_ROW)
    on.tap(on.middle.next)
    fill(on, name=INSPECTOR, roles="inspector")
    on.tap(on.middle.next)
    assert on.walk.current == "people"
    for who in (INSPECTOR, ENGINEER):
        tap_row(on, who)
        tap_row(on, people_words.MAKE_KEY)
        secret(on, new=PASSPHRASE, again=PASSPHRASE)
        on.tap(on.middle.next)
        on.wait()
        assert people_words.MADE.format(name=who) in on.texts()
        back(on)
    back(on)
    on.tap(on.middle.next)
    assert on.walk.current == "board"


def schedule(on: Journey) -> None:
    assert "This project has no shaft yet." in on.texts()
    to_form(on, "schedule")
    assert "base standing" not in on.texts()  # no shaft is in hand, and none is said to stand anyhow
    fill(on, shaft=SHAFT, location="pier 1", method="wet", fluid="mineral", design_basis="both")
    fill(on, diameter="4' 0\"", reference_elevation="5032.5 ft", tip_elevation="5016.5 ft")
    fill(on, **{"stratum 1": "alluvium", "piezometric elevation 1": "5021.4 ft"})
    record(on)
    assert on.walk.current == "board"


def to_form(on: Journey, place: str) -> None:
    on.tap(on.middle.foot.more_button)
    on.tap(on.middle.column.button(place))
    assert on.walk.current == "entry"


# --- the hole -------------------------------------------------------------------------------------------


def checks(on: Journey, clock: SteppedClock) -> None:
    on.tap(on.middle.ids.who)
    on.tap_text(INSPECTOR)
    work_until(clock, "06:50")
    for label, kind in INSTRUMENTS.items():
        to_form(on, "instrument")
        fill(on, label=label, type=kind, check="against the reference", passed="yes")
        if kind == "funnel":
            fill(on, cup_volume="946", water_time="26", water_temperature="70")
        record(on)
        assert on.walk.current == "board"


def drilled(on: Journey, clock: SteppedClock) -> None:
    work_until(clock, "07:10")
    on.tap_shaft(SHAFT)
    assert on.strip.next_text == "Next: drill to the base"
    readings = {"density": "65.2", "funnel_time": "36", "temperature": "61", "sand": "0.25", "ph": "9.3"}
    instruments = "balance 1|funnel 1|sand tube 1|pH 1"
    enter(
        on,
        "Fluid",
        "Fluid test: introduced, drilling, before cleaning",
        stage="introduced",
        sample_depth="0' 0\"",
        cup_volume="946",
        **readings,
        instruments=instruments,
    )
    work_until(clock, "08:10")
    enter(on, "Head", "Head reading", fluid_level="3' 2\"", make_up="on")
    work_until(clock, "09:40")
    on.tap_next()
    fill(on, from_depth="0' 0\"", to_depth="16' 0\"", tool="rock auger", material="firm grey shale")
    fill(on, started_at="7:20", ended_at="9:35", drilled_depth="16' 0\"", firm_reference="16' 0\"")
    record(on)
    assert on.strip.next_text == "Next: sound the base"


def cleaned(on: Journey, clock: SteppedClock) -> None:
    work_until(clock, "09:50")
    on.tap_stage("Cleaning")
    on.tap_text("Cleanout pass")
    fill(on, method="cleanout bucket")
    time_a_pass(on, clock, "10:02")
    fill(on, depth_before="15' 10\"", depth_after="16' 0\"", came_up="shale chips, then clear")
    record(on)
    work_until(clock, "10:10")


def fluid_sets(on: Journey, clock: SteppedClock) -> None:
    for time in ("10:30", "10:50"):
        work_until(clock, time)
        on.tap_stage("Fluid")
        on.tap_second()
        # at 15 ft and at 5 ft; after the second one the set is whole and the way leads back
        for _ in range(2):
            sample(on, density="68.3", funnel_time="37", sand="1.5", ph="9.2", temperature="63")
        assert on.walk.current == "shaft"


def before_concrete(on: Journey, clock: SteppedClock) -> None:
    work_until(clock, "11:00")
    survey = {"means": "caliper", "plumbness": "0.7", "plan_offset": "1 1/4", "tip_elevation": "5016.5"}
    enter(on, "Hole", "Geometry survey", **survey)
    enter(on, "Pictures and notes", "Event", what="cage set", text="four access tubes")
    work_until(clock, "11:05")
    enter(on, "Head", "Head reading", fluid_level="3' 3\"", make_up="off")
    for time, depths in (("11:10", AFTER_CAGE), ("11:25", BEFORE_CONCRETE)):
        if depths is BEFORE_CONCRETE:
            enter(on, "Pictures and notes", "Event", what="tremie set", text="sealed tip")
        assert "older than" in reasons(on)["base area share"]
        work_until(clock, time)
        assert on.strip.next_text == "Next: sound the base"
        on.tap_next()
        sound(on, depths)
        record(on)


def signed(on: Journey) -> str:
    assert on.strip.next_text == "Next: sign the log"
    on.tap_next()
    assert on.walk.current == "signoff"
    text = read_to_the_end(on)
    sign(on, PASSPHRASE)
    assert on.middle.said.startswith("Signed, and saved as p1-log-20260602-11")
    return text


def shown_round(on: Journey) -> dict[str, str]:
    return {each.label: each.text for each in on.screen.base.ids.plan.cells}


# --- what came of it --------------------------------------------------------------------------------------


def says_what_was_typed(text: str) -> None:
    """What the inspector read before he signed is what the typed values come to, by hand."""
    for says in (
        "Drilled to 16' 0\" at 2 Jun 09:35.",
        # no reading over 4 % sand; US quart as the cup
        "Sand 1.5 % at 15' 0\" depth, asked at most 4 %.",
        "2 of 2 sets in a row are within all limits.",
        # 5032.50 - 3.25 - 5021.40 = 7.85 ft
        "Head 7.8 ft at 2 Jun 11:05, asked at least 5 ft.",
        "Largest 5/8 in of sediment, asked at most 1 1/2 in.",
        "Plan offset 1 1/4 in, asked at most 3 in.",
        "Sounded after cage and before concrete.",
        "tape 1 was checked and passed.",
        "Instruments of set 2 were checked and passed.",
        "Sediment rose by 3/8 in since round 1, asked at most 1/2 in.",
    ):
        assert says in text, says


def is_on_paper(folder: Path, moment: datetime) -> None:
    (paper,) = (folder / "reports").glob("*-signed.pdf")
    with read_project(folder) as place:
        verdict = verify_file(paper.read_bytes(), place, moment.astimezone(ZONE))
        (signature,) = (each.values for each in place.entries() if isinstance(each.values, PaperSigned))
    assert str(verdict.verdict) == "valid", verdict.says
    assert signature.file_name == paper.name
    assert signature.role == "inspector"


def is_in_the_journal(folder: Path) -> None:
    assert [each.name for each in audit(folder) if not each.ok] == []
    with read_project(folder) as place:
        kinds = Counter(each.kind for each in place.entries())
        shaft = place.shaft(SHAFT)
        rounds = [each.values for each in shaft.of(SoundingRound)]
        (cleaning,) = (each.values for each in shaft.of(CleanoutPass))
        fluid = [each.values for each in shaft.of(FluidTest)]
        heads = [str(each.values.fluid_level) for each in shaft.of(HeadReading)]
    assert kinds["instrument"] == len(INSTRUMENTS)
    assert kinds["log signed"] == 1
    read = [{p.label: (str(p.first_contact), str(p.firm)) for p in each.points} for each in rounds]
    assert read == [AFTER_PASS, AFTER_CAGE, BEFORE_CONCRETE]
    assert [each.why for each in rounds] == ["after pass", "after cage", "before concrete"]
    assert 11.5 < (cleaning.ended_at - cleaning.started_at).total_seconds() / 60 < 12.5  # by the timer
    assert [each.stage for each in fluid] == ["introduced", *["before concrete"] * 4]
    assert fluid[-1].instruments == ("balance 1", "funnel 1", "sand tube 1", "pH 1")
    assert heads == ["3' 2\"", "3' 3\""]
