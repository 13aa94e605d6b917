"""Sticks filled one after another: quickly, or so that nothing is overlooked."""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

Filling = tuple[int, ...]
"""How many of each size lie on a stick."""

MOST_FILLINGS = 60_000
"""Fillings looked at before a search is given up: some seconds on a slow machine."""

MOST_STICKS = 200
"""Sticks that a search goes through, one inside another."""


class Lot(NamedTuple):
    """Pieces that are cut from sticks of ``room``: sizes from the longest, and how many of each."""

    sizes: tuple[int, ...]
    counts: tuple[int, ...]
    room: int

    @property
    def whole(self) -> int:
        """The length of all pieces together."""
        return sum(size * count for size, count in zip(self.sizes, self.counts, strict=True))


def filled_greedily(lot: Lot, first: Sequence[Filling] = ()) -> list[Filling]:
    """Every piece on a stick: fillings of ``first`` while they go, then as each stick fills best.

    A filled stick holds the longest piece that is left.
    """
    left, sticks = list(lot.counts), list[Filling]()
    for filling in first:
        _use(filling, left, sticks)
    while any(left):
        _use(_fullest(lot, left), left, sticks)
    return sticks


def _use(filling: Filling, left: list[int], sticks: list[Filling]) -> None:
    """Cut so many sticks alike as the pieces that are left allow."""
    times = min(have // need for have, need in zip(left, filling, strict=True) if need)
    sticks += [filling] * times
    for place, need in enumerate(filling):
        left[place] -= need * times


def _fullest(lot: Lot, left: Sequence[int]) -> Filling:
    """The fullest stick among the first fillings that hold the longest piece that is left."""
    best, least_waste = None, lot.room + 1
    for looked, (filling, waste) in enumerate(fillings(lot, left)):
        if waste < least_waste:
            best, least_waste = filling, waste
        if waste == 0 or looked > 400:
            break
    assert best is not None  # the longest piece alone is a filling
    return best


def fillings(lot: Lot, left: Sequence[int]) -> Iterator[tuple[Filling, int]]:
    """Every filling with the longest piece left to which no other piece can be added; its waste."""
    sizes, kinds = lot.sizes, len(lot.sizes)
    first = next(place for place, count in enumerate(left) if count)
    chosen = [0] * kinds

    def choose(place: int, room: int) -> Iterator[tuple[Filling, int]]:
        if place == kinds:
            if not any(left[i] > chosen[i] and sizes[i] <= room for i in range(kinds)):
                yield tuple(chosen), room
            return
        least = 1 if place == first else 0
        for count in range(min(left[place], room // sizes[place]), least - 1, -1):
            chosen[place] = count
            yield from choose(place + 1, room - count * sizes[place])
        chosen[place] = 0

    yield from choose(first, lot.room)


def packed_in(lot: Lot, sticks: int) -> tuple[list[Filling] | None, bool]:
    """All pieces on so many sticks, if they go; and whether the answer is certain."""
    if sticks > MOST_STICKS:
        return None, False
    search = _Search(lot)
    found = search.fill(lot.counts, sticks, sticks * lot.room - lot.whole)
    return found, found is not None or search.looked <= MOST_FILLINGS


class _Search:
    """Looks through fillings of one stick after another, and remembers what led nowhere."""

    def __init__(self, lot: Lot) -> None:
        self.lot, self.looked = lot, 0
        self.hopeless: set[tuple[Filling, int]] = set()

    def fill(self, left: Filling, sticks: int, spare: int) -> list[Filling] | None:
        """The fillings of ``sticks`` sticks that may waste ``spare`` together, or None."""
        if not any(left):
            return []
        if sticks == 0 or spare < 0 or (left, sticks) in self.hopeless:
            return None
        for filling, waste in fillings(self.lot, left):
            self.looked += 1
            if self.looked > MOST_FILLINGS:
                return None
            if waste > spare:
                continue
            rest = tuple(have - used for have, used in zip(left, filling, strict=True))
            found = self.fill(rest, sticks - 1, spare - waste)
            if found is not None:
                return [filling, *found]
        if self.looked <= MOST_FILLINGS:
            self.hopeless.add((left, sticks))
        return None
