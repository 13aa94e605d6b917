"""``benchcalc springback``: what this bench has been taught, or what a table of bends teaches."""

import argparse
import json
import sys
from pathlib import Path

from benchcalc.commands.parser import parser_of
from benchcalc.commands.refusal import BadUse
from benchcalc.core.frozen import replace
from benchcalc.core.job import Bender, Material, Tube
from benchcalc.core.springback.first_guess import (
    Springback,
    bend_to,
    first_guess,
    first_pull_to,
    overbend_spread,
)
from benchcalc.core.springback.learning import (
    DOUBTED_UNDER,
    Bent,
    Group,
    LotKey,
    Taught,
    key_of,
    springback_of,
    teach,
    weights_in,
)
from benchcalc.core.springback.lessons import key_plain, taught_plain
from benchcalc.files.loading import config_folder, load_bends, load_shop
from benchcalc.jobfile.bends import MadeBend, is_day
from benchcalc.jobfile.points import parse_tube
from benchcalc.jobfile.problems import BadFile, BadValue, nearest
from benchcalc.jobfile.shop import Shop
from benchcalc.jobfile.units import QuantityError, parse_decimal
from benchcalc.report.figures import decimal, size_text
from benchcalc.runlog.beside import Log
from benchcalc.runlog.faults import StoreError
from benchcalc.runlog.reading import Damage
from benchcalc.shell import clock
from benchcalc.shell.taught import load_taught, refit

ANGLES = (45.0, 90.0, 180.0)
MOST_ANGLE_DEG = 180.0


TOLERANCE_DEG = 0.5
"""How far over the first pull may come out: what a job says when it says nothing."""

MOST_OD_OFF_MM = 0.1
"""A tube that is farther from the die's size than this is no tube for that bender."""


def run(words: list[str], state: Path) -> int:
    """Print it; the exit code as the command line has them."""
    given = _options().parse_args(words)
    try:
        shop = load_shop(config_folder())
        if given.bends is not None:
            return _from_bends(given, shop)
        _alone(given)
        taught, unread = _taught(state, given.refit)
    except (BadFile, BadUse) as bad:
        print(bad, file=sys.stderr)
        return 2
    except StoreError as error:
        print(f"benchcalc: {error}", file=sys.stderr)
        return 3
    if given.json:
        print(json.dumps(_as_json(taught, shop), ensure_ascii=False, indent=1))
    else:
        print("\n".join(_lines(taught, shop)))
    for damage in unread:
        print(f"benchcalc: {damage.says}", file=sys.stderr)
    return 3 if unread else 0


def _options() -> argparse.ArgumentParser:
    parser = parser_of(
        "springback",
        "Show what this bench has been taught: for each lot the bends it rests on and "
        "the overbend with its standard deviation at 45, 90 and 180 degrees. Or, with --bends, "
        "what a table of bends made elsewhere teaches; this bench's own records are then neither "
        "read nor changed.",
    )
    parser.add_argument("--json", action="store_true", help="as JSON, numbers unrounded")
    parser.add_argument(
        "--refit", action="store_true", help="from the records, not from what was kept of them"
    )
    bends = parser.add_argument_group("what a table of bends teaches")
    bends.add_argument(
        "--bends", type=Path, metavar="FILE", help="columns pulled_to,came_out and lot, day if any"
    )
    bends.add_argument("--bender", metavar="KEY", help="a key of the bender profiles")
    bends.add_argument("--tube", metavar="TUBE", help="OD x wall and material: '8x1 316'")
    bends.add_argument("--lot", metavar="LOT", help="the lot to bend now; none is a new lot a day")
    bends.add_argument("--at", metavar="ANGLES", help="angles to bend, 45,90,180")
    bends.add_argument("--day", metavar="YYYY-MM-DD", help="today, where it is another day")
    return parser


def _alone(given: argparse.Namespace) -> None:
    """Words that only say something about a table of bends."""
    for name in ("bender", "tube", "lot", "at", "day"):
        if getattr(given, name) is not None:
            raise BadUse(f"--{name} goes with --bends FILE: name the table of bends")


def _from_bends(given: argparse.Namespace, shop: Shop) -> int:
    """What the rows of a table teach about one tube, none of them the first guess."""
    if given.refit:
        raise BadUse("--refit goes through this bench's records: leave it out beside --bends")
    (tube, material), bender, angles, day = _asked(given, shop)
    rows = load_bends(given.bends)
    theory = first_guess(tube, bender, material)
    taught = Taught()
    for number, row in enumerate(rows, 1):
        bent = Bent(row.pulled_deg, row.came_out_deg, loaded_read=False)
        key = LotKey(key_of(tube, bender).size, row.lot)
        taught = teach(taught, key, theory, bent, row.day or day, 1, number)
    law = springback_of(taught, key_of(tube, bender), theory, day)
    weights = _weights(taught, rows, key_of(tube, bender), theory)
    if given.json:
        print(json.dumps(_told_json(law, angles, weights), indent=1))
    else:
        print("\n".join(_told(law, angles, weights)))
    return 0


def _asked(
    given: argparse.Namespace, shop: Shop
) -> tuple[tuple[Tube, Material], Bender, list[float], str]:
    if not given.bender or not given.tube:
        raise BadUse("--bends teaches about one tube: name --bender KEY and --tube '8x1 316'")
    bender = shop.bender(given.bender)
    if bender is None:
        hint = nearest(given.bender, tuple(b.key for b in shop.benders))
        raise BadUse(
            f"no bender is called {given.bender}: "
            + (f"did you mean {hint}?" if hint else "name a key of the bender profiles")
        )
    try:
        tube, material = parse_tube(given.tube, "mm", shop)
    except BadValue as refused:
        raise BadUse(f"--tube {given.tube}: {refused.limit}: {refused.todo}") from None
    if abs(tube.od_mm - bender.od_mm) > MOST_OD_OFF_MM:
        die = f"{bender.key} is made for {bender.od_mm:g} mm"
        raise BadUse(f"--tube {given.tube}: {die}: name its tube or another bender")
    if given.day is not None and not is_day(given.day):
        raise BadUse(f"--day {given.day}: a day as YYYY-MM-DD: write it like 2026-03-09")
    lot = (given.lot or "").strip()
    day = given.day or clock.wall_time()[:10]
    return (replace(tube, lot=lot), material), bender, _angles(given.at), day


def _angles(text: str | None) -> list[float]:
    found = []
    for word in text.split(",") if text is not None else []:
        try:
            angle = float(parse_decimal(word))
        except QuantityError as error:
            raise BadUse(f"--at {text}: {error}") from None
        if not 0 < angle <= MOST_ANGLE_DEG:
            raise BadUse(f"--at {text}: {word.strip()}: over 0 and at most 180: mend the angle")
        found.append(angle)
    return found or list(ANGLES)


def _weights(
    taught: Taught, rows: tuple[MadeBend, ...], key: LotKey, theory: Springback
) -> list[float]:
    """How much each row counts, in their order; 0 for those that newer ones have pushed out."""
    if not rows:
        return []
    kept = taught.groups[Group(key.size, read=False)].kept
    weights = weights_in(taught, Group(key.size, read=False), theory)
    return [0.0] * (len(rows) - len(kept)) + weights


def _told_json(law: Springback, angles: list[float], weights: list[float]) -> dict[str, object]:
    return {
        "benchcalc": 1,
        "at": [
            {
                "angle": angle,
                "overbend": bend_to(angle, law) - angle,
                "spread": overbend_spread(angle, law),
                "pull_to": bend_to(angle, law),
                "first_pull_to": first_pull_to(angle, TOLERANCE_DEG, law),
            }
            for angle in angles
        ],
        "bends": [{"row": row, "weight": weight} for row, weight in enumerate(weights, 1)],
    }


def _told(law: Springback, angles: list[float], weights: list[float]) -> list[str]:
    doubted = [str(row) for row, weight in enumerate(weights, 1) if weight < DOUBTED_UNDER]
    lines = [f"bends {len(weights)}" if weights else "no bends: the first guess"]
    if doubted:
        lines.append(f"rows that hardly count: {', '.join(doubted)}")
    for angle in angles:
        over, spread = bend_to(angle, law) - angle, overbend_spread(angle, law)
        pull, first = bend_to(angle, law), first_pull_to(angle, TOLERANCE_DEG, law)
        lines.append(
            f"   {angle:>5g}°  + {decimal(over, 2)}° ± {decimal(spread, 2)}°"
            f"  pull to {decimal(pull, 1)}°, first to {decimal(first, 1)}°"
        )
    return lines


def _taught(state: Path, from_records: bool) -> tuple[Taught, list[Damage]]:
    """What was taught, and the records that could not be read for it. Raises StoreError."""
    log = Log.of(state)
    if log is None:
        return Taught(), []
    with log:
        taught = refit(log) if from_records else load_taught(log)
        return taught, log.damage


def _springback(taught: Taught, key: LotKey, shop: Shop) -> Springback | None:
    """The line of a lot; None when its bender or material has left the shop."""
    bender, material = shop.bender(key.size.bender), shop.material(key.size.material)
    if bender is None or material is None:
        return None
    guess = first_guess(key.size.tube(key.lot), bender, material)
    return springback_of(taught, key, guess, clock.today())


def _lines(taught: Taught, shop: Shop) -> list[str]:
    if not taught.lots:
        return ["Nothing yet: every bend that is measured on the panel teaches."]
    lines = []
    for key, bends in taught.lots.items():
        size = key.size
        lot = f"lot {key.lot}" if key.lot else "no lot"
        tube = f"{size_text(size.od_mm, 'mm')} x {size_text(size.wall_mm, 'mm')}"
        lines.append(f"{size.bender}, {tube}, {size.material}, {lot}: bends {bends}")
        s = _springback(taught, key, shop)
        if s is None:
            lines.append("   its bender or material is not in the shop")
            continue
        for angle in ANGLES:
            over, spread = bend_to(angle, s) - angle, overbend_spread(angle, s)
            lines.append(f"   {angle:>5g}°  + {decimal(over, 2)}° ± {decimal(spread, 2)}°")
    return lines


def _as_json(taught: Taught, shop: Shop) -> dict[str, object]:
    lots = []
    for key, bends in taught.lots.items():
        s = _springback(taught, key, shop)
        line = None if s is None else {"a": s.a_deg, "b": s.b, "source": s.source}
        lots.append({**key_plain(key), "bends": bends, "line": line})
    return {"benchcalc": 1, "lots": lots, "state": taught_plain(taught)}
