"""What all tests share: marks by file, a folder in memory, the layout's table under the results.

Plain ``pytest`` runs what is quick and needs nothing big. ``pytest --all`` runs everything, ``-m``
what it says (``pytest -m libraries``), and a file that is named runs, whatever its mark.
"""

import signal
import tempfile
import threading
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

from tests.marks import MARKS, mark_of

MEMORY = Path("/dev/shm")
# No example fails for being slow: how long one takes is the machine's affair.
settings.register_profile(
    "any machine", deadline=None, suppress_health_check=[HealthCheck.too_slow]
)
settings.load_profile("any machine")
HEARD = (signal.SIGINT, signal.SIGTERM, signal.SIGHUP, signal.SIGQUIT)


@pytest.fixture
def memory() -> Iterator[Path]:
    """A folder in memory where there is one: a thousand copies wait for no disk."""
    with tempfile.TemporaryDirectory(dir=MEMORY if MEMORY.is_dir() else None) as name:
        yield Path(name)


def pytest_addoption(parser: pytest.Parser) -> None:
    """One switch for everything."""
    parser.addoption("--all", action="store_true", help="run the marked tests too: minutes")


def pytest_configure(config: pytest.Config) -> None:
    """The marks, as --markers lists them; and programs under test that hear every signal."""
    for name, needs in MARKS.items():
        config.addinivalue_line("markers", f"{name}: {needs}")
    _let_children_hear()


def _let_children_hear() -> None:
    """What was ignored when pytest started (nohup, a job behind &) is ignored by it alone.

    A program inherits an ignored signal and would be deaf to it; a handler is not inherited.
    """
    if threading.current_thread() is threading.main_thread():
        for one in HEARD:
            if signal.getsignal(one) is signal.SIG_IGN:
                signal.signal(one, lambda *_: None)


def pytest_ignore_collect(collection_path: Path, config: pytest.Config) -> bool | None:
    """A marked file is not even imported until it is asked for: what it needs may be missing."""
    return True if mark_of(collection_path) and not _asked(config, collection_path) else None


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Marks by file; then out with the marked tests that nobody asked for."""
    for item in items:
        if mark := mark_of(item.path):
            item.add_marker(mark)
    left = [item for item in items if _marked(item) and not _asked(config, item.path)]
    if left:
        config.hook.pytest_deselected(items=left)
        items[:] = [item for item in items if item not in left]


def _marked(item: pytest.Item) -> bool:
    return any(item.get_closest_marker(name) for name in MARKS)


def _asked(config: pytest.Config, path: Path) -> bool:
    """Whether everything was asked for, or a mark, or this file (or its marked folder) by name."""
    if config.getoption("--all") or config.getoption("markexpr"):
        return True
    named = [config.invocation_params.dir / arg.partition("::")[0] for arg in config.args]
    return any(path == one or (mark_of(one) and path.is_relative_to(one)) for one in named)


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """The table of keys, words and contrast, when the layout was gone through."""
    reports = [*terminalreporter.getreports("passed"), *terminalreporter.getreports("failed")]
    seen = [one for report in reports for name, one in report.user_properties if name == "layout"]
    if seen:
        from tests.screens.table import table  # needs pygame, which most runs do not

        terminalreporter.section("layout: the least of each screen")
        for line in table((screen, rest) for screen, *rest in seen):
            terminalreporter.write_line(line)
