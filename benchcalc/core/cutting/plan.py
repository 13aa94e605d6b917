"""The cut list: pieces on sticks of stock length with a saw's kerf, the fewest sticks."""

from collections.abc import Sequence
from math import ceil
from typing import NamedTuple

from benchcalc.core.cutting.bound import least_sticks
from benchcalc.core.cutting.packing import Filling, Lot, filled_greedily, packed_in

PER_MM = 100
"""Steps to a millimetre; lengths are rounded up to one."""


class Wanted(NamedTuple):
    """Pieces of one length."""

    length_mm: float
    pieces: int


class Stick(NamedTuple):
    """What is cut from one stick: for each length (by its place in the list) how many."""

    cut: tuple[int, ...]
    left_mm: float


class CutPlan(NamedTuple):
    """The sticks, the number that no plan can go under, and the lengths that no stick holds."""

    sticks: tuple[Stick, ...]
    least: int
    too_long: tuple[int, ...]

    @property
    def proved(self) -> bool:
        """Whether no plan uses fewer sticks."""
        return len(self.sticks) == self.least


def cut_plan(wanted: Sequence[Wanted], stock_mm: float, kerf_mm: float) -> CutPlan:
    """Cut all that is wanted from sticks of ``stock_mm``; each cut takes ``kerf_mm``.

    A piece that ends where the stick ends needs no last cut. The number of sticks is the fewest
    where ``proved``; else it is at most so many and at least ``least``.

    *Source*: common practice in packing, from memory: patterns priced by a knapsack and their bound
    (Gilmore and Gomory, Operations Research 9, 1961; Farley, Operations Research 38, 1990), and a
    search that fills one stick after another (Korf, AAAI 2002).
    """
    kerf = round(kerf_mm * PER_MM)
    stock = int(stock_mm * PER_MM + 1e-6)
    room = stock + kerf  # where the last piece ends the stick there is no last cut
    sizes = [ceil(one.length_mm * PER_MM - 1e-6) + kerf for one in wanted]
    too_long = tuple(i for i, size in enumerate(sizes) if size > room)
    places = sorted(
        (i for i in range(len(sizes)) if i not in too_long and wanted[i].pieces > 0),
        key=lambda i: -sizes[i],
    )
    lot = Lot(tuple(sizes[i] for i in places), tuple(wanted[i].pieces for i in places), room)
    fillings, least = _fewest(lot) if places else ([], 0)
    sticks = tuple(_stick(filling, lot, places, len(sizes), stock) for filling in fillings)
    return CutPlan(sticks, least, too_long)


def _fewest(lot: Lot) -> tuple[list[Filling], int]:
    """The fewest sticks found, and the number that no plan can go under."""
    best = filled_greedily(lot)
    least, patterns = least_sticks(lot, len(best))
    if len(best) > least:
        best = min(best, filled_greedily(lot, patterns), key=len)
    while least < len(best):
        found, settled = packed_in(lot, least)
        if found is not None:
            return found, least
        if not settled:
            break
        least += 1
    return best, least


def _stick(filling: Filling, lot: Lot, places: Sequence[int], kinds: int, stock: int) -> Stick:
    cut = [0] * kinds
    for place, count in zip(places, filling, strict=True):
        cut[place] = count
    used = sum(n * size for n, size in zip(filling, lot.sizes, strict=True))
    return Stick(tuple(cut), max(stock - used, 0) / PER_MM)
