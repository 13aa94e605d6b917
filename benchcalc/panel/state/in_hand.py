"""The job in hand worked out with what this bench has been taught."""

from dataclasses import replace
from functools import lru_cache
from typing import Any

from benchcalc.core.job import Tube
from benchcalc.core.sheet import Sheet
from benchcalc.core.springback.first_guess import Springback
from benchcalc.core.springback.gauge import GaugeCheck
from benchcalc.core.springback.learning import Bent, Taught, teach, weights_of
from benchcalc.core.springback.lessons import Subject, gauge_width, key_plain, subject, theory_plain
from benchcalc.panel.state.aiming.under_way import needed
from benchcalc.panel.state.caches import springback_of
from benchcalc.panel.state.draft import DraftSheet, read_draft
from benchcalc.panel.state.making.correcting import sheet_now
from benchcalc.panel.state.model import Draft, Made, Model
from benchcalc.panel.state.trials import Measurements

IN_HAND = -1
"""Stands for the number of a record where there is none yet."""


def subject_of(draft: Draft) -> Subject | None:
    """The tube and bender of a job; None before they are chosen, or when the tube is none."""
    if draft.bender is None or draft.material is None or draft.wall_mm is None:
        return None
    od = draft.bender.od_mm if draft.od_mm is None else draft.od_mm
    if 2 * draft.wall_mm >= od:
        return None
    tube = Tube(od, draft.wall_mm, draft.material.key, draft.lot)
    return subject(tube, draft.bender, draft.material)


def springback_in_hand(model: Model) -> Springback | None:
    """What the layout of the job in hand rests on: as learnt, or as known when it was cut."""
    about, making = subject_of(model.draft), model.work.making
    if making is not None and making.springback is not None:
        return making.springback
    return about and springback_of(model.taught, about.key, about.theory, model.today)


def gauge_in_use(model: Model) -> GaugeCheck | None:
    """What is known of the gauge that angles are read by: the sensor where there is one."""
    return model.taught.gauges.get("protractor" if model.sensor is None else "sensor")


def work_in_hand(model: Model) -> DraftSheet:
    """The job in hand, its layout as it stood when the piece was cut, its pulls as known by now.

    After a piece that missed its port the sheet is that of the run as corrected for the next ones.
    """
    read, making = _as_drawn(model), model.work.making
    if read.sheet is not None:
        gauge = gauge_in_use(model)
        usual = replace(model.settings.widths, gauge_deg=gauge_width(gauge, model.today))
        by_hand = model.taught.gauges.get("protractor")
        over = 0.0 if by_hand is None else by_hand.bias_deg
        read = read._replace(sheet=read.sheet._replace(usual=usual, reads_over_deg=over))
    if read.sheet is None or making is None or making.aim is None:
        return read
    return read._replace(sheet=read.sheet.of(replace(read.sheet.job, run=making.aim.run)))


def _as_drawn(model: Model) -> DraftSheet:
    about, making = subject_of(model.draft), model.work.making
    if about is None:
        return read_draft(model.draft)
    known = springback_in_hand(model)
    if making is None:
        return read_draft(model.draft, known)
    taught = learn_piece(model.taught, about, making.made, model.today)
    live = springback_of(taught, about.key, about.theory, model.today)
    return read_draft(model.draft, known, live)


def piece_in_hand(model: Model) -> Sheet | None:
    """What the rest of the piece is bent by: the job as drawn, or as it was corrected."""
    return shown_in_hand(model).sheet


def shown_in_hand(model: Model) -> DraftSheet:
    """The job in hand as the piece in hand goes by it: corrected, once a correction was taken."""
    read, making = work_in_hand(model), model.work.making
    if read.sheet is None or making is None:
        return read
    sheet = sheet_now(read.sheet, making)
    if making.re_aims:
        sheet = sheet._replace(needed=tuple(needed(read.sheet, making).items()))
    return read._replace(sheet=sheet)


def corrected_in_hand(model: Model) -> bool:
    """Whether the piece in hand goes by something else than the run as it is written."""
    making = model.work.making
    return making is not None and (
        making.aim is not None or any(c.taken for c in making.corrections)
    )


@lru_cache(8)
def learn_piece(taught: Taught, about: Subject, bends: tuple[Made, ...], today: str) -> Taught:
    """What is taught with the bends of the piece in hand, which has no record yet."""
    for made in bends:
        bent = bent_of(made)
        if made.verdict is not None and bent is not None:
            taught = teach(taught, about.key, about.theory, bent, today, IN_HAND, made.number)
    return taught


def counted_in_hand(
    taught: Taught, about: Subject, bends: tuple[Made, ...], today: str
) -> dict[int, float]:
    """How much each bend of the piece in hand counts, all bends judged together, by its number."""
    after = learn_piece(taught, about, bends, today)
    weights = weights_of(after, about.key, about.theory)
    return {number: weight for (place, number), weight in weights.items() if place == IN_HAND}


def bent_of(made: Made) -> Bent | None:
    """The last pull of a bend, when its angle was measured."""
    if not made.pulls or made.pulls[-1].released_deg is None:
        return None
    last = made.pulls[-1]
    return Bent(last.pulled_to_deg, last.released_deg or 0.0, last.by == "sensor")


def trial_lessons(model: Model, done: tuple[Measurements, ...]) -> list[dict[str, Any]]:
    """What trial bends with a noted pull teach about the tube on the bench, as a record has it."""
    about, taught = subject_of(model.draft), model.taught
    if about is None:
        return []
    bends = [
        Bent(float(typed.pulled), float(typed.angle), loaded_read=False)
        for typed in done
        if typed.pulled and typed.angle
    ]
    for number, bent in enumerate(bends):
        taught = teach(taught, about.key, about.theory, bent, model.today, IN_HAND, number)
    weights = weights_of(taught, about.key, about.theory)
    return [
        {
            **key_plain(about.key),
            "theory": theory_plain(about.theory),
            "loaded_deg": bent.loaded_deg,
            "released_deg": bent.released_deg,
            "loaded_read": False,
            "counted": weights[IN_HAND, number],
        }
        for number, bent in enumerate(bends)
    ]
