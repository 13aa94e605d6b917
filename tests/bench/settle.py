"""``python -m tests.bench.settle [BENDS [SEED]]``: 10,000 simulated bends, a row a cell."""

import os
import sys
from concurrent.futures import ProcessPoolExecutor
from itertools import repeat

from tests.sensor.simulated_bends import Row, bends, cells, row_of

ALL = 10_000
HEADS = (
    "noise deg", "rate Hz", "bends", "false", "clear", "in 1.5 s", "later", "asked", "taken",
    "off > 3", "off > 5", "neither",
)  # fmt: skip


def rows(count: int, seed: str = "") -> list[Row]:
    """Rows of the cells in their order, ``count`` bends in all, on every core there is."""
    each = count // len(cells())
    with ProcessPoolExecutor(os.cpu_count()) as pool:
        return list(map(row_of, pool.map(bends, cells(), repeat(each), repeat(seed))))


def total(of: list[Row]) -> Row:
    """All rows in one."""
    return Row(*map(sum, zip(*of, strict=True)))


def main() -> None:
    """Print the table."""
    count, seed = [*sys.argv[1:3], *(str(ALL), "")[len(sys.argv) - 1 :]]
    made = rows(int(count), seed)
    print("".join(f"{head:>10}" for head in HEADS))
    for cell, row in zip(cells(), made, strict=True):
        print("".join(f"{value:>10}" for value in (cell.noise_deg, cell.rate_hz, *row)))
    whole = total(made)
    print("".join(f"{value:>10}" for value in ("all", "", *whole)))
    print(f"confirmed in time of those that stand out: {whole.in_time / whole.clear:.2%}")
    print(f"off by more than a step and 3 noise/sqrt(n): {whole.off_by_3 / whole.taken:.2%}")


if __name__ == "__main__":
    main()
