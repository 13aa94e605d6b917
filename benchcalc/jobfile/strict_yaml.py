"""YAML read strictly, into plain nodes that know their line; nothing is resolved or constructed.

A plain scalar stays the text it was written as: each field decides what it takes. Whatever YAML
readers disagree about or use to hide things (aliases, anchors, tags, duplicate and merge keys,
several documents, directives) is refused. The only file that imports yaml.
"""

import re
from collections.abc import Iterator
from typing import Any, NamedTuple

import yaml

from benchcalc.jobfile.problems import Report

MOST_BYTES = 256 * 1024
MOST_DEPTH = 20

_LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_CORE = "tag:yaml.org,2002:"
_CONTROL = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f]")
_BOOLEAN = "YAML readers take it for true or false"
_WORDS = dict.fromkeys(("y", "yes", "n", "no", "on", "off", "true", "false"), _BOOLEAN)
_WORDS["null"] = "YAML readers take it for nothing"
_NUMBERLIKE = (
    (r"~", "YAML readers take it for nothing"),
    (r"[-+]?[0-9][0-9_]*(?::[0-9][0-9_.]*)+", "YAML 1.1 readers count it in sixties"),
    (r"[-+]?0[0-9_]+(?:\.[0-9_]*)?", "YAML 1.1 readers take the leading zero for octal"),
    (r"[-+]?0[xXbBoO][0-9a-fA-F_]+", "YAML readers take it for hexadecimal, octal or binary"),
    (r"[-+]?[0-9]+_[0-9_]*(?:\.[0-9_]*)?", "YAML 1.1 readers drop the underscore"),
    (r"[-+]?(?:\.[0-9]+|[0-9]+(?:\.[0-9]*)?)[eE][-+]?[0-9]+", "it is a number with exponent"),
    (r"[-+]?\.(?:inf|Inf|INF)", "YAML readers take it for infinity"),
    (r"\.(?:nan|NaN|NAN)", "YAML readers take it for not-a-number"),
    (r"[0-9]{4}-[0-9]{1,2}-[0-9]{1,2}(?:[Tt ].*)?", "YAML 1.1 readers take it for a date"),
    (r"=|<<", "YAML 1.1 readers give it a meaning of its own"),
)


class Scalar(NamedTuple):
    """One value as it was written. ``quoted`` holds for block texts too."""

    line: int
    text: str
    quoted: bool


class Listing(NamedTuple):
    """A sequence of nodes."""

    line: int
    items: tuple["Node", ...]


class Table(NamedTuple):
    """A mapping: each key's own scalar and its node, by the key's text."""

    line: int
    entries: dict[str, tuple[Scalar, "Node"]]


class Broken(NamedTuple):
    """What stood here is already in the report."""

    line: int


Node = Scalar | Listing | Table | Broken


def surprise(text: str) -> str | None:
    """Why an unquoted text would mean something else to some YAML reader; None when to none."""
    if text[:1].isalpha():
        return _WORDS.get(text.lower())
    # Compiled here because few files need it: the patterns would cost every start their time.
    return next((why for pattern, why in _NUMBERLIKE if re.fullmatch(pattern, text)), None)


def unreadable(text: str) -> re.Match[str] | None:
    """The first character YAML does not call printable, or a line end that no editor shows."""
    if text.isascii():
        return _CONTROL.search(text)
    ranges = "\t\n\r -~\xa0-\u2027\u202a-\ud7ff\ue000-\ufefe\uff00-\ufffd\U00010000-\U0010ffff"
    return re.search(f"[^{ranges}]", text)


def read_table(data: bytes, report: Report) -> Table:
    """The mapping that is the whole of ``data``.

    What is wrong and leaves the rest readable goes into ``report``; raises BadFile, with all that
    was found, when nothing can be made of the file.
    """
    text = _decoded(data, report)
    builder = _Builder(text, report)
    try:
        root = builder.document()
    except yaml.MarkedYAMLError as error:
        said = " ".join(filter(None, (error.context, error.problem)))
        report.add(_line_of(error), "file", said, "not YAML", "mend this line")
        report.refuse()
    except (yaml.YAMLError, ValueError, OverflowError) as error:
        report.add(1, "file", str(error), "not YAML", "mend the file")
        report.refuse()
    if not isinstance(root, Table):
        if not isinstance(root, Broken):
            report.add(root.line, "file", "no key at all", "keys and values", "write key: value")
        report.refuse()
    return root


def _line_of(error: yaml.MarkedYAMLError) -> int:
    """The line to mend: where a quote or bracket was opened, if it is one never closed."""
    opened = error.context and ("quoted" in error.context or "flow" in error.context)
    mark = error.context_mark if opened else error.problem_mark or error.context_mark
    return mark.line + 1 if mark else 1


def _decoded(data: bytes, report: Report) -> str:
    if len(data) > MOST_BYTES:
        size = f"over {MOST_BYTES // 1024} KiB"
        report.add(1, "file", size, "at most 256 KiB", "check that it is the right file")
        report.refuse()
    try:
        text = data.decode("utf-8").removeprefix("\ufeff")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        shown = f"byte {data[error.start]:02X} hex"
        report.add(line, "file", shown, "text in UTF-8 only", "save the file as UTF-8")
        report.refuse()
    if found := unreadable(text):
        line = text.count("\n", 0, found.start()) + 1
        shown = f"character {ord(found[0]):04X} hex"
        report.add(line, "file", shown, "readable text only", "remove it")
        report.refuse()
    return text


class _Builder:
    """Turns parser events into nodes; stops at nesting no honest file has."""

    def __init__(self, text: str, report: Report) -> None:
        self._events: Iterator[Any] = yaml.parse(text, Loader=_LOADER)
        self._report = report

    def document(self) -> Node:
        """The only document of the stream."""
        next(self._events)
        event = next(self._events)
        if isinstance(event, yaml.StreamEndEvent):
            self._add(1, "file", "empty", "keys and values", "write the file")
            return Broken(1)
        if event.version or event.tags:
            line = event.start_mark.line + 1
            self._add(line, "file", "a % line", "no directives", "remove it")
        root = self._node(next(self._events), 0)
        next(self._events)
        after = next(self._events)
        if not isinstance(after, yaml.StreamEndEvent):
            line = after.start_mark.line + 1
            self._add(line, "file", "a second document", "one a file", "remove the --- line")
            self._report.refuse()
        return root

    def _add(self, line: int, what: str, value: str, limit: str, todo: str) -> None:
        self._report.add(line, what, value, limit, todo)

    def _node(self, event: Any, depth: int) -> Node:
        line = event.start_mark.line + 1
        if depth > MOST_DEPTH:
            limit = f"at most {MOST_DEPTH} levels"
            self._add(line, "file", "nested too deeply", limit, "write it flat")
            self._report.refuse()
        if isinstance(event, yaml.AliasEvent):
            self._add(line, "alias", f"*{event.anchor}", "no aliases", "write the value out")
            return Broken(line)
        if event.anchor:
            self._add(line, "anchor", f"&{event.anchor}", "no anchors", "remove it")
        if event.tag:
            self._add(line, "tag", event.tag.replace(_CORE, "!!"), "no tags", "remove it")
        if isinstance(event, yaml.ScalarEvent):
            return self._scalar(event, line)
        if isinstance(event, yaml.SequenceStartEvent):
            return Listing(line, tuple(self._node(e, depth + 1) for e in self._until_end()))
        return Table(line, self._entries(depth))

    def _until_end(self) -> Iterator[Any]:
        while not isinstance(event := next(self._events), yaml.CollectionEndEvent):
            yield event

    def _scalar(self, event: Any, line: int) -> Node:
        # Block texts end in line ends that nobody typed as part of the value.
        text = event.value.rstrip("\n") if event.style in ("|", ">") else event.value
        if found := unreadable(text):
            shown = f"character {ord(found[0]):04X} hex"
            self._add(line, "file", shown, "readable text only", "remove the escape")
            return Broken(line)
        return Scalar(line, text, event.style is not None and event.style != "")

    def _entries(self, depth: int) -> dict[str, tuple[Scalar, Node]]:
        entries: dict[str, tuple[Scalar, Node]] = {}
        for event in self._until_end():
            key = self._node(event, depth + 1)
            value = self._node(next(self._events), depth + 1)
            if isinstance(key, Scalar):
                self._enter(entries, key, value)
            elif not isinstance(key, Broken):
                self._add(key.line, "key", "a list or mapping", "a word", "write a plain key")
        return entries

    def _enter(self, entries: dict[str, tuple[Scalar, Node]], key: Scalar, value: Node) -> None:
        if key.text == "<<":
            self._add(key.line, "key", "<<", "no merge keys", "write the keys out")
        elif key.text in entries:
            first = entries[key.text][0].line
            limit = f"already written on line {first}"
            self._add(key.line, key.text, "written twice", limit, "remove one of the two")
        else:
            entries[key.text] = (key, value)
