"""The conditions under which a base or side resistance may be counted, held against what is known.

Each is a fact of three values: it holds, it does not, or it is not shown.  Nothing here decides; an
unknown never counts as holding.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from fieldapp.units import Range, show

_DIAMETER: Final = Range("base diameter", "m", 0.0, 20.0, open_below=True)
_DEPTH: Final = Range("depth below the base", "m", 0.0, 300.0)


@dataclass(frozen=True, slots=True)
class Condition:
    """One condition: ``holds`` is True, False or None (not shown); ``says`` gives the reason."""

    name: str
    holds: bool | None
    says: str


@dataclass(frozen=True, slots=True)
class BaseEvidence:
    """What is known of one base; None is unknown.

    ``sound_rock_m`` is the depth below the base to which the rock was shown sound, ``weak_at_m`` the
    depth at which a void or soft seam was met, both 0 to 300 m, else OutOfRange.
    """

    diameter_m: float
    void: bool | None = None
    karst: bool | None = None
    base_clean: bool | None = None
    tightly_jointed: bool | None = None
    sound_rock_m: float | None = None
    weak_at_m: float | None = None
    socket_length_m: float | None = None

    def __post_init__(self) -> None:
        _DIAMETER.check(self.diameter_m)
        depths = (self.sound_rock_m, self.weak_at_m, self.socket_length_m)
        _DEPTH.check(*(depth for depth in depths if depth is not None))


def usable(conditions: Sequence[Condition]) -> bool | None:
    """Whether all conditions hold: False when one does not, None when one is not shown."""
    held = [condition.holds for condition in conditions]
    if False in held:
        return False
    return None if None in held else True


def any_base_conditions(evidence: BaseEvidence) -> tuple[Condition, ...]:
    """What every base resistance asks: no void, a clean base, no karst left unlooked at.

    UFC 3-220-20, 6-5.4.6 and 6-5.4.6.2, read in transcription: no voids, the base can be cleaned, in
    karst side resistance only.
    """
    return (
        _absent("no void below the base", evidence.void, "A void under the base was seen"),
        _absent(
            "no karst",
            evidence.karst,
            "The ground is karst; UFC 3-220-20 counts side resistance only there",
        ),
        _present("clean base verified", evidence.base_clean, "The base was not clean"),
    )


def intact_rock_conditions(evidence: BaseEvidence) -> tuple[Condition, ...]:
    """What q = 2.5 q_u asks beside that; the two documents differ and both are kept.

    UFC 3-220-20, Eq. 6-36 (read in transcription): massive or tightly jointed for 1 diameter below the
    base.  AASHTO LRFD 10.8.3.5.4c (memory: fair): for 2 diameters, and a socket longer than 1.5 diameters.
    """
    return (
        *any_base_conditions(evidence),
        _present("tightly jointed", evidence.tightly_jointed, "Joints are open, filled or not tight"),
        _sound_rock(evidence, 1.0, "UFC 3-220-20"),
        _sound_rock(evidence, 2.0, "AASHTO LRFD 10.8.3.5.4c"),
        _socket(evidence),
    )


def _absent(name: str, seen: bool | None, when_seen: str) -> Condition:
    if seen is None:
        return Condition(name, None, f"Not shown: {name}.")
    return Condition(name, not seen, f"{when_seen}." if seen else f"Shown: {name}.")


def _present(name: str, seen: bool | None, when_not: str) -> Condition:
    if seen is None:
        return Condition(name, None, f"Not shown: {name}.")
    return Condition(name, seen, f"Shown: {name}." if seen else f"{when_not}.")


def _sound_rock(evidence: BaseEvidence, diameters: float, document: str) -> Condition:
    asked_m = diameters * evidence.diameter_m
    name = f"sound rock to {diameters:g} diameters"
    asks = f"{document} asks for {show(asked_m, 'm', 2)}"
    if evidence.weak_at_m is not None and evidence.weak_at_m < asked_m:
        return Condition(name, False, f"Weak rock at {show(evidence.weak_at_m, 'm', 2)}; {asks}.")
    if evidence.sound_rock_m is None:
        return Condition(name, None, f"No depth of sound rock is known; {asks}.")
    shown = f"Sound rock shown to {show(evidence.sound_rock_m, 'm', 2)}"
    return Condition(name, True if evidence.sound_rock_m >= asked_m else None, f"{shown}; {asks}.")


def _socket(evidence: BaseEvidence) -> Condition:
    name, asked_m = "socket over 1.5 diameters", 1.5 * evidence.diameter_m
    asks = f"AASHTO LRFD 10.8.3.5.4c asks for more than {show(asked_m, 'm', 2)}"
    if evidence.socket_length_m is None:
        return Condition(name, None, f"The length of the socket is not known; {asks}.")
    long = evidence.socket_length_m > asked_m
    return Condition(name, long, f"The socket is {show(evidence.socket_length_m, 'm', 2)} long; {asks}.")
