"""The acceptance set of a project: which there are, what each number says, editing, adopting.

Nothing is adopted before somebody asks for it: edits stand in a draft on disk and are laid over the set that
they begin with.  Each edit names who verified it and where the contract says it; adopting is a new set-up.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass, replace
from typing import Final

from fieldapp.criteria.acceptance import PARAMETERS, Adoption, added, changed, described
from fieldapp.desk.inspector import Saying, drop_form, keep_form, kept_form, record_entry
from fieldapp.desk.projects.acceptance_numbers import STRICT, VALUE, ready_value
from fieldapp.desk.projects.presets import preset, preset_names
from fieldapp.desk.workplace import Workplace
from fieldapp.record.acceptance import AcceptanceSet, Applies, Parameter
from fieldapp.record.entry import Entry
from fieldapp.record.reading import Impossible
from fieldapp.record.said import said
from fieldapp.units import with_blank

ADOPTED: Final = "adopted"
_DRAFT: Final = "acceptance set"
_ABOUT: Final = ("verified_by", "source", "clause", "note")


@dataclass(frozen=True, slots=True)
class PresetShown:
    """A set that can be adopted: its own words, how many numbers it has and how many must be entered."""

    name: str
    title: str
    standard: str
    note: str
    numbers: int
    to_enter: int


@dataclass(frozen=True, slots=True)
class Edit:
    """One number as a project sets it itself.  ``key`` names the parameter and its case; all is text."""

    key: str
    value: str
    strict: str = ""
    verified_by: str = ""
    source: str = ""
    clause: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Draft:
    """A set in the making: what it begins with, the edits, the keys of edits that fit no more."""

    start: str
    accepted: AcceptanceSet
    edits: tuple[Edit, ...] = ()
    unfit: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Difference:
    """One number that adopting would change.  ``before`` or ``after`` is empty where it is not asked."""

    key: str
    name: str
    case: Applies
    before: str
    after: str


def presets_shown() -> tuple[PresetShown, ...]:
    """Every set that comes with the program."""
    return tuple(_shown(name, preset(name)) for name in preset_names())


def adopted_shown(place: Workplace) -> PresetShown:
    """The set that the project has adopted.  Raises Impossible before it is set up."""
    return _shown(ADOPTED, place.accepted())


def keys_of(accepted: AcceptanceSet) -> dict[str, Parameter]:
    """Every parameter of a set under its key, in their order."""
    return {described(each.name, each.applies): each for each in accepted.parameters}


def not_in(accepted: AcceptanceSet) -> tuple[str, ...]:
    """Names that a set may hold and does not: what the project's contract may ask for besides."""
    have = {each.name for each in accepted.parameters}
    return tuple(name for name in PARAMETERS if name not in have)


def draft(place: Workplace) -> Draft:
    """The set in the making, or the adopted one without edits."""
    kept = kept_form(place, _DRAFT) or {}
    start = str(kept.get("start", ADOPTED))
    if start != ADOPTED and start not in preset_names():
        start = ADOPTED
    found = kept.get("edits")
    edits = tuple(_edit_of(each) for each in found) if isinstance(found, list) else ()
    return _laid_over(place, start, edits)


def begin_draft(place: Workplace, start: str) -> Draft:
    """Begin with a set by its name, or with the adopted one; earlier edits are forgotten."""
    made = _laid_over(place, start, ())
    _keep(place, made)
    return made


def drop_draft(place: Workplace) -> None:
    """Forget the set in the making."""
    drop_form(place, _DRAFT)


def edit(place: Workplace, key: str, typed: Mapping[str, str]) -> Draft:
    """Put one number into the set in the making, and keep it on disk.

    Parameters
    ----------
    key
        A key of `keys_of`, or a name of `not_in`, which is then added.
    typed
        Texts of the form `fieldapp.desk.projects.acceptance_numbers.number_form`.

    Raises
    ------
    Impossible
        The value does not fit, or it is not said who verified it and where it stands; names the field.
    StoreProblem
        It cannot be kept.
    """
    now = draft(place)
    known = keys_of(now.accepted).get(key, key)
    if known not in {*keys_of(now.accepted).values(), *not_in(now.accepted)}:
        raise Impossible("number", key, said("a number of this set"))
    value = ready_value(known, typed.get(VALUE, ""), place.setup().units)
    made = Edit(key, value, typed.get(STRICT, ""), *(typed.get(each, "") for each in _ABOUT))
    _with(now.accepted, made)
    rest = tuple(each for each in now.edits if each.key != key)
    new = _laid_over(place, now.start, (*rest, made))
    _keep(place, new)
    return new


def take_back(place: Workplace, key: str) -> Draft:
    """Leave one number as the set has it."""
    now = draft(place)
    new = _laid_over(place, now.start, tuple(each for each in now.edits if each.key != key))
    _keep(place, new)
    return new


def differences(now: AcceptanceSet, new: AcceptanceSet) -> tuple[Difference, ...]:
    """What the second set says otherwise than the first, in the order of the second, then what is gone."""
    before, after = keys_of(now), keys_of(new)
    keys = (*after, *(key for key in before if key not in after))
    return tuple(
        Difference(
            key, known.name, known.applies, written(before.get(key)), written(after.get(key), before.get(key))
        )
        for key in keys
        for known in (after.get(key) or before[key],)
        if _says(before.get(key)) != _says(after.get(key))
    )


def written(parameter: Parameter | None, other: Parameter | None = None) -> str:
    """What a parameter asks, in one line; with the source where ``other`` asks the very same."""
    if parameter is None:
        return ""
    if parameter.value is None:
        return said("a number still to be entered")
    value = f"{with_blank(parameter.value)} {_unit_shown(parameter.unit)}".strip()
    asks = said("{value}, not the value itself", value=value) if parameter.strict else value
    if other is not None and _says(other)[:2] == _says(parameter)[:2]:
        return said("{value}, by {source}", value=asks, source=parameter.source)
    return asks


def adopt(place: Workplace, author: str) -> Entry:
    """Adopt the set in the making by a new set-up entry, and forget the draft.

    Raises Impossible when it would change nothing, Refused when the author's role may not, StoreProblem.
    """
    setup, new = place.setup(), draft(place).accepted
    if new == setup.acceptance:
        raise Impossible("acceptance", new.title, said("a set that says something else than the adopted one"))
    entry = record_entry(place, Saying(None, replace(setup, acceptance=new), author))
    drop_draft(place)
    return entry


def _shown(name: str, accepted: AcceptanceSet) -> PresetShown:
    to_enter = sum(each.value is None for each in accepted.parameters)
    return PresetShown(
        name, accepted.title, accepted.standard, accepted.note, len(accepted.parameters), to_enter
    )


def _laid_over(place: Workplace, start: str, edits: tuple[Edit, ...]) -> Draft:
    accepted = place.accepted() if start == ADOPTED else preset(start)
    unfit = []
    for each in edits:
        try:
            accepted = _with(accepted, each)
        except Impossible:  # the adopted set was changed elsewhere meanwhile
            unfit.append(each.key)
    return Draft(start, accepted, edits, tuple(unfit))


def _with(accepted: AcceptanceSet, made: Edit) -> AcceptanceSet:
    """The set with one edit.  Raises Impossible, naming the field of the form."""
    old = keys_of(accepted).get(made.key)
    for name in ("verified_by", "source"):
        if not getattr(made, name).strip():
            raise Impossible(name, said("nothing"), said("some words"))
    strict = made.strict == "yes" if made.strict else None
    adoption = Adoption(made.verified_by, made.source, clause=made.clause, note=made.note, strict=strict)
    try:
        if old is None:
            return added(accepted, made.key, Applies(), made.value, adoption)
        return changed(accepted, old.name, old.applies, made.value, adoption)
    except Impossible as problem:
        raise Impossible(VALUE, made.value, problem.expected) from None


def _says(parameter: Parameter | None) -> tuple[object, ...]:
    if parameter is None:
        return ()
    reading = parameter.reading
    value = reading.si if reading is not None else (parameter.value, parameter.unit)
    return value, parameter.strict, parameter.source, parameter.confidence, parameter.verified_by


def _unit_shown(unit: str) -> str:
    return "" if unit in {"count", "ratio", "ft-in"} else unit


def _edit_of(body: object) -> Edit:
    found = body if isinstance(body, Mapping) else {}
    return Edit(**{name: str(found.get(name, "")) for name in ("key", "value", "strict", *_ABOUT)})


def _keep(place: Workplace, made: Draft) -> None:
    keep_form(place, _DRAFT, "", {"start": made.start, "edits": [asdict(each) for each in made.edits]})
