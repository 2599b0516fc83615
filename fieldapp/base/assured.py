"""The share of the base within the limit: as measured, and as assured at the project's confidence.

As measured is what a specification means (nearest-point areas).  As assured comes by two ways that
stand side by side: by counting points, and by maps simulated through the readings.  Neither decides:
rules hold these facts against the requirement, and a point without a reading stays unknown.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np

from fieldapp.base.areas import nearest_point_areas
from fieldapp.base.bounds import COUNTING_CAVEAT, effective_points, weighted_lower_bound
from fieldapp.base.cleanliness import LIMIT, SHARE, Cleanliness, share_within
from fieldapp.base.disk import FloatArray
from fieldapp.base.field_fit import DEFAULT_ASSUMPTIONS, LENGTH_RANGE, MapAssumptions
from fieldapp.base.rectified import chance_within
from fieldapp.base.sediment_map import (
    MAP_CAVEAT,
    Draws,
    NoMap,
    SedimentMap,
    SimulatedMaps,
    Soundings,
    map_of_length,
    sediment_map,
    simulate,
)
from fieldapp.units import Number, Range
