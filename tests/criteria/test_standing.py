"""The base standing, its reasons and the next step; and the sample stories in miniature."""

from __future__ import annotations

from fieldapp.criteria.finding import Outcome, ReleaseStatus, Standing, Work
from fieldapp.criteria.findings import findings
from fieldapp.criteria.release import release_state
from fieldapp.criteria.standing import base_standing
from fieldapp.record.cleaning import SoundingPoint
from fieldapp.record.concrete import ConcreteFinished
from fieldapp.record.decisions import Disposition
from fieldapp.record.hole import BaseSighting, StandingWater
from fieldapp.record.setup import PiezometricLevel
from fieldapp.record.words import Caution, Decision, Fluid, Happening, Purpose, RoundWhy, Seen, UnitSystem
from tests.criteria.stories import caged, drilled, found, passing, stands, usual, with_tests
from tests.support.journals import DESIGNER, SHAFT, Journal, accepted, at, five_points, parameter, reading

CLEAN = ("1/4", "1/4", "1/4", "1/4", "1/4")


def dispose(journal: Journal, clock: str, decision: Decision, credit: str | None = None) -> None:
    values = Disposition(
        journal.basis(),
        decision,
        "weighed",
        credit=reading(credit) if credit else None,
        displacement=reading("1/2 in") if credit else None,
    )
    journal.say(values, at(clock, day=30), author=DESIGNER)


def test_one_lack_that_leaves_several_requirements_open_is_one_reason():
    journal = caged(drilled(Journal(usual())))
    journal.sound(1, at("10:30"), five_points(*CLEAN))
    says = [each.says for each in stands(journal).reasons]
    assert len(says) == len(set(says))
    assert sum("No fluid test" in each for each in says) == 1
    open_ones = [each for each in found(journal).values() if "No fluid test" in each.says]
    assert len(open_ones) > 1


def test_from_drilling_to_filed_one_step_at_a_time():
    journal = Journal(usual())
    journal.set_up()
    journal.plan()
    stood = stands(journal)
    assert (stood.standing, stood.next_step.says) == (Standing.NOT_SHOWN, "Drill to the base")
    journal = caged(with_tests(drilled(Journal(usual()))))
    stood = stands(journal)
    assert (stood.standing, stood.next_step.work) == (Standing.NOT_SHOWN, Work.SOUND)
    journal.sound(1, at("10:30"), five_points(*CLEAN))
    stood = stands(journal)
    assert (stood.standing, stood.reasons, stood.next_step.says) == (Standing.CLEAN, (), "Sign the log")
    journal.sign(at("10:40"))
    assert stands(journal).next_step.says == "Ask for release"
    journal.release(at("10:45"), at("11:30"))
    assert stands(journal).next_step.says == "Start concrete before 12 May 11:30"
    journal.concrete(at("11:00"))
    step = stands(journal).next_step
    assert (step.says, step.work) == ("Record that concrete finished", Work.FINISH_CONCRETE)
    journal.say(ConcreteFinished("to the ground"), at("13:00"))
    stood = stands(journal)
    assert (stood.standing, stood.next_step.says) == (Standing.CLEAN, "Designer: accept the base")
    dispose(journal, "09:00", Decision.FULL_CREDIT)
    assert stands(journal).next_step.says == "Filed: full credit"


def test_a_log_signed_before_the_last_entry_is_signed_again():
    journal = passing()
    journal.sign(at("10:40"))
    journal.head(at("10:50"))
    assert stands(journal).next_step.says == "Sign the log"


def test_the_release_state_is_worked_out_when_it_is_not_given():
    journal = passing()
    journal.sign(at("10:40"))
    journal.release(at("10:45"), at("11:30"))
    record = journal.record()
    shaft = record.shafts[SHAFT]
    stood = base_standing(record, shaft, findings(record, shaft, at("11:00")))
    assert stood.next_step.says == "Start concrete before 12 May 11:30"


def test_reasons_stand_in_order_of_weight():
    journal = passing("2", "2", "2", "2", None)
    journal.test_fluid(3, at("10:40"), sand=reading("5 %"))
    journal.head(at("10:50"), "9 ft")
    journal.say(BaseSighting("camera", (Seen.VOID,), "void"), at("10:55"))
    reasons = stands(journal).reasons
    assert reasons[0].excludes_base
    outcomes = [each.outcome for each in reasons[1:]]
    assert outcomes == sorted(outcomes, key=[Outcome.NOT_MET, Outcome.NOT_SHOWN].index)
    broken = [each.group for each in reasons if each.outcome is Outcome.NOT_MET]
    assert broken == ["ground", "base", "base", "head", "head", "fluid"]


def test_rework_comes_before_not_shown_while_the_hole_is_open():
    stood = stands(passing("2", "1/4", "1/4", "1/4", None))
    assert (stood.standing, stood.next_step.says) == (Standing.REWORK, "Clean the base again")


def test_the_head_is_restored_before_the_base_is_cleaned():
    journal = passing("2", "2", "2", "2", "2")
    journal.head(at("10:40"), "9 ft")
    assert stands(journal).reasons[0].work is Work.CLEAN_AGAIN
    assert stands(journal).next_step.work is Work.RESTORE_HEAD


def test_rework_ruled_out_by_a_release_with_a_reason_leaves_the_base_reduced():
    journal = passing("1", "1", "1", "1", "1")
    assert stands(journal).standing is Standing.REWORK
    journal.release(at("10:45"), at("12:00"), reason="side governs")
    assert stands(journal).standing is Standing.REDUCED
    assert stands(journal, at("12:01")).standing is Standing.REWORK, "the release has ended"


def test_rework_ruled_out_by_the_designer_until_the_record_changes():
    journal = passing("1", "1", "1", "1", "1")
    dispose(journal, "09:00", Decision.REMEDY)
    assert stands(journal, at("11:00")).standing is Standing.REWORK
    dispose(journal, "09:10", Decision.REDUCED_CREDIT, "0.4 ratio")
    assert stands(journal, at("11:00")).standing is Standing.NOT_SHOWN, "dated ahead: the clock is flagged"
    journal.sound(2, at("10:50"), five_points("2", "2", "2", "2", "2"))
    assert stands(journal, at("11:00")).standing is Standing.REWORK


def test_with_concrete_in_an_unknown_that_leaves_the_credit_open_is_not_shown():
    journal = passing("1", "1", None, None, None)
    journal.concrete(at("11:00"))
    journal.say(ConcreteFinished("to the ground"), at("13:00"))
    stood = stands(journal)
    assert stood.standing is Standing.NOT_SHOWN
    assert stood.next_step.says == "Designer: decide the credit"


def test_a_policy_of_fail_does_not_make_an_unknown_base_quantified():
    journal = passing(*[None] * 5, acceptance=usual(parameter("unknown_policy", "fail")))
    assert stands(journal).standing is Standing.REWORK
    journal.concrete(at("11:00"))
    assert stands(journal).standing is Standing.NOT_SHOWN


def test_with_concrete_in_an_unknown_beside_a_broken_limit_stands_among_the_reasons():
    points = five_points("1", "1", "1", "1", "1")
    sixth = SoundingPoint("6", reading("13 in"), reading("45 deg"), first_contact=reading("59 ft"))
    journal = caged(with_tests(drilled(Journal(usual()))))
    journal.sound(1, at("10:30"), (*points, sixth))
    journal.concrete(at("11:00"))
    stood = stands(journal)
    assert stood.standing is Standing.REDUCED
    assert "sounding both depths" in {each.requirement for each in stood.reasons}


def test_with_concrete_in_something_not_shown_keeps_the_base_from_being_clean():
    journal = passing(acceptance=usual(parameter("plan_tol", "3 in")))
    journal.sign(at("10:40"))
    journal.release(at("10:45"), at("12:00"))
    journal.concrete(at("11:00"))
    stood = stands(journal)
    assert [each.outcome for each in stood.reasons] == [Outcome.NOT_SHOWN]
    assert stood.standing is Standing.NOT_SHOWN


def test_a_shaft_that_is_not_scheduled_has_one_finding():
    journal = Journal(usual())
    journal.set_up()
    journal.drill(at("08:00"))
    assert [each.outcome for each in found(journal).values()] == [Outcome.NOT_SHOWN]
    assert stands(journal).standing is Standing.NOT_SHOWN


# The sample stories in miniature, one shaft each.


def test_story_re_cleaned_after_one_sided_sediment():
    one_sided = ("3/4", "1", "1 1/4", "1/4", "1/4")
    journal = passing(*one_sided)
    got = found(journal)
    assert got["base largest thickness"].outcome is Outcome.MET
    assert got["base area share"].outcome is Outcome.NOT_MET
    assert stands(journal).standing is Standing.REWORK
    journal.clean(2, at("10:40"), at("11:00"))
    assert stands(journal).standing is Standing.NOT_SHOWN
    for number, clock in ((3, "11:05"), (4, "11:10")):
        journal.test_fluid(number, at(clock), "31 ft")
        journal.test_fluid(number, at(clock), "59 ft")
    journal.head(at("11:12"))
    journal.sound(2, at("11:15"), five_points(*CLEAN))
    journal.sign(at("11:20"))
    journal.release(at("11:25"), at("13:00"))
    journal.concrete(at("11:40"))
    assert stands(journal).standing is Standing.CLEAN


def test_story_sounded_dirty_before_concrete_that_started_all_the_same():
    journal = passing(*CLEAN)
    journal.test_fluid(3, at("11:00"), sand=reading("4.5 %"))
    journal.test_fluid(3, at("11:00"), "31 ft")
    journal.sound(2, at("12:00"), five_points("1", "1", "1 1/4", "1", "1"))
    journal.head(at("12:10"))
    journal.concrete(at("12:20"))
    stood = stands(journal)
    assert stood.standing is Standing.REDUCED
    names = [each.requirement for each in stood.reasons]
    assert names[0] == "base area share"
    assert {"fluid sand", "release before concrete"} <= set(names)


def test_story_artesian_head_lost_during_airlifting():
    levels = (PiezometricLevel("confined gravel", reading("92 ft")),)
    journal = drilled(Journal(usual()), cautions=(Caution.ARTESIAN,), piezometric_levels=levels)
    journal.clean(2, at("09:40"), at("10:00"))
    journal.head(at("09:50"), "9 ft")
    stood = stands(journal)
    assert (stood.standing, stood.next_step.work) == (Standing.REWORK, Work.RESTORE_HEAD)
    journal.head(at("10:05"), "2 ft")
    stood = stands(journal)
    assert (stood.standing, stood.next_step.work) == (Standing.REWORK, Work.CLEAN_AGAIN)


def test_story_only_first_contact_read():
    stood = stands(passing(None, None, None, None, None))
    assert (stood.standing, stood.next_step.work) == (Standing.NOT_SHOWN, Work.SOUND)


def test_story_water_on_a_dry_base():
    journal = Journal(usual())
    journal.set_up()
    journal.dry_plan()
    journal.drill(at("08:00"))
    journal.say(StandingWater(True, reading("4 in"), reading("1 1/2 in"), reading("5 min")), at("08:30"))
    stood = stands(journal)
    assert (stood.standing, stood.next_step.work) == (Standing.REWORK, Work.DEWATER_OR_FLOOD)


def test_story_slaking_shale_nine_hours_in_slurry():
    journal = passing(*CLEAN, cautions=(Caution.SLAKING_SHALE,))
    stood = stands(journal, at("16:55"))
    assert (stood.standing, stood.next_step.work) == (Standing.REWORK, Work.OVERREAM)
    assert "9 h" in stood.reasons[0].says


def test_story_release_broken_by_a_later_sounding():
    journal = passing(*CLEAN)
    journal.sign(at("10:40"))
    journal.release(at("10:45"), at("12:00"))
    journal.sound(2, at("11:00"), five_points(*["1"] * 5))
    record = journal.record()
    assert release_state(record, record.shafts[SHAFT], at("11:05")).status is ReleaseStatus.LAPSED
    assert stands(journal, at("11:05")).standing is Standing.REWORK


def test_story_void_in_karst_is_not_creditable_hole_open_or_not():
    journal = passing(*CLEAN, cautions=(Caution.KARST,))
    journal.say(BaseSighting("camera from the surface", (Seen.VOID,), "open void"), at("10:40"))
    assert stands(journal).standing is Standing.NOT_CREDITABLE
    journal.concrete(at("11:00"))
    assert stands(journal).standing is Standing.NOT_CREDITABLE


def test_story_sacrificial_test_shaft_on_soft_sediment():
    journal = passing(*["1 1/4"] * 5, purpose=Purpose.SACRIFICIAL_TEST)
    journal.concrete(at("11:00"))
    journal.say(ConcreteFinished("to the ground"), at("13:00"))
    stood = stands(journal)
    assert (stood.standing, stood.next_step.says) == (Standing.REDUCED, "Designer: decide the credit")


METRIC = (
    parameter("mean_thickness_limit", "25 mm"),
    parameter("max_thickness_anywhere", "50 mm"),
    parameter("density_max", "1.15 g/cm3", strict=True),
    parameter("sand_max", "4 %", strict=True),
)


def metric_pile(density: str, sand: str | None, thickness_mm: str = "10 mm") -> Journal:
    journal = Journal(accepted(*METRIC), UnitSystem.SI)
    journal.set_up()
    journal.plan(fluid=Fluid.MINERAL, diameter=reading("1.2 m"))
    journal.drill(at("08:00"))
    journal.test_fluid(1, at("09:00"), density=reading(density), sand=reading(sand) if sand else None)
    places = [("0 mm", "0 deg"), *((f"{500} mm", f"{a} deg") for a in (0, 90, 180, 270))]
    points = tuple(
        SoundingPoint(str(n), reading(r), reading(a), thickness=reading(thickness_mm))
        for n, (r, a) in enumerate(places)
    )
    journal.sound(1, at("09:30"), points, RoundWhy.OTHER)
    return journal


def test_story_metric_piles():
    assert stands(metric_pile("1.10 g/cm3", "1 %")).standing is Standing.CLEAN
    at_limit = metric_pile("1.15 g/cm3", "1 %")
    assert stands(at_limit).standing is Standing.REWORK
    assert found(at_limit)["fluid density"].says == (
        "Density 1.15 g/cm3 at 17.98 m depth, asked under 1.15 g/cm3."
    )
    assert stands(metric_pile("1.10 g/cm3", None)).standing is Standing.NOT_SHOWN
    assert found(metric_pile("1.10 g/cm3", "1 %", "25 mm"))["base mean thickness"].outcome is Outcome.MET


def test_events_of_the_crew_do_not_change_a_filled_shaft():
    journal = passing(*CLEAN)
    journal.sign(at("10:40"))
    journal.release(at("10:45"), at("12:00"))
    journal.concrete(at("11:00"))
    journal.event(Happening.SLOUGH, at("11:30"))
    assert stands(journal).standing is Standing.CLEAN
