"""What lies over the work, which stays as it is: one thing at a time, each with its own page."""

from dataclasses import dataclass

from benchcalc.panel.state.messages import PieceRead


@dataclass(frozen=True, slots=True)
class GaugeShown:
    """The bend in hand at its true size."""


@dataclass(frozen=True, slots=True)
class PieceShown:
    """A stored piece with its remarks, and the page of it that is shown, from 0 on."""

    read: PieceRead = PieceRead()  # noqa: RUF009 - frozen
    page: int = 0


@dataclass(frozen=True, slots=True)
class MachineShown:
    """What the machine lacks; ``under`` is what it covers."""

    page: int = 0
    under: GaugeShown | PieceShown | None = None


@dataclass(frozen=True, slots=True)
class HelpShown:
    """HelpShown on what it covers: what lies ``under`` it, or the work."""

    page: int = 0
    under: MachineShown | GaugeShown | PieceShown | None = None


Over = HelpShown | MachineShown | GaugeShown | PieceShown
