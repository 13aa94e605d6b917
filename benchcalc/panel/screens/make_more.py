"""What else can be done at a step of making a piece, a key for each."""

from benchcalc.panel.screens import calipers, port, scrap
from benchcalc.panel.screens.as_made import has_marks, has_points, marks_key, points_key
from benchcalc.panel.screens.aside.shelf import put_aside
from benchcalc.panel.screens.calipers import measurable
from benchcalc.panel.screens.make_step import by_keyboard, keys_on, level_key, scrap_key
from benchcalc.panel.screens.making import sent, to_plan
from benchcalc.panel.screens.piece_in_hand import Held
from benchcalc.panel.state.action import press
from benchcalc.panel.state.making.steps import may_scrap
from benchcalc.panel.state.model import Model
from benchcalc.panel.widgets.form_page import Key, put_key, turned_to
from benchcalc.panel.widgets.grid import Canvas
from benchcalc.report.boxes import cells
from benchcalc.report.told import in_words
from benchcalc.words.language import say


def draw_more(c: Canvas, model: Model, in_hand: Held) -> None:
    """What else can be done at this step, a key for each."""
    making = in_hand.making
    by_keyboard(c, making)
    on_the_face = making.step == "over" and len(keys_on(c, model, making)) > 1
    keys = [plan_key(), Key("aside", say("make.aside"), does=press(put_aside))]
    if making.place and (making.step == "seat" or (c.small and making.step == "turn")):
        keys.append(level_key())
    if measurable(making):
        keys.append(Key("calipers", say("calipers.key"), does=press(calipers.opened)))
    if has_marks(in_hand):
        keys.append(marks_key())
    if has_points(in_hand):
        keys.append(points_key())
    if port.asks(making):
        keys.append(Key("port", say("port.key"), does=press(port.opened)))
    if may_scrap(making) and not on_the_face:
        keys.append(scrap_key("make.scrap.long"))
    places = cells(c.below, scrap.ACROSS, scrap.DOWN)
    if model.sensor is not None and model.sensor.recorded and len(keys) < len(places) - 1:
        says = in_words(model.sent) or say("sensor.record")
        keys.append(Key("recording", says, does=press(sent)))
    for key, cell in zip(keys, places, strict=False):
        put_key(c, cell, key, lines=3)
    back = Key("step", say("back"), does=press(turned_to, "keys"), keys=("escape", "back"))
    put_key(c, places[-1], back)


def plan_key() -> Key:
    """The key to the run."""
    return Key("plan", say("make.plan"), does=press(to_plan))
