"""Beginning on a disk that does not work yet: say so in the window and try again."""

import time
from collections.abc import Callable
from typing import TypeVar

from benchcalc.panel.screens import waiting
from benchcalc.report.scene import Scene
from benchcalc.runlog.store import StoreBusy, StoreError, StoreNewer
from benchcalc.shell import clock
from benchcalc.shell.display.screen import Exposed, QuitAsked
from benchcalc.shell.loop import CALM_S, RETRY_S, Window
from benchcalc.shell.service import Service

Begun = TypeVar("Begun")


def begin(
    attempt: Callable[[], Begun],
    window: Window,
    size: tuple[int, int],
    service: Service,
    rest: Callable[[float], None] = time.sleep,
) -> Begun | None:
    """What ``attempt`` gives once the disk lets it; None when someone asked to quit meanwhile.

    Raises StoreBusy and StoreNewer at once: waiting does not help.
    """
    while True:
        try:
            return attempt()
        except (StoreBusy, StoreNewer):
            raise
        except StoreError as error:
            scene = waiting.view(size, str(error), RETRY_S)
        window.paint(scene)
        service.ready()
        if not _waited(window, scene, service, rest):
            return None


def _waited(window: Window, scene: Scene, service: Service, rest: Callable[[float], None]) -> bool:
    """Wait until the next try is due; false when someone asked to quit."""
    due_s = clock.now_s() + RETRY_S
    while clock.now_s() < due_s:
        for event in window.events():
            if isinstance(event, QuitAsked):
                return False
            if isinstance(event, Exposed):
                window.paint(scene)
        service.alive(clock.now_s())
        rest(CALM_S)
    return True
