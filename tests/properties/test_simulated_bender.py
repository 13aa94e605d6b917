"""The sheet's instructions, step by step, on a bender that does not know what they are for."""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from benchcalc.core.layout.path import Path
from benchcalc.core.layout.straight_tube import Layout
from benchcalc.core.sheet import Sheet, work_out
from tests.properties.random_jobs import random_job, random_springback
from tests.properties.simulated_bender import (
    TOUCH_MM,
    Array,
    OffAxisError,
    SimulatedBender,
    flatness_mm,
    misfit_mm,
)

RUNS = 600
BATCHES = 6
CLOSE_MM = 1e-6
CHIRAL_MM = 0.5


def random_sheet(seed: int) -> Sheet:
    """A sheet whose springback and radius are exactly what the bench will do."""
    job = random_job(seed, most_bends=8)
    bender = replace(job.bender, finished_radius_mm=None)
    return work_out(replace(job, bender=bender), random_springback(seed))


def stations(layout: Layout) -> list[float]:
    """Where the tube is looked at: ends, pen marks, and points of every straight and arc."""
    at = {0.0, layout.cut_length_mm}
    edges = [0.0, *(x for b in layout.bends for x in (b.start_mm, b.end_mm)), layout.cut_length_mm]
    for low, high in pairwise(edges):
        at.update(low + (high - low) * part / 4 for part in range(5))
    at.update(bend.mark.at_mm for bend in layout.bends if bend.mark)
    return sorted(at)


def bent_by(sheet: Sheet, swap_ways: bool = False) -> SimulatedBender:
    """The tube after every instruction of the sheet."""
    law = sheet.springback
    bench = SimulatedBender(stations(sheet.layout), sheet.job.bender.radius_mm, law.a_deg, law.b)
    if sheet.layout.in_order[0].held == "far":
        bench.lay_end_for_end()
    for bend, turn in zip(sheet.layout.in_order, sheet.turns, strict=True):
        assert bend.mark is not None and turn.bend == bend.number
        if turn.end_for_end:
            bench.lay_end_for_end()
        bench.turn(turn.by_deg, (turn.way == "clockwise") != swap_ways)
        bench.clamp(bend.mark.at_mm, bend.mark.line.offset_mm)
        bench.pull_to(bend.bend_to_deg)
    return bench


def compared(sheet: Sheet, bench: SimulatedBender) -> tuple[Array, Array]:
    """Points of the bent tube and of the drawn one at the same lengths, allowances left out."""
    shift, path = sheet.layout.shift_mm, sheet.path
    length = sum(piece.length_mm for piece in path.pieces)
    along = bench.stations_mm - shift
    inside = (along > -TOUCH_MM) & (along < length + TOUCH_MM)
    drawn = [path_point(path, float(at)) for at in along[inside]]
    return bench.places[inside], np.array(drawn)


def path_point(path: Path, along_mm: float) -> tuple[float, float, float]:
    left = along_mm
    for piece in path.pieces[:-1]:
        if left <= piece.length_mm:
            return piece.at(left)[0]
        left -= piece.length_mm
    return path.pieces[-1].at(left)[0]


@pytest.mark.parametrize("batch", range(BATCHES))
def test_the_sheet_makes_the_tube_of_the_drawing(batch: int) -> None:
    for seed in range(batch, RUNS, BATCHES):
        sheet = random_sheet(seed)
        try:
            bent, drawn = compared(sheet, bent_by(sheet))
        except OffAxisError as problem:
            pytest.fail(f"seed {seed}: {problem}")
        assert misfit_mm(bent, drawn) < CLOSE_MM, f"seed {seed}"


def test_the_mirror_image_and_swapped_hands_are_seen() -> None:
    chiral = 0
    for seed in range(RUNS):
        sheet = random_sheet(seed)
        bent, drawn = compared(sheet, bent_by(sheet))
        flatness = flatness_mm(drawn)
        if flatness < CHIRAL_MM:
            continue
        chiral += 1
        mirrored = drawn * np.array([1.0, 1.0, -1.0])
        assert misfit_mm(bent, mirrored) > flatness, f"seed {seed}: fits its mirror image"
        wrong, _ = compared(sheet, bent_by(sheet, swap_ways=True))
        assert misfit_mm(wrong, drawn) > flatness, f"seed {seed}: swapped hands fit the drawing"
        assert misfit_mm(wrong, mirrored) < CLOSE_MM, f"seed {seed}"
    assert chiral > RUNS // 4


def test_the_random_runs_hold_every_kind() -> None:
    kinds = {"far first": 0, "both ends": 0, "own order": 0, "first turn": 0, "line": 0}
    for seed in range(RUNS):
        sheet = random_sheet(seed)
        bends = sheet.layout.bends
        kinds["far first"] += sheet.layout.in_order[0].held == "far"
        kinds["both ends"] += len({bend.held for bend in bends}) == 2
        kinds["own order"] += list(sheet.layout.in_order) != list(bends)
        kinds["first turn"] += bends[0].turn_deg != 0
        kinds["line"] += any(bend.mark and bend.mark.line.offset_mm for bend in bends)
    assert min(kinds.values()) > RUNS // 5, kinds
