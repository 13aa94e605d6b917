"""One screen as pixels and as SVG, drawn without any display."""

import math
import os
import subprocess
import sys
from pathlib import Path
from xml.etree import ElementTree

import pygame
import pytest

from benchcalc.report.scene import (
    Box,
    Disc,
    Fill,
    Label,
    Picture,
    Point,
    Polygon,
    Scene,
    Shape,
    Stroke,
)
from benchcalc.report.svg import svg_text
from benchcalc.report.text_fit import fit
from benchcalc.report.theme import DAY, NIGHT, Rgb, Theme
from benchcalc.shell.display.lettering import FONTS, HEAVY
from benchcalc.shell.display.paint import Painter, save_png, to_png

SIZES = [(480, 320), (800, 480), (1024, 600)]
SVG = "{http://www.w3.org/2000/svg}"


def inked(surface: pygame.Surface) -> pygame.Rect:
    """The box of all pixels that are not ground."""
    keyed = surface.copy()
    keyed.set_colorkey(DAY["ground"])
    return keyed.get_bounding_rect()


def colour_at(surface: pygame.Surface, x: int, y: int) -> Rgb:
    red, green, blue, _ = surface.get_at((x, y))
    return (red, green, blue)


KEYS = (
    ("7", "8", "9", "back", "+"),
    ("4", "5", "6", "mm / in", "−"),
    ("1", "2", "3", "next field", "½ ¼"),
    ("0", ".", "/", "other way", "°"),
    ("job", "tube", "bender", "log", "Pull to 47.1"),
)


def keypad(box: Box, gap: float) -> list[Shape]:
    shapes: list[Shape] = []
    w, h = (box.w + gap) / 5, (box.h + gap) / 5
    for j, row in enumerate(KEYS):
        for i, text in enumerate(row):
            key = Box(box.x + i * w, box.y + j * h, w - gap, h - gap)
            role = "key_act" if i > 2 or j > 3 else "key"
            shapes.append(
                Fill(key, "key_go", 5, "ink", 2)
                if i == j == 4
                else Fill(key, "pressed" if text == "5" else role, 5, "rule", 1)  # type: ignore[arg-type]
            )
            size = 0.5 * h if len(text) < 3 else 0.3 * h
            shapes.append(Label(key.inset(4), text, size, "ink", "centre", 2))
    return shapes


def answer(box: Box, u: float) -> list[Shape]:
    x, y, w = box.x + u, box.y, box.w - 2 * u
    return [
        Fill(box, "sheet", 6, "rule", 1),
        Label(Box(x, y + 0.4 * u, w, 1.3 * u), "Bend 2 of 3", u, "quiet"),
        Label(Box(x, y + 2.0 * u, 0.72 * w, 3.6 * u), "173.4 mm", 3.2 * u, "pen"),
        Label(Box(x, y + 5.6 * u, w, 1.4 * u), "from the flagged end", u, "ink"),
        Label(Box(x, y + 7.0 * u, w, 1.4 * u), "on line 90, flag held", u, "ink"),
        Stroke(((x, y + 8.8 * u), (x + w, y + 8.8 * u)), "rule", 1),
        Label(Box(x, y + 9.2 * u, w, 1.9 * u), "Pull to 47.1°", 1.6 * u, "ink"),
        Label(
            Box(x, y + 11.2 * u, w, 2.4 * u),
            "45 and 2.1 over; the first pull stops short at 46.5° ± 0.5",
            0.9 * u,
            "quiet",
            "left",
            2,
        ),
        Disc((box.right - 1.8 * u, y + 1.8 * u), 0.7 * u, "ink", 2),
        Stroke(((box.right - 1.8 * u, y + 1.8 * u), (box.right - 1.3 * u, y + 1.3 * u)), "ink", 2),
    ]


def strip(box: Box) -> Picture:
    mid, half = box.y + 0.62 * box.h, 0.16 * box.h
    left, right = box.x + 24, box.right - 16
    mark = left + 0.45 * (right - left)

    def arc(r: float) -> tuple[Point, ...]:
        x, y = mark + 0.3 * (right - left), mid - half - 8
        turns = [math.radians(180 + 6 * i) for i in range(16)]
        return tuple((x + r * math.cos(a), y + 0.5 * r * math.sin(a)) for a in turns)

    return Picture(
        box,
        (
            Fill(Box(left, mid - half, right - left, 2 * half), "tube"),
            Fill(Box(mark, mid - half, 0.14 * (right - left), 2 * half), "lit"),
            Stroke(((left, mid - half), (right, mid - half)), "tube_edge", 2),
            Stroke(((left, mid + half), (right, mid + half)), "tube_edge", 2),
            Polygon(((left, mid - half), (left - 14, mid - half), (left, mid)), "tube_edge"),
            Stroke(((mark, mid - 2 * half), (mark, mid + 1.6 * half)), "pen", 3),
            Stroke(arc(2.2 * half), "tube_edge", 2),
            Label(Box(mark - 60, box.y, 120, 0.3 * box.h), "173.4", 0.28 * box.h, "pen", "centre"),
        ),
    )


def sample_scene(size: tuple[int, int] = (800, 480)) -> Scene:
    w, h = size
    u = h / 26
    bar, foot = 1.5 * u, 4.6 * u
    free = Box(u / 2, bar + u / 2, 0.46 * w - u, h - bar - foot - 1.5 * u)
    pad = Box(0.46 * w, bar + u / 2, 0.54 * w - u / 2, free.h)
    status = "Bench 2   ·   water-sampling rack, line 3   ·   piece 2 of 4"
    return Scene(
        size,
        (
            Label(Box(u / 2, 0, 0.7 * w, bar + 4), status, u, "quiet"),
            Label(Box(0.7 * w, 0, 0.3 * w - u / 2, bar + 4), "sensor 44.8°", u, "ink", "right"),
            *answer(free, u),
            *keypad(pad, max(4, u / 3)),
            strip(Box(0, h - foot - u / 2, w, foot + u / 2)),
        ),
        (),
    )


@pytest.mark.parametrize("size", SIZES)
def test_sample_labels_fit(size: tuple[int, int]) -> None:
    painter = Painter(DAY)
    painter.draw(pygame.Surface(size, 0, 32), sample_scene(size))
    assert painter.misfits(sample_scene(size)) == []


def test_an_impossible_label_is_recorded_and_still_drawn_whole() -> None:
    box = Box(10, 10, 60, 30)
    label = Label(box, "Turn the tube counter-clockwise seen from the held end", 24, "ink")
    surface = pygame.Surface((80, 50), 0, 32)
    painter = Painter(DAY)
    painter.draw(surface, Scene((80, 50), (label,), ()))
    assert painter.misfits(Scene((80, 50), (label,), ())) == [label]
    drawn = inked(surface)
    assert drawn.w > 40
    assert box.x <= drawn.left
    assert drawn.right <= box.right


def test_breaking_comes_before_shrinking_and_shrinking_before_a_misfit() -> None:
    def wide(text: str, size_px: int) -> float:
        return len(text) * size_px / 2

    broken = fit(Label(Box(0, 0, 100, 60), "seat the tube", 20, lines=2), wide)
    assert (broken.rows, broken.size_px, broken.fits) == (("seat the", "tube"), 20, True)
    whole = fit(Label(Box(0, 0, 100, 60), "seat the tube", 20), wide)
    assert (whole.rows, whole.size_px, whole.fits) == (("seat the tube",), 15, True)
    low = fit(Label(Box(0, 0, 100, 32), "seat the tube", 20, lines=2), wide)
    assert (low.size_px, low.fits) == (16, True)
    assert not fit(Label(Box(0, 0, 50, 60), "seat the tube", 20), wide).fits


def test_a_number_sits_in_the_middle_of_its_key() -> None:
    surface = pygame.Surface((101, 81), 0, 32)
    label = Label(Box(0, 0, 101, 81), "8", 40, "ink", "centre")
    Painter(DAY).draw(surface, Scene((101, 81), (label,), ()))
    rect = inked(surface)
    assert abs(rect.centerx - 50) <= 1.5
    assert abs(rect.centery - 40) <= 1.5
    assert 0.68 * 40 <= rect.h <= 0.8 * 40


def test_the_font_has_the_letters_of_our_words() -> None:
    font = pygame.font.Font(str(FONTS / HEAVY), 60)
    unknown = pygame.image.tostring(font.render("\ufffe", True, "white"), "RGBA")
    for letter in "°±×½¼¾⅛⅜⅝⅞−–·…’äöüÄÖÜßñáéíóúÁÉÍÓÚÑ¿¡":
        assert font.metrics(letter)[0] is not None, letter
        assert pygame.image.tostring(font.render(letter, True, "white"), "RGBA") != unknown, letter


def test_text_no_font_can_take_is_drawn_all_the_same() -> None:
    texts = ("a\x00b\nc", "\U0001f527 rack", "", "\ud800", " ")
    labels = tuple(Label(Box(0, 0, 90, 30), text, 20) for text in texts)
    to_png(Scene((100, 40), labels, ()), DAY)
    ElementTree.fromstring(svg_text(Scene((100, 40), labels, ()), DAY).encode())


def test_shapes_without_room_draw_nothing() -> None:
    none, less = Box(5, 5, 0, 10), Box(5, 5, -3, -3)
    shapes: tuple[Shape | Picture, ...] = (
        *(Fill(box, "alarm", radius, "ink") for box in (none, less) for radius in (0.0, 4.0)),
        *(Picture(box, (Fill(box, "alarm"),)) for box in (none, less)),
        Label(less, "no room", 20),
    )
    surface = pygame.Surface((30, 30), 0, 32)
    painter = Painter(DAY)
    painter.draw(surface, Scene((30, 30), shapes[:-1], ()))
    assert inked(surface).size == (0, 0)
    painter.draw(surface, Scene((30, 30), shapes, ()))
    assert painter.misfits(Scene((30, 30), shapes, ())) == [shapes[-1]]


def test_a_rounded_key_lies_on_whatever_is_under_it() -> None:
    scene = Scene(
        (60, 60),
        (Fill(Box(0, 0, 60, 60), "alarm"), Fill(Box(10, 10, 40, 40), "key", 12, "rule", 2)),
        (),
    )
    surface = pygame.Surface((60, 60), 0, 32)
    Painter(DAY).draw(surface, scene)
    assert colour_at(surface, 10, 10) == DAY["alarm"]
    assert colour_at(surface, 30, 10) == DAY["rule"]
    assert colour_at(surface, 30, 30) == DAY["key"]


@pytest.mark.parametrize("theme", [DAY, NIGHT], ids=["day", "night"])
def test_a_level_line_is_crisp_everywhere(theme: Theme) -> None:
    line = Stroke(((5, 20), (35, 20)), "pen", 3)
    for shape in (line, Picture(Box(0, 0, 40, 40), (line,))):
        surface = pygame.Surface((40, 40), 0, 32)
        Painter(theme).draw(surface, Scene((40, 40), (shape,), ()))
        rows = [y for y in range(40) if colour_at(surface, 20, y) == theme["pen"]]
        others = {colour_at(surface, 20, y) for y in range(40) if y not in rows}
        assert len(rows) == 3
        assert others == {theme["ground"]}


def test_png_is_written_without_a_display(tmp_path: Path) -> None:
    png = tmp_path / "screen.png"
    save_png(sample_scene(), png, DAY, scale=2)
    assert pygame.image.load(str(png)).get_size() == (1600, 960)
    with pytest.raises(OSError, match="nowhere"):
        save_png(sample_scene(), tmp_path / "nowhere" / "x.png", DAY)
    code = (
        "import pathlib, pygame\n"
        "from benchcalc.report.scene import Scene\n"
        "from benchcalc.report.theme import DAY\n"
        "from benchcalc.shell.display.paint import save_png\n"
        f"save_png(Scene((9, 9), (), ()), pathlib.Path({str(tmp_path / 'bare.png')!r}), DAY)\n"
        "assert not pygame.display.get_init()\n"
    )
    bare = {k: v for k, v in os.environ.items() if k not in ("DISPLAY", "WAYLAND_DISPLAY")}
    subprocess.run([sys.executable, "-c", code], check=True, env=bare)
    assert (tmp_path / "bare.png").read_bytes().startswith(b"\x89PNG")


def test_svg_is_well_formed_and_says_the_same() -> None:
    odd = Label(Box(0, 0, 400, 30), 'nut & ferrule < 8 > "x"', 20)
    scene = sample_scene()
    scene = scene._replace(shapes=(*scene.shapes, odd))
    root = ElementTree.fromstring(svg_text(scene, DAY).encode())
    assert root.get("viewBox") == "0 0 800 480"
    said = [t.text for t in root.iter(f"{SVG}text")]
    assert odd.text in said
    assert "173.4 mm" in said
    assert len(list(root.iter(f"{SVG}polygon"))) == 1
    (cut,) = (g.get("clip-path", "") for g in root.iter(f"{SVG}g"))
    assert cut == f"url(#{next(root.iter(f'{SVG}clipPath')).get('id')})"
    anchors = {t.get("text-anchor") for t in root.iter(f"{SVG}text")}
    assert anchors == {"start", "middle", "end"}
