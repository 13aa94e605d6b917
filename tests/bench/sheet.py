"""The bend sheet as a whole process, against the import of the YAML reader it cannot do without."""

import sys
from pathlib import Path

from tests.bench.processes import interleaved, plain_environment
from tests.bench.table import Figure, middle, ms

ROUNDS = 40
GOAL = 2.5


def figures() -> list[Figure]:
    """The demo's sheet on standard output."""
    script = str(Path(sys.executable).with_name("benchcalc"))
    floor, whole = interleaved(
        [[sys.executable, "-c", "import yaml"], [script, "sheet", "assets/demo.yaml"]],
        plain_environment(),
        ROUNDS,
    )
    times = middle(whole) / middle(floor)
    return [
        Figure(
            "benchcalc sheet assets/demo.yaml, whole process",
            f"{ms(middle(whole))}, {times:.2f} floors",
            f"{ms(middle(floor))} python -c 'import yaml'",
            f"{GOAL} floors",
            times <= GOAL,
        )
    ]
