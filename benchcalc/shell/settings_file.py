"""The panel's settings on the disk: a small file of their own, replaced whole or not at all."""

import json
import os
from pathlib import Path
from typing import Any

from benchcalc.report.settings import Settings, settings_of
from benchcalc.report.told import Told, told

NAME = "panel-settings.json"


class SettingsFile:
    """The settings of the panel whose state lies in ``folder``."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder

    def read(self) -> tuple[Settings, Told | None]:
        """What was kept, and what to say when it could not be read. Without a file, the defaults.

        A file that makes no sense is set aside under a name of its own. A disk that does not answer
        is no such thing: the store says so.
        """
        try:
            return self._kept(), None
        except OSError:
            return Settings(), None
        except (ValueError, TypeError, RecursionError):
            aside = _set_aside(self._folder / NAME)
            return Settings(), told("trouble.settings-aside", name=aside.name)

    def seen(self) -> Settings:
        """What is kept, only looked at: the defaults where nothing can be read."""
        try:
            return self._kept()
        except (OSError, ValueError, TypeError, RecursionError):
            return Settings()

    def _kept(self) -> Settings:
        return settings_of(json.loads((self._folder / NAME).read_bytes()))

    def keep(self, plain: Any) -> None:
        """Keep settings (as ``settings_plain`` gives them) over a power cut. Raises OSError."""
        path = self._folder / NAME
        fresh = path.with_suffix(".new")
        self._folder.mkdir(parents=True, exist_ok=True)
        with fresh.open("w", encoding="utf-8") as file:
            json.dump(plain, file, indent=1)
            file.flush()
            os.fsync(file.fileno())
        fresh.replace(path)
        folder = os.open(self._folder, os.O_RDONLY)
        try:
            os.fsync(folder)  # else the new name itself may be lost
        finally:
            os.close(folder)


def _set_aside(path: Path) -> Path:
    """Rename a damaged file; where even that is refused it stays and is replaced when next kept."""
    number = 1
    while (aside := path.with_name(f"panel-settings.damaged-{number}.json")).exists():
        number += 1
    try:
        path.rename(aside)
    except OSError:
        return path
    return aside
