"""Limits that were adopted and that no rule here holds the record against: said, never dropped.

A limit that the contract brings in is not shown then; those of a preset are listed as not asked.
"""

from __future__ import annotations

from typing import Final

from fieldapp.criteria.finding import Finding, Group, Work
from fieldapp.criteria.limits import concerns
from fieldapp.criteria.look import Look
from fieldapp.criteria.parameters import PARAMETERS
from fieldapp.criteria.phrasing import joined, parameter_name, source_of
from fieldapp.criteria.requirement import Requirement
from fieldapp.record.said import said

WITHOUT_RULE: Final = Requirement(
    "limits without a rule", Group.EVIDENCE, 1, "Every limit of the contract is held against the record."
)
REQUIREMENTS: Final = (WITHOUT_RULE,)

# Known names that no rule reads; a test holds this list against the rules.
NOT_HELD: Final = frozenset(
    {
        "casing_concrete_head_min",
        "first_lift_max",
        "head_reference",
        "measurement_uncertainty",
        "phi_base_clay",
        "phi_base_igm",
        "phi_base_rock",
        "phi_base_sand",
        "phi_load_test",
        "phi_side_clay",
        "phi_side_igm",
        "phi_side_rock",
        "phi_side_sand",
        "retention_years",
        "sediment_locking_strain",
        "single_shaft_reduction",
        "tremie_embed_min",
        "tremie_id_min",
        "volume_over_flag",
        "volume_under_flag",
        "workability_hours_min",
    }
)
# These steer the office and the design; the record of a hole has nothing to hold against them.
ADMINISTRATIVE: Final = frozenset(
    name
    for name, kind in PARAMETERS.items()
    if name in NOT_HELD and (kind.group in {"administration", "design"})
)


def limits_without_a_rule(look: Look) -> Finding:
    """Limits of the acceptance set that this program does not hold the record against."""
    silent = [
        each
        for each in look.setup.acceptance.parameters
        if each.name in NOT_HELD - ADMINISTRATIVE and concerns(each, look.case)
    ]
    contract = [each for each in silent if each.confidence == "contract"]
    names = joined(dict.fromkeys(parameter_name(each.name) for each in contract or silent))
    if contract:
        says = said("Asked by the contract and to be checked by hand: {names}.", names=names)
        return WITHOUT_RULE.not_shown(says, Work.ASK_ENGINEER, source=source_of(*contract))
    if silent:
        return WITHOUT_RULE.not_asked(
            said("In the set and not held by this version; check by hand: {names}.", names=names)
        )
    return WITHOUT_RULE.met(said("Every limit of the set is held against the record."))
