"""Every rule that looks at the hole before concrete, in the order in which findings are listed.

Adding a rule means adding its function here and its requirement to its module's ``REQUIREMENTS``.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from typing import Final, TypeAlias

from fieldapp.criteria import (
    adopted_rules,
    attesting_rules,
    base_rules,
    evidence_rules,
    firm_rules,
    fluid_limits,
    fluid_sampling,
    geometry_rules,
    ground_rules,
    head_rules,
    instrument_rules,
    late_rules,
    sounding_rules,
    time_rules,
    water_rules,
)
from fieldapp.criteria.finding import Finding, Group
from fieldapp.criteria.look import Look
from fieldapp.criteria.requirement import Requirement
from fieldapp.record.shaft import ProjectRecord, ShaftRecord

Rule: TypeAlias = Callable[[Look], Finding | tuple[Finding, ...]]

SCHEDULED: Final = Requirement(
    "shaft scheduled", Group.GROUND, 20, "The project is set up and the shaft is scheduled."
)

OPEN_HOLE_RULES: Final[tuple[Rule, ...]] = (
    evidence_rules.base_reached,
    base_rules.area_share,
    base_rules.largest_thickness,
    base_rules.mean_thickness,
    base_rules.flat_cap,
    base_rules.flatness,
    base_rules.rise_since_last_round,
    base_rules.clean_verified,
    ground_rules.void_under_base,
    ground_rules.karst_base,
    ground_rules.open_joint,
    ground_rules.sound_rock,
    head_rules.head_findings,
    water_rules.standing_water,
    water_rules.seepage,
    fluid_limits.limits_adopted,
    fluid_limits.fluid_properties,
    fluid_limits.temperature_of_tests,
    fluid_limits.press_and_gel,
    fluid_sampling.sets_in_a_row,
    fluid_sampling.sampling_depths,
    fluid_sampling.stages_tested,
    fluid_sampling.age_of_last_set,
    fluid_sampling.rate_of_tests,
    time_rules.contact_with_bottom,
    time_rules.sounding_to_concrete,
    time_rules.cleaning_to_concrete,
    time_rules.open_hours,
    time_rules.overnight,
    time_rules.overream_cut,
    sounding_rules.both_depths,
    sounding_rules.enough_points,
    sounding_rules.rim_points,
    sounding_rules.spread,
    firm_rules.firm_at_base,
    sounding_rules.rounds_made,
    instrument_rules.round_instrument,
    instrument_rules.fluid_instruments,
    adopted_rules.limits_without_a_rule,
    evidence_rules.amendments_settled,
    evidence_rules.entries_lost,
    late_rules.late_entries,
    evidence_rules.clocks,
    attesting_rules.revoked_devices_settled,
    geometry_rules.plan_offset,
    geometry_rules.plumbness,
    geometry_rules.tip_elevation,
    geometry_rules.least_diameter,
    geometry_rules.socket_length,
)

OPEN_HOLE_REQUIREMENTS: Final = (
    SCHEDULED,
    *adopted_rules.REQUIREMENTS,
    *evidence_rules.REQUIREMENTS,
    *late_rules.REQUIREMENTS,
    *attesting_rules.REQUIREMENTS,
    *base_rules.REQUIREMENTS,
    *ground_rules.REQUIREMENTS,
    *head_rules.REQUIREMENTS,
    *water_rules.REQUIREMENTS,
    *fluid_limits.REQUIREMENTS,
    *fluid_sampling.REQUIREMENTS,
    *time_rules.REQUIREMENTS,
    *sounding_rules.REQUIREMENTS,
    *firm_rules.REQUIREMENTS,
    *instrument_rules.REQUIREMENTS,
    *geometry_rules.REQUIREMENTS,
)


def look_at(project: ProjectRecord, shaft: ShaftRecord, at: datetime) -> Look | None:
    """The look at a shaft, or None while the project is not set up or the shaft not scheduled."""
    if project.setup is None or shaft.scheduled is None:
        return None
    return Look(project, project.setup.values, shaft, shaft.scheduled, at)


def found_once(rules: tuple[Rule, ...], look: Look) -> tuple[Finding, ...]:
    """Like `apply`, and kept with the look: for one that is asked again at the same moment."""
    return look.once(("found", rules, look.at.isoformat(), look.release), lambda: apply(rules, look))


def apply(rules: tuple[Rule, ...], look: Look) -> tuple[Finding, ...]:
    """Findings of these rules, in their order."""
    found: list[Finding] = []
    for rule in rules:
        made = rule(look)
        found.extend(made if isinstance(made, tuple) else (made,))
    return tuple(found)
