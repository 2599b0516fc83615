"""Decisions through the desk: who may, with which key, on what, within which limits, and what they leave."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest

from fieldapp.criteria.finding import ReleaseStatus
from fieldapp.desk.decisions.designer import DispositionAsked, dispose
from fieldapp.desk.decisions.engineer import ReleaseAsked, hold, release, release_until, withdraw
from fieldapp.desk.decisions.signing_off import SignOffAsked, sign_off
from fieldapp.desk.inspector import AskFirst, Refused
from fieldapp.desk.office import shaft_now
from fieldapp.desk.plain_text import findings_text, shaft_json
from fieldapp.desk.workplace import Workplace
from fieldapp.desk.worth.worth import base_worth
from fieldapp.identity.errors import NotThisPerson, OutsideValidity, RevokedKey
from fieldapp.record.attesting import Revocation
from fieldapp.record.chain import breaks_in, heads_of
from fieldapp.record.column import HeadReading
from fieldapp.record.concrete import ConcreteStarted
from fieldapp.record.decisions import LogSigned, Release
from fieldapp.record.entry import Entry
from fieldapp.record.hole import Note
from fieldapp.record.reading import Reading
from fieldapp.record.words import Decision, Role
from reports.findings_table import release_text
from reports.quantities import shown_by
from tests.desk.decision_site import CLEAN, HERE, SANDY, SOFT, Site, site
from tests.desk.signed_work import DESIGNER, ENGINEER, INSPECTOR, attributed, person_key, signed_through


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "home"))


@pytest.fixture
def clean(tmp_path: Path) -> Iterator[Site]:
    with site(tmp_path / "clean", CLEAN) as made:
        yield made


@pytest.fixture
def sandy(tmp_path: Path) -> Iterator[Site]:
    with site(tmp_path / "sandy", SANDY) as made:
        yield made


def test_the_role_is_asked_before_the_key(clean: Site) -> None:
    other = clean.keys[INSPECTOR]
    asked = ReleaseAsked(clean.at("13:40"))
    says = clean.writes_nothing(Refused, lambda: release(clean.place, clean.shaft, asked, DESIGNER, other))
    assert says == "Designer may not make a release: that takes a resident engineer."
    says = clean.writes_nothing(Refused, lambda: withdraw(clean.place, clean.shaft, "x", INSPECTOR, other))
    assert says == "Inspector A may not make a withdrawal: that takes a resident engineer."


# --- keys -----------------------------------------------------------------------------------------------


def test_a_key_that_is_not_the_authors_decides_nothing(clean: Site) -> None:
    place, shaft = clean.place, clean.shaft
    designers = clean.keys[DESIGNER]
    says = clean.writes_nothing(NotThisPerson, lambda: hold(place, shaft, "x", ENGINEER, designers))
    assert "The unlocked key is Designer's" in says
    forged = person_key(place, ENGINEER, Role.RESIDENT_ENGINEER)
    clean.writes_nothing(NotThisPerson, lambda: hold(place, shaft, "x", ENGINEER, forged))


def test_a_revoked_or_expired_key_decides_nothing(clean: Site) -> None:
    place, key = clean.place, clean.keys[ENGINEER]
    clean.clock.move(days=1000)
    clean.writes_nothing(OutsideValidity, lambda: hold(place, clean.shaft, "x", ENGINEER, key))
    clean.clock.move(days=-1000)
    since = place.now() - timedelta(minutes=1)
    clean.say(Revocation(ENGINEER, key.certificate.fingerprint, since, "tablet lost"), DESIGNER)
    clean.writes_nothing(RevokedKey, lambda: hold(place, clean.shaft, "x", ENGINEER, key))


# --- release --------------------------------------------------------------------------------------------


def test_a_release_of_a_clean_base_rests_on_all_there_is_and_is_signed(clean: Site) -> None:
    heads = heads_of(clean.place.entries())
    digest = clean.place.shaft(clean.shaft).digest
    entry = clean.release("13:45", conditions="tremie sealed", confirmed=("override",))
    values = entry.values
    assert isinstance(values, Release)
    assert {each.device: each.seq for each in values.basis.positions} == {d: h.seq for d, h in heads.items()}
    assert values.basis.record_digest == digest
    assert entry.draft.confirmed == (), "nothing was asked, so nothing was confirmed"
    kinds = [each.kind for each in clean.place.entries() if each.device == HERE][-3:]
    assert kinds == ["release", "device key", "stretch signed"]
    assert breaks_in(clean.place.entries()) == ()
    last = attributed(clean.place)[-1]
    assert (last.decision.id, last.fingerprint) == (entry.id, clean.keys[ENGINEER].certificate.fingerprint)
    assert signed_through(clean.place)[HERE].seq == clean.place.heads()[HERE].seq - 1
    state = clean.state
    assert (state.status, state.remarks, state.conditions) == (ReleaseStatus.RELEASED, (), "tremie sealed")


def test_a_release_beyond_the_acceptance_set_is_refused_with_the_limit_and_the_latest_time(
    clean: Site,
) -> None:
    says = clean.writes_nothing(Refused, lambda: clean.release("14:00"))
    # 4 h after drilling came within 5 ft of the base, by the log of the sample
    assert "is not met (longest that fluid may touch the bottom of the hole: 4 h)" in says
    assert "A release can hold until 12 May 13:50 MDT at the latest." in says
    bounds = release_until(clean.place, clean.shaft)
    assert bounds.accepted is not None
    assert bounds.limits[0] is bounds.accepted
    asked = ReleaseAsked(bounds.accepted.until)
    release(clean.place, clean.shaft, asked, ENGINEER, clean.keys[ENGINEER])
    assert clean.state.until == bounds.accepted.until


def test_the_limits_are_told_earliest_first_with_the_forecast_among_them(clean: Site) -> None:
    bounds = release_until(clean.place, clean.shaft, clean.clock.at)
    # by hand from the log: head read at 13:16, set tested from 12:14, sounded at 13:08; 2 h, 4 h, 4 h
    hours = {each.requirement: f"{each.until:%H:%M}" for each in bounds.limits}
    assert hours["head now"] == "15:16"
    assert hours["fluid test age"] == "16:14"
    assert hours["sounding to concrete"] == "17:08"
    assert hours["release valid for"] == "17:22"
    assert [each.until for each in bounds.limits] == sorted(each.until for each in bounds.limits)
    assert bounds.forecast is not None
    assert "sounded again by" in bounds.forecast.says


def test_what_no_forecast_can_say_is_said_and_limits_nothing(place: Workplace) -> None:
    bounds = release_until(place, "P1-1")
    assert bounds.forecast is None
    assert bounds.not_told == (
        "The forecast sets no limit, for want of a fluid test: the sand in suspension is not known.",
    )


def test_passing_over_a_finding_takes_a_reason_and_a_second_word_and_stays_visible(sandy: Site) -> None:
    says = sandy.writes_nothing(Refused, lambda: sandy.release("12:00"))
    assert says.startswith("Give the reason for releasing over 1 not met, 5 not shown.")
    assert "not met: Sand 4.8 %" in says
    with pytest.raises(AskFirst) as asked:
        sandy.release("12:00", reason="sand goes with the exchange")
    assert asked.value.codes == ("past-forecast", "override")
    with pytest.raises(AskFirst) as asked:
        sandy.release("12:00", reason="sand goes with the exchange", confirmed=("past-forecast",))
    assert asked.value.codes == ("override",)
    assert "not met: Sand 4.8 %" in str(asked.value)
    confirmed = ("past-forecast", "override", "something else")
    entry = sandy.release("12:00", reason="sand goes with the exchange", confirmed=confirmed)
    assert entry.draft.confirmed == ("past-forecast", "override")
    state = sandy.state
    assert state.status is ReleaseStatus.RELEASED
    (remark,) = state.remarks
    assert remark.startswith("Released at 14 May 11:35 over 1 not met, 5 not shown: Sand 4.8 %")
    assert remark.endswith("Reason: sand goes with the exchange.")


def test_a_later_entry_that_changes_a_finding_breaks_the_release_at_once_and_another_does_not(
    clean: Site,
) -> None:
    clean.release("13:50")
    clean.clock.move(minutes=1)
    clean.say(Note("rain"))
    assert clean.state.status is ReleaseStatus.RELEASED
    clean.clock.move(minutes=1)
    low = HeadReading(fluid_level=Reading("12' 0\"", "ft-in"))
    clean.say(low, confirmed=("level-jump",))
    assert clean.state.status is ReleaseStatus.LAPSED
    assert clean.state.reason.startswith("Head now: ")


def test_concrete_without_a_release_that_holds_is_a_finding(clean: Site) -> None:
    clean.say(ConcreteStarted("closed tip"))
    now = shaft_now(clean.place, clean.shaft, clean.place.now())
    assert "release before concrete" in [each.requirement for each in now.standing.reasons]
    says = clean.writes_nothing(Refused, lambda: clean.release("13:45"))
    assert "there is nothing left to release" in says


def test_nobody_releases_on_their_own_log_unless_the_project_says_so(clean: Site) -> None:
    both = (Role.INSPECTOR, Role.RESIDENT_ENGINEER)
    setup = clean.place.setup()
    people = tuple(replace(each, roles=both) if each.name == INSPECTOR else each for each in setup.people)
    clean.say(replace(setup, people=people), ENGINEER)
    says = clean.writes_nothing(Refused, lambda: clean.release("13:45", INSPECTOR))
    assert says.startswith("The log of shaft P1-1 is Inspector A's own, and nobody releases on that.")
    clean.say(replace(setup, people=people, own_log_release=True), ENGINEER)
    clean.release("13:45", INSPECTOR)
    assert clean.state.status is ReleaseStatus.RELEASED
    assert clean.state.remarks == (
        "Released by Inspector A on Inspector A's own log; the project set-up allows it.",
    )


def test_a_device_whose_clock_was_set_back_releases_nothing(clean: Site) -> None:
    clean.say(Note("rain"))
    clean.clock.move(minutes=-30)
    says = clean.writes_nothing(Refused, lambda: clean.release("13:45"))
    assert "The clock of this device says 12 May 12:52, and it has recorded at 12 May 13:22 already" in says


def test_a_clock_set_back_after_a_release_does_not_extend_it(clean: Site) -> None:
    clean.release("13:45")
    clean.clock.move(minutes=30)
    clean.say(Note("pump stands still"))
    clean.clock.move(minutes=-29)
    state = clean.state
    assert state.status is ReleaseStatus.LAPSED
    assert "The journal goes on to 12 May 13:52: a clock that says 12 May 13:23 is behind." in state.reason
    clean.say(Note("with the clock set back"), confirmed=("clock-back",))
    now = shaft_now(clean.place, clean.shaft, clean.place.now())
    assert "clocks" in [each.requirement for each in now.standing.reasons]


# --- hold, withdraw, dispose, sign off --------------------------------------------------------------------


def test_a_hold_and_a_withdrawal_stand_until_the_engineer_releases_again(clean: Site) -> None:
    key = clean.keys[ENGINEER]
    says = clean.writes_nothing(Refused, lambda: withdraw(clean.place, clean.shaft, "no", ENGINEER, key))
    assert says == "There is no release of shaft P1-1 to take back: none."
    hold(clean.place, clean.shaft, "wait for the tremie", ENGINEER, key)
    assert (clean.state.status, clean.state.reason) == (ReleaseStatus.HELD, "wait for the tremie")
    released = clean.release("13:45")
    taken = withdraw(clean.place, clean.shaft, "pump failed", ENGINEER, key)
    assert taken.draft.parents == (released.id,)
    assert clean.state.status is ReleaseStatus.WITHDRAWN
    clean.release("13:46")
    assert clean.state.status is ReleaseStatus.RELEASED


def test_a_credit_above_the_best_estimate_is_asked_about(tmp_path: Path) -> None:
    with site(tmp_path / "soft", SOFT) as soft:
        worth = base_worth(soft.place, "T-1", soft.place.now())
        assert worth.credit is not None
        moved = Reading("0.5", "in")
        best = worth.credit.service.credit
        assert worth.credit.service.displacement_m == pytest.approx(float(moved.si))

        def reduced(credit: str, *confirmed: str) -> Entry:
            asked = DispositionAsked(Decision.REDUCED_CREDIT, "soft base", Reading(credit, "ratio"), moved,
                                     confirmed)  # fmt: skip
            return dispose(soft.place, "T-1", asked, DESIGNER, soft.keys[DESIGNER])

        over, under = f"{best + 0.01:.3f}", f"{best - 0.01:.3f}"
        says = soft.writes_nothing(AskFirst, lambda: reduced(over))
        assert f"above the best estimate of {int(best * 100) / 100:.2f}" in says
        assert reduced(under).draft.confirmed == ()
        assert reduced(over, "over-estimate").draft.confirmed == ("over-estimate",)
        assert shaft_now(soft.place, "T-1").credit == f"{over} at 0.5 in"


def test_a_credit_without_an_estimate_is_asked_about_and_no_credit_is_not(sandy: Site) -> None:
    def full(*confirmed: str) -> Entry:
        asked = DispositionAsked(Decision.FULL_CREDIT, "side", confirmed=confirmed)
        return dispose(sandy.place, sandy.shaft, asked, DESIGNER, sandy.keys[DESIGNER])

    says = sandy.writes_nothing(AskFirst, full)
    assert says.startswith("There is no estimate to hold full credit against, for want of a fresh round")
    full("over-estimate")
    asked = DispositionAsked(Decision.NO_CREDIT, "side only")
    dispose(sandy.place, sandy.shaft, asked, DESIGNER, sandy.keys[DESIGNER])
    assert shaft_now(sandy.place, sandy.shaft).credit == "no credit"


def test_signing_off_records_signs_and_writes_the_paper(clean: Site) -> None:
    entry, paper = sign_off(clean.place, clean.shaft, SignOffAsked(), INSPECTOR, clean.keys[INSPECTOR])
    assert isinstance(entry.values, LogSigned)
    assert entry.values.statement == "Recorded as seen."
    kinds = [each.kind for each in clean.place.entries() if each.device == HERE]
    assert kinds == ["project set-up", "log signed", "device key", "stretch signed", "paper signed"]
    assert paper.signed
    assert paper.path.read_bytes().startswith(b"%PDF")
    assert shaft_now(clean.place, clean.shaft).standing.next_step.says == "Ask for release"


def test_an_inspector_reads_what_is_not_met_before_signing(sandy: Site) -> None:
    def sign(*confirmed: str) -> Entry:
        asked = SignOffAsked("As observed.", confirmed=confirmed)
        return sign_off(sandy.place, sandy.shaft, asked, INSPECTOR, sandy.keys[INSPECTOR])[0]

    says = sandy.writes_nothing(AskFirst, sign)
    assert says.startswith("The log is to be signed with 1 not met, 5 not shown. not met: Sand 4.8 %")
    assert sign("sign-open").draft.confirmed == ("sign-open",)


def test_the_paper_the_table_and_the_json_say_what_a_release_passes_over(sandy: Site) -> None:
    confirmed = ("past-forecast", "override")
    sandy.release("12:00", reason="sand goes with the exchange", confirmed=confirmed)
    now = shaft_now(sandy.place, sandy.shaft, sandy.place.now())
    (remark,) = now.release.remarks
    assert f"* {remark}" in findings_text(now)
    assert shaft_json(now)["release_remarks"] == [remark]
    assert release_text(now.release, shown_by(sandy.place.setup())).endswith(remark)
