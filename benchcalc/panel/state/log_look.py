"""What the panel knows of the state of its own log."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class LogLook:
    """What looking through the log has found; ``share`` is how far one that was asked for is.

    ``whole`` records are whole, None before the first look; ``damaged`` are the numbers of those
    that are not, ``lists`` when something beside the records is damaged.
    """

    share: float | None = None
    whole: int | None = None
    damaged: str = ""
    lists: bool = False

    @property
    def wrong(self) -> bool:
        """Whether there is something to be told."""
        return bool(self.damaged) or self.lists
