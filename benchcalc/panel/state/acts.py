"""Acts that several screens have: to another screen, what lies over the work, a changed setting."""

from dataclasses import replace

from benchcalc.panel.state.action import Acted
from benchcalc.panel.state.messages import KeepSettings, NoticesRead
from benchcalc.panel.state.model import Face, Model, ScreenName
from benchcalc.panel.state.over import GaugeShown, HelpShown, MachineShown, PieceShown
from benchcalc.report.settings import Settings, settings_plain


def to_screen(model: Model, screen: ScreenName, face: Face = "keys") -> Model:
    """Another screen, from its first face on."""
    return replace(model.with_work(screen=screen), face=face)


def help_asked(model: Model) -> Model:
    """Help on what is shown."""
    return replace(model, over=HelpShown(under=_under_help(model)))


def machine_asked(model: Model) -> Model:
    """What the machine lacks."""
    under = _under_help(model)
    machine = under if isinstance(under, MachineShown) else MachineShown(under=under)
    return replace(model, over=machine)


def _under_help(model: Model) -> MachineShown | GaugeShown | PieceShown | None:
    return model.over.under if isinstance(model.over, HelpShown) else model.over


def turned_to_page(model: Model, page: int) -> Model:
    """Another page of what lies over the work."""
    if model.over is None or isinstance(model.over, GaugeShown):
        return model
    return replace(model, over=replace(model.over, page=page))


def closed(model: Model) -> Model:
    """What lies on top is taken away."""
    over = model.over
    return replace(model, over=over.under if isinstance(over, HelpShown | MachineShown) else None)


def understood(model: Model) -> Acted:
    """What went wrong was read."""
    read = (NoticesRead(),) if model.notices else ()
    left = replace(model, trouble=(), notices=())
    return (closed(left) if isinstance(left.over, MachineShown) else left), read


def changed(model: Model, settings: Settings) -> Acted:
    """The model with other settings; a screen hung on its side has its sides exchanged."""
    size = model.size
    if (settings.rotation - model.settings.rotation) % 180:
        size = (size[1], size[0])
    turned = size != model.size and model.told is not None
    told = model.told.turned() if turned and model.told else model.told
    after = replace(model, settings=settings, size=size, told=told)
    return after, (KeepSettings(settings_plain(settings)),)
