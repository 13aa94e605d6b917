"""Every sentence a person reads about a run: findings, what the hands do, cautions."""

from collections.abc import Callable

from benchcalc.core.finding import Finding, Values
from benchcalc.core.job import End, Units
from benchcalc.core.layout.hand_turns import HandTurn
from benchcalc.report.figures import angle_text, length_text, tube_text
from benchcalc.report.metal_text import METAL_SAYS
from benchcalc.words.language import say

CAUTION_COUNT = 6


def level_word(level: str) -> str:
    """The word that stands before a finding."""
    return say(f"level.{level}")


def turn_text(turn_deg: float) -> str:
    """A turn as the tube has it, seen from the flagged end."""
    whole = round(abs(turn_deg), 1)
    if whole in (0.0, 180.0):
        return say("turn.half" if whole else "turn.none")
    way = "clockwise" if turn_deg > 0 else "counter-clockwise"
    return say(f"turn.{way}", by=angle_text(abs(turn_deg)))


def held_says(end: End) -> str:
    """Which end the bender holds."""
    return say(f"held.{end}")


def cautions() -> tuple[str, ...]:
    """What belongs beside every run."""
    return tuple(say(f"caution.{number}") for number in range(1, CAUTION_COUNT + 1))


def _length(values: Values, name: str, units: Units) -> str:
    return length_text(float(values[name]), units)


def _angle(values: Values, name: str) -> str:
    return angle_text(float(values[name]))


def _size(values: Values, name: str, units: Units) -> str:
    return tube_text(float(values[name]), units)


def _od_die(v: Values, units: Units) -> str:
    return say("finding.od-die", od=_size(v, "od_mm", units), die=_size(v, "die_mm", units))


def _wall_die(v: Values, units: Units) -> str:
    wall = _size(v, "wall_mm", units)
    if "least_mm" not in v:
        return say("finding.wall-die.unknown", wall=wall)
    least, most = _size(v, "least_mm", units), _size(v, "most_mm", units)
    return say("finding.wall-die", wall=wall, least=least, most=most, material=v["material"])


def _negative(v: Values, units: Units) -> str:
    return say("finding.negative-straight", short=length_text(-float(v["straight_mm"]), units))


def _between(v: Values, units: Units) -> str:
    straight, need = _length(v, "straight_mm", units), _length(v, "need_mm", units)
    if "for" in v:
        return say("finding.straight-between.held", straight=straight, need=need)
    return say("finding.straight-between", straight=straight, need=need)


def _seam(v: Values, units: Units) -> str:
    from_heel, worst = _angle(v, "from_heel_deg"), _angle(v, "worst_deg")
    bend = f"{float(v['worst_bend']):.0f}"
    return say("finding.seam", from_heel=from_heel, worst=worst, bend=bend)


def _stretch(v: Values, units: Units) -> str:
    radius, explained = _length(v, "radius_mm", units), _length(v, "explained_mm", units)
    over = f"{100 * float(v['over']):.0f} %"
    return say("finding.stretch", radius=radius, explained=explained, over=over)


def _ring(v: Values, units: Units) -> str:
    now, then = _length(v, "now_mm", units), _length(v, "then_mm", units)
    return say(f"finding.ring.{v['measure']}", now=now, then=then)


def _outer(which: str) -> Callable[[Values, Units], str]:
    def says(v: Values, units: Units) -> str:
        remedy = "fitting" if v["for"] == "fitting" else "cut"
        return say(
            f"finding.{which}",
            straight=_length(v, "straight_mm", units),
            need=_length(v, "need_mm", units),
            why=say(f"finding.need.{v['for']}"),
            remedy=say(f"finding.remedy.{remedy}"),
        )

    return says


def _mark_off(v: Values, units: Units) -> str:
    return say("finding.mark-off-straight")


def _travel(v: Values, units: Units) -> str:
    angle, to, travel = (_angle(v, k) for k in ("angle_deg", "bend_to_deg", "travel_deg"))
    return say("finding.angle-travel", angle=angle, to=to, travel=travel)


def _stock(v: Values, units: Units) -> str:
    cut, stock = _length(v, "cut_length_mm", units), _length(v, "stock_mm", units)
    return say("finding.stock", cut=cut, stock=stock)


def _slip_on(v: Values, units: Units) -> str:
    end = "start" if v["end"] == "start" else "finish"
    return say(f"finding.slip-on.{end}", parts=v["parts"])


def _guess(v: Values, units: Units) -> str:
    over, spread, angle = (_angle(v, k) for k in ("overbend_deg", "spread_deg", "angle_deg"))
    return say("finding.overbend-guess", over=over, spread=spread, angle=angle)


def _clash_self(v: Values, units: Units) -> str:
    gap = float(v["gap_mm"])
    first, second = (
        say(f"finding.place.{v[f'{end}_on']}", number=f"{float(v[f'{end}_number']):.0f}")
        for end in ("first", "second")
    )
    room, how = length_text(abs(gap), units), "meets" if gap < 0 else "near"
    return say(f"finding.clash-self.{how}", room=room, first=first, second=second)


def _clash_bender(v: Values, units: Units) -> str:
    gap, angle, side = float(v["gap_mm"]), _angle(v, "angle_deg"), str(v["side"])
    near = "" if gap < 0 else "near-"
    room = length_text(abs(gap), units)
    said = {"angle": angle, "room": room, "body": v["body"], "otherwise": v["otherwise"]}
    return say(f"finding.clash-bender.{near}{side}", **said)


def _other_way(steps: tuple[tuple[int, End], ...] | None) -> str:
    """What to do about a pull that meets something; with an order when one was looked for."""
    if steps is None:
        return say("finding.other-way")
    if not steps:
        return f". {say('order.none')}"
    order, held = zip(*steps, strict=True)
    return f". {order_says(order, held)}"


def order_says(order: tuple[int, ...], held: tuple[End, ...]) -> str:
    """An order of bending with the end to hold for each bend; an end is named when it changes."""
    parts, before = [], None
    for number, end in zip(order, held, strict=True):
        step = say("order.step", number=number, held=held_says(end))
        parts.append(say("order.next", number=number) if end == before else step)
        before = end
    return say("order.found", bends=", ".join(parts))


def _u_width(v: Values, units: Units) -> str:
    width, single, least = (_length(v, k, units) for k in ("width_mm", "single_mm", "least_mm"))
    return say("finding.u-width", width=width, single=single, least=least)


def _fit(v: Values, units: Units) -> str:
    miss, within = _length(v, "miss_mm", units), _length(v, "within_mm", units)
    return say("finding.fit", miss=miss, within=within)


SAYS: dict[str, Callable[[Values, Units], str]] = {
    "od-die": _od_die,
    "wall-die": _wall_die,
    "negative-straight": _negative,
    "straight-between": _between,
    "straight-first": _outer("straight-first"),
    "straight-last": _outer("straight-last"),
    "mark-off-straight": _mark_off,
    "angle-travel": _travel,
    "stock": _stock,
    "seam": _seam,
    "ring": _ring,
    "gauge-check": lambda v, units: say("finding.gauge-check", days=f"{float(v['days']):.0f}"),
    "stretch": _stretch,
    "slip-on": _slip_on,
    "overbend-guess": _guess,
    "clash-self": _clash_self,
    "clash-bender": _clash_bender,
    "u-width": _u_width,
    "fit": _fit,
    **METAL_SAYS,
}


def headline(finding: Finding) -> str:
    """A finding in a few words, where there is no room for its sentence."""
    return say(f"headline.{finding.rule}")


def finding_says(finding: Finding, units: Units) -> str:
    """The sentence of a finding: what, the value, the limit, what to do."""
    values = dict(finding.values)
    if finding.rule == "clash-bender":
        values["otherwise"] = _other_way(finding.instead)
    return SAYS[finding.rule](values, units)


def turn_says(turn: HandTurn) -> str:
    """What the hands do before a bend, short enough for a table."""
    if turn.by_deg == 0:
        said = say("turn.none")
    elif turn.way is None:
        said = say("turn.half")
    else:
        said = say(f"turn.{turn.way}", by=angle_text(turn.by_deg))
    return say("turn.flip", turn=said) if turn.end_for_end else said
