"""A scene as an SVG file: the same shapes, with text that stays text."""

from xml.sax.saxutils import escape

from benchcalc.report.scene import (
    Box,
    Disc,
    Fill,
    Label,
    Picture,
    Point,
    Polygon,
    Role,
    Scene,
    Shape,
    Stroke,
)
from benchcalc.report.text_fit import fit
from benchcalc.report.theme import Theme

NARROW = frozenset("fijlrtI .,:;'|!()[]/-")
WIDE = frozenset("mwMWABCDGHKNOQRUVXY½¼¾%@—…")


def svg_text(scene: Scene, theme: Theme) -> str:
    """The scene as the text of an SVG file. Widths of text are estimates: no font is at hand."""
    width, height = scene.size
    return "\n".join(
        [
            f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}" height="{height}" '
            f'viewBox="0 0 {width} {height}" font-family="sans-serif">',
            _fill(Fill(Box(0, 0, width, height), scene.ground), theme),
            *(_drawn(shape, theme) for shape in scene.shapes),
            "</svg>\n",
        ]
    )


def _drawn(shape: Shape | Picture, theme: Theme) -> str:
    match shape:
        case Picture():
            return _picture(shape, theme)
        case Label():
            return _label(shape, theme)
        case Fill():
            return _fill(shape, theme)
        case Stroke():
            return (
                f'<polyline points="{_points(shape.points)}" fill="none" stroke-linejoin="round" '
                f'stroke="{_colour(shape.role, theme)}" stroke-width="{_n(shape.width)}"/>'
            )
        case Polygon():
            points = _points(shape.points)
            return f'<polygon points="{points}" fill="{_colour(shape.role, theme)}"/>'
        case Disc():
            return _disc(shape, theme)


def _picture(picture: Picture, theme: Theme) -> str:
    """The shapes cut off at the box, with the labels on top, as the painter has them."""
    box = picture.box
    name = "cut-" + "-".join(_n(v) for v in box)
    place = f'x="{_n(box.x)}" y="{_n(box.y)}" width="{_n(box.w)}" height="{_n(box.h)}"'
    return "\n".join(
        [
            f'<defs><clipPath id="{name}"><rect {place}/></clipPath></defs>',
            f'<g clip-path="url(#{name})">',
            _fill(Fill(box, picture.ground), theme),
            *(_drawn(s, theme) for s in picture.shapes if not isinstance(s, Label)),
            "</g>",
            *(_drawn(s, theme) for s in picture.shapes if isinstance(s, Label)),
        ]
    )


def _fill(shape: Fill, theme: Theme) -> str:
    edge = ""
    box, radius = shape.box, shape.radius
    if shape.edge is not None:  # SVG lays half of a stroke outside; ours lies inside the box
        box = box.inset(shape.edge_width / 2)
        radius = max(0.0, radius - shape.edge_width / 2)
        edge = f' stroke="{_colour(shape.edge, theme)}" stroke-width="{_n(shape.edge_width)}"'
    return (
        f'<rect x="{_n(box.x)}" y="{_n(box.y)}" width="{_n(box.w)}" height="{_n(box.h)}" '
        f'rx="{_n(radius)}" fill="{_colour(shape.role, theme)}"{edge}/>'
    )


def _disc(shape: Disc, theme: Theme) -> str:
    x, y = shape.centre
    colour = _colour(shape.role, theme)
    radius, paint = shape.radius, f'fill="{colour}"'
    if shape.width > 0:
        radius -= shape.width / 2
        paint = f'fill="none" stroke="{colour}" stroke-width="{_n(shape.width)}"'
    return f'<circle cx="{_n(x)}" cy="{_n(y)}" r="{_n(radius)}" {paint}/>'


def _label(label: Label, theme: Theme) -> str:
    box = label.box
    anchor, x = {
        "left": ("start", box.x),
        "centre": ("middle", box.centre[0]),
        "right": ("end", box.right),
    }[label.align]
    fitted = fit(label, _estimated_width)
    weight = ' font-weight="600"' if label.heavy else ""
    colour = _colour(label.role, theme)
    style = f'font-size="{fitted.size_px}" text-anchor="{anchor}" fill="{colour}"{weight}'
    return "\n".join(
        f'<text x="{_n(x)}" y="{_n(y)}" {style}>{escape(row)}</text>'
        for row, y in zip(fitted.rows, fitted.baselines, strict=True)
        if row
    )


def _estimated_width(text: str, size_px: int) -> float:
    """A little wide of most sans-serif fonts, so that a viewer's own font stays in the box."""
    parts = (0.34 if c in NARROW else 0.84 if c in WIDE else 0.58 for c in text)
    return sum(parts) * size_px


def _points(points: tuple[Point, ...]) -> str:
    return " ".join(f"{_n(x)},{_n(y)}" for x, y in points)


def _colour(role: Role, theme: Theme) -> str:
    red, green, blue = theme[role]
    return f"#{red:02x}{green:02x}{blue:02x}"


def _n(value: float) -> str:
    return f"{value:.2f}".rstrip("0").rstrip(".")
