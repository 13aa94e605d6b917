"""What the machine lacks, each with what to do about it. It lies over the work, which stays."""

from benchcalc.panel.form_page import Key, key_row
from benchcalc.panel.grid import GAP, Canvas, canvas, foot, paragraph, status_line, wrapped
from benchcalc.panel.language import say
from benchcalc.panel.missing import Missing
from benchcalc.panel.model import Model
from benchcalc.panel.scene import Box, Disc, Polygon, Scene


def view(model: Model) -> Scene:
    """Each thing that is missing, the sensor's trouble among them, page by page; a key back."""
    c = canvas(model)
    bare = c._replace(missing=())
    status_line(bare, c.status, say("machine.title"), "")
    body, low = foot(c.below, c.key_h)
    pages = _pages(c, body.inset(GAP), _sentences(model))
    page = pages[model.page % len(pages)]
    _listed(c, body.inset(GAP), page)
    keys = [Key("understood" if model.trouble else "cancel", say("back"), "key_go")]
    if len(pages) > 1:
        keys.append(Key("more", say("more")))
    key_row(c, low, keys)
    return c.scene()


Sentence = tuple[bool, str]
"""Whether something has to be done about it, and what there is to say."""


def _sentences(model: Model) -> list[Sentence]:
    said = [(True, model.trouble)] if model.trouble else []
    said += [(True, _says(missing)) for missing in model.missing]
    if model.sensor is None:
        said.append((False, say("machine.no-sensor")))
    elif model.sensor.trouble:
        said.append((True, model.sensor.trouble))
    if not any(wanting for wanting, _ in said):
        said.insert(0, (False, say("machine.nothing")))
    return [*said, (False, say("machine.records"))]


def _says(missing: Missing) -> str:
    return say(f"missing.{missing.kind}", amount=missing.amount)


def _pages(c: Canvas, box: Box, sentences: list[Sentence]) -> list[list[Sentence]]:
    """As many sentences a page as have room; one at least."""
    pages: list[list[Sentence]] = [[]]
    left = box.h
    for sentence in sentences:
        high = _high(c, box, sentence[1])
        if high > left and pages[-1]:
            pages.append([])
            left = box.h
        pages[-1].append(sentence)
        left -= high
    return pages


def _high(c: Canvas, box: Box, says: str) -> float:
    return (wrapped(c, says, box.w - 2 * c.unit) + 0.15) * c.unit


def _listed(c: Canvas, box: Box, sentences: list[Sentence]) -> None:
    highs = [_high(c, box, says) for _, says in sentences]
    loose = min(0.8 * c.unit, max(0.0, box.h - sum(highs)) / len(sentences))
    y = box.y
    for sentence, high in zip(sentences, highs, strict=True):
        _row(c, Box(box.x, y, box.w, min(high + loose, box.bottom - y)), sentence)
        y += high + loose


def _row(c: Canvas, box: Box, sentence: Sentence) -> None:
    """A triangle before what has to be done something about, else a dot."""
    wanting, says = sentence
    x, y, reach = box.x + c.unit * 0.8, box.y + c.unit * 0.7, c.unit * 0.5
    if wanting:
        c.add(Polygon(((x, y - reach), (x + reach, y + reach), (x - reach, y + reach)), "alarm"))
    else:
        c.add(Disc((x, y), reach * 0.4, "quiet"))
    text = Box(box.x + 2 * c.unit, box.y, box.w - 2 * c.unit, box.h)
    paragraph(c, text, says, "ink" if wanting else "quiet")
