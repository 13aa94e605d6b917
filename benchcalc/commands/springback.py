"""``benchcalc springback``: what this bench has been taught, as a table or as JSON."""

import argparse
import json
import sys
from pathlib import Path

from benchcalc.core.springback.first_guess import Springback, bend_to, first_guess, overbend_spread
from benchcalc.core.springback.learning import LotKey, Taught, springback_of
from benchcalc.jobfile.files import config_folder, load_shop
from benchcalc.jobfile.problems import BadFile
from benchcalc.jobfile.shop import Shop
from benchcalc.panel.state.lessons import key_plain, taught_plain
from benchcalc.report.figures import decimal, size_text
from benchcalc.runlog.beside import Log
from benchcalc.runlog.faults import StoreError
from benchcalc.runlog.reading import Damage
from benchcalc.shell.memory import load_taught, refit

ANGLES = (45.0, 90.0, 180.0)


def run(words: list[str], state: Path) -> int:
    """Print it; the exit code as the command line has them."""
    parser = argparse.ArgumentParser(
        prog="benchcalc springback",
        description="Show what this bench has been taught: for each lot the bends it rests on and "
        "the overbend with its standard deviation at 45, 90 and 180 degrees.",
        allow_abbrev=False,
    )
    parser.add_argument("--json", action="store_true", help="as JSON, with the learnt state whole")
    parser.add_argument(
        "--refit", action="store_true", help="from the records, not from what was kept of them"
    )
    given = parser.parse_args(words)
    try:
        shop = load_shop(config_folder())
        taught, unread = _taught(state, given.refit)
    except BadFile as bad:
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
    return springback_of(taught, key, first_guess(key.size.tube(key.lot), bender, material))


def _lines(taught: Taught, shop: Shop) -> list[str]:
    if not taught.lots:
        return ["Nothing yet: every bend that is measured on the panel teaches."]
    lines = []
    for key, family in taught.lots.items():
        size = key.size
        lot = f"lot {key.lot}" if key.lot else "no lot"
        tube = f"{size_text(size.od_mm, 'mm')} x {size_text(size.wall_mm, 'mm')}"
        lines.append(f"{size.bender}, {tube}, {size.material}, {lot}: bends {family.bends}")
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
    for key, family in taught.lots.items():
        s = _springback(taught, key, shop)
        line = None if s is None else {"a": s.a_deg, "b": s.b, "source": s.source}
        lots.append({**key_plain(key), "bends": family.bends, "line": line})
    return {"benchcalc": 1, "lots": lots, "state": taught_plain(taught)}
