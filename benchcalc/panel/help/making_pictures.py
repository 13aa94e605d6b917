"""Pictures of the help while a piece is made, and on the panel itself."""

from math import cos, radians, sin

from benchcalc.panel.drawings.port_drawing import port_picture
from benchcalc.panel.help.plate import Plate, arc, beside, rounded
from benchcalc.words.language import say

DIAL = (80.0, 122.0)
"""Where the needle of the drawn scale turns about."""


def cut(p: Plate) -> None:
    """The cut length from end to end, the flag on the end that is measured from."""
    p.tube([(10, 46), (150, 46)])
    for x in (10, 150):
        p.line([(x, 46), (x, 88)], "rule", 1.5)
    p.size((10, 80), (150, 80), say("help.word.cut"))
    p.notch(150, 41)


def slide(p: Plate) -> None:
    """A nut goes on before the bend, its thread to the tube's end."""
    p.ghost(rounded([(100, 62), (118, 62), (148, 20)], 16))
    p.tube([(8, 62), (152, 62)])
    p.block(46, 50, 20, 24)
    p.block(32, 54, 14, 16, "key_act")
    for x in (36, 40, 44):
        p.line([(x, 54), (x, 70)], "tube_edge", 2.0)
    p.arrow([(30, 30), (64, 30)], "focus", 5.0)


def mark(p: Plate) -> None:
    """Both marks from the flag, not one from the other."""
    p.tube([(8, 48), (152, 48)])
    p.mark(60, 48)
    p.mark(116, 48)
    p.line([(8, 48), (8, 96)], "rule", 1.5)
    p.size((8, 68), (60, 68), "1")
    p.size((8, 90), (116, 90), "2")
    p.size((60, 22), (116, 22), "")
    p.cross((88, 22), 9)


def re_mark(p: Plate) -> None:
    """A bent tube: the old mark crossed out, the new one measured from it and from the heel."""
    p.tube(rounded([(12, 20), (12, 70), (152, 70)], 16))
    p.cross((104, 70), 7)
    p.mark(128, 70)
    p.size((104, 92), (128, 92), "")
    p.word((128, 48), say("mark.new"))


def turn(p: Plate) -> None:
    """From the held end: the heel from the open dot at the foot to the full one."""
    p.ring((80, 44), 26)
    p.arrow(arc((80, 44), 34, 184, 264), "ink", 4.0)
    p.dot((80, 70), 4.5, "sheet")
    p.dot((80, 70), 4.5, "tube_edge", 2.5)
    p.dot((54, 44), 4.5)
    p.word((80, 90), say("help.word.heel"))


def level(p: Plate) -> None:
    """The tube level in the clamp, its bent leg rising, a level laid along that leg."""
    p.tube(rounded([(150, 78), (88, 78), (20, 38)], 6))
    p.held(112, 78, 24)
    p.line([(88, 78), (16, 78)], "rule", 2.0)
    p.solid([(34, 38), (66, 57), (71, 49), (39, 30)], "ink")
    p.dot((52.5, 43.5), 2.6, "sheet")
    p.line(arc((88, 78), 56, 270, 300), "ink", 3.0)


def level_across(p: Plate) -> None:
    """From the held end: a level clipped across the tube before the turn and after it."""
    p.ring((80, 52), 32)
    p.solid([(54, 14), (86, 4), (89, 12), (57, 22)], "quiet")
    p.solid([(46, 74), (36, 42), (44, 39), (54, 71)], "ink")
    p.arrow(arc((80, 52), 46, 20, 290 - 360), "ink", 3.0)


def _scale(p: Plate) -> None:
    """A bender's scale, growing to the right, its target a short tick in the tolerance."""
    p.line(arc(DIAL, 84, -44, 40), "rule", 4.0)
    p.line(arc(DIAL, 84, -22, -14), "good", 14.0)
    _tick(p, -18, 76, 94, 4.0)
    p.word((38, 20), say("help.word.target"))


def _tick(p: Plate, degrees: float, low: float, high: float, width: float) -> None:
    p.line([arc(DIAL, reach, degrees, degrees)[0] for reach in (low, high)], "ink", width)


def pull(p: Plate) -> None:
    """Up to the long tick; let go, back to the target."""
    _scale(p)
    _tick(p, 18, 74, 102, 8.0)
    p.word((122, 12), say("help.word.pull"))
    p.arrow(arc(DIAL, 64, -44, 17), "focus", 5.0)
    p.arrow(arc(DIAL, 48, 17, -17), "ink", 4.0)


def again(p: Plate) -> None:
    """From short of the target past it to the new reading; to the target alone is for nothing."""
    _scale(p)
    _tick(p, 26, 74, 102, 8.0)
    p.word((122, 12), say("help.word.pull"))
    p.arrow(arc(DIAL, 64, -32, 25), "focus", 5.0)
    p.arrow(arc(DIAL, 46, -44, -19), "ink", 4.0)
    p.cross((34, 88), 6)


def _leaning(degrees: float) -> list[tuple[float, float]]:
    """A tube bent up by an angle."""
    a = radians(degrees)
    return rounded([(8, 84), (74, 84), (74 + 64 * cos(a), 84 - 64 * sin(a))], 18)


def check(p: Plate) -> None:
    """The angle from straight on of the tube at rest; thin where it was under load."""
    p.ghost(_leaning(72))
    p.tube(_leaning(56))
    p.arrow(arc((74, 84), 74, 20, 31), "ink", 3.0)
    p.dashes((84, 84), (154, 84))
    p.line(arc((74, 84), 44, 90, 34), "focus", 4.0)
    p.word((138, 62), "56°")


def over(p: Plate) -> None:
    """Past its target, thin; never back."""
    p.ghost(_leaning(50))
    p.tube(_leaning(68))
    p.arrow(arc((74, 84), 76, 24, 42), "ink", 4.0)
    p.cross((140, 22), 8)


def correct(p: Plate) -> None:
    """As it stands, thin, misses the ring; corrected it arrives."""
    p.ghost(rounded([(10, 86), (56, 86), (82, 36), (142, 54)], 14))
    p.tube(rounded([(10, 86), (56, 86), (82, 36), (142, 24)], 14))
    p.dot((142, 24), 10, "focus", 4.0)


def scrap(p: Plate) -> None:
    """A tube that kinked."""
    p.tube([(8, 78), (82, 78), (122, 30)], bore=14)
    p.line([(76, 71), (86, 82), (92, 76)], "tube_edge", 4.0)
    p.cross((48, 36), 16)


def calipers(p: Plate) -> None:
    """A bend's section, gone oval, with both diameters."""
    p.oval((52, 36), 44, 28, "tube_edge")
    p.oval((52, 36), 42.5, 26.5, "tube")
    for x in (8, 96):
        p.line([(x, 36), (x, 98)], "rule", 1.5)
    p.size((8, 92), (96, 92), say("help.word.largest"))
    for y in (8, 64):
        p.line([(52, y), (130, y)], "rule", 1.5)
    p.size((124, 8), (124, 64), "")
    p.word((124, 74), say("help.word.smallest"))


def missed(p: Plate) -> None:
    """Along the tube to the port, a ring; the tube's end with the last heel at its foot."""
    p.line([(80, 18), (80, 82)], "rule", 2.0)
    p.line([(46, 50), (114, 50)], "rule", 2.0)
    p.ring((92, 42), 14)
    p.dot((92, 56), 3.4)
    p.dot((80, 50), 24, "ink", 3.0)
    p.arrow([(80, 50), (92, 42)], "focus", 4.0)
    p.word((80, 9), say("port.up.one"))
    p.word((80, 92), say("port.up.other"))
    p.word((136, 50), say("port.right.one"))
    p.word((24, 50), say("port.right.other"))


def tagged(p: Plate) -> None:
    """A piece with a tag on it."""
    p.tube(rounded([(10, 40), (76, 40), (118, 12)], 16), flagged=False)
    p.line([(48, 46), (58, 58)], "ink", 2.5)
    p.block(40, 58, 84, 36, "sheet")
    p.dot((58, 64), 2.4, "ink", 2.5)
    p.word((82, 76), "P2-F1  17")


def short(p: Plate) -> None:
    """The tube's end short of its port."""
    p.add(*port_picture(p.box, "ahead", other=True).shapes)


def tilted(p: Plate) -> None:
    """The tube's end pointing up."""
    p.add(*port_picture(p.box, "tilt_up", other=False).shapes)


def learnt(p: Plate) -> None:
    """Bends as dots, the line through them, the band; one dot far off it."""
    p.solid([(20, 74), (150, 28), (150, 8), (20, 60)], "key")
    p.line([(20, 67), (150, 18)], "tube_edge", 4.0)
    p.line([(20, 6), (20, 90), (154, 90)], "ink", 3.0)
    for spot in ((44, 60), (60, 50), (84, 45), (100, 34), (128, 28)):
        p.dot(spot, 3.2)
    p.dot((92, 76), 4.0, "ink", 2.5)


def square(p: Plate) -> None:
    """A square with a protractor laid along one leg and a face of it."""
    p.solid([(30, 10), (46, 10), (46, 74), (120, 74), (120, 90), (30, 90)], "key")
    p.line([(46, 10), (46, 74), (120, 74)], "ink", 3.0)
    p.line([(52, 14), (52, 68), (116, 68)], "focus", 6.0)
    p.dot((52, 68), 3.2, "focus")
    p.size((66, 68), (66, 40), "90°")


def trial(p: Plate) -> None:
    """Both legs to the corner where the centrelines cross."""
    p.tube(rounded([(10, 70), (92, 70), (92, 6)], 24))
    p.dashes((60, 70), (92, 70))
    p.dashes((92, 70), (92, 36))
    p.dot((92, 70), 2.6, "focus")
    for x in (10, 92):
        p.line([(x, 70), (x, 96)], "rule", 1.5)
    p.size((10, 90), (92, 90), say("trial.first"))
    p.line([(92, 70), (128, 70)], "rule", 1.5)
    p.size((122, 70), (122, 6), say("trial.second"))


def trial_u(p: Plate) -> None:
    """The width over both legs' outsides."""
    p.tube(rounded([(10, 26), (124, 26), (124, 76), (10, 76)], 24.9), bore=14)
    for y in (19, 83):
        p.line([(70, y), (100, y)], "rule", 1.5)
    p.size((84, 19), (84, 83), say("help.word.outside"), aside=(-20, 0))


def copy(p: Plate) -> None:
    """From the panel to the stick."""
    p.block(8, 20, 62, 60, "sheet")
    for y in (34, 46, 58):
        p.line([(18, y), (58, y)], "quiet", 3.0)
    p.arrow([(76, 50), (98, 50)], "focus", 6.0)
    p.block(104, 38, 36, 24)
    p.block(140, 43, 12, 14, "sheet")


def settings(p: Plate) -> None:
    """A panel with its keypad at one side."""
    p.block(18, 8, 124, 84, "ground")
    for n in range(12):
        p.block(84 + 18 * (n % 3), 16 + 18 * (n // 3), 15, 15)
    p.line([(28, 28), (70, 28)], "ink", 6.0)
    for y in (46, 58, 70):
        p.line([(28, y), (64, y)], "quiet", 3.0)


def widths(p: Plate) -> None:
    """A run's far end, and the ring within which it arrives."""
    p.tube(rounded([(10, 86), (60, 86), (86, 40), (124, 40)], 16))
    p.dot((124, 40), 26, "ink", 2.5)
    p.arrow([(124, 40), (124, 15)], "focus")


def ruler(p: Plate) -> None:
    """Two bars on the glass, a ruler held to them."""
    for x in (12.0, 126.0):
        p.block(x, 8, 22, 84, "ink")
    p.block(22, 56, 116, 26, "key_act")
    for n in range(13):
        x = 24.8 + 9.2 * n
        p.line([(x, 56), (x, 56 + (14 if n in (1, 11) else 8))], "ink", 2.0)
    p.size((34, 28), (126, 28), "100 mm")


def gauge(p: Plate) -> None:
    """A tube on the glass, its free leg between two thick lines."""
    p.block(6, 4, 148, 92, "ground")
    shape = [(14, 82), (74, 82), (112, 16)]
    p.tube(rounded(shape, 20), bore=9, flagged=False)
    for side in (-1, 1):
        p.line(beside(rounded(shape, 20), 7.0 * side), "ink", 5.0)


def machine(p: Plate) -> None:
    """The triangle in the line on top, and the key that it is on."""
    p.block(8, 14, 144, 76, "ground")
    p.block(8, 14, 144, 24, "sheet")
    p.solid([(28, 18), (38, 34), (18, 34)], "alarm")
    p.word((94, 26), say("missing.voltage.word"))
    for y in (54, 66, 78):
        p.line([(20, y), (120, y)], "quiet", 3.0)
