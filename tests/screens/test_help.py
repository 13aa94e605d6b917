"""Every screen, step and field has help that can be read at every size and in every language."""

from collections.abc import Iterator
from dataclasses import replace
from typing import get_args

import pytest

from benchcalc.panel.help.pages import HELP, topic_of
from benchcalc.panel.screens import helping
from benchcalc.panel.state.making.piece import Came
from benchcalc.panel.state.model import (
    Cursor,
    Draft,
    Making,
    Model,
    PortField,
    PortMiss,
    Row,
    RowField,
    ScreenName,
    SetupField,
    StepKind,
    Work,
    Writing,
)
from benchcalc.panel.state.over import GaugeShown, HelpShown, MachineShown, PieceShown
from benchcalc.panel.state.shape_forms import FORMS, empty
from benchcalc.panel.state.trials import BEND_FIELDS, U_FIELDS, Trials
from benchcalc.panel.state.typed_shapes import Shaping
from benchcalc.panel.update import view
from benchcalc.panel.widgets.flowing import text_width
from benchcalc.panel.widgets.grid import canvas
from benchcalc.report.scene import Label, Scene, flatten
from benchcalc.report.settings import LANGUAGES, Settings
from benchcalc.shell.display.lettering import fitted, width
from benchcalc.words.language import say, speaking
from benchcalc.words.phrases import Language, phrases
from tests.panel.driver import Hands
from tests.panel.journeys import SHOP
from tests.screens.help_states import HELPED
from tests.screens.measures import outside, overlap
from tests.screens.states import STATES, Size, state
from tests.screens.table import SCREENS


def unread(scene: Scene, unit: float) -> list[str]:
    """Text that had to be made smaller than running text, or is cut off; keys amiss."""
    found = []
    for label in flatten(scene.shapes):
        if not isinstance(label, Label) or not label.text.strip():
            continue
        wanted = int(label.size + 0.5)
        found_fit = fitted(label)
        if not found_fit.fits or found_fit.size_px < wanted or outside(label.box, scene.size):
            found.append(f"{found_fit.size_px} of {wanted} px: {label.text!r}")
        if label.lines > 1 and label.size != unit and label.box.y > scene.size[1] / 4:
            found.append(f"not of running size: {label.text!r}")
    keys = scene.targets
    found += [f"past the edge: {key.name}" for key in keys if outside(key.box, scene.size)]
    return found + [f"{a.name} over {b.name}" for a in keys for b in keys if a < b if overlap(a, b)]


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize(
    "size", sorted({size for size, _ in SCREENS.values()}), ids=lambda size: f"{size[0]}x{size[1]}"
)
def test_every_page_can_be_read(
    size: Size, language: Language, monkeypatch: pytest.MonkeyPatch
) -> None:
    found = []
    asking = Model(SHOP, size, over=HelpShown(), settings=Settings(language=language))
    for topic in HELP:
        monkeypatch.setattr(helping, "topic_of", lambda _, topic=topic: topic)
        with speaking(language):
            c = canvas(asking)
            pages = len(helping.leaves(c, topic))
        for page in range(1, pages + 1):
            scene = view(replace(asking, over=HelpShown(page - 1)))
            found += [f"{topic} {page}: {fault}" for fault in unread(scene, c.unit)]
            names = {key.name for key in scene.targets}
            turns = {"cancel"} | ({"earlier"} if page > 1 else set())
            assert names == turns | ({"later"} if page < pages else set()), (topic, page)
    assert found == []


def works() -> Iterator[Work]:
    """Every screen, and every step and field of those that have several."""
    for screen in get_args(ScreenName):
        if screen not in ("pick", "write", "make", "shape", "plan", "trial"):
            yield Work(screen)
    for field in get_args(SetupField):
        picked = field in ("bender", "material", "tape")
        yield Work("pick" if picked else "write", writing=Writing(field))
    for step in get_args(StepKind):
        yield Work("make", making=Making(step=step))
    yield Work("make", making=Making(step="level", lay="across"))
    yield Work("make", making=Making(step="pull", came=Came("short", 1, 88.0, 2.0)))
    for missed in get_args(PortField):
        yield Work("make", making=Making(step="port", port=PortMiss(field=missed)))
    for at in get_args(RowField):
        yield Work("plan", cursor=Cursor(field=at))
    offset = empty("offset", "mm")
    yield Work("plan", Draft(rows=(Row(shape=offset),)))
    yield Work("shape")
    for kind, form in FORMS.items():
        for place in range(len(form)):
            yield Work("shape", shaping=Shaping(empty(kind, "mm"), place))
    for measured in (BEND_FIELDS[0], U_FIELDS[0]):
        yield Work("trial", trials=Trials(field=measured))


def test_every_screen_step_and_field_has_help_and_none_is_for_nothing() -> None:
    lying_over = (
        Model(SHOP, over=MachineShown()),
        Model(SHOP, over=GaugeShown()),
        Model(SHOP, over=PieceShown()),
    )
    over = {topic_of(model) for model in lying_over}
    assert {topic_of(Model(SHOP, work=work)) for work in works()} | over == HELP.keys()


@pytest.mark.parametrize("name", [name for name in STATES if name not in HELPED])
def test_a_question_mark_on_every_screen_tells_what_it_is_for(name: str) -> None:
    hands = Hands(state(name, (800, 480)))
    before, topic = hands.model, topic_of(hands.model)
    said = [hands.tap("help").text]
    while hands.scene.target("later"):
        said.append(hands.tap("later").text)
    with speaking(before.settings.language):
        keys = [f"help.{topic}.{part}" for part in ("for", *HELP[topic].wrong)]
        wanted = [say(key) for key in (*keys, *HELP[topic].mind)]
    assert [text for text in wanted if text not in "\n".join(said)] == []
    assert replace(hands.tap("cancel").model, pressed=before.pressed) == before


def test_a_phrase_of_help_belongs_to_something_that_is_helped_with() -> None:
    parts = {f"help.{t}.{part}" for t in HELP for part in ("for", *HELP[t].wrong)}
    others = ("help.word.", "help.mind.")
    known = {key for key in phrases("en") if key.startswith("help.") and key.count(".") == 2}
    assert {key for key in known if not key.startswith(others)} == parts


@pytest.mark.parametrize("size", [20, 25, 29, 37, 46])
def test_widths_told_without_a_font_are_hardly_ever_too_small(size: int) -> None:
    texts = [t for lang in LANGUAGES for key, t in phrases(lang).items() if "help." in key]
    parts = {text: text_width(text, size) / width(text, size, False) for text in texts}
    assert min(parts.values()) >= 0.985
    assert max(part for text, part in parts.items() if len(text) > 20) <= 1.1
