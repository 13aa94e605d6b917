"""The turn as the panel says and draws it, done on a bender that knows nothing of runs or frames.

Only what a person reads goes in: the words of the turn step and its dial. A mirror image in the
words, the picture or between the two shows as a run that does not fit.
"""

import re
from dataclasses import replace

import pytest

from benchcalc.panel.state.draft import draft_of
from benchcalc.panel.state.in_hand import piece_in_hand
from benchcalc.panel.state.making.steps import begin
from benchcalc.panel.state.model import Model, Work
from benchcalc.report.scene import Picture, Scene, Stroke
from tests.panel.driver import Hands
from tests.panel.journeys import SHOP, by_hand
from tests.properties.random_jobs import random_job
from tests.properties.simulated_bender import SimulatedBender, flatness_mm, misfit_mm
from tests.properties.test_simulated_bender import CHIRAL_MM, compared, stations

RUNS = 60
CLOSE_MM = 0.5
"""Angles are told to a tenth of a degree: a few hundred millimetres away that is some tenths."""


def told(scene: Scene, text: str) -> tuple[float, bool, bool]:
    """What the words of a turn step ask for: degrees, whether clockwise, whether end for end."""
    flip = "end for end" in text.lower()
    figure = re.search(r"^(\d+(?:\.\d)?)°$", text, re.MULTILINE)
    if figure is None:
        assert flip, text
        return 0.0, True, flip
    words = [line for line in text.splitlines() if "seen from the held end" in line]
    clockwise = bool(words) and words[0].startswith("clockwise")
    assert words or "half round" in text, text
    assert drawn_clockwise(scene) is clockwise or not words
    return float(figure.group(1)), clockwise, flip


def drawn_clockwise(scene: Scene) -> bool:
    """Which way the arrow of the dial goes: y grows downwards, so a clock's way is positive."""
    paths = [
        shape.points
        for picture in scene.shapes
        if isinstance(picture, Picture)
        for shape in picture.shapes
        if isinstance(shape, Stroke) and len(shape.points) == 25
    ]
    assert len(paths) == 1
    (x, y), (x1, y1), (x2, y2) = paths[0][0], paths[0][1], paths[0][2]
    return (x1 - x) * (y2 - y1) - (y1 - y) * (x2 - x1) > 0


def bent_by_words(hands: Hands) -> tuple[SimulatedBender, list[str]]:
    """The tube after every turn as it was read from the screen; the rest by the sheet."""
    sheet = piece_in_hand(hands.model)
    assert sheet is not None
    law, texts = sheet.springback, []
    bench = SimulatedBender(stations(sheet.layout), sheet.job.bender.radius_mm, law.a_deg, law.b)
    if sheet.layout.in_order[0].held == "far":
        bench.lay_end_for_end()
    for bend in sheet.layout.in_order:
        while hands.shown not in ("turn", "seat"):
            hands.tap("next")
        if hands.shown == "turn":
            texts.append(hands.text)
            by_deg, clockwise, flip = told(hands.scene, hands.text)
            if flip:
                bench.lay_end_for_end()
            bench.turn(by_deg, clockwise)
        while hands.shown != "check":
            hands.tap("next")
        assert bend.mark is not None
        bench.clamp(bend.mark.at_mm, bend.mark.line.offset_mm)
        bench.pull_to(sheet.pull(bend.number).bend_to_deg)
        hands.type(f"{bend.angle_deg:.4f}", "next")
        if hands.scene.target("take anyway"):
            hands.tap("take anyway")
    return bench, texts


@pytest.mark.parametrize("batch", range(3))
def test_the_run_comes_out_as_drawn_by_the_words_and_the_dial(batch: int) -> None:
    checked = mirrored = 0
    for seed in range(batch * RUNS // 3, (batch + 1) * RUNS // 3):
        job = random_job(seed, most_bends=4)
        job = replace(job, bender=replace(job.bender, finished_radius_mm=None))
        work = Work("make", draft_of(job), making=begin(1))
        hands = by_hand(Hands(Model(SHOP, (1280, 800), work)))
        sheet = piece_in_hand(hands.model)
        if sheet is None or any(bend.mark is None for bend in sheet.layout.bends):
            continue
        if any(not 1 <= bend.angle_deg <= 179 for bend in sheet.layout.bends):
            continue
        bench, texts = bent_by_words(hands)
        made, drawn = compared(sheet, bench)
        assert misfit_mm(made, drawn) < CLOSE_MM, (seed, texts)
        checked += 1
        if flatness_mm(drawn) > 2 * CHIRAL_MM:
            mirror = made * [1.0, 1.0, -1.0]
            mirrored += misfit_mm(mirror, drawn) > CLOSE_MM
    print(f"{checked} runs by words and dial, {mirrored} of them no mirror image of themselves")
    assert checked >= RUNS // 6 and mirrored >= RUNS // 12
