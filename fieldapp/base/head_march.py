"""From the base to the head of a compressible shaft: load and displacement at the head for a base state.

Base first, because there both are known.  An elastic-plastic side is carried exactly, layer by layer;
any other shape in slices.  Works on many base displacements at once.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final, TypeAlias

import numpy as np

from fieldapp.base.disk import DIAMETER, FloatArray
from fieldapp.base.load_transfer import Bar
from fieldapp.base.quantities import CONCRETE_MODULUS
from fieldapp.base.side_curve import Side, SideLayer, sliced

BaseLoad: TypeAlias = Callable[[FloatArray], FloatArray]

SLICES: Final = 400
_CLOSE_ENOUGH: Final = 1e-12
_MOST_STEPS: Final = 200
_NO_SIDE: Final = 1e-9


@dataclass(frozen=True, slots=True)
class ShaftBody:
    """A shaft: diameter [m], side, and modulus of its concrete [MPa, default 30 GPa: 25 to 35, judgment].

    Diameter more than 0 and at most 20 m, modulus more than 0 and at most 1e6 MPa, else OutOfRange.
    """

    diameter_m: float
    side: Side
    concrete_modulus_mpa: float = 30_000.0

    def __post_init__(self) -> None:
        DIAMETER.check(self.diameter_m)
        CONCRETE_MODULUS.check(self.concrete_modulus_mpa)

    @property
    def bar(self) -> Bar:
        """The shaft as a bar."""
        return Bar.of_concrete(self.side.length_m, self.diameter_m, self.concrete_modulus_mpa)


@dataclass(frozen=True, slots=True, eq=False)
class State:
    """Displacement [m] and load [MN] of the shaft at one level, one entry a base displacement."""

    moved_m: FloatArray
    load_mn: FloatArray


def head_state(shaft: ShaftBody, base: State, slices: int | None = None) -> State:
    """State at the head that belongs to a state at the base, shapes (n,).

    With ``slices`` None an elastic-plastic side is carried exactly and any other in 400 slices;
    a number asks for marching.  Displacements of the base must be more than 0.  Mechanics 3.3 (J3).
    """
    if slices is None and shaft.side.shape == "elastic-plastic":
        for layer in reversed(shaft.side.layers):
            base = _through_layer(shaft, layer, base)
        return base
    return _marched(shaft, base, slices or SLICES)


def _marched(shaft: ShaftBody, base: State, slices: int) -> State:
    """Midpoint rule with one corrector: side load from the displacement half-way up the slice."""
    cut = sliced(shaft.side.layers, slices)
    axial, around = shaft.bar.axial_stiffness_mn, math.pi * shaft.diameter_m
    moved, load = base.moved_m, base.load_mn
    rows = zip(cut.height_m, cut.unit_side_mpa * around, cut.full_displacement_m, strict=True)
    for height, side, full in rows:
        half = height / (2 * axial)
        taken = side * height * shaft.side.share_mobilised((moved + load * half) / full)
        middle = moved + (load + taken / 4) * half
        taken = side * height * shaft.side.share_mobilised(middle / full)
        moved = moved + (load + taken / 2) * (2 * half)
        load = load + taken
    return State(moved, load)


def _through_layer(shaft: ShaftBody, layer: SideLayer, below: State) -> State:
    """Exactly through one elastic-plastic layer: elastic up to where w reaches w_s, slipped above.

    Displacement grows upwards.  Elastic: w = w_0 cosh y + b sinh y, y = mu x, b = Q_0/(EA mu); it
    reaches w_s at e^y = [w_s + (w_s^2 - w_0^2 + b^2)^0.5]/(w_0 + b), written here without cancellation.
    """
    axial = shaft.bar.axial_stiffness_mn
    side = layer.unit_side_mpa * math.pi * shaft.diameter_m
    full = layer.full_displacement_m
    moved, load = below.moved_m, below.load_mn
    above = np.full_like(moved, layer.length_m)
    mu = math.sqrt(side / full / axial)
    if mu * layer.length_m > _NO_SIDE:
        b = load / (axial * mu)
        held = np.minimum(moved, full)
        root = np.sqrt((full - held) * (full + held) + b * b)
        reach = np.log1p((full - held) * (1 + (full + held) / (root + b)) / (held + b))
        y = np.minimum(reach, mu * layer.length_m)
        sinh, cosh = np.sinh(y), np.cosh(y)
        moved, load = moved * cosh + b * sinh, load * cosh + axial * mu * moved * sinh
        above = np.where(reach < mu * layer.length_m, np.maximum(layer.length_m - y / mu, 0.0), 0.0)
    shortening = (load * above + side * above**2 / 2) / axial
    return State(moved + shortening, load + side * above)


def base_displacements_m(
    head_of: Callable[[FloatArray], FloatArray], low_m: FloatArray, high_m: FloatArray, head_m: FloatArray
) -> FloatArray:
    """Base displacement at which ``head_of`` gives each head displacement, all shapes (n,).

    The bracket must hold it: head_of(low) <= head <= head_of(high).  False position that halves the end
    which stays (Illinois); it never leaves the bracket.
    """
    below, above = head_of(low_m) - head_m, head_of(high_m) - head_m
    low, high, found = low_m, high_m, high_m
    last = np.zeros(len(head_m))
    for _ in range(_MOST_STEPS):
        span = above - below
        guess = np.where(span > 0, high - above * (high - low) / np.where(span > 0, span, 1.0), high)
        found = np.clip(guess, low, high)
        off = head_of(found) - head_m
        if bool((np.abs(off) <= _CLOSE_ENOUGH * head_m).all()):
            break
        side = np.sign(off)
        again = side == last
        low, high = np.where(off <= 0, found, low), np.where(off >= 0, found, high)
        below = np.where(off <= 0, off, np.where(again, below / 2, below))
        above = np.where(off >= 0, off, np.where(again, above / 2, above))
        last = side
    return found
