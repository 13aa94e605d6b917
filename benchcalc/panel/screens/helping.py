"""Help for the screen, step or field in hand. It lies over the work, which stays as it is."""

from typing import NamedTuple

from benchcalc.panel.help.pages import HELP, Help, topic_of
from benchcalc.panel.help.plate import Plate
from benchcalc.panel.state.action import aside
from benchcalc.panel.state.acts import closed, turned_to_page
from benchcalc.panel.state.model import Model
from benchcalc.panel.state.over import HelpShown
from benchcalc.panel.widgets.flowing import Item, Room, height_of, paged
from benchcalc.panel.widgets.grid import (
    Canvas,
    canvas,
)
from benchcalc.panel.widgets.status_line import status_line
from benchcalc.report.boxes import (
    columns,
    foot,
    rows,
)
from benchcalc.report.scene import Box, Fill, Polygon, Scene, Stroke
from benchcalc.words.language import say

CLOSES = ("escape", "enter", "back", "help", "?")

SIGN_WIDE = 1.7
"""Room for the sign before a sentence, in sizes of the text."""


class Leaf(NamedTuple):
    """One page: the picture, what the thing is for, or what goes wrong there."""

    picture: bool = False
    told: str = ""
    items: tuple[Item, ...] = ()


def view(model: Model) -> Scene:
    """The page in hand; before, close and next in one row at the foot."""
    c = canvas(model)._replace(missing=())
    pages, at = _turned_to(c, model)
    help_, leaf = HELP[topic_of(model)], pages[at]
    title = say("help.mistakes" if leaf.items else "help.title")
    page = say("help.page", page=at + 1, pages=len(pages))
    body, low = _places(c)
    status_line(c, c.status, title, page, model.trouble)
    if leaf.picture:
        _picture(c, help_, leaf, body)
    elif leaf.told:
        c.text(body, leaf.told, c.unit, lines=20)
    _items(c, leaf.items, body)
    before, close, after = columns(low, 1.0, 1.3, 1.0)
    size = c.unit
    if at:
        back = aside(turned_to_page, at - 1)
        c.key(
            "earlier", before, say("help.before"), "key_act", size, does=back, keys=("shift tab",)
        )
    c.key("cancel", close, say("help.close"), "key_go", size, does=aside(closed), keys=CLOSES)
    if at + 1 < len(pages):
        on = aside(turned_to_page, at + 1)
        c.key("later", after, say("help.next"), "key_act", size, does=on, keys=("tab",))
    return c.scene()


def _turned_to(c: Canvas, model: Model) -> tuple[list[Leaf], int]:
    """All pages, and the place of the one in hand among them."""
    found = leaves(c, topic_of(model))
    page = model.over.page if isinstance(model.over, HelpShown) else 0
    return found, min(page, len(found) - 1)


def leaves(c: Canvas, topic: str) -> list[Leaf]:
    """The picture and what it is for, apart where there is little room; then what goes wrong."""
    body, _ = _places(c)
    told = say(f"help.{topic}.for")
    help_ = HELP[topic]
    items = [Item("wrong", say(f"help.{topic}.{part}")) for part in help_.wrong]
    items += [Item("mind", say(key)) for key in help_.mind]
    pages = paged(items, Room(body.w - SIGN_WIDE * c.unit, body.h, c.unit, _gap(c)))
    minded = [Leaf(items=page) for page in pages]
    if not c.small:
        return [Leaf(True, told), *minded]
    texts = paged([Item("", told)], Room(body.w, body.h, c.unit, _gap(c)))
    return [Leaf(True), *(Leaf(told=page[0].text) for page in texts), *minded]


def _gap(c: Canvas) -> float:
    """Between two sentences."""
    return 0.5 * c.unit


def _places(c: Canvas) -> tuple[Box, Box]:
    """Where it is read, and the row of keys."""
    body, low = foot(c.below, c.key_h)
    return body.inset(8.0), low


def _picture(c: Canvas, help_: Help, leaf: Leaf, body: Box) -> None:
    """The picture, what it is for beside it; below it on an upright screen."""
    place = body
    if leaf.told:
        high = height_of(leaf.told, body.w, c.unit)
        if c.tall:
            place, words = rows(body, body.h - high - c.unit, high)
        else:
            place, words = columns(body, 0.54, 0.46)
            words = words.inset(10.0)
        c.text(words, leaf.told, c.unit, lines=20)
    c.add(Fill(place, "sheet", 6.0))
    plate = Plate(place.inset(6.0), c.unit)
    help_.draw(plate)
    c.add(plate.picture())


def _items(c: Canvas, items: tuple[Item, ...], body: Box) -> None:
    """One under the other, each with its sign: a cross for a mistake, a triangle for a caution."""
    y = body.y
    for item in items:
        high = height_of(item.text, body.w - SIGN_WIDE * c.unit, c.unit)
        box = Box(body.x, y, body.w, high)
        _sign(c, item.sign, (box.x + 0.6 * c.unit, box.centre[1]), 0.42 * c.unit)
        words = Box(box.x + SIGN_WIDE * c.unit, box.y, box.w - SIGN_WIDE * c.unit, high)
        c.text(words, item.text, c.unit, lines=20)
        y += high + _gap(c)


def _sign(c: Canvas, sign: str, centre: tuple[float, float], reach: float) -> None:
    """Nothing before what goes on from the page before."""
    x, y = centre
    if sign == "mind":
        corners = ((x, y - reach), (x + reach, y + reach), (x - reach, y + reach))
        c.add(Polygon(corners, "alarm"))
    for way in (1, -1) if sign == "wrong" else ():
        ends = ((x - reach, y - way * reach), (x + reach, y + way * reach))
        c.add(Stroke(ends, "ink", 4.0))
