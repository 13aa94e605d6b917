"""The JSON Schema of a job file, made from the table of its fields.

``python -m benchcalc.files.schema`` prints it as it stands in ``assets/job.schema.json``. It
tells an editor which keys there are and what each takes; what fits what is for the reader.

Source: JSON Schema, draft 2020-12, Core and Validation, as implemented by the library jsonschema.
"""

import json
from collections.abc import Callable, Iterable
from typing import Any

from benchcalc.core.shapes.point_list import MOST_POINTS
from benchcalc.core.shapes.ports import ANSWERS
from benchcalc.jobfile.envelope import SHAPES as BODIES
from benchcalc.jobfile.job_fields import (
    BENDER,
    FORMAT,
    JOB,
    LAST_LEG,
    MOST_BENDS,
    ORDER,
    SEGMENT,
    SHAPES,
    VERSION,
)
from benchcalc.jobfile.run import WAYS
from benchcalc.jobfile.table import Field
from benchcalc.jobfile.values import ENDLESS, HARDNESS_SCALES, MOST_TEXT, Span

Schema = dict[str, Any]

DRAFT = "https://json-schema.org/draft/2020-12/schema"
_SOME = {"type": "string", "pattern": "\\S"}
_UNITED = {
    "length": r"^[-+]?[ ]*[0-9.][0-9./ '-]*(\"|mm|in)?$",
    "angle": r"^[-+]?[0-9.]+ *[A-Za-z]+$",
    "pressure": r"^[-+]?[0-9.]+ *[A-Za-z]+$",
    "share": r"^[0-9.]+ *(%|[A-Za-z]+)$",
    "hardness": rf"^[0-9.]+ ?({'|'.join(HARDNESS_SCALES)})$",
}
"""What a quantity with its unit looks like; whether it is one is for the reader to say."""


def job_schema() -> Schema:
    """The schema of a job file."""
    return {
        "$schema": DRAFT,
        "title": "benchcalc job",
        **_mapping(JOB),
        "oneOf": [{"required": [way]} for way in WAYS],
        "$defs": {"place": _three("length"), "direction": _three("number"), "port": _port()},
    }


def schema_text() -> str:
    """The schema as its file holds it."""
    return json.dumps(job_schema(), indent=1, ensure_ascii=False) + "\n"


def _mapping(table: Iterable[Field]) -> Schema:
    fields = tuple(table)
    needed = [field.key for field in fields if field.needed]
    properties = {field.key: {**_value(field), **_told(field)} for field in fields}
    found = {"type": "object", "properties": properties, "additionalProperties": False}
    return found | ({"required": needed} if needed else {})


def _told(field: Field) -> Schema:
    told: Schema = {"description": field.says} if field.says else {}
    if field.default not in (None, ""):
        told["default"] = field.default
    return told


def _value(field: Field) -> Schema:
    """What a field takes: one value, or a list of several."""
    if field is VERSION:
        return {"const": FORMAT}
    if field.kind == "other" or field is ORDER:
        return _OTHERS[field.key]()
    one = _mapping(field.fields) if field.kind == "table" else _one(field)
    if field.most == 1:
        return one
    several = {"type": "array", "items": one, "minItems": 1, "maxItems": field.most}
    return {"anyOf": [one, several]}


def _one(field: Field) -> Schema:
    kind, span = field.kind, field.span or Span(-ENDLESS, ENDLESS)
    if kind == "choice":
        return {"enum": list(field.words)}
    if kind in ("text", "key"):
        most = int(field.span.most) if field.span else MOST_TEXT
        text = {"type": ["string", "number"], "maxLength": most}  # 304 needs no quotes
        return text | ({} if field.empty else {"pattern": "\\S"})
    if kind in ("whole", "number"):
        return {"type": "integer" if kind == "whole" else "number", **_limits(span)}
    if kind == "bend":  # as bent or as included: both lie in a half turn
        span, kind = Span(0, 180), "angle"
    united = {"type": "string", "pattern": _UNITED[kind]}
    if kind not in ("length", "angle"):
        return united
    return {"anyOf": [{"type": "number", **_limits(span)}, united]}


def _limits(span: Span) -> Schema:
    found: Schema = {}
    if span.least != -ENDLESS:
        found["exclusiveMinimum" if span.over else "minimum"] = span.least
    if span.most != ENDLESS:
        found["exclusiveMaximum" if span.under else "maximum"] = span.most
    return found


def _three(kind: Any) -> Schema:
    one = _one(Field("", kind, ""))
    return {"type": "array", "items": one, "minItems": 3, "maxItems": 3}


def _object(needed: tuple[str, ...], **properties: Schema) -> Schema:
    found: Schema = {"type": "object", "properties": properties, "additionalProperties": False}
    return found | {"required": list(needed)}


def _take() -> Schema:
    says = "which of the ways there, the best first"
    return {"type": "integer", "minimum": 1, "maximum": ANSWERS, "default": 1, "description": says}


def _end() -> dict[str, Schema]:
    return {"at": {"$ref": "#/$defs/place"}, "along": {"$ref": "#/$defs/direction"}}


def _port() -> Schema:
    return _object(("at", "along"), **_end())


def _run() -> Schema:
    shapes = [name for name in SHAPES if name != "flat_saddle"]
    ports = _object(("port",), port=_object(("at", "along"), **_end(), take=_take()))
    items = [_mapping(SEGMENT), _mapping(LAST_LEG), ports]
    items += [_object((name,), **{name: _shape(name)}) for name in shapes]
    return {
        "type": "array",
        "items": {"anyOf": items},
        "minItems": 2,
        "maxItems": MOST_BENDS + 1,
    }


def _shape(name: str) -> Schema:
    one = _mapping(SHAPES[name])
    return {"anyOf": [one, _mapping(SHAPES["flat_saddle"])]} if name == "saddle" else one


def _points() -> Schema:
    place = {"$ref": "#/$defs/place"}
    return {"type": "array", "items": place, "minItems": 3, "maxItems": MOST_POINTS}


def _ports() -> Schema:
    port = {"$ref": "#/$defs/port"}
    return _object(("start", "finish"), start=port, finish=port, take=_take())


def _named(one: Schema) -> Schema:
    return {"type": "object", "additionalProperties": one, "minProperties": 1}


def _walls() -> Schema:
    length = _one(Field("", "length", "", Span(0, ENDLESS, over=True)))
    pair = {"type": "array", "items": length, "minItems": 2, "maxItems": 2}
    return {"type": "object", "additionalProperties": pair}


def _envelope() -> Schema:
    part: dict[str, Schema] = {key: {"$ref": "#/$defs/place"} for key in ("from", "to")}
    part |= {key: {"$ref": "#/$defs/place"} for key in ("low", "high")}
    part |= {"radius": _one(Field("", "length", "")), "at": _one(Field("", "length", ""))}
    part["faces"] = {"$ref": "#/$defs/direction"}
    bodies = [_object(keys, **{key: part[key] for key in keys}) for keys in BODIES.values()]
    return _named({"anyOf": bodies})


_OTHERS: dict[str, Callable[[], Schema]] = {
    "order": lambda: {"type": "array", "items": _one(ORDER), "minItems": 1, "maxItems": MOST_BENDS},
    "run": _run,
    "points": _points,
    "ports": _ports,
    "bender": lambda: {"anyOf": [_SOME, _mapping(BENDER)]},
    "lines": lambda: _named(_one(Field("", "length", ""))),
    "walls": _walls,
    "envelope": _envelope,
}
