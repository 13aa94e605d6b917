"""The table of figures: each beside its floor and its goal."""

from statistics import median, quantiles
from typing import NamedTuple


class Figure(NamedTuple):
    """One thing measured. ``floor`` is what nothing of ours could be faster than, in words too."""

    what: str
    measured: str
    floor: str
    goal: str = ""
    met: bool | None = None


def print_figures(figures: list[Figure]) -> None:
    """Print figures in columns, as wide as their longest entry."""
    rows = [("what", "measured", "floor", "goal", ""), *map(_row, figures)]
    widths = [max(len(row[column]) for row in rows) for column in range(5)]
    for row in rows:
        cells = (cell.ljust(width) for cell, width in zip(row, widths, strict=True))
        print("  ".join(cells).rstrip(), flush=True)
    print()


def _row(figure: Figure) -> tuple[str, str, str, str, str]:
    verdict = {None: "", True: "met", False: "MISSED"}[figure.met]
    return figure.what, figure.measured, figure.floor, figure.goal, verdict


def ms(seconds: float) -> str:
    """Seconds as milliseconds, three figures."""
    return f"{seconds * 1000:.3g} ms"


def middle(times_s: list[float]) -> float:
    """The median."""
    return median(times_s)


def worst_of_100(times_s: list[float]) -> float:
    """The 99th percentile."""
    return quantiles(times_s, n=100)[98]
