"""Every sentence a person reads about a run: findings, what the hands do, cautions."""

from collections.abc import Callable

from benchcalc.core.finding import Finding, Values
from benchcalc.core.parts import End, Units
from benchcalc.core.turning import HandTurn
from benchcalc.panel.figures import angle_text, length_text, size_text
from benchcalc.panel.metal_wording import METAL_HEADLINES, METAL_SAYS
from benchcalc.panel.phrases import ENGLISH

LEVELS = {"stop": "STOP", "caution": "CAUTION", "note": "NOTE"}


def level_word(level: str) -> str:
    """The word that stands before a finding."""
    return LEVELS[level]


HELD: dict[End, str] = {"reference": "flagged end held", "far": "flagged end free"}

CAUTIONS = (
    "Keep fingers clear of die, handle and moving tube; wear eye protection.",
    "Deburr every cut, inside and out, and blow it clear.",
    "Lay a weld seam to the side of the bend, never to its heel or throat.",
    "Mark with a pen, never a scribe; on stainless one without chlorides.",
    "Never bend back: a bend that went over stays as it is or is scrapped.",
    "Pressure work goes by the local code and a licensed person, not by this sheet.",
)


def _length(values: Values, name: str, units: Units) -> str:
    return length_text(float(values[name]), units)


def _angle(values: Values, name: str) -> str:
    return angle_text(float(values[name]))


def _od_die(v: Values, units: Units) -> str:
    return (
        f"The tube is {size_text(float(v['od_mm']), units)}, the die is made for "
        f"{size_text(float(v['die_mm']), units)}: take the die of the tube's size."
    )


def _wall_die(v: Values, units: Units) -> str:
    wall = size_text(float(v["wall_mm"]), units)
    if "least_mm" not in v:
        return (
            f"The profile names no walls for this material; yours is {wall}: try an offcut first."
        )
    least, most = (size_text(float(v[k]), units) for k in ("least_mm", "most_mm"))
    return (
        f"The wall is {wall}; this die takes {least} to {most} in {v['material']}: "
        "take another tube or another bender."
    )


def _negative(v: Values, units: Units) -> str:
    short = length_text(-float(v["straight_mm"]), units)
    return (
        f"The leg is {short} too short for its bends, they overlap: lengthen it by at least that."
    )


def _between(v: Values, units: Units) -> str:
    return (
        f"The straight before this bend is {_length(v, 'straight_mm', units)}; the bender needs "
        f"{_length(v, 'need_mm', units)} between bends: lengthen the leg."
    )


def _outer(which: str) -> Callable[[Values, Units], str]:
    def says(v: Values, units: Units) -> str:
        needs = {
            "held": "to hold it",
            "free": "on the free side",
            "fitting": "for the fitting",
        }[str(v["for"])]
        remedy = (
            "lengthen the leg" if v["for"] == "fitting" else "lengthen it or allow extra to cut"
        )
        return (
            f"The {which} straight is {_length(v, 'straight_mm', units)}; "
            f"{_length(v, 'need_mm', units)} is needed {needs}: {remedy}."
        )

    return says


def _mark_off(v: Values, units: Units) -> str:
    return (
        "No line of the bender can be used here, its mark would fall on bent tube or off the tube: "
        "change the order, the held end, or the leg."
    )


def _travel(v: Values, units: Units) -> str:
    return (
        f"{_angle(v, 'angle_deg')} needs a pull to {_angle(v, 'bend_to_deg')}; the bender ends at "
        f"{_angle(v, 'travel_deg')}: bend less or take another bender."
    )


def _stock(v: Values, units: Units) -> str:
    return (
        f"The run takes {_length(v, 'cut_length_mm', units)} of tube; the stick is "
        f"{_length(v, 'stock_mm', units)}: take a longer stick or join two runs."
    )


def _slip_on(v: Values, units: Units) -> str:
    where = "flagged" if v["end"] == "start" else "far"
    return (
        f"Slide on before bending, at the {where} end: {v['parts']}. They do not pass afterwards."
    )


def _guess(v: Values, units: Units) -> str:
    return (
        f"The overbend is an estimate ({_angle(v, 'overbend_deg')} ± {_angle(v, 'spread_deg')} at "
        f"{_angle(v, 'angle_deg')}) until this bench has measured: pull low first, then measure."
    )


def _clash_self(v: Values, units: Units) -> str:
    gap = float(v["gap_mm"])
    room = length_text(abs(gap), units)
    how = f"would need {room} more room" if gap < 0 else f"passes itself with only {room} between"
    places = " and ".join(
        f"{v[f'{end}_on']} {float(v[f'{end}_number']):.0f}" for end in ("first", "second")
    )
    return f"The tube {how}, at {places}: lengthen a leg there or turn a bend another way."


def _clash_bender(v: Values, units: Units) -> str:
    gap = float(v["gap_mm"])
    room = length_text(abs(gap), units)
    meets = "meets" if v["side"] == "free" else "lies in"
    how = meets if gap < 0 else f"comes within {room} of"
    return (
        f"At {_angle(v, 'angle_deg')} the tube on the {v['side']} side {how} the {v['body']}"
        f"{_other_way(v)}"
    )


def _other_way(v: Values) -> str:
    """What to do about a pull that meets something; with an order when one was looked for."""
    if "order" not in v:
        return ": bend in another order, hold the other end, or turn the tube end for end."
    if not v["order"]:
        return f". {say('order.none')}"
    order = tuple(int(number) for number in str(v["order"]).split(", "))
    held: list[End] = ["far" if end == "far" else "reference" for end in str(v["held"]).split(", ")]
    return f". {order_says(order, tuple(held))}"


def order_says(order: tuple[int, ...], held: tuple[End, ...]) -> str:
    """An order of bending with the end to hold for each bend; an end is named when it changes."""
    parts, before = [], None
    for number, end in zip(order, held, strict=True):
        step = say("order.step", number=number, held=HELD[end])
        parts.append(say("order.next", number=number) if end == before else step)
        before = end
    return say("order.found", bends=", ".join(parts))


def _u_width(v: Values, units: Units) -> str:
    return (
        f"A U {_length(v, 'width_mm', units)} wide cannot be bent here: one bend gives "
        f"{_length(v, 'single_mm', units)}, two bends need {_length(v, 'least_mm', units)} or "
        "more: change the width or take another die."
    )


def _fit(v: Values, units: Units) -> str:
    return (
        f"The far end will miss its place by {_length(v, 'miss_mm', units)}, corrected as well as "
        f"can be; {_length(v, 'within_mm', units)} is allowed: try it at its port before you store "
        "it."
    )


SAYS: dict[str, Callable[[Values, Units], str]] = {
    "od-die": _od_die,
    "wall-die": _wall_die,
    "negative-straight": _negative,
    "straight-between": _between,
    "straight-first": _outer("first"),
    "straight-last": _outer("last"),
    "mark-off-straight": _mark_off,
    "angle-travel": _travel,
    "stock": _stock,
    "slip-on": _slip_on,
    "overbend-guess": _guess,
    "clash-self": _clash_self,
    "clash-bender": _clash_bender,
    "u-width": _u_width,
    "fit": _fit,
    **METAL_SAYS,
}


HEADLINES = {
    "od-die": "the tube is not the die's size",
    "wall-die": "the wall is outside the die's range",
    "negative-straight": "leg too short, bends overlap",
    "straight-between": "too little straight between bends",
    "straight-first": "too little straight at the flagged end",
    "straight-last": "too little straight at the far end",
    "mark-off-straight": "no mark can be given here",
    "angle-travel": "past the bender's travel",
    "stock": "longer than the stick",
    "slip-on": "parts to slide on first",
    "overbend-guess": "an estimate until measured",
    "clash-self": "the tube meets itself",
    "clash-bender": "the tube meets the bender",
    "u-width": "no U of this width here",
    "fit": "the far end misses its place",
    **METAL_HEADLINES,
}
"""A finding in a few words, where there is no room for its sentence."""


def headline(finding: Finding) -> str:
    """The few words that stand for a finding."""
    return HEADLINES[finding.rule]


def finding_says(finding: Finding, units: Units) -> str:
    """The sentence of a finding: what, the value, the limit, what to do."""
    return SAYS[finding.rule](dict(finding.values), units)


def turn_says(turn: HandTurn) -> str:
    """What the hands do before a bend, short enough for a table."""
    if turn.by_deg == 0:
        said = "no turn"
    elif turn.way is None:
        said = "half round, 180°"
    else:
        said = f"{angle_text(turn.by_deg)} {turn.way}"
    return f"end for end, then {said}" if turn.end_for_end else said


def say(phrase: str, **values: object) -> str:
    """A phrase of the panel by its name, its places filled."""
    return ENGLISH[phrase].format(**values)
