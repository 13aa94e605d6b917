"""Trial bends as typed, as recorded, and as what they make of a bender's profile."""

from dataclasses import dataclass, replace
from typing import Any, Literal

from benchcalc.core.job import Bender, Line, Units
from benchcalc.core.springback.calibration import (
    Average,
    Trial,
    TrialResult,
    WidthTrial,
    as_tried,
    measure,
)
from benchcalc.jobfile.shop import Shop
from benchcalc.panel.state.fields import Field, Refused, other_unit, read_length, read_number
from benchcalc.report.told import Number, told

TrialField = Literal["cut", "first", "second", "angle", "mark", "pulled", "width"]
BEND_FIELDS: tuple[TrialField, ...] = ("cut", "first", "second", "angle", "mark", "pulled")
U_FIELDS: tuple[TrialField, ...] = ("width",)
OPTIONAL = ("mark", "pulled")
LENGTHS: tuple[TrialField, ...] = ("cut", "first", "second", "mark", "width")


@dataclass(frozen=True, slots=True)
class Measurements:
    """One trial bend as typed; ``unit`` is that of its lengths. A width makes it a U."""

    cut: str = ""
    first: str = ""
    second: str = ""
    angle: str = ""
    mark: str = ""
    pulled: str = ""
    width: str = ""
    unit: Units = "mm"

    def text(self, field: TrialField) -> str:
        """What is typed in a field."""
        return str(getattr(self, field))

    def in_other_unit(self) -> "Measurements":
        """Every length in the other unit, exact; one that has no such decimal keeps its own."""
        lengths = {f: other_unit(self.text(f), self.unit)[0] for f in LENGTHS if self.text(f)}
        others = {name: self.text(name) for name in (*BEND_FIELDS, *U_FIELDS)}
        return Measurements(**{**others, **lengths}, unit="in" if self.unit == "mm" else "mm")

    @property
    def untouched(self) -> bool:
        """Whether nothing is typed at all."""
        return not any(self.text(name) for name in (*BEND_FIELDS, *U_FIELDS))

    def only(self, fields: tuple[TrialField, ...]) -> "Measurements":
        """The same with nothing but these fields."""
        return Measurements(**{name: self.text(name) for name in fields}, unit=self.unit)

    def with_text(self, field: TrialField, text: str) -> "Measurements":
        """The same with another text in one field."""
        others = {name: self.text(name) for name in (*BEND_FIELDS, *U_FIELDS)}
        return Measurements(**{**others, field: text}, unit=self.unit)


@dataclass(frozen=True, slots=True)
class Trials:
    """The trial screen: what is being typed, and the trials so far, on which bender and tube.

    A bend and a U may both be half typed; ``field`` says which of them is shown.
    """

    typing: Measurements = Measurements()
    field: TrialField = "cut"
    fresh: bool = True
    done: tuple[Measurements, ...] = ()
    bender: str = ""
    od_mm: float = 0.0

    @property
    def fields(self) -> tuple[TrialField, ...]:
        """The fields of the kind of trial that is being typed."""
        return U_FIELDS if self.field in U_FIELDS else BEND_FIELDS


def trial_field(field: TrialField, unit: Units) -> Field:
    """The typed field of a measurement."""
    name = f"trial.{field}"
    if field in ("angle", "pulled"):
        return Field(name, "angle", 0.0, 200.0, over_least=True)
    return Field(name, "length", 0.0, 5000.0, unit, over_least=True)


def line_for(bender: Bender, angle_deg: float) -> Line | None:
    """The line a trial's mark is set to: the one made for its angle."""
    return next((line for line in bender.lines if line.angle_deg == angle_deg), None)


def read_trial(typed: Measurements, bender: Bender, od_mm: float) -> Trial | WidthTrial:
    """A typed trial. Raises Refused for no value, or for a mark without a line."""

    def length(field: TrialField) -> float:
        return float(read_length(trial_field(field, typed.unit), typed.text(field)))

    if typed.width:
        return WidthTrial(length("width"), od_mm)
    cut, first, second = length("cut"), length("first"), length("second")
    angle = read_number(trial_field("angle", typed.unit), typed.angle)
    mark, line = None, line_for(bender, angle)
    if typed.mark:
        if line is None:
            raise Refused(told("trial.no-line", angle=Number(f"{angle:g}")))
        mark = length("mark")
    pulled = read_number(trial_field("pulled", typed.unit), typed.pulled) if typed.pulled else None
    name = line.name if line else ""
    return Trial(cut, first, second, angle, mark, name, pulled)


def measured_of(done: tuple[Measurements, ...], bender: Bender, od_mm: float) -> TrialResult:
    """What the trials so far say. Raises TrialError, Refused."""
    read = [read_trial(typed, bender, od_mm) for typed in done]
    return measure(
        [t for t in read if isinstance(t, Trial)],
        [t for t in read if isinstance(t, WidthTrial)],
        bender.stretch_mm,
    )


def trial_record(bender: Bender, done: tuple[Measurements, ...], od_mm: float) -> dict[str, Any]:
    """The record of a bender's trial bends and what they measured."""
    measured = measured_of(done, bender, od_mm)
    return {
        "form": 1,
        "bender": bender.key,
        "od_mm": od_mm,
        "nominal_radius_mm": bender.radius_mm,
        "trials": [
            {"unit": t.unit, **{f: t.text(f) for f in (*BEND_FIELDS, *U_FIELDS)}} for t in done
        ],
        "radius": _average(measured.radius),
        "lines": {name: _average(line) for name, line in measured.lines},
        "stretch": None if measured.stretch is None else _average(measured.stretch),
    }


def _average(average: Average) -> dict[str, Any]:
    return {
        "mean_mm": average.mean,
        "spread_mm": average.spread,
        "trials": average.trials,
        "within_mm": average.within,
    }


def with_measured_bender(shop: Shop, record: dict[str, Any]) -> Shop:
    """The shop with one bender's profile as its trial bends measured it."""
    benders = tuple(
        as_tried(bender, record) if bender.key == record["bender"] else bender
        for bender in shop.benders
    )
    return replace(shop, benders=benders)
