"""Least distances against the solid-geometry kernel's edges and solids, clipped likewise."""

from math import cos, dist, pi, radians
from random import Random

import numpy as np
import pytest
from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox
from OCP.gp import gp_Pnt
from scipy.spatial.transform import Rotation

from benchcalc.core.clearance.bodies import near_body
from benchcalc.core.clearance.distance import SIDE_BY_SIDE, SLACK_MM, _alongside, between_pieces
from benchcalc.core.clearance.self_clearance import nearest_to_itself
from benchcalc.core.geometry.envelope import Block, Capsule, Plane
from benchcalc.core.geometry.vectors import Vector, translate
from benchcalc.core.job import Segment
from benchcalc.core.layout.path import Path, Piece, trace
from benchcalc.core.layout.straight_tube import lay_out
from tests.core.bench_jobs import RADIUS_MM, STIFF, job
from tests.properties.kernel_edges import DEPTH, distance, edge_of, nearest_in_kernel
from tests.properties.random_jobs import random_job, random_springback

ROUNDING_MM = 1e-6
PAIRS, RUNS, SAMPLED = 600, 100, 60


def vector(rng: Random, size: float) -> Vector:
    return (rng.uniform(-size, size), rng.uniform(-size, size), rng.uniform(-size, size))


def random_piece(rng: Random) -> Piece:
    """A straight or an arc of up to half a circle somewhere within a few radii."""
    axes = Rotation.random(rng=np.random.default_rng(rng.randrange(2**32))).as_matrix()
    radius = rng.choice((0.0, rng.uniform(8, 60)))
    length = rng.uniform(0.02, 1) * pi * radius if radius else rng.uniform(0.5, 250)
    t, n = (tuple(float(x) for x in axes[:, column]) for column in (0, 1))
    return Piece(vector(rng, 80), t, n, length, radius, None)  # type: ignore[arg-type]


def random_path(seed: int, most_bends: int = 12) -> Path:
    return trace(lay_out(random_job(seed, most_bends), random_springback(seed)))


def assert_within_bound(ours_mm: float, theirs_mm: float, what: str) -> None:
    """Never nearer than the truth, and at most the proven slack farther."""
    assert -ROUNDING_MM <= ours_mm - theirs_mm <= SLACK_MM + ROUNDING_MM, (
        f"{what}: {ours_mm} for {theirs_mm}"
    )


def test_pairs_of_pieces() -> None:
    kinds = set()
    for seed in range(PAIRS):
        rng = Random(f"pair {seed}")
        one, other = random_piece(rng), random_piece(rng)
        found = between_pieces(one, other)
        assert found is not None
        theirs = distance(edge_of(one), edge_of(other))
        assert_within_bound(found[0] ** 0.5, theirs, f"pair {seed}")
        assert between_pieces(one, other, (theirs - SLACK_MM) ** 2) is None or theirs < SLACK_MM
        kinds.add((bool(one.radius_mm), bool(other.radius_mm)))
    assert len(kinds) == 4


def beside(rng: Random, arc: Piece) -> Piece:
    """An arc that runs nearly along another, one way or the other, as the windings of a coil do."""
    tilt = Rotation.from_rotvec(np.array(vector(rng, radians(rng.choice((0.0, 2.0, 12.0))))))
    sense = rng.choice((1.0, -1.0))
    t, n = (
        tuple(float(x) for x in tilt.apply(np.array(way) * by))
        for way, by in ((arc.direction, sense), (arc.normal, 1.0))
    )
    radius = arc.radius_mm * rng.choice((1.0, rng.uniform(0.9, 1.1)))
    point = translate(arc.point, vector(rng, arc.radius_mm * rng.choice((0.0, 0.1, 0.4))), 1.0)
    length = arc.length_mm * rng.uniform(0.3, 1.0)
    return Piece(point, t, n, length, radius, None)  # type: ignore[arg-type]


def test_arcs_side_by_side() -> None:
    """Here the bound from the whole circle decides, at the ends of the arcs as well as between."""
    close = 0
    for seed in range(PAIRS):
        rng = Random(f"beside {seed}")
        radius = rng.uniform(8, 60)
        arc = Piece(
            (0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), rng.uniform(0.2, 1) * pi * radius,
            radius, None,
        )  # fmt: skip
        other = beside(rng, arc)
        found = between_pieces(arc, other)
        assert found is not None
        theirs = distance(edge_of(arc), edge_of(other))
        assert_within_bound(found[0] ** 0.5, theirs, f"beside {seed}")
        close += _alongside(arc, other).speed < SIDE_BY_SIDE
    assert PAIRS / 2 < close < PAIRS


@pytest.mark.parametrize("shape", ["capsule", "box", "plane"])
def test_pieces_and_bodies(shape: str) -> None:
    inside = 0
    for seed in range(PAIRS // 3):
        rng = Random(f"{shape} {seed}")
        piece, at = random_piece(rng), vector(rng, 60)
        if shape == "capsule":
            to = vector(rng, 60)
            ours = near_body(Capsule("handle", at, to, 5.0))(piece)[0] ** 0.5
            way = np.subtract(to, at)
            size = float(np.linalg.norm(way))
            axis = Piece(at, tuple(way / size), (0.0, 0.0, 0.0), size, 0.0, None)
            theirs = distance(edge_of(piece), edge_of(axis))
        else:
            sizes = (rng.uniform(1, 90), rng.uniform(1, 90), rng.uniform(1, 90))
            if shape == "plane":
                at, sizes = (-1e4, -1e4, -1e4), (2e4, 2e4, 1e4 + at[2])
            high = (at[0] + sizes[0], at[1] + sizes[1], at[2] + sizes[2])
            plane = Plane("bench", (0.0, 0.0, 3.0), high[2])
            body = plane if shape == "plane" else Block("vice", at, high)
            ours = near_body(body)(piece)[0] ** 0.5
            theirs = distance(edge_of(piece), BRepPrimAPI_MakeBox(gp_Pnt(*at), *sizes).Solid())
        inside += theirs == 0
        assert_within_bound(ours, theirs, f"{shape} {seed}")
    assert (inside == 0) == (shape == "capsule")


@pytest.mark.parametrize("batch", range(4))
def test_runs_clipped_likewise(batch: int) -> None:
    """Under 2 R cos the kernel's clipping leaves nothing out; farther tubes are all alike to it."""
    below = 0
    for seed in range(batch, RUNS, 4):
        path = random_path(seed, 8)
        radius = min(piece.radius_mm for piece in path.pieces if piece.radius_mm)
        cap = 2 * radius * cos(DEPTH)
        found = nearest_to_itself(path)
        ours = min(found.distance_mm if found else cap, cap)
        theirs = min(nearest_in_kernel(path), cap)
        below += theirs < cap
        assert_within_bound(ours, theirs, f"seed {seed}")
    assert below >= RUNS // 40


def test_runs_sampled_densely() -> None:
    """All pairs of points 0.5 mm apart on the tube, the border among them."""
    for seed in range(SAMPLED):
        path = random_path(seed, 5)
        found = nearest_to_itself(path)
        sampled = sampled_nearest(path, 0.5)
        if found is None:
            assert sampled is None
            continue
        assert sampled is not None
        assert found.distance_mm - SLACK_MM <= sampled[0], f"seed {seed}"
        assert sampled[0] - found.distance_mm <= sampled[1], f"seed {seed}"


def test_the_border_is_part_of_it() -> None:
    """Gentle runs are nearest to themselves at the border, where the row of pairs is sampled."""
    there = 0
    for seed in range(SAMPLED):
        rng = Random(f"border {seed}")
        segments = [
            Segment(rng.uniform(20, 90), rng.uniform(2, 60), rng.uniform(-180, 180))
            for _ in range(rng.randint(1, 4))
        ]
        path = trace(lay_out(job(*segments, last_leg_mm=60), STIFF))
        if min(piece.length_mm for piece in path.pieces) < 0:
            continue
        found = nearest_to_itself(path)
        assert found is not None
        apart, length = pi * RADIUS_MM, sum(piece.length_mm for piece in path.pieces)
        starts = np.arange(0, length - apart, 0.05)
        sampled = min(dist(point_at(path, s), point_at(path, s + apart)) for s in starts)
        assert found.distance_mm <= sampled + SLACK_MM, f"seed {seed}"
        there += found.second.at_mm - found.first.at_mm < apart + 1e-6
        if found.second.at_mm - found.first.at_mm < apart + 1e-6:
            assert sampled <= found.distance_mm + 0.001, f"seed {seed}"
    assert there > SAMPLED // 3


def sampled_nearest(path: Path, step_mm: float) -> tuple[float, float] | None:
    """The least of all sampled distances, and how much over the truth it can be."""
    radius = min(piece.radius_mm for piece in path.pieces if piece.radius_mm)
    length = sum(piece.length_mm for piece in path.pieces)
    if length <= pi * radius:
        return None
    count = int((length - pi * radius) / step_mm) + 2
    translate = np.linspace(0, length - pi * radius, count)
    first = np.array([point_at(path, float(s)) for s in translate])
    second = np.array([point_at(path, float(s) + pi * radius) for s in translate])
    best = min(
        float(np.linalg.norm(second[i:] - first[i], axis=1).min()) for i in range(len(translate))
    )
    # Each of the two points is at most half a step away, and moves no faster than it is carried.
    return best, (translate[1] - translate[0]) * 1.01


def point_at(path: Path, along_mm: float) -> Vector:
    for piece in path.pieces[:-1]:
        if along_mm <= piece.length_mm:
            return piece.at(along_mm)[0]
        along_mm -= piece.length_mm
    return path.pieces[-1].at(along_mm)[0]
