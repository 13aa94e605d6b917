"""What all tests share: a folder in memory, and the table of the layout under the results."""

import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest

MEMORY = Path("/dev/shm")


@pytest.fixture
def memory() -> Iterator[Path]:
    """A folder in memory where there is one: a thousand copies wait for no disk."""
    with tempfile.TemporaryDirectory(dir=MEMORY if MEMORY.is_dir() else None) as name:
        yield Path(name)


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """The table of keys, words and contrast, when the layout was gone through."""
    reports = [*terminalreporter.getreports("passed"), *terminalreporter.getreports("failed")]
    seen = [one for report in reports for name, one in report.user_properties if name == "layout"]
    if seen:
        from tests.screens.table import table  # needs pygame, which most runs do not

        terminalreporter.section("layout: the least of each screen")
        for line in table((screen, rest) for screen, *rest in seen):
            terminalreporter.write_line(line)
