"""The whole log looked through, record by record, in steps: what is damaged in it, in words."""

from collections.abc import Generator
from typing import NamedTuple

from benchcalc.runlog.chain import Head
from benchcalc.runlog.reading import Damage, Records

RECORDS_A_STEP = 20


class Looked(NamedTuple):
    """What was found. ``astray`` when a list beside the records leads to some of them no more."""

    device: str
    head: Head
    whole: int
    damage: tuple[Damage, ...]
    spoilt: tuple[str, ...]
    astray: bool

    @property
    def right(self) -> bool:
        """Whether nothing was found."""
        return not (self.damage or self.spoilt or self.astray)


def looking(records: Records) -> Generator[float, None, Looked]:
    """Look at every record, each list and all work kept; yields how far it has come, 0 to 1."""
    head, whole = records.head(), 0
    for seen, one in enumerate(records.checked(), 1):
        whole += not one.wrong
        if seen % RECORDS_A_STEP == 0:
            yield min(1.0, one.record.sequence / max(head.sequence, 1))
    slots = records.slots()
    for slot in slots or ():
        records.load_work(slot)
        yield 1.0
    astray = slots is None or not records.index_is_right()
    damage = tuple(records.damage)
    return Looked(records.device, head, whole, damage, tuple(sorted(records.spoilt)), astray)


def look(records: Records) -> Looked:
    """The same at once."""
    steps = looking(records)
    while True:
        try:
            next(steps)
        except StopIteration as finished:
            looked: Looked = finished.value
            return looked


def sentences(looked: Looked) -> list[str]:
    """What was found, in words; nothing when all is right."""
    found = [damage.says for damage in looked.damage]
    found += [f"What was kept as {slot!r} cannot be read." for slot in looked.spoilt]
    if looked.astray:
        found.append("A list beside the records is damaged: the panel makes it anew at its start.")
    return found
