"""Finding the limit that applies to a case in an acceptance set.

Of the parameters with the asked name whose conditions all hold, the one with the most conditions wins;
a tie goes to the one written first.  A case whose fluid, basis or class is not known matches only
parameters that do not ask for it.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, fields, replace
from functools import lru_cache
from typing import Final

from fieldapp.record.acceptance import AcceptanceSet, Applies, Parameter
from fieldapp.record.reading import Reading
from fieldapp.record.setup import ProjectSetup, ShaftScheduled
from fieldapp.record.words import (
    DesignBasis,
    Fluid,
    FluidStage,
    InstrumentType,
    Method,
    Salinity,
    StructureClass,
)

_CONDITIONS: Final = tuple(each.name for each in fields(Applies))


@dataclass(frozen=True, slots=True)
class Case:
    """What a limit is asked for."""

    method: Method | None = None
    fluid: Fluid | None = None
    stage: FluidStage | None = None
    salinity: Salinity | None = None
    design_basis: DesignBasis | None = None
    structure_class: StructureClass | None = None
    instrument: InstrumentType | None = None
    diameter: Reading | None = None

    def at(self, stage: FluidStage) -> Case:
        """The same case at a stage of the work."""
        return replace(self, stage=stage)

    def read_with(self, instrument: InstrumentType) -> Case:
        """The same case for a type of instrument."""
        return replace(self, instrument=instrument)


def case_of(setup: ProjectSetup, shaft: ShaftScheduled) -> Case:
    """The case of a shaft in its project."""
    return Case(
        method=shaft.method,
        fluid=shaft.fluid,
        salinity=setup.salinity,
        design_basis=shaft.design_basis,
        structure_class=setup.structure_class,
        diameter=shaft.diameter,
    )


class _Adopted:
    """The parameters of one acceptance set by name, with what was found for a case.  Sets never change."""

    def __init__(self, accepted: AcceptanceSet) -> None:
        self.accepted = accepted
        self._named: dict[str, list[Parameter]] = defaultdict(list)
        for each in accepted.parameters:
            self._named[each.name].append(each)
        self._cases: dict[Case, CaseLimits] = {}

    def of(self, case: Case) -> CaseLimits:
        if case not in self._cases:
            self._cases[case] = CaseLimits(self._named, case)
        return self._cases[case]


class CaseLimits:
    """The parameters of an acceptance set that apply to one case, by name."""

    def __init__(self, named: Mapping[str, list[Parameter]], case: Case) -> None:
        self._named, self._case = named, case
        self._found: dict[str, Parameter | None] = {}

    def limit(self, name: str) -> Parameter | None:
        """The parameter that applies, or None when the set does not ask for it."""
        if name not in self._found:
            self._found[name] = closest(self._named.get(name, ()), self._case)
        return self._found[name]


@dataclass(frozen=True, slots=True, eq=False)
class _Same:
    """An acceptance set, told from others by what it is and not by what it holds: that is quick to hash."""

    accepted: AcceptanceSet

    def __hash__(self) -> int:
        return id(self.accepted)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Same) and self.accepted is other.accepted


@lru_cache(maxsize=16)
def _adopted(same: _Same) -> _Adopted:
    return _Adopted(same.accepted)


def limit_for(accepted: AcceptanceSet, name: str, case: Case) -> Parameter | None:
    """The parameter ``name`` that applies to the case, or None when the set does not ask for it."""
    return limits_in(accepted, case).limit(name)


def limits_in(accepted: AcceptanceSet, case: Case) -> CaseLimits:
    """All parameters of a set that apply to a case; for who asks for many of them."""
    return _adopted(_Same(accepted)).of(case)


def concerns(parameter: Parameter, case: Case) -> bool:
    """Whether a parameter applies to the case at any stage of the work and with any instrument."""
    return _holds(replace(parameter.applies, stage=(), instrument=()), case)


def closest(parameters: Iterable[Parameter], case: Case) -> Parameter | None:
    """The one of these, all of one name, that applies to the case and has the most conditions, or None."""
    fitting = [each for each in parameters if _holds(each.applies, case)]
    return max(fitting, key=lambda each: _conditions(each.applies), default=None)


def _conditions(applies: Applies) -> int:
    return sum(getattr(applies, name) not in ((), None) for name in _CONDITIONS)


def _holds(applies: Applies, case: Case) -> bool:
    for name in _CONDITIONS:
        asked = getattr(applies, name)
        if isinstance(asked, tuple) and asked and getattr(case, name) not in asked:
            return False
    return _diameter_holds(applies, case.diameter)


def _diameter_holds(applies: Applies, diameter: Reading | None) -> bool:
    least, under = applies.diameter_from, applies.diameter_under
    if least is None and under is None:
        return True
    if diameter is None:
        return False
    return (least is None or diameter.si >= least.si) and (under is None or diameter.si < under.si)
