"""Modules that a library asks for while it is imported, and that nothing here needs."""

import sys
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def without(*names: str) -> Iterator[None]:
    """Have these not found while something is imported; afterwards they can be, as ever.

    pygame asks for numpy, for arrays of pixels and of sound, and for pkg_resources, for files that
    lie beside it all the same: nearly half of a panel's start. It goes on without them.
    """
    modules: dict[str, object] = sys.modules  # type: ignore[assignment]
    kept_away = [name for name in names if name not in modules]
    modules.update(dict.fromkeys(kept_away))  # None: an import then raises ImportError
    try:
        yield
    finally:
        for name in kept_away:
            del modules[name]
