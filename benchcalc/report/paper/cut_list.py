"""Several jobs at once: a table of them, and which pieces are cut from which stick."""

from collections.abc import Iterator, Sequence
from itertools import groupby

from benchcalc.core.cutting.plan import CutPlan, Wanted, cut_plan
from benchcalc.core.sheet import Sheet
from benchcalc.report.figures import length_text, size_text
from benchcalc.report.finding_text import level_word


def jobs_text(sheets: Sequence[Sheet], kerf_mm: float) -> str:
    """The table of the jobs, and the cut list for each kind of tube and length of stock."""
    parts = [_table(sheets)]
    for same in _by_stock(sheets).values():
        parts.append(list(_cut_list([(number, sheets[number - 1]) for number in same], kerf_mm)))
    return "\n\n".join("\n".join(part) for part in parts) + "\n"


def _table(sheets: Sequence[Sheet]) -> list[str]:
    rows = [("job", "name", "pieces", "tube", "bender", "bends", "cut to", "")]
    for number, sheet in enumerate(sheets, 1):
        job = sheet.job
        rows.append(
            (
                str(number), job.name, str(job.pieces), _tube(sheet), job.bender.key,
                str(len(sheet.layout.bends)),
                length_text(sheet.layout.cut_length_mm, job.units),
                level_word("stop") if sheet.stopped else "",
            )
        )  # fmt: skip
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    return ["JOBS"] + [
        "  " + "  ".join(f"{cell:<{wide}}" for cell, wide in zip(row, widths, strict=True)).rstrip()
        for row in rows
    ]


def _tube(sheet: Sheet) -> str:
    tube, units = sheet.job.tube, sheet.job.units
    size = f"{size_text(tube.od_mm, units)} x {size_text(tube.wall_mm, units)} {tube.material}"
    return size + (f", lot {tube.lot}" if tube.lot else "")


def _by_stock(sheets: Sequence[Sheet]) -> dict[tuple[object, ...], list[int]]:
    """The jobs, by number, that are cut from the same sticks."""
    found: dict[tuple[object, ...], list[int]] = {}
    for number, sheet in enumerate(sheets, 1):
        tube, stock = sheet.job.tube, sheet.job.stock_mm
        key = (tube.od_mm, tube.wall_mm, tube.material, tube.lot, stock)
        found.setdefault(key, []).append(number)
    return found


def _cut_list(jobs: list[tuple[int, Sheet]], kerf_mm: float) -> Iterator[str]:
    first = jobs[0][1]
    units, stock = first.job.units, first.job.stock_mm
    if stock is None:
        yield f"LENGTHS TO CUT  {_tube(first)}; no stock is given"
        for number, sheet in jobs:
            yield f"  {sheet.job.pieces} x {_piece(number, sheet)}"
        return
    kerf = f"kerf {size_text(kerf_mm, units)}" if kerf_mm else "no kerf counted, see --kerf"
    yield f"CUT LIST  {_tube(first)}, sticks of {length_text(stock, units)}, {kerf}"
    wanted = [Wanted(sheet.layout.cut_length_mm, sheet.job.pieces) for _, sheet in jobs]
    plan = cut_plan(wanted, stock, kerf_mm)
    yield from (f"  {line}" for line in _sticks(plan, jobs))
    if plan.sticks:
        yield f"  {_count(plan)}"
    for place in plan.too_long:
        number, sheet = jobs[place]
        yield f"  {level_word('stop')}  {_piece(number, sheet)} is longer than a stick: not cut"


def _piece(number: int, sheet: Sheet) -> str:
    length = length_text(sheet.layout.cut_length_mm, sheet.job.units)
    return f"{length} (job {number}, {sheet.job.name})"


def _sticks(plan: CutPlan, jobs: list[tuple[int, Sheet]]) -> Iterator[str]:
    """A line for sticks that are cut alike, by their numbers, with what is left of each."""
    numbered = enumerate(plan.sticks, 1)
    for stick, same in groupby(numbered, key=lambda pair: pair[1]):
        numbers = [number for number, _ in same]
        which = f"stick {numbers[0]}" if len(numbers) == 1 else f"sticks {numbers[0]}-{numbers[-1]}"
        cut = "; ".join(
            f"{count} x {_piece(*jobs[place])}" for place, count in enumerate(stick.cut) if count
        )
        units = jobs[0][1].job.units
        yield f"{which}: {cut}; {length_text(max(stick.left_mm, 0.0), units)} left"


def _count(plan: CutPlan) -> str:
    many = len(plan.sticks)
    sticks = f"{many} stick{'' if many == 1 else 's'}"
    if plan.proved:
        return f"{sticks}; no plan uses fewer."
    return f"{sticks}; a plan of {plan.least} was neither found nor ruled out."
