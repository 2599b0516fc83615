"""Every name that an acceptance set may use, with what its value may be.

The names are fixed: rules look limits up by them.  A name that is not here is refused when a set is read.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Final

from fieldapp.record.reading import Reading
from fieldapp.record.said import said
from fieldapp.record.said_lists import either, listed
from fieldapp.record.words import OF_THE_RECORD, FluidStage, Happening, RoundWhy
from fieldapp.units import UNITS

TO_BE_ENTERED: Final = "user"


@dataclass(frozen=True, slots=True)
class ParameterKind:
    """What a parameter of this name may hold.

    A quantity has ``dimensions`` (and ``units``, when not every unit of the dimension makes sense;
    ``bare_unit`` is meant when the text has no unit).  A word has none; ``words`` are the ones
    allowed, empty for free words, and ``several`` may stand together, parted by commas.
    """

    group: str
    meaning: str
    dimensions: tuple[str, ...] = ()
    units: tuple[str, ...] = ()
    bare_unit: str = ""
    words: tuple[str, ...] = ()
    several: bool = False

    @property
    def expected_value(self) -> str:
        """What to write, in words."""
        if self.dimensions:
            known = self.units or tuple(u.symbol for u in UNITS.values() if u.dimension in self.dimensions)
            what = {"dimensions": either(self.dimensions), "units": ", ".join(known), "open": TO_BE_ENTERED}
            return said("a {dimensions} in {units}, or '{open}'", **what)
        if not self.words:
            return said("words, or '{open}'", open=TO_BE_ENTERED)
        some = {"words": listed(self.words), "open": TO_BE_ENTERED}
        if self.several:
            return said("one or more, each once and parted by commas, of {words}, or '{open}'", **some)
        return said("one of {words}, or '{open}'", **some)

    def takes_unit(self, symbol: str) -> bool:
        """Whether a value may be written in this unit."""
        if self.units:
            return symbol in self.units
        return symbol in UNITS and UNITS[symbol].dimension in self.dimensions

    def objection(self, value: Reading) -> str:
        """What was expected of a value in range, or nothing: no limit is negative, shares end at 100 %."""
        if value.dimension == "temperature":
            return ""
        if value.si < 0:
            return said("a value that is not negative")
        if value.dimension == "ratio" and value.si > 1:
            return said("a share of at most 100 % or a factor of at most 1")
        if value.dimension == "count" and value.si.denominator != 1:
            return said("a whole number")
        return ""


_LENGTH: Final = ParameterKind("", "", ("length",))
_HOURS: Final = ParameterKind("", "", ("time",), ("min", "h", "day"))
_FUNNEL: Final = ParameterKind("", "", ("time",), ("s",))
_SHARE: Final = ParameterKind("", "", ("ratio",), ("%",))
_FACTOR: Final = ParameterKind("", "", ("ratio",), ("ratio",), "ratio")
_COUNT: Final = ParameterKind("", "", ("count",), ("count",), "count")
_ACIDITY: Final = ParameterKind("", "", ("acidity",), ("pH",), "pH")
_DENSITY: Final = ParameterKind("", "", ("density",))
_VOLUME: Final = ParameterKind("", "", ("volume",))
_GEL: Final = ParameterKind("", "", ("pressure",))
_LENGTH_OR_SHARE: Final = ParameterKind("", "", ("length", "ratio"))
_YES_NO: Final = ParameterKind("", "", words=("yes", "no"))
_ROUNDS: Final = (RoundWhy.AFTER_PASS, RoundWhy.AFTER_CAGE, RoundWhy.BEFORE_CONCRETE)
_SOUND_AGAIN_AFTER: Final = tuple(each for each in Happening if each not in OF_THE_RECORD)


def _word(*words: str) -> ParameterKind:
    return ParameterKind("", "", words=words)


def _words(words: Iterable[str]) -> ParameterKind:
    return ParameterKind("", "", words=tuple(str(each) for each in words), several=True)


_GROUPS: Final[dict[str, tuple[tuple[str, ParameterKind, str], ...]]] = {
    "base": (
        ("area_fraction_limit", _LENGTH, "thickness that the asked share of the base has to keep under"),
        ("area_fraction_min", _SHARE, "least share of the base that keeps under that thickness"),
        ("max_thickness_anywhere", _LENGTH, "most sediment at any point"),
        ("mean_thickness_limit", _LENGTH, "most sediment, area-weighted mean"),
        ("flat_cap_thickness", _LENGTH, "most sediment over the whole base, one flat cap"),
        ("flatness_limit", _LENGTH, "most difference of firm bottom over the base"),
        ("standing_water_limit", _LENGTH, "most water on the base of a dry shaft"),
        ("seepage_rate_limit", ParameterKind("", "", ("rise",)), "most rise of water with the pumps off"),
        ("seepage_window", _HOURS, "least time over which the rise is read"),
        ("water_max_age", _HOURS, "oldest that a reading of the water on a dry base may be"),
    ),
    "soundings": (
        ("min_points", _COUNT, "least number of points in a round, by diameter"),
        (
            "largest_unprobed",
            _SHARE,
            "farthest that a place of the base may be from a reading, of its radius",
        ),
        ("firm_depth_tol", _LENGTH, "how far above the drilled depth firm bottom may be read"),
        ("edge_offset", _LENGTH, "most distance of rim points from the wall or cage"),
        ("weighting", _word("area cells", "equal"), "how points share the area of the base"),
        ("require_firm_bottom", _YES_NO, "whether a point needs firm bottom as well as first contact"),
        ("measurement_uncertainty", _LENGTH, "what one sounding may be wrong by, by instrument"),
        ("unknown_policy", _word("incomplete", "fail"), "what a round with a missing reading is"),
        ("rounds_required", _words(_ROUNDS), "when the base is sounded"),
    ),
    "time": (
        ("max_hours_clean_to_concrete", _HOURS, "longest from the last cleanout pass to concrete"),
        ("max_hours_inspect_to_concrete", _HOURS, "longest from the last round of soundings to concrete"),
        ("max_slurry_contact_bottom_h", _HOURS, "longest that fluid may touch the bottom of the hole"),
        ("contact_zone_length", _LENGTH, "length of hole above the base that this contact counts for"),
        ("max_open_hours_rock", _HOURS, "longest that an uncased wall may stand open"),
        ("overnight_rule", _word("unless cased full length", "not"), "whether a hole may stand overnight"),
        ("overream_min", _LENGTH, "least cut off the wall by overreaming"),
        ("overream_max", _LENGTH, "most cut off the wall by overreaming"),
        ("resound_events", _words(_SOUND_AGAIN_AFTER), "events after which the base is sounded again"),
        ("reclean_rise_trigger", _LENGTH, "rise of sediment since the last passing round that asks for work"),
        ("reclean_on_slurry_fail", _YES_NO, "whether a failed fluid test asks for a new round"),
    ),
    "slurry": (
        ("density_min", _DENSITY, "least density"),
        ("density_max", _DENSITY, "most density"),
        ("viscosity_min", _FUNNEL, "least funnel time"),
        ("viscosity_max", _FUNNEL, "most funnel time"),
        ("viscosity_cup", _VOLUME, "volume that runs out of the funnel while these times are taken"),
        ("ph_min", _ACIDITY, "least pH"),
        ("ph_max", _ACIDITY, "most pH"),
        ("sand_max", _SHARE, "most sand, bulk settled volume in the graduated tube"),
        ("fluid_loss_max", _VOLUME, "most fluid lost in the filter press, 30 min"),
        ("cake_max", _LENGTH, "most filter cake, 30 min"),
        ("gel_min", _GEL, "least gel strength"),
        ("gel_max", _GEL, "most gel strength"),
        ("temp_min_test", ParameterKind("", "", ("temperature",)), "coldest sample that may be tested"),
        ("salt_density_add", _DENSITY, "added to both density limits in salt water"),
        ("product_range", _word(), "product whose range by its maker was entered (polymer)"),
    ),
    "sampling": (
        ("sample_bottom_within", _LENGTH, "most height of the lowest sample above the base"),
        ("sample_interval_max", _LENGTH, "most distance between samples up the hole"),
        ("include_midheight", _YES_NO, "whether a set has a sample at mid-height"),
        ("all_depths_must_pass", _YES_NO, "whether a set passes only when every depth of it passes"),
        ("consecutive_sets", _COUNT, "sets in a row that have to pass"),
        ("initial_sets", _COUNT, "least number of sets in the first hours"),
        ("initial_hours", _HOURS, "how long these first hours are"),
        ("steady_interval", _HOURS, "longest between sets after that"),
        ("stages_required", _words(FluidStage), "stages of the work at which fluid is tested"),
        ("fluid_test_max_age", _HOURS, "longest from the last fluid test to concrete"),
    ),
    "head": (
        ("min_head", _LENGTH, "least fluid level above the reference for head"),
        ("head_reference", _word("piezometric", "groundwater"), "level that head is held against"),
        ("artesian_extra", _LENGTH, "added to the least head where the ground is artesian"),
        ("casing_concrete_head_min", _LENGTH, "least fresh concrete in a casing while it is pulled"),
        ("max_head_gap", _HOURS, "longest between head readings while the hole is open"),
    ),
    "geometry": (
        ("plan_tol", _LENGTH_OR_SHARE, "most plan offset, a length or a share of the diameter"),
        ("plan_tol_rule", _word("fixed", "share of D", "stepped"), "how the plan tolerance is set"),
        ("plumb_tol", _SHARE, "most slope off plumb"),
        ("plumb_tol_rock", _SHARE, "most slope off plumb in rock"),
        ("tip_tol", _LENGTH, "most difference of tip elevation from plan"),
        ("diameter_min", _LENGTH_OR_SHARE, "least diameter, a length or a share of plan"),
        ("socket_len_min", _LENGTH, "least length of socket"),
    ),
    "concrete": (
        ("slump_min_dry", _LENGTH, "least slump, placed dry"),
        ("slump_max_dry", _LENGTH, "most slump, placed dry"),
        ("slump_min_wet", _LENGTH, "least slump, placed by tremie"),
        ("slump_max_wet", _LENGTH, "most slump, placed by tremie"),
        ("workability_hours_min", _HOURS, "least time for which the mix stays workable"),
        ("tremie_embed_min", _LENGTH, "least embedment of the tremie in fresh concrete"),
        ("first_lift_max", _LENGTH, "most lift of the tremie off the base for the first charge"),
        ("tremie_id_min", _LENGTH, "least inside diameter of the tremie"),
        ("volume_over_flag", _SHARE, "placed over theoretical volume that is flagged"),
        ("volume_under_flag", _SHARE, "placed under theoretical volume that is flagged"),
    ),
    "design": (
        (
            "base_requires",
            _words(("clean_verified", "sound_rock_depth_D", "no_voids", "not_karst")),
            "what has to be shown before base resistance is counted",
        ),
        ("sediment_locking_strain", _SHARE, "strain at which sediment locks, as the designer adopted it"),
        ("single_shaft_reduction", _FACTOR, "factor on resistance for a single shaft under a pier"),
        *(
            (f"phi_{part}_{ground}", _FACTOR, f"resistance factor, {part}, {name}")
            for part in ("side", "base")
            for ground, name in (
                ("clay", "clay"),
                ("sand", "sand"),
                ("rock", "rock"),
                ("igm", "intermediate geomaterial"),
            )
        ),
        ("phi_load_test", _FACTOR, "resistance factor, compression with static load test, at most"),
    ),
    "evidence": (
        ("instrument_check_max_age", _HOURS, "oldest check of an instrument, by instrument"),
        ("late_entry_after", _HOURS, "delay between seeing and recording that makes an entry late"),
    ),
    "administration": (
        ("signatures_required", _COUNT, "signatures on a shaft log"),
        ("retention_years", _COUNT, "years that records are kept"),
        ("override_reason_required", _YES_NO, "whether a release against a finding needs a reason"),
        ("release_valid_for", _HOURS, "longest that a release of concrete holds"),
    ),
}

PARAMETERS: Final[dict[str, ParameterKind]] = {
    name: replace(kind, group=group, meaning=meaning)
    for group, each in _GROUPS.items()
    for name, kind, meaning in each
}
