"""Small jobs for the core's tests: a 10 mm tube on a die of 25 mm, nothing springing back."""

from benchcalc.core.job import Bender, Job, Line, Material, Run, Segment, Tube, WallRange
from benchcalc.core.springback.first_guess import Springback

STIFF = Springback(0.0, 0.0, 0.0, 0.0, source="measured")
RADIUS_MM = 25.0
START = Line("start", 0.0)
STEEL = Material("steel", (600.0,), (0.21,), 200000.0, 0.3)


def bender(lines: tuple[Line, ...] = (START,)) -> Bender:
    walls = (WallRange("any", 0.5, 2.0),)
    return Bender("bench", 10.0, RADIUS_MM, 180.0, lines, walls=walls)


def job(*segments: Segment, last_leg_mm: float = 100.0) -> Job:
    """A job of these segments with no allowances and no needs of its own."""
    tube = Tube(10.0, 1.0, "steel")
    return Job("test", tube, STEEL, bender(), Run(segments, last_leg_mm))
