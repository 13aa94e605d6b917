"""Pictures of the help on the bench, the run and its shapes: what each quantity goes between."""

from benchcalc.panel.help.plate import Plate, arc, rounded
from benchcalc.report.scene import Fill, Label, Role
from benchcalc.words.language import say


def signs(p: Plate) -> None:
    """The panel's signs: flag, held side, mark, bend, turn."""
    p.tube([(8, 34), (152, 34)])
    p.held(22, 34, 34)
    p.mark(100, 34)
    p.word((39, 52), say("help.word.held"), "quiet")
    p.word((112, 15), say("help.word.mark"), "pen")
    p.tube(rounded([(8, 92), (60, 92), (96, 62)], 16), flagged=False)
    p.ring((130, 78), 13)
    p.arrow(arc((130, 78), 18, 180, 290))
    p.dot((130, 91), 2.4)


def bender(p: Plate) -> None:
    """The die with its radius, the tube before and after, the line that meets the mark."""
    _in_the_die(p)
    p.size((62, 26), (62, 70), say("help.word.radius"), aside=(-26, -8))


def seat(p: Plate) -> None:
    """The mark on its line, the flagged end held."""
    _in_the_die(p)
    p.word((36, 90), say("help.word.held"), "quiet")
    p.word((124, 90), say("help.word.mark"), "pen")


def _in_the_die(p: Plate) -> None:
    p.ghost([*arc((62, 26), 44, 180, 90), (106, 2)])
    p.add(Fill(p.area(40, 26, 22, 39), "key"))
    edge = arc((62, 26), 39, 90, 180)
    p.solid([*edge, (62, 26)], "key")
    p.line(edge, "tube_edge")
    p.tube([(8, 70), (152, 70)])
    p.held(16, 70, 40)
    p.notch(106, 65)
    p.mark(106, 70)
    p.word((134, 54), say("help.word.line"))


def stretch(p: Plate) -> None:
    """Lines across a bend: wide apart at the heel, close at the throat."""
    sides = [*arc((80, 122), 87, -52, 52), *arc((80, 122), 53, 52, -52)]
    p.solid(sides, "tube")
    p.line([*sides, sides[0]], "tube_edge", 3.0)
    for turn in range(-48, 49, 12):
        inner, outer = arc((80, 122), 53, turn, turn)[0], arc((80, 122), 87, turn, turn)[0]
        p.line([inner, outer], "tube_edge", 2.0)
    p.word((80, 20), say("help.word.heel"))
    p.word((80, 88), say("help.word.throat"))


def tape(p: Plate) -> None:
    """A pen line between two lines of a tape, the nearest lit."""
    p.block(6, 44, 148, 34, "sheet")
    for n in range(22):
        high = 18 if n % 10 == 0 else 13 if n % 5 == 0 else 8
        p.line([(9 + 6.8 * n, 44), (9 + 6.8 * n, 44 + high)], "ink", 2.0)
    x = 9 + 6.8 * 13
    p.line([(x, 44), (x, 58)], "focus", 6.0)
    p.line([(x + 1.8, 22), (x + 1.8, 43)], "pen", 4.0)
    p.word((x + 2, 14), say("help.word.mark"), "pen")
    for n in (10, 20):
        p.word((9 + 6.8 * n, 70), str(n))


def outside(p: Plate) -> None:
    """Across the tube from edge to edge."""
    p.ring((80, 44), 34, bore=True)
    for x in (46, 114):
        p.line([(x, 44), (x, 94)], "rule", 1.5)
    p.size((46, 90), (114, 90), say("help.word.outside"))


def wall(p: Plate) -> None:
    """From the bore to the outside."""
    p.ring((96, 50), 38, bore=True)
    p.arrow([(28, 50), (57, 50)], "focus")
    p.arrow([(98, 50), (71, 50)], "focus")
    p.word((24, 34), say("help.word.wall"))


def stamped(p: Plate) -> None:
    """The lot where it stands."""
    p.tube([(6, 50), (154, 50)], bore=40, flagged=False)
    p.word((80, 50), say("help.word.lot"))


def alike(p: Plate) -> None:
    """Three pieces of one run."""
    for n in range(3):
        low = 90 - 20 * n
        p.tube(rounded([(14, low), (84, low), (128, low - 34)], 16), bore=8, flagged=n == 0)


def named(p: Plate) -> None:
    """A sheet with the run and its name on top."""
    p.block(28, 4, 104, 92, "sheet")
    p.word((80, 18), "P2-F1")
    p.line([(36, 30), (124, 30)], "rule", 2.0)
    p.tube(rounded([(42, 82), (78, 82), (114, 46)], 12), bore=8)


def leg(p: Plate) -> None:
    """Legs between corners; the corners are where the centrelines cross."""
    p.tube(rounded([(10, 70), (76, 70), (76, 24), (146, 24)], 17))
    for start, end in (((40, 70), (76, 70)), ((76, 70), (76, 24)), ((76, 24), (112, 24))):
        p.dashes(start, end)
    for x, y in ((76, 70), (76, 24)):
        p.dot((x, y), 2.6, "focus")
    p.line([(10, 70), (10, 96)], "rule", 1.5)
    p.line([(76, 70), (76, 96)], "rule", 1.5)
    p.size((10, 90), (76, 90), f"{say('field.leg')} 1")
    p.line([(76, 70), (106, 70)], "rule", 1.5)
    p.size((100, 70), (100, 24), "2")


def bend(p: Plate) -> None:
    """From straight on to the bent leg; not the angle between the legs."""
    p.tube(rounded([(8, 84), (76, 84), (108, 28)], 18))
    p.dashes((84, 84), (154, 84))
    p.arrow(arc((76, 84), 46, 90, 32), "focus")
    p.word((136, 56), "60°")
    p.line(arc((76, 84), 24, 275, 390), "quiet", 2.0)
    p.word((58, 38), "120°", "quiet")
    p.cross((26, 38), 8)


def turn(p: Plate) -> None:
    """The tube seen from the flag: where the bend before curves, and clockwise to this one."""
    p.ring((80, 50), 22)
    p.arrow(arc((80, 50), 29, 4, 84), "focus")
    p.dot((80, 28), 4, "sheet")
    p.dot((80, 28), 4, "ink", 2.5)
    p.dot((102, 50), 4, "focus")
    for middle, text in (
        ((80, 8), "0°"),
        ((130, 50), "90°"),
        ((80, 92), "180°"),
        ((28, 50), "270°"),
    ):
        p.word(middle, text)


def offset(p: Plate) -> None:
    """Height between the centrelines of two level pieces."""
    p.tube(rounded([(8, 82), (48, 82), (98, 32), (152, 32)], 15))
    p.dashes((48, 82), (150, 82))
    p.size((130, 82), (130, 32), say("shape.field.height"))
    p.line(arc((48, 82), 30, 90, 45), "focus", 3.0)
    p.word((92, 68), "45°")


def rolling_offset(p: Plate) -> None:
    """Seen along the tube: rise, and roll square to it, clockwise."""
    p.dashes((36, 82), (124, 30))
    p.size((36, 82), (36, 30), say("shape.field.rise"), aside=(4, 4))
    p.size((36, 30), (124, 30), say("shape.field.roll"), aside=(0, -18))
    p.ring((36, 82), 10)
    p.ring((124, 30), 10)


def saddle(p: Plate) -> None:
    """Height of the centreline at the crown, over what stands in the way."""
    p.block(62, 44, 24, 26)
    p.tube(rounded([(6, 64), (34, 64), (74, 18), (114, 64), (156, 64)], 13))
    p.line([(74, 24), (150, 24)], "rule", 1.5)
    p.size((142, 64), (142, 24), say("shape.field.height"))
    p.line([(74, 24), (74, 98)], "rule", 1.5)
    p.size((6, 95), (74, 95), say("shape.field.centre"))


def flat_saddle(p: Plate) -> None:
    """The straight on top, and how high its centreline lies."""
    p.block(52, 58, 34, 28)
    p.tube(rounded([(4, 80), (20, 80), (44, 40), (94, 40), (118, 80), (156, 80)], 11))
    p.line([(94, 40), (150, 40)], "rule", 1.5)
    p.size((142, 80), (142, 40), say("shape.field.height"))
    for x in (50, 88):
        p.line([(x, 40), (x, 20)], "rule", 1.5)
    p.size((50, 25), (88, 25), say("shape.field.flat"))


def u(p: Plate) -> None:
    """Width between centrelines; the leg goes to the farthest reach."""
    p.tube(rounded([(10, 22), (124, 22), (124, 70), (10, 70)], 23.9))
    p.size((60, 22), (60, 70), say("shape.field.width"))
    p.line([(124, 46), (124, 98)], "rule", 1.5)
    p.size((10, 92), (124, 92), say("field.leg"))


def beside(p: Plate) -> None:
    """Two tubes as far apart on every straight, nearer or farther in the bends."""
    p.tube(rounded([(8, 88), (72, 88), (72, 10)], 20), bore=8)
    p.tube(rounded([(8, 62), (46, 62), (46, 10)], 20), bore=8, flagged=False)
    p.size((46, 26), (72, 26), "")
    p.size((20, 62), (20, 88), "")
    p.word((116, 26), say("shape.field.spacing"))


def port(p: Plate) -> None:
    """A place along X and Y, and the way in."""
    p.block(148, 24, 8, 30)
    p.tube(rounded([(10, 80), (70, 80), (111, 39), (148, 39)], 14))
    p.dashes((70, 80), (148, 80))
    p.size((10, 95), (148, 95), "X")
    p.size((138, 80), (138, 39), "Y")
    p.arrow([(108, 16), (142, 16)], "focus", 5.0)


def ports(p: Plate) -> None:
    """Out of the first, into the last."""
    _between_ports(p)
    p.arrow([(18, 54), (48, 54)], "focus", 5.0)
    p.arrow([(108, 50), (142, 50)], "focus", 5.0)


def _between_ports(p: Plate) -> None:
    p.block(4, 62, 8, 30)
    p.block(148, 14, 8, 30)
    p.tube(rounded([(12, 77), (58, 77), (102, 29), (148, 29)], 15), flagged=False)


def fitted(p: Plate) -> None:
    """A run between its ports, both ends square in them."""
    _between_ports(p)
    for x, y in ((12, 77), (148, 29)):
        p.dot((x, y), 9, "good", 4.0)


def ways(p: Plate) -> None:
    """Several runs between the same two ports."""
    p.ghost(rounded([(12, 77), (80, 77), (80, 29), (148, 29)], 15), 8)
    p.ghost(rounded([(12, 77), (128, 77), (128, 29), (148, 29)], 15), 8)
    _between_ports(p)


def findings(p: Plate) -> None:
    """The three words, gravest first."""
    looks: tuple[tuple[str, Role, Role], ...] = (
        (say("level.stop"), "alarm", "alarm_ink"),
        (say("level.caution"), "sheet", "ink"),
        (say("level.note"), "ground", "ink"),
    )
    for n, (text, role, ink) in enumerate(looks):
        box = p.area(18, 6 + 32 * n, 124, 26)
        p.add(Fill(box, role, 4.0, "ink"), Label(box, text, p.unit, ink, "centre"))


def clash(p: Plate) -> None:
    """A tube that comes back through itself, the place ringed."""
    p.tube(rounded([(8, 68), (126, 68), (126, 20), (62, 20), (62, 98)], 15))
    p.dot((62, 68), 14, "alarm", 4.0)
