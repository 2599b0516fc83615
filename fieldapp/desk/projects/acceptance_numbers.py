"""One number of an acceptance set as it is shown and as it is typed.

A number is shown with what it is for, its case, its source and how far that was read, and the requirements
that ask for it.  Nothing here changes a set.
"""

from __future__ import annotations

from typing import Final

from fieldapp.criteria.acceptance import PARAMETERS, ParameterKind
from fieldapp.criteria.adopted_rules import ADMINISTRATIVE, NOT_HELD, WITHOUT_RULE
from fieldapp.desk.entry_forms.form import Ask, EntryForm, FormField, Option
from fieldapp.desk.entry_forms.reading_typed import reading_of, several_of, text_of_reading
from fieldapp.record.acceptance import Parameter
from fieldapp.record.reading import Impossible, Reading
from fieldapp.record.said import said, sayable
from fieldapp.record.words import UnitSystem
from fieldapp.units import UNITS

VALUE: Final = sayable("value")
STRICT: Final = "strict"
KIND: Final = "acceptance number"
_YES_NO: Final = frozenset({"yes", "no"})
_USUAL: Final[dict[UnitSystem, tuple[str, ...]]] = {
    UnitSystem.US: ("in", "ft", "pcf", "qt", "degF", "in/h", "psf", "h", "%"),
    UnitSystem.SI: ("mm", "m", "g/cm3", "mL", "degC", "mm/h", "kPa", "h", "%"),
}
_NEVER: Final = frozenset({"ft-in", "deg"})

# Which requirement asks for a number; the rules of `fieldapp.criteria` look each up by its name.
ASKED_BY: Final[dict[str, tuple[str, ...]]] = {
    "area_fraction_limit": ("base area share",),
    "area_fraction_min": ("base area share",),
    "max_thickness_anywhere": ("base largest thickness",),
    "mean_thickness_limit": ("base mean thickness",),
    "flat_cap_thickness": ("base flat cap",),
    "flatness_limit": ("base flatness",),
    "standing_water_limit": ("standing water",),
    "seepage_rate_limit": ("seepage",),
    "seepage_window": ("seepage",),
    "water_max_age": ("standing water", "seepage"),
    "min_points": ("sounding points",),
    "largest_unprobed": ("sounding spread",),
    "firm_depth_tol": ("firm bottom at the base",),
    "edge_offset": ("sounding rim points",),
    "weighting": ("base area share", "base mean thickness"),
    "require_firm_bottom": ("sounding both depths",),
    "unknown_policy": ("base area share", "base mean thickness"),
    "rounds_required": ("sounding rounds",),
    "max_hours_clean_to_concrete": ("cleaning to concrete",),
    "max_hours_inspect_to_concrete": ("sounding to concrete",),
    "max_slurry_contact_bottom_h": ("fluid contact with the bottom",),
    "contact_zone_length": ("fluid contact with the bottom",),
    "max_open_hours_rock": ("open hours",),
    "overnight_rule": ("overnight",),
    "overream_min": ("overream cut", "fluid contact with the bottom"),
    "overream_max": ("overream cut",),
    "resound_events": ("sounding rounds",),
    "reclean_rise_trigger": ("base rise since last round",),
    "reclean_on_slurry_fail": ("sounding rounds",),
    "density_min": ("fluid density",),
    "density_max": ("fluid density",),
    "salt_density_add": ("fluid density",),
    "viscosity_min": ("fluid funnel time",),
    "viscosity_max": ("fluid funnel time",),
    "viscosity_cup": ("fluid funnel time",),
    "product_range": ("fluid funnel time",),
    "ph_min": ("fluid pH",),
    "ph_max": ("fluid pH",),
    "sand_max": ("fluid sand",),
    "temp_min_test": ("fluid test temperature",),
    "sample_bottom_within": ("fluid sampling depths",),
    "sample_interval_max": ("fluid sampling depths",),
    "include_midheight": ("fluid sampling depths",),
    "all_depths_must_pass": ("fluid sets in a row",),
    "consecutive_sets": ("fluid sets in a row",),
    "initial_sets": ("fluid test rate",),
    "initial_hours": ("fluid test rate",),
    "steady_interval": ("fluid test rate",),
    "stages_required": ("fluid stages",),
    "fluid_test_max_age": ("fluid test age",),
    "min_head": ("head now", "head through cleaning"),
    "artesian_extra": ("head now", "head through cleaning"),
    "max_head_gap": ("head now", "head through cleaning"),
    "plan_tol": ("plan offset",),
    "plan_tol_rule": ("plan offset",),
    "plumb_tol": ("plumbness",),
    "plumb_tol_rock": ("plumbness",),
    "tip_tol": ("tip elevation",),
    "diameter_min": ("least diameter",),
    "socket_len_min": ("socket length",),
    "slump_min_dry": ("slump",),
    "slump_max_dry": ("slump",),
    "slump_min_wet": ("slump",),
    "slump_max_wet": ("slump",),
    "base_requires": ("clean base verified", "sound rock below the base", "void under the base"),
    "instrument_check_max_age": ("sounding instrument", "fluid instruments"),
    "late_entry_after": ("late entries",),
    "release_valid_for": ("release before concrete",),
    "override_reason_required": ("release before concrete",),
    **dict.fromkeys(("fluid_loss_max", "cake_max", "gel_min", "gel_max"), ("fluid press and gel",)),
}

TITLE: Final = sayable("number of the acceptance set")
STRICTLY: Final = sayable("the value itself is not good enough")
STRICTLY_TELLS: Final = sayable("Yes means less than (or more than); no means at most (or at least).")
VERIFIED_BY: Final = sayable("who held it against the contract")
SOURCE: Final = sayable("where it stands")
CLAUSE: Final = sayable("clause")
NOTE: Final = sayable("note")
CONTRACT: Final = sayable("project contract")


def asked_by(name: str) -> tuple[str, ...]:
    """Names of the requirements that ask for a number, none for one that steers the office or the design.

    A number that no rule holds the record against is asked by `limits without a rule`.
    """
    if name in NOT_HELD - ADMINISTRATIVE:
        return (WITHOUT_RULE.name,)
    return ASKED_BY.get(name, ())


def number_form(
    known: Parameter | str, system: UnitSystem, verified_by: tuple[str, ...] = ()
) -> tuple[EntryForm, dict[str, str]]:
    """The form for one number, and what it says now.

    Parameters
    ----------
    known
        A parameter of the set, or the name of one that is to be added.
    system
        Whose usual unit stands first where the set has none.
    verified_by
        Names that are offered for who verified it.
    """
    name = known if isinstance(known, str) else known.name
    field = value_field(known, system)
    people = tuple(Option(each, each) for each in verified_by)
    fields = [field]
    if field.ask in {Ask.READING, Ask.COUNT}:
        fields.append(FormField(STRICT, STRICTLY, Ask.YES_NO, tells=STRICTLY_TELLS))
    fields += [
        FormField("verified_by", VERIFIED_BY, Ask.TEXT, needed=True, options=people),
        FormField("source", SOURCE, Ask.TEXT, needed=True, options=(Option(CONTRACT, CONTRACT),)),
        FormField("clause", CLAUSE, Ask.TEXT),
        FormField("note", NOTE, Ask.TEXT, long=True),
    ]
    return EntryForm(f"{KIND} {name}", TITLE, None, tuple(fields)), _says_now(known, field)


def value_field(known: Parameter | str, system: UnitSystem) -> FormField:
    """The field in which the value itself is typed."""
    name = known if isinstance(known, str) else known.name
    kind = PARAMETERS[name]
    if kind.dimensions:
        units = _units(kind, "" if isinstance(known, str) else known.unit, system)
        ask = Ask.COUNT if units == ("count",) else Ask.READING
        return FormField(VALUE, kind.meaning, ask, needed=True, unit=units[0], units=units)
    options = tuple(Option(each, each.replace("_", " ")) for each in kind.words)
    ask = (Ask.SEVERAL if kind.several else Ask.CHOICE) if options else Ask.TEXT
    if set(kind.words) == _YES_NO:
        ask, options = Ask.YES_NO, ()
    return FormField(VALUE, kind.meaning, ask, needed=True, options=options)


def ready_value(known: Parameter | str, typed: str, system: UnitSystem) -> str:
    """A typed value as `fieldapp.criteria.acceptance` reads it, with its unit.  Raises Impossible."""
    field = value_field(known, system)
    if not typed.strip():
        raise Impossible(VALUE, said("nothing"), said("a value"))
    if field.ask is Ask.SEVERAL:
        return ", ".join(several_of(field, typed))
    if field.ask in {Ask.READING, Ask.COUNT}:
        reading = reading_of(field, typed)
        return f"{reading.read} {reading.unit}"
    return typed.strip()


def _says_now(known: Parameter | str, field: FormField) -> dict[str, str]:
    if isinstance(known, str):
        return {}
    value = known.value or ""
    if value and known.unit:
        value = text_of_reading(field, Reading(value, known.unit))
    elif field.ask is Ask.SEVERAL:
        value = "\n".join(each.strip() for each in value.split(","))
    about = {}
    if known.verified_by:  # what the project says; the words of a preset do not speak for the contract
        about = {name: getattr(known, name) for name in ("verified_by", "source", "clause", "note")}
    if field.ask in {Ask.READING, Ask.COUNT}:
        about[STRICT] = "yes" if known.strict else "no"
    return {name: text for name, text in {VALUE: value, **about}.items() if text}


def _units(kind: ParameterKind, first: str, system: UnitSystem) -> tuple[str, ...]:
    """The units of a value: that of the set, then the usual ones, then the others."""
    known = kind.units or tuple(each.symbol for each in UNITS.values() if each.dimension in kind.dimensions)
    never = _NEVER if kind.bare_unit == "ratio" else _NEVER | {"ratio"}
    able = [each for each in known if each not in never]
    usual = [each for each in _USUAL[system] if each in able]
    return tuple(dict.fromkeys((*((first,) if first else ()), *usual, *able)))
