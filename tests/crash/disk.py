"""What may lie on a disk after the power went: everything synced, and any part of the rest.

What a sync promises is kept; a write that no sync followed may be there, be missing, or be torn at
a sector. Names likewise: what the folder's sync did not cover is there as far as some point in its
order. Files keep their old bytes where a write is missing, zeros where there were none.
"""

import random
from dataclasses import dataclass, field
from pathlib import Path

from tests.crash.trace import Act

SECTOR = 512


@dataclass(slots=True)
class Change:
    """A write or a cut that no sync has covered yet; ``data`` None cuts the file off at ``at``."""

    at: int
    data: bytes | None

    def applied(self, content: bytearray, length: int | None = None) -> None:
        """Do it, of a write only the first ``length`` bytes."""
        if self.data is None:
            size = len(content)
            content[self.at :] = b"" if size >= self.at else bytes(self.at - size)
            return
        data = self.data[:length]
        if len(content) < self.at:
            content.extend(bytes(self.at - len(content)))
        content[self.at : self.at + len(data)] = data


@dataclass(slots=True)
class Inode:
    """A file's content as it is synced, and what came after."""

    synced: bytes = b""
    pending: list[Change] = field(default_factory=list)

    def settle(self) -> None:
        """A sync."""
        content = bytearray(self.synced)
        for change in self.pending:
            change.applied(content)
        self.synced, self.pending = bytes(content), []


@dataclass(slots=True)
class Disk:
    """A folder as the processes see it, and as it is promised."""

    names: dict[str, Inode] = field(default_factory=dict)
    synced_names: dict[str, Inode] = field(default_factory=dict)
    renamings: list[dict[str, Inode]] = field(default_factory=list)

    @classmethod
    def of(cls, folder: Path) -> "Disk":
        """A folder as it lies there, all of it synced."""
        found = {p.name: Inode(p.read_bytes()) for p in folder.iterdir()} if folder.exists() else {}
        return cls(dict(found), dict(found))

    def apply(self, act: Act) -> None:
        """One act of the session."""
        if act.doing == "write":
            self.names[act.name].pending.append(Change(act.at, act.data))
        elif act.doing == "truncate":
            self.names[act.name].pending.append(Change(act.at, None))
        elif act.doing == "sync" and act.name:
            self.names[act.name].settle()
        elif act.doing == "sync":
            self.synced_names, self.renamings = dict(self.names), []
        elif act.doing != "told":
            self._rename(act)

    def _rename(self, act: Act) -> None:
        names = dict(self.names)
        if act.doing == "create":
            if act.name in names:
                return
            names[act.name] = Inode()
        elif act.doing == "rename":
            names[act.other] = names.pop(act.name)
        else:
            del names[act.name]
        self.names = names
        self.renamings.append(names)


Files = dict[str, bytes]


def all_there(disk: Disk) -> Files:
    """Only the program was killed: the machine lost nothing."""
    return {name: _content(inode, None) for name, inode in disk.names.items()}


def only_synced(disk: Disk) -> Files:
    """The power went, and nothing but what was promised is there."""
    return {name: inode.synced for name, inode in disk.synced_names.items()}


def last_torn(disk: Disk, dice: random.Random) -> Files:
    """Everything is there but the end of each file's last write."""
    return {name: _content(inode, _torn_last(inode, dice)) for name, inode in disk.names.items()}


def some_lost(disk: Disk, dice: random.Random) -> Files:
    """Of what was not synced some is there, some not, some torn; so with the names."""
    names = dice.choice([disk.synced_names, *disk.renamings])
    return {name: _content(inode, _any(inode, dice)) for name, inode in names.items()}


def _torn_last(inode: Inode, dice: random.Random) -> list[int | None]:
    kept: list[int | None] = [None] * len(inode.pending)
    if kept:
        kept[-1] = _tear(inode.pending[-1], dice)
    return kept


def _any(inode: Inode, dice: random.Random) -> list[int | None]:
    return [dice.choice([None, 0, _tear(change, dice)]) for change in inode.pending]


def _tear(change: Change, dice: random.Random) -> int:
    """How many bytes of a write are there: up to some sector of the disk."""
    data = change.data or b""
    first = -change.at % SECTOR
    cuts: list[int] = [0, *range(first, len(data), SECTOR)]
    return dice.choice(cuts)


def _content(inode: Inode, kept: list[int | None] | None) -> bytes:
    """What is there of a file; ``kept`` says how much of each change, None all of it."""
    content = bytearray(inode.synced)
    for at, change in enumerate(inode.pending):
        length = kept[at] if kept is not None else None
        if length != 0 or change.data is not None or kept is None:
            change.applied(content, length)
    return bytes(content)
