"""A display for a test file, and the program started again and again on it."""

from collections.abc import Iterator

import pytest

from tests.shell.starts import Forge, Start
from tests.shell.window import Display, need_a_display


@pytest.fixture(scope="module")
def display(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Display]:
    """A screen in memory, the same for all tests of a file."""
    need_a_display()
    opened = Display(tmp_path_factory.mktemp("display"))
    yield opened
    opened.close()


@pytest.fixture(scope="module")
def quick() -> Iterator[Start]:
    """The program started again within a blink, for what is cut again and again."""
    forge = Forge()
    yield forge.start
    forge.close()
