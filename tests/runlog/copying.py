"""Copies made whole, for the tests."""

from collections.abc import Generator
from pathlib import Path
from typing import TypeVar

from benchcalc.runlog.copies.collect import Collected, Learner, collect, copies_in
from benchcalc.runlog.copies.export import Enclosed, Exported, Progress, Source, export
from benchcalc.runlog.copies.media import Disk, Media

Outcome = TypeVar("Outcome")


def finished(steps: Generator[Progress, None, Outcome]) -> Outcome:
    """All steps of a copy."""
    while True:
        try:
            next(steps)
        except StopIteration as stop:
            outcome: Outcome = stop.value
            return outcome


def copied(
    source: Source,
    parent: Path,
    enclosed: Enclosed | None = None,
    after: int = 0,
    media: Media | None = None,
) -> Exported:
    return finished(export(source, parent, media or Disk(), enclosed or Enclosed(), after))


def collected(folders: list[Path], parent: Path, learner: Learner | None = None) -> Collected:
    parent.mkdir(exist_ok=True)
    return finished(collect(copies_in(folders), parent, Disk(), Enclosed(), learner))
