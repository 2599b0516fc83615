"""Everything that a user's mistake or a full disk can raise, in one place for screens and command line."""

from __future__ import annotations

from typing import Final

from fieldapp.desk.inspector import AskFirst, Refused
from fieldapp.desk.looking import NotOpen
from fieldapp.desk.pictures.refused import PictureRefused
from fieldapp.desk.turning_point import Stopped
from fieldapp.desk.workplace import UnknownShaft
from fieldapp.exchange.bundle.refused import BundleRefused, NotSent
from fieldapp.exchange.plain_problem import PlainLogRefused
from fieldapp.exchange.reckoning_problem import ReckoningRefused
from fieldapp.identity.errors import IdentityProblem
from fieldapp.record.codec import UnknownKind
from fieldapp.record.reading import Impossible
from fieldapp.store.problems import StoreProblem

PROBLEMS: Final = (
    AskFirst,
    Refused,
    Stopped,
    NotOpen,
    UnknownShaft,
    PictureRefused,
    BundleRefused,
    NotSent,
    PlainLogRefused,
    ReckoningRefused,
    IdentityProblem,
    UnknownKind,
    Impossible,
    StoreProblem,
)
