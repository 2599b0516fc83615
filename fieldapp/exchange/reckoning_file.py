"""Reads a reckoning file: a TOML file in which a designer asks what a base is worth, without a project.

Strict: every key is known, every quantity is a text with its unit, nothing is guessed.  All problems of
the file are told at once, and nothing is half read.  What is left out is absent, or stands among what
was taken in its place.
"""

from __future__ import annotations

import tomllib
from decimal import Decimal
from typing import Final

from fieldapp.exchange.reckoning import Reckoning, SoundedLayer
from fieldapp.exchange.reckoning_base import read_base
from fieldapp.exchange.reckoning_layer import PARAMETER_KEYS, read_layer, read_maps, read_spread
from fieldapp.exchange.reckoning_limits import FindSet, read_curves, read_fluid, read_limits, read_wanted
from fieldapp.exchange.reckoning_problem import ReckoningFaults
from fieldapp.exchange.reckoning_shaft import read_shaft, side_length_m
from fieldapp.exchange.reckoning_table import Table
from fieldapp.record.words import UnitSystem

MOST_BYTES: Final = 1_000_000
TOP_KEYS: Final = (
    "title",
    "units",
    "base",
    "ground",
    "nominal",
    "shaft",
    "side",
    "factors",
    "sediment",
    "parameters",
    "displacements",
    "limits",
    "wanted",
    "fluid",
)


def read_reckoning(content: bytes | None, name: str, find: FindSet) -> Reckoning:
    """The question that a TOML file asks.

    Parameters
    ----------
    content
        The whole file, UTF-8, at most 1 MB; None for a larger one.
    name
        The file name, for the problems.
    find
        Gives the acceptance set of a name, or raises Impossible.

    Raises
    ------
    ReckoningRefused
        With every problem of the file: key, what was read, what was expected.
    """
    faults = ReckoningFaults(name)
    top = Table(faults, "", _document(content, faults), TOP_KEYS)
    units = top.word("units", tuple(UnitSystem))
    if "units" not in top:
        top.wrong("units", "nothing", '"US" or "SI": the units of the answer')
    read = _read(top, UnitSystem(units or UnitSystem.SI), find)
    faults.refuse_if_any()
    if read is None:
        raise AssertionError("a file without a base was not refused")
    return read


def _document(content: bytes | None, faults: ReckoningFaults) -> dict[str, object]:
    if content is None or len(content) > MOST_BYTES:
        faults.add("", f"more than {MOST_BYTES:,} bytes", f"at most {MOST_BYTES:,} bytes")
        faults.refuse_if_any()
        content = b""
    try:
        text = content.decode("utf-8-sig").replace("\r\n", "\n")
        return dict(tomllib.loads(text, parse_float=Decimal))
    except UnicodeDecodeError as refused:
        faults.add("", f"byte {refused.start} is no UTF-8", "a text file in UTF-8")
    except RecursionError:
        faults.add("", "lists in lists without end", "a TOML file as documented")
    except (ValueError, ArithmeticError) as refused:
        faults.add("", refused, 'a TOML file: lines such as diameter = "1.5 m" under [base]')
    faults.refuse_if_any()
    return {}


def _read(top: Table, units: UnitSystem, find: FindSet) -> Reckoning | None:
    assumed: list[str] = []
    base = read_base(top, side_length_m(top), assumed)
    diameter = None if base is None else float(base.diameter_m)
    shaft = read_shaft(top, diameter, assumed)
    layer = read_layer(top, diameter)
    parameters = top.table("parameters", PARAMETER_KEYS)
    spread = read_spread(parameters, None if base is None else base.modulus_range_mpa, assumed)
    maps = read_maps(parameters, assumed, sounded=isinstance(layer, SoundedLayer))
    curves = read_curves(top, units, assumed)
    limits, wanted, fluid = read_limits(top, find), read_wanted(top), read_fluid(top, assumed)
    if base is None:
        return None
    return Reckoning(
        file=top.faults.file,
        title=top.text("title"),
        units=units,
        base=base,
        shaft=shaft,
        spread=spread,
        layer=layer,
        maps=maps,
        curves=curves,
        limits=limits,
        wanted=wanted,
        fluid=fluid,
        assumed=tuple(assumed),
    )
