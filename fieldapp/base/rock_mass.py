"""Rock mass: strength and modulus from GSI, factors from core quality (RQD).

Published fits and tables, evaluated as printed; none replaces a test of the rock.  The tables are
interpolated linearly and refuse values outside their rows.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final, Literal, TypeAlias

import numpy as np

from fieldapp.units import Range

Joints: TypeAlias = Literal["closed", "open"]

GSI: Final = Range("geological strength index GSI", "", 0.0, 100.0)
DISTURBANCE: Final = Range("disturbance factor D", "", 0.0, 1.0)
HOEK_MI: Final = Range("Hoek-Brown m_i", "", 1.0, 40.0)
RQD: Final = Range("rock quality designation RQD", "ratio", 0.2, 1.0)
MODULUS_RATIO: Final = Range("modulus ratio E_m/E_i", "", 0.05, 1.0)

_RQD_FACTOR: Final = (0.20, 0.30, 0.50, 0.70, 1.00)
_JOINT_FACTOR: Final[dict[Joints, tuple[float, ...]]] = {
    "closed": (0.45, 0.50, 0.60, 0.85, 1.00),
    "open": (0.45, 0.50, 0.55, 0.55, 0.85),
}
_RQD_MODULUS: Final = (0.20, 0.50, 0.70, 1.00)
_EM_EI: Final[dict[Joints, tuple[float, ...]]] = {
    "closed": (0.05, 0.15, 0.70, 1.00),
    "open": (0.05, 0.10, 0.10, 0.60),
}
_RATIO_ROWS: Final = (0.05, 0.1, 0.3, 0.5, 1.0)
_ALPHA_E: Final = (0.45, 0.55, 0.70, 0.80, 1.00)


@dataclass(frozen=True, slots=True)
class HoekBrown:
    """Hoek-Brown constants of a rock mass, pure numbers."""

    m_b: float
    s: float
    a: float


def hoek_brown(gsi: float, m_i: float, disturbance: float = 0.0) -> HoekBrown:
    """Hoek-Brown constants from GSI (0 to 100), m_i (1 to 40) and D (0 to 1); else OutOfRange.

    m_b = m_i exp[(GSI - 100)/(28 - 14 D)]; s = exp[(GSI - 100)/(9 - 3 D)];
    a = 1/2 + [exp(-GSI/15) - exp(-20/3)]/6.  Hoek, Carranza-Torres & Corkum 2002, second-hand.  D = 0 for
    drilled bases unless loosened (judgment).
    """
    GSI.check(gsi)
    HOEK_MI.check(m_i)
    DISTURBANCE.check(disturbance)
    return HoekBrown(
        m_b=m_i * math.exp((gsi - 100) / (28 - 14 * disturbance)),
        s=math.exp((gsi - 100) / (9 - 3 * disturbance)),
        a=0.5 + (math.exp(-gsi / 15) - math.exp(-20 / 3)) / 6,
    )


def rock_mass_modulus_mpa(gsi: float, disturbance: float = 0.0) -> float:
    """Modulus of the rock mass [MPa] = 1e5 (1 - D/2)/(1 + exp[(75 + 25 D - GSI)/11]).

    GSI 0 to 100, D 0 to 1, else OutOfRange.  Hoek & Diederichs 2006, simplified form; memory: fair.
    """
    GSI.check(gsi)
    DISTURBANCE.check(disturbance)
    return 1e5 * (1 - disturbance / 2) / (1 + math.exp((75 + 25 * disturbance - gsi) / 11))


def joint_factor(rqd: float, joints: Joints) -> float:
    """Reduction of side resistance for joints, from RQD (0.2 to 1, a ratio); else OutOfRange.

    ``open`` also means gouge-filled.  FHWA-NHI-10-016 Table 13-3, read in an extract; linear between rows.
    """
    RQD.check(rqd)
    return float(np.interp(rqd, _RQD_FACTOR, _JOINT_FACTOR[joints]))


def modulus_ratio(rqd: float, joints: Joints) -> float:
    """E_m/E_i, rock mass over intact rock, from RQD (0.2 to 1, a ratio); else OutOfRange.

    AASHTO LRFD 10.4.6.5, memory: fair; linear between rows.
    """
    RQD.check(rqd)
    return float(np.interp(rqd, _RQD_MODULUS, _EM_EI[joints]))


def alpha_e(em_over_ei: float) -> float:
    """Reduction alpha_E of side resistance from E_m/E_i (0.05 to 1); else OutOfRange.

    AASHTO LRFD 10.8.3.5.4b table, memory: fair; linear between rows.  It differs a little from
    joint_factor (0.88 against 0.85 at RQD 70 %, closed joints).
    """
    MODULUS_RATIO.check(em_over_ei)
    return float(np.interp(em_over_ei, _RATIO_ROWS, _ALPHA_E))
