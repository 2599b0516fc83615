"""How many fluid sets in a row are within limits, with the sample that is being typed.

A set counts only when every depth of it is sampled: one good depth is no good set.
"""

from __future__ import annotations

from fieldapp.criteria.finding import Outcome
from fieldapp.criteria.fluid_sampling import IN_A_ROW, passing_in_a_row
from fieldapp.criteria.fluid_sets import set_outcome, sets_since_cleaning
from fieldapp.desk.entry_forms.as_if import as_if
from fieldapp.desk.entry_forms.fluid_form import FluidForm
from fieldapp.desk.entry_forms.form import FieldAnswer
from fieldapp.desk.looking import look_at
from fieldapp.desk.workplace import Workplace
from fieldapp.record.column import FluidTest
from fieldapp.record.said import said


def sets_so_far(
    place: Workplace, shaft: str, form: FluidForm, sample: FluidTest | None
) -> FieldAnswer | None:
    """The sets in a row as they stand, ``sample`` among them; None where no number of sets is asked.

    Nothing is recorded.  Raises UnknownShaft, NotOpen.
    """
    look = look_at(place, shaft)
    asked = look.limit("consecutive_sets")
    if asked is None:
        return None
    if asked.reading is None:
        return _answer(Outcome.NOT_SHOWN, said("How many sets in a row have to pass is still to be entered."))
    tried = look if sample is None else as_if(look, sample, look.at)
    sets = sets_since_cleaning(tried)
    in_hand = next((each for each in sets if each.number == form.set), None)
    outcome = set_outcome(tried, in_hand) if in_hand is not None else Outcome.NOT_SHOWN
    passing = len(passing_in_a_row(tried, tuple(each for each in sets if each.number != form.set)))
    about = {"asked": asked.reading.si, "number": form.set}
    if outcome is Outcome.NOT_MET:
        says = said("Set {number} is out of limits: 0 of {asked} sets in a row.", **about)
        return _answer(Outcome.NOT_MET, says)
    if outcome is Outcome.MET and len(form.places) == (sample is not None):
        count = passing + 1
        says = said(
            "{count} of {asked} sets in a row within limits, set {number} among them.", count=count, **about
        )
        return _answer(Outcome.MET if count >= asked.reading.si else Outcome.NOT_SHOWN, says)
    says = said(
        "{count} of {asked} sets in a row within limits; set {number} is not whole yet.",
        count=passing,
        **about,
    )
    return _answer(Outcome.NOT_SHOWN, says)


def _answer(outcome: Outcome, says: str) -> FieldAnswer:
    return FieldAnswer(IN_A_ROW.name, str(outcome), says)
