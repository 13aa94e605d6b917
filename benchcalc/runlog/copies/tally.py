"""What the report says, counted while the records go by; its size does not grow with their number.

Angles are degrees. A first pull hits when the bend was good after it and needed no other.
"""

from dataclasses import dataclass, field
from math import inf, sqrt
from typing import Any, NamedTuple

MOST_GROUPS = 2000
"""What is past this many lots or jobs is counted together, so that memory stays bounded."""

OTHERS = "others"
_TEXTS = ("name", "drawing", "lot", "bender", "material", "outcome", "why")
_MOST_DEG = 100_000.0
_MOST_POINTS = 240

ColumnKey = tuple[str, ...]


class Spread(NamedTuple):
    """How many bends, mean, standard deviation, least and greatest of a number of values."""

    bends: int
    mean: float
    deviation: float
    least: float
    most: float


@dataclass(slots=True)
class Errors:
    """How far bends came out from their target, and how many needed one pull only."""

    measured: int = 0
    total: float = 0.0
    squares: float = 0.0
    least: float = 0.0
    most: float = 0.0
    pulled: int = 0
    hits: int = 0

    def add(self, off_deg: float) -> None:
        """One bend's error."""
        if not self.measured:
            self.least = self.most = off_deg
        elif off_deg < self.least:
            self.least = off_deg
        elif off_deg > self.most:
            self.most = off_deg
        self.measured += 1
        self.total += off_deg
        self.squares += off_deg * off_deg

    @property
    def spread(self) -> Spread | None:
        """None when nothing was measured."""
        n = self.measured
        if not n:
            return None
        mean = self.total / n
        variance = max(self.squares - n * mean * mean, 0.0) / (n - 1) if n > 1 else 0.0
        return Spread(n, mean, sqrt(variance), self.least, self.most)


class FittedLine(NamedTuple):
    """Springback = a + b L, and the standard deviation of single pulls about that line."""

    a_deg: float
    b: float
    deviation_deg: float | None


@dataclass(slots=True)
class Pulls:
    """Loaded angles L and what sprang back, as sums, with an even sample of the points."""

    n: int = 0
    x: float = 0.0
    y: float = 0.0
    xx: float = 0.0
    xy: float = 0.0
    yy: float = 0.0
    least_deg: float = inf
    most_deg: float = -inf
    points: list[tuple[float, float]] = field(default_factory=list)
    _every: int = 1

    def add(self, loaded_deg: float, released_deg: float) -> None:
        """One pull."""
        y = loaded_deg - released_deg
        if self.n % self._every == 0:
            self.points.append((loaded_deg, y))
            if len(self.points) > _MOST_POINTS:
                del self.points[1::2]
                self._every *= 2
        if loaded_deg < self.least_deg:
            self.least_deg = loaded_deg
        if loaded_deg > self.most_deg:
            self.most_deg = loaded_deg
        self.n += 1
        self.x += loaded_deg
        self.y += y
        self.xx += loaded_deg * loaded_deg
        self.xy += loaded_deg * y
        self.yy += y * y

    @property
    def fitted(self) -> FittedLine | None:
        """The least-squares line; level where all pulls went to one angle, None without any."""
        n = self.n
        if not n:
            return None
        sxx = self.xx - self.x * self.x / n
        sxy = self.xy - self.x * self.y / n
        syy = max(self.yy - self.y * self.y / n, 0.0)
        b = sxy / sxx if sxx > 1e-6 * n else 0.0
        left = max(syy - b * sxy, 0.0)
        free = n - (2 if b else 1)
        return FittedLine((self.y - b * self.x) / n, b, sqrt(left / free) if free > 0 else None)


@dataclass(slots=True)
class MadeCount:
    """Pieces of one job from one lot."""

    made: int = 0
    scrapped: int = 0
    bends: int = 0


@dataclass(slots=True)
class Tally:
    """Everything the report needs."""

    made: dict[ColumnKey, MadeCount] = field(default_factory=dict)
    errors: dict[ColumnKey, Errors] = field(default_factory=dict)
    springback: dict[ColumnKey, Pulls] = field(default_factory=dict)
    scrap: dict[str, int] = field(default_factory=dict)
    remarks: int = 0

    def take(self, piece: dict[str, Any]) -> None:
        """Count a piece (of the form that ``records.upgraded`` gives).

        Raises KeyError, TypeError or ValueError, nothing counted, for one that no bench made.
        """
        lot, bender, bends = piece["lot"], piece["bender"], piece["bends"]
        _check(piece)
        made = _in(self.made, (piece["name"], piece["drawing"], lot), MadeCount)
        made.bends += len(bends)
        if piece["outcome"] == "made":
            made.made += 1
        else:
            made.scrapped += 1
            why = piece["why"] or "no reason given"
            why = why if why in self.scrap or len(self.scrap) < MOST_GROUPS else OTHERS
            self.scrap[why] = self.scrap.get(why, 0) + 1
        errors = _in(self.errors, (bender, lot), Errors)
        size = f"{piece['od_mm']:g} × {piece['wall_mm']:g} mm"
        pulls = _in(self.springback, (bender, piece["material"], size, lot), Pulls)
        for bend in bends:
            _count(bend, errors, pulls)


def _check(piece: dict[str, Any]) -> None:
    """Texts are texts, and angles such as there are: a sum of squares must not overflow."""
    texts = [type(piece[key]) is str for key in _TEXTS]
    angles = [bend["target_deg"] for bend in piece["bends"]]
    for bend in piece["bends"]:
        if bend["released_deg"] is not None:
            angles.append(bend["released_deg"])
        for pull in bend["pulls"]:
            angles += (pull["pulled_to_deg"], pull["released_deg"])
    if not all(texts) or not all(-_MOST_DEG < angle < _MOST_DEG for angle in angles):
        raise ValueError("no piece")


def _count(bend: dict[str, Any], errors: Errors, pulls: Pulls) -> None:
    released, read = bend["released_deg"], bend["pulls"]
    if released is not None:
        errors.add(released - bend["target_deg"])
    if read:
        errors.pulled += 1
        errors.hits += len(read) == 1 and bend["verdict"] == "good"
        for pull in read:
            pulls.add(pull["pulled_to_deg"], pull["released_deg"])


def _in(groups: dict[ColumnKey, Any], key: ColumnKey, kind: type) -> Any:
    found = groups.get(key)
    if found is None:
        if len(groups) >= MOST_GROUPS:
            key = (OTHERS,) * len(key)
        found = groups.setdefault(key, kind())
    return found
