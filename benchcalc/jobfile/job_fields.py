"""The fields of a job file and of what stands in it, in the order in which they are written."""

from typing import get_args

from benchcalc.core.job import Angles, End, Fit, Measured, Temper, To, Units
from benchcalc.jobfile.table import Field
from benchcalc.jobfile.values import ENDLESS, Span

FORMAT = 1
MOST_BENDS = 200
OVER_ZERO = Span(0, ENDLESS, over=True)
FROM_ZERO = Span(0, ENDLESS)
ONE = Span(0, 1, over=True)
STRESS = Span(0, 10_000, over=True)
TURN = Span(-360, 360)
TRAVEL = Span(0, 270, over=True)
UNDER = Span(0, 0.5)
PART = Span(0, 20)
MEASURED: tuple[str, ...] = get_args(Measured)
ENDS: tuple[str, ...] = get_args(End)

BENDER = (
    Field("od", "length", "the outside diameter that the die is for", OVER_ZERO, needed=True),
    Field("radius", "length", "the die's centreline radius", OVER_ZERO, needed=True),
    Field("finished_radius", "length", "the radius of a finished bend, measured", OVER_ZERO),
    Field("max_angle", "angle", "how far the bender can pull, under load", TRAVEL, needed=True),
    Field("grip", "length", "straight needed on the held side", FROM_ZERO, 0.0),
    Field("free", "length", "straight needed on the free side", FROM_ZERO, 0.0),
    Field("between", "length", "straight needed between two bends", FROM_ZERO, 0.0),
    Field("lines", "other", "the bender's lines by name: how far each lies from the start of bend "
          "along the free side", needed=True),
    Field("walls", "other", "the walls it takes, least and most, by material or any"),
    Field("scale", "table", "the bender's own degree scale", fields=(
        Field("step", "angle", "its graduation", Span(0, 15, over=True), 1.0),
        Field("zero", "angle", "what it reads at a true zero", Span(-45, 45), 0.0),
    )),
    Field("re_set", "angle", "the angle at which the handle is set back in a long bend", TRAVEL),
    Field("stretch", "length", "how much longer a bend of 90 makes the tube's middle line",
          FROM_ZERO, 0.0),
    Field("parts", "table", "what this bender calls its parts", fields=(
        Field("clamp", "text", "what holds the tube", PART, ""),
    )),
    Field("source", "text", "where the figures come from", default="", most=20),
    Field("envelope", "other", "bodies about the die that a swinging tube could meet, by name"),
)  # fmt: skip

BENDER_OF_A_FILE = tuple(
    field._replace(needed=True) if field.key == "source" else field for field in BENDER
)

MATERIAL = (
    Field("k", "pressure", "K of stress = K strain^n, or a pair that spans what is published",
          Span(1, 10_000), needed=True, most=2),
    Field("n", "number", "n of stress = K strain^n, as many as K", Span(0, 1, under=True),
          needed=True, most=2),
    Field("e", "pressure", "the modulus of elasticity", Span(1000, 1_000_000), needed=True),
    Field("elongation", "share", "elongation at break", Span(0, 2, over=True), needed=True),
    Field("hardness_max", "hardness", "the most that annealed tube may have", most=5),
    Field("wall_under", "share", "how much under nominal the wall may be", UNDER),
    Field("temper", "choice", "the state that these figures are of", default="annealed",
          words=get_args(Temper)),
    Field("source", "text", "where the figures come from", needed=True, most=20),
)  # fmt: skip

TUBE = (
    Field("od", "length", "outside diameter", OVER_ZERO, needed=True),
    Field("wall", "length", "nominal wall", OVER_ZERO, needed=True),
    Field("material", "key", "a key of materials.yaml", needed=True),
    Field("lot", "text", "the heat or lot on its certificate", default="", empty=True),
    Field("hardness", "hardness", "hardness on its certificate"),
    Field("wall_under", "share", "how much under nominal the wall may be", UNDER),
)  # fmt: skip

LEG = Field("leg", "length", "from corner to corner, or to a crown", OVER_ZERO, needed=True)
BEND = Field(
    "bend", "bend", "the bend at the end of the leg", Span(0, 180, over=True), needed=True,
    attr="angle_deg",
)  # fmt: skip
TURN_BEFORE = Field("turn", "angle", "how far the bend is turned from the one before", TURN, 0.0)
LEG_MEASURED = Field("measured", "choice", "how this leg is measured", words=MEASURED)
SEGMENT = (
    LEG,
    BEND,
    TURN_BEFORE,
    Field("to", "choice", "what the legs beside it are measured to", words=get_args(To)),
    LEG_MEASURED,
    Field("held", "choice", "the end on the held side", words=ENDS),
)
LAST_LEG = (LEG, LEG_MEASURED)

_SLOPE = Field("angle", "bend", "of its bends", Span(0, 90, over=True), needed=True)
_ANY_BEND = _SLOPE._replace(span=Span(0, 180, over=True, under=True))
_SIZE = Field("", "length", "", OVER_ZERO, needed=True)
_TO_SHAPE = _SIZE._replace(key="leg", says="to the corner of its first bend")
_CENTRE = _SIZE._replace(key="centre", says="to its middle")
_HEIGHT = _SIZE._replace(key="height", says="how far it sets the tube over")
SHAPES = {
    "offset": (_TO_SHAPE, _HEIGHT, _SLOPE, TURN_BEFORE),
    "rolling_offset": (
        _TO_SHAPE,
        Field("rise", "length", "how far over in the plane of the turn", needed=True),
        Field("roll", "length", "how far over square to it", needed=True),
        _SLOPE,
        TURN_BEFORE,
    ),
    "saddle": (_CENTRE, _HEIGHT, _ANY_BEND, TURN_BEFORE),
    "flat_saddle": (
        _CENTRE, _HEIGHT, _SLOPE, _SIZE._replace(key="flat", says="length of its flat top"),
        TURN_BEFORE,
    ),
    "u": (_TO_SHAPE, _SIZE._replace(key="width", says="between its two legs"), TURN_BEFORE),
}  # fmt: skip
"""The fields of each shape; a saddle with ``flat`` is a flat saddle, written as ``saddle``."""

PARALLEL = (
    Field("spacing", "length", "between the centrelines of the two tubes", OVER_ZERO, needed=True),
    Field("side", "angle", "on which side it lies", TURN, 180.0),
)

VERSION = Field("benchcalc", "whole", "the format of this file", Span(0, 1e9), needed=True)
UNITS = Field("units", "choice", "of bare lengths", default="mm", words=get_args(Units))
ANGLES = Field(
    "angles", "choice", "bends as bent, or as the angle they include", default="bend",
    words=get_args(Angles),
)  # fmt: skip
ORDER = Field("order", "whole", "the order of bending", Span(1, MOST_BENDS), most=MOST_BENDS)
JOB = (
    VERSION,
    Field("name", "text", "what the run is called", needed=True),
    Field("drawing", "text", "the drawing's number", default="", empty=True),
    Field("note", "text", "a note for the bench", default="", empty=True),
    Field("operator", "text", "who bends it", default="", empty=True),
    Field("pieces", "whole", "how many to make", Span(1, 9999), 1),
    UNITS,
    ANGLES,
    Field("tube", "table", "the tube", needed=True, fields=TUBE),
    Field("bender", "other", "a key of benders.yaml, or a profile", needed=True, fields=BENDER),
    Field("measured", "choice", "how legs are measured", default="centre", words=MEASURED),
    Field("ends", "table", "allowance to cut at each end, may be negative", fields=(
        Field("start", "length", "at the reference end", default=0.0),
        Field("finish", "length", "at the far end", default=0.0),
    )),
    Field("straight", "table", "straight that must stay at each end, for the fitting", fields=(
        Field("start", "length", "at the reference end", FROM_ZERO, 0.0),
        Field("finish", "length", "at the far end", FROM_ZERO, 0.0),
    )),
    Field("held", "choice", "the end on the held side", default="reference", words=ENDS),
    Field("slip_on", "table", "parts to slide on before bending", fields=(
        Field("start", "text", "at the reference end", default="", empty=True),
        Field("finish", "text", "at the far end", default="", empty=True),
    )),
    ORDER,
    Field("tolerance", "angle", "degrees either way that count as good", Span(0, 10, over=True),
          0.5),
    Field("turn_tolerance", "angle", "degrees either way that a measured turn may be off",
          Span(0, 30, over=True), 1.0),
    Field("fit", "table", "how far the far end may miss", fields=(
        Field("within", "length", "from its place", OVER_ZERO, Fit().within_mm),
        Field("angle", "angle", "of its direction", Span(0, 180, over=True), Fit().angle_deg),
    )),
    Field("pressure", "table", "what a check of the wall by the piping code starts from", fields=(
        Field("design", "pressure", "design pressure", STRESS),
        Field("allowable", "pressure", "allowable stress", STRESS),
        Field("quality", "number", "quality factor E", ONE, 1.0),
        Field("weld", "number", "weld factor W", ONE, 1.0),
        Field("corrosion", "length", "wall that may be lost", FROM_ZERO, 0.0),
        Field("outside", "pressure", "pressure from outside; alone, or beside the others", STRESS),
    )),
    Field("service", "text", "what it is to carry: sour, oxygen and vacuum are known",
          default="", empty=True),
    Field("stock", "length", "length of the stick", OVER_ZERO),
    Field("parallel", "table", "it lies beside the run that is drawn", fields=PARALLEL),
    Field("run", "other", "legs, bends and shapes, last a leg or a port"),
    Field("points", "other", "corner points instead of a run"),
    Field("ports", "other", "two ports instead of a run"),
)  # fmt: skip
BY_KEY = {field.key: field for field in JOB}
