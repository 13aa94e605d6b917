"""Thousands of turns of a tube made of code, each judged against how the tube really lay.

The sensor is two accelerometers in a plane that is clipped on not quite square, on a tube that is
not quite level: its reading is worked out from the direction of gravity, not from a turn.
``python -m tests.sensor.simulated_turns`` plays 10,000 of them.
"""

from dataclasses import dataclass
from math import atan2, cos, degrees, pi, radians, sin
from random import Random

from benchcalc.core.geometry.frames import wrapped
from benchcalc.sensor.ascii_line import AsciiLine
from benchcalc.sensor.profile import SensorProfile
from benchcalc.sensor.turn import Asked, TurnFollower

TOLERANCE_DEG = 1.0
MARGIN_DEG = 0.75
"""What tilt, skew and noise may add: 5 degrees of tilt times 4 of skew, and three deviations."""


@dataclass(slots=True)
class Turn:
    """What came of one turn; the truths are of the tube."""

    turned_while_off: int = 0
    said_turned: bool = False
    slipped: bool = False
    saw_slip: bool = False
    final_off_deg: float | None = None
    kept: bool = False
    fit: bool = False
    truly_off_deg: float = 0.0


class Clip:
    """The sensor on the tube: what it reads at a roll, clockwise over zero from the held end."""

    def __init__(self, dice: Random, noise_deg: float, step_deg: float) -> None:
        self.tilt_deg, self.skew_deg = dice.uniform(-5, 5), dice.gauss(0, 2)
        self.on_deg, self.dice = dice.uniform(-180, 180), dice
        self.noise_deg, self.step_deg = noise_deg, step_deg

    def reads(self, roll_deg: float) -> float:
        """Tube along x, tilted about y; the sensor's plane is y and z, skewed about its own z."""
        tilt, skew, roll = map(radians, (self.tilt_deg, self.skew_deg, roll_deg + self.on_deg))
        along, across, out = sin(tilt), -cos(tilt) * sin(roll), -cos(tilt) * cos(roll)
        sideways = across * cos(skew) - along * sin(skew)
        raw = degrees(atan2(-sideways, -out)) + self.dice.gauss(0, self.noise_deg)
        return round(wrapped(raw) / self.step_deg) * self.step_deg


def played(seed: int) -> Turn:
    """One turn: to near the wanted angle, held by a trembling hand, set right, laid, clamped."""
    dice = Random(f"turn {seed}")
    noise_deg, step_deg = dice.choice((0.02, 0.05, 0.1, 0.2)), dice.choice((0.01, 0.1))
    rate_hz = dice.choice((10, 20, 50))
    profile = SensorProfile("turn", AsciiLine(), noise_deg=noise_deg, resolution_deg=step_deg,
                            measures="turn")  # fmt: skip
    clip, follower, found = Clip(dice, noise_deg, step_deg), TurnFollower(profile), Turn()
    wanted = dice.choice((-1, 1)) * dice.choice((30.0, 45.0, 60.0, 90.0, 135.0, 180.0))
    plan = _plan(dice, wanted)
    slip_at = dice.uniform(*plan["held"]) if dice.random() < 0.2 else None
    slip_deg = dice.choice((-1, 1)) * dice.uniform(5, 40)
    silent = dice.uniform(*plan["held"]) if dice.random() < 0.2 else None
    silent_for = dice.uniform(1, 3)
    at_s, slid, shown, zeroed = 0.0, 0.0, 0.0, False
    while at_s < plan["end"][1]:
        at_s += 1 / rate_hz
        truth = _roll(dice, plan, wanted, at_s, shown)
        if slip_at is not None and at_s > slip_at:
            slid += slip_deg * min(1.0, 1 / rate_hz / dice.uniform(0.05, 0.2))
            if abs(slid) >= abs(slip_deg):
                slid, slip_at, found.slipped = slip_deg, None, True
        quiet = silent is not None and silent < at_s < silent + silent_for
        if not quiet:
            shown = slid  # nobody goes by what is not shown
            follower.read(clip.reads(truth + slid), at_s)
        if not zeroed and at_s > 1.5:
            zeroed = follower.take_zero(at_s)
            follower.ask(Asked(wanted, TOLERANCE_DEG), at_s)
        found.saw_slip |= follower.slipped
        if zeroed and at_s > 2.0 and follower.state(at_s) == "turned":
            found.said_turned = True
            if abs(wrapped(truth - wanted)) > TOLERANCE_DEG + MARGIN_DEG:
                found.turned_while_off += 1
    return _clamped(follower, clip, plan, wanted, at_s, slid, shown, rate_hz, found)


def _plan(dice: Random, wanted: float) -> dict[str, tuple[float, float]]:
    """Times in seconds, and what the hand leaves it at: (from, to) of each stretch."""
    turned = 2.0 + dice.uniform(0.6, 2.5)
    held = turned + dice.uniform(0.6, 4.0)
    right = held + dice.uniform(0.4, 1.2)
    near, left = wanted + dice.gauss(0, 2.0), wanted + dice.gauss(0, 0.9)
    return {
        "turn": (2.0, turned), "held": (turned, held), "right": (held, right),
        "end": (right, right + dice.uniform(1.5, 3.0)), "to": (near, left),
        "hand": (dice.uniform(0.1, 0.5), dice.uniform(-0.6, 0.6)),
        "twist": (dice.gauss(0, 0.3) + dice.choice((0.0, 0.0, 0.0, 3.0, -3.0)), 0.0),
    }  # fmt: skip


def _roll(
    dice: Random, plan: dict[str, tuple[float, float]], wanted: float, at_s: float, shown: float
) -> float:
    """How far the tube really lies turned; after a slip the hand goes by what is shown."""
    near, left = plan["to"]
    tremor, drift = plan["hand"]
    if at_s < plan["turn"][0]:
        return 0.0
    if at_s < plan["turn"][1]:
        part = (at_s - plan["turn"][0]) / (plan["turn"][1] - plan["turn"][0])
        return near * (1 - cos(pi * part)) / 2
    held = near + drift * (at_s - plan["turn"][1])
    if at_s < plan["held"][1]:
        shake = sin(2 * pi * 3.1 * at_s) + sin(2 * pi * 5.7 * at_s + 1.0)
        return held + tremor * (shake + dice.gauss(0, 0.4))
    last = near + drift * (plan["held"][1] - plan["turn"][1])
    goal = left - shown
    if at_s < plan["right"][1]:
        part = (at_s - plan["right"][0]) / (plan["right"][1] - plan["right"][0])
        return last + (goal - last) * (1 - cos(pi * part)) / 2
    return goal


def _clamped(
    follower: TurnFollower, clip: Clip, plan: dict[str, tuple[float, float]], wanted: float,
    at_s: float, slid: float, shown: float, rate_hz: int, found: Turn,
) -> Turn:  # fmt: skip
    """The clamp twists it; then it is looked at again, and that counts."""
    truth = plan["to"][1] - shown + plan["twist"][0]
    for _ in range(int(1.2 * rate_hz)):
        at_s += 1 / rate_hz
        follower.read(clip.reads(truth + slid), at_s)
    read = follower.clamped_deg(at_s)
    if read is not None:
        found.final_off_deg = wrapped(truth - read)
        found.kept = abs(wrapped(read - wanted)) <= TOLERANCE_DEG
    found.truly_off_deg = abs(wrapped(truth - wanted))
    found.fit = found.truly_off_deg <= TOLERANCE_DEG
    return found


def main(cases: int) -> str:
    """The figures of many turns."""
    every = [played(seed) for seed in range(cases)]
    false = [t for t in every if t.turned_while_off]
    wrong = [t for t in every if t.kept and t.truly_off_deg > TOLERANCE_DEG + MARGIN_DEG]
    slips = [t for t in every if t.slipped]
    sound = [t for t in every if not t.slipped and t.fit]
    read = [abs(t.final_off_deg) for t in every if t.final_off_deg is not None and not t.slipped]
    return (
        f"{cases} turns: {len(false)} called turned while off, {len(wrong)} kept wrong; "
        f"{len(slips)} slips, {sum(t.saw_slip for t in slips)} seen; of {len(sound)} that lay "
        f"right {sum(t.said_turned or t.kept for t in sound)} were taken; read within "
        f"{sorted(read)[len(read) * 95 // 100]:.2f} (95 %)"
    )


if __name__ == "__main__":
    print(main(10_000))
