"""Rows as they were typed, beside the job that they are."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from benchcalc.core.job import Job, Measured, Run, Segment, Tube, Units
from benchcalc.panel.state.fields import length_typed, number_typed
from benchcalc.panel.state.model import Draft, Row

if TYPE_CHECKING:
    from benchcalc.core.shapes.named_shapes import Shape


def job_of(
    draft: Draft, segments: tuple[Segment, ...], last_leg_mm: float, measured: Measured | None
) -> Job:
    """A draft as a job; bender, material and wall must have been chosen."""
    if draft.bender is None or draft.material is None or draft.wall_mm is None:
        raise ValueError("a job needs bender, material and wall")
    more = draft.extras
    od = draft.bender.od_mm if draft.od_mm is None else draft.od_mm
    order = more.order if sorted(more.order) == list(range(1, len(segments) + 1)) else ()
    return Job(
        name=draft.name,
        tube=Tube(od, draft.wall_mm, draft.material.key, draft.lot, more.hardness, more.wall_under),
        material=draft.material,
        bender=draft.bender,
        run=Run(segments, last_leg_mm, measured),
        drawing=more.drawing,
        note=more.note,
        operator=more.operator,
        pieces=draft.pieces,
        units=draft.units,
        angles=more.angles,
        measured=more.measured,
        ends=more.ends,
        straight=more.straight,
        slip_on=more.slip_on,
        held=more.held,
        order=order,
        tolerance_deg=more.tolerance_deg,
        fit=more.fit,
        pressure=more.pressure,
        stock_mm=more.stock_mm,
        turn_tolerance_deg=more.turn_tolerance_deg,
        service=more.service,
        outside_mpa=more.outside_mpa,
    )


def rows_of(
    items: "Sequence[Segment | Shape]",
    last_mm: float,
    measured: Measured | None,
    units: Units,
    inside: bool,
) -> tuple[Row, ...]:
    """Segments and shapes, and the last leg, as someone would have typed them."""
    rows = []
    for s in items:
        if not isinstance(s, Segment):
            from benchcalc.panel.state.shape_forms import typed_of

            rows.append(Row(unit=units, shape=typed_of(s, units, inside)))
            continue
        rows.append(
            Row(
                leg=length_typed(s.leg_mm, units),
                bend=number_typed(180.0 - s.angle_deg if inside else s.angle_deg),
                turn=number_typed(s.turn_deg) if s.turn_deg else "",
                unit=units,
                to=s.to,
                measured=s.measured,
                held=s.held,
            )
        )
    return (*rows, Row(leg=length_typed(last_mm, units), unit=units, measured=measured))
