"""The acceptance sets and caution texts that come with the program."""

from __future__ import annotations

import tomllib
from importlib.resources import files
from importlib.resources.abc import Traversable

from fieldapp.criteria.acceptance import acceptance_set
from fieldapp.record.acceptance import AcceptanceSet
from fieldapp.record.reading import Impossible
from fieldapp.record.said import said


def _folder() -> Traversable:
    return files("assets") / "acceptance"


def preset_names() -> tuple[str, ...]:
    """Names of the acceptance sets that a project can adopt and then edit."""
    names = (each.name for each in _folder().iterdir())
    return tuple(sorted(name.removesuffix(".toml") for name in names if name.endswith(".toml")))


def preset(name: str) -> AcceptanceSet:
    """The acceptance set of this name.  Raises Impossible when there is none."""
    if name not in preset_names():
        raise Impossible("acceptance", name, said("one of {names}", names=", ".join(preset_names())))
    return acceptance_set(tomllib.loads((_folder() / f"{name}.toml").read_text("utf-8")))


def cautions(where: str, states: frozenset[str]) -> tuple[str, ...]:
    """The caution texts for a place such as ``shaft log`` or the screen ``sounding``, in their order.

    A text that is for a state only (``hole open``, ``airlift``) stands where that state is among ``states``.
    """
    document = tomllib.loads((files("assets") / "cautions.toml").read_text("utf-8"))
    return tuple(
        str(each["text"])
        for each in document["caution"]
        if where in each["where"] and (not each["when"] or states.intersection(each["when"]))
    )
