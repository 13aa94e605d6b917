"""``python -m tests.bench.settle [BENDS [SEED]]``: 10,000 simulated bends, a row a cell.

Then a fifth as many doubtful ones, a row a kind: how many were good in the end, how many falsely.
"""

import os
import sys
from concurrent.futures import ProcessPoolExecutor
from itertools import repeat

from tests.sensor.doubtful_bends import Recording, ended_as, mutated
from tests.sensor.simulated_bends import Row, bends, cells, row_of

ALL = 10_000
HEADS = (
    "noise deg", "rate Hz", "bends", "false", "clear", "in 3 s", "in 5 s", "asked", "taken",
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
    print(f"confirmed within 3 s of those that stand out: {whole.in_time / whole.clear:.2%}")
    within_5 = whole.in_time + whole.late
    print(f"confirmed within 5 s of those that stand out: {within_5 / whole.clear:.2%}")
    print(f"off by more than a step and 3 noise/sqrt(n): {whole.off_by_3 / whole.taken:.2%}")
    for line in doubtful_lines(int(count) // 5, seed):
        print(line)


def doubtful_lines(count: int, seed: str = "") -> list[str]:
    """What became of doubtful bends, by kind."""
    with ProcessPoolExecutor(os.cpu_count()) as pool:
        made = mutated(count, seed)
        ends = list(pool.map(ended_as, made, chunksize=50))
    lines = [f"{'doubtful':>10}{'bends':>10}{'good':>10}{'false':>10}"]
    for kind in sorted({recording.kind for recording in made}):
        of = [(r, end) for r, end in zip(made, ends, strict=True) if r.kind == kind]
        good = [recording for recording, end in of if end == "good"]
        lines.append(f"{kind:>10}{len(of):>10}{len(good):>10}{sum(map(is_false, good)):>10}")
    return lines


def is_false(called_good: Recording) -> bool:
    """Whether a bend that was called good is not."""
    return not called_good.within


if __name__ == "__main__":
    main()
