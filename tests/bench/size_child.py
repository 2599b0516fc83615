"""The process that `bench_size` starts for one size; what it measured goes to its last line as JSON.

Arguments: a folder, the number of shafts, and of entries; then words, if only steps with one of them in
their names are to be measured in a folder that was made before.  Times are of the processor, memory is the
most that was resident after each step, in MB.
"""

from __future__ import annotations

import json
import os
import resource
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

from fieldapp.desk.board import board
from fieldapp.desk.inspector import Saying, record_entry
from fieldapp.desk.office import begin_project
from fieldapp.desk.papers.logs import write_shaft_log
from fieldapp.desk.papers.summary import write_summary
from fieldapp.desk.shaft.view import shaft_view
from fieldapp.desk.travel.arriving import NewFolder, begin_from_bundle
from fieldapp.desk.travel.sending import Asked, make_bundle
from fieldapp.desk.travel.verifying import verify_bundle
from fieldapp.desk.trust.audit import audit
from fieldapp.desk.workplace import open_project
from fieldapp.exchange.bundle.refused import NotSent
from fieldapp.record.hole import Note
from fieldapp.record.setup import Instrument
from fieldapp.record.words import InstrumentType
from fieldapp.store.rows import open_once
from tests.bench.many_entries import entries
from tests.support.journals import ENGINEER, INSPECTOR

TAPE = Instrument("tape 1", InstrumentType.TAPE, passed=True, check="against a steel tape")

told: dict[str, tuple[float, float]] = {}


def timed(what: str, job: Callable[[], Any]) -> None:
    if sys.argv[4:] and not any(each in what for each in sys.argv[4:]):
        return
    open_once.cache_clear()  # each step begins as after opening
    began_s = time.process_time()
    try:
        job()
    except NotSent as problem:
        sys.stderr.write(f"{problem}\n")
    most_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    told[what] = (time.process_time() - began_s, most_mb)
    sys.stderr.write(f"{what}: {told[what][0]:.2f} s, {most_mb:.0f} MB\n")


def main() -> None:
    folder, shafts, count = Path(sys.argv[1]), int(sys.argv[2]), int(sys.argv[3])
    os.environ["XDG_CONFIG_HOME"] = str(folder / "home")
    project, made, bundle = folder / "project", folder / "made", folder / "out.bundle.zip"
    if not made.exists():  # in a process of its own, so that its memory does not count
        begin_project(project)
        with open_project(project, device="office 2") as place:
            place.writer().receive(each.sealed for each in entries(count, shafts))
        made.touch()
        return
    timed("board", lambda: board(project))
    with open_project(project, device="office 2") as place:
        timed("opened for work", place.record)
        timed("one shaft shown", lambda: shaft_view(place, "Q7", None))
        timed("one entry recorded", lambda: record_entry(place, Saying("Q7", Note("x"), INSPECTOR)))
        timed("one instrument checked", lambda: record_entry(place, Saying(None, TAPE, INSPECTOR)))
        timed("one log written", lambda: write_shaft_log(place, "Q7", place.now(), INSPECTOR))
        timed("read tables rebuilt", lambda: place.writer().bring_up_to_date(always=True))
        timed("bundle written", lambda: make_bundle(place, bundle, Asked(ENGINEER)))
        timed("summary written", lambda: write_summary(place, place.now(), "bench"))
    timed("checked", lambda: audit(project))
    if bundle.exists():
        timed("bundle verified", lambda: verify_bundle(bundle))
        new = NewFolder(folder / "arrived", device="tablet 9")
        timed("bundle taken in on a new device", lambda: begin_from_bundle(new, bundle))
        bundle.unlink()
    sys.stdout.write(json.dumps(told) + "\n")


if __name__ == "__main__":
    main()
