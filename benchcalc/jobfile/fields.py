"""One mapping of a file, read key by key; what is wrong goes into the report, reading goes on."""

from typing import TypeVar

from benchcalc.jobfile.problems import BadValue, Report, nearest
from benchcalc.jobfile.strict_yaml import Broken, Listing, Node, Scalar, Table
from benchcalc.jobfile.values import Reader

T = TypeVar("T")
D = TypeVar("D")

MOST_HINTS = 100


class Fields:
    """A mapping whose keys are asked for by name.

    ``what`` says in words where the mapping stands (``tube``; empty for the file itself). Every
    key asked for is known; ``close`` refuses the others.
    """

    def __init__(self, table: Table, what: str, report: Report) -> None:
        self.line = table.line
        self.report = report
        self.what = what
        self._entries = table.entries
        self._known: dict[str, None] = {}
        self._missing: list[str] = []

    def named(self, key: str) -> str:
        """The words for one key of this mapping."""
        return f"{self.what} {key}".strip()

    def node(self, key: str) -> Node | None:
        """What stands under a key, None when the key is not there."""
        self._known[key] = None
        entry = self._entries.get(key)
        return entry[1] if entry else None

    def names(self) -> tuple[Scalar, ...]:
        """All keys, as written."""
        return tuple(key for key, _ in self._entries.values())

    def has(self, key: str) -> bool:
        """Whether the key is there."""
        return key in self._entries

    def line_of(self, key: str) -> int:
        """The line of a key, of the whole mapping when the key is not there."""
        entry = self._entries.get(key)
        return entry[0].line if entry else self.line

    def read(self, key: str, reader: Reader[T], default: D) -> T | D:
        """The value of a key; ``default`` when it is not there or was refused."""
        node = self.node(key)
        return default if node is None else self._scalar(key, node, reader, default)

    def need(self, key: str, reader: Reader[T]) -> T | None:
        """The value of a key that must be there; None when it is not, or was refused."""
        if not self.has(key):
            self.miss(key)
            return None
        return self.read(key, reader, None)

    def read_several(self, key: str, reader: Reader[T], most: int) -> tuple[T, ...]:
        """One value or a list of up to ``most``; empty when not there or refused."""
        node = self.node(key)
        if node is None:
            return ()
        items = node.items if isinstance(node, Listing) else (node,)
        if not 1 <= len(items) <= most:
            limit = f"one value or a list of up to {most}"
            self.refuse(key, f"a list of {len(items)}", limit, "write one value")
            return ()
        values = [self._scalar(key, item, reader, None) for item in items]
        good = tuple(value for value in values if value is not None)
        return good if len(good) == len(values) else ()

    def table(self, key: str, needed: bool = False) -> "Fields | None":
        """The mapping under a key."""
        node = self.node(key)
        if node is None and needed:
            self.miss(key)
        if isinstance(node, Table):
            return Fields(node, self.named(key), self.report)
        if node is not None:
            self._wrong_kind(key, node, "a mapping such as {key: value}")
        return None

    def listing(self, key: str, needed: bool = False) -> tuple[Node, ...] | None:
        """The items of the list under a key."""
        node = self.node(key)
        if node is None and needed:
            self.miss(key)
        if isinstance(node, Listing):
            return node.items
        if node is not None:
            self._wrong_kind(key, node, "a list such as [1, 2]")
        return None

    def refuse(self, key: str, value: str, limit: str, todo: str) -> None:
        """Note a problem at a key's line."""
        self.report.add(self.line_of(key), self.named(key), value, limit, todo)

    def miss(self, key: str) -> None:
        """Note that a key must be there and is not; told by ``close``."""
        self._known[key] = None
        self._missing.append(key)

    def close(self) -> None:
        """Refuse every key that nobody asked for, and tell what is missing.

        A missing key that another was probably meant to be is told once, as the misspelt one.
        """
        known = tuple(self._known)
        for key, value in self._entries.values():
            if key.text in self._known:
                continue
            limit, todo = "no such key here", "remove it; known: " + ", ".join(known)
            if isinstance(value, Scalar) and not value.text and key.text.isdigit():
                limit, todo = "a comma parts items here", "write the decimal point, 12.5"
            elif len(self.report.problems) < MOST_HINTS and (hint := nearest(key.text, known)):
                todo = f"did you mean {hint}?"
                self._missing = [missing for missing in self._missing if missing != hint]
            self.report.add(key.line, self.named("key"), key.text, limit, todo)
        for key_text in self._missing:
            self.refuse(key_text, "missing", "must be there", f"write {key_text}:")

    def _scalar(self, key: str, node: Node, reader: Reader[T], default: D) -> T | D:
        if not isinstance(node, Scalar):
            self._wrong_kind(key, node, "a single value")
            return default
        try:
            return reader(node)
        except BadValue as refused:
            self.report.add(node.line, self.named(key), node.text, refused.limit, refused.todo)
            return default

    def _wrong_kind(self, key: str, node: Node, wanted: str) -> None:
        if isinstance(node, Broken):
            return
        value = node.text if isinstance(node, Scalar) else "a list or mapping"
        self.report.add(node.line, self.named(key), value, wanted, "write it so")
