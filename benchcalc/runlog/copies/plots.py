"""The report's plots as inline SVG: bars, spreads about a zero, points with a line and its band.

Sizes are in the plot's own units, which the page scales; texts stay texts. Colours come from the
page's style by class, so that a print can have its own.
"""

from collections.abc import Callable, Sequence
from html import escape
from math import ceil, floor, log10
from typing import NamedTuple

from benchcalc.runlog.copies.tally import FittedLine, Pulls, Spread

WIDTH = 720
_ROW = 26
_LEFT = 230
_RIGHT = 90
_SMALL = 320
_LETTERS = 33  # of 12 pixels, that go to the left of a plot

Placing = Callable[[float, float], tuple[float, float]]
"""From a pair of values to where it stands in a plot."""


class Bar(NamedTuple):
    """A name, a value, and what is written behind its bar."""

    name: str
    value: float
    says: str


def bars(rows: Sequence[Bar], most: float, title: str) -> str:
    """One bar a row, ``most`` being the whole width."""
    parts = []
    scale = (WIDTH - _LEFT - _RIGHT) / (most or 1.0)
    for at, row in enumerate(rows):
        y = at * _ROW + 4
        width = max(row.value, 0.0) * scale
        parts.append(_text(_LEFT - 8, y + 14, _fit(row.name), "end"))
        parts.append(f'<rect class="bar" x="{_LEFT}" y="{y}" width="{width:.1f}" height="18"/>')
        parts.append(_text(_LEFT + width + 6, y + 14, row.says))
    return _svg(WIDTH, len(rows) * _ROW + 6, title, parts)


def spreads(rows: Sequence[tuple[str, Spread]], title: str) -> str:
    """One row a group: least to greatest thin, mean ± two standard deviations thick, mean a dot."""
    reach = max([0.5, *(max(abs(s.least), abs(s.most)) for _, s in rows)])
    step = _step(reach / 3)
    reach = ceil(reach / step) * step
    left, width, height = _LEFT, WIDTH - _LEFT - 20, len(rows) * _ROW + 8

    def x(off_deg: float) -> float:
        return left + (off_deg + reach) / (2 * reach) * width

    parts = []
    for tick in _ticks(-reach, reach, step):
        kind = "zero" if tick == 0 else "grid"
        parts.append(_line(kind, x(tick), 0, x(tick), height))
        parts.append(_text(x(tick), height + 14, f"{tick:+g}°" if tick else "0°", "middle"))
    for at, (name, s) in enumerate(rows):
        y = at * _ROW + _ROW / 2 + 4
        low, high = (max(-reach, min(reach, s.mean + k * s.deviation)) for k in (-2, 2))
        parts.append(_text(left - 8, y + 4, _fit(name), "end"))
        parts.append(_line("thin", x(s.least), y, x(s.most), y))
        parts.append(_line("thick", x(low), y, x(high), y))
        parts.append(f'<circle class="dot" cx="{x(s.mean):.1f}" cy="{y:.1f}" r="4"/>')
    return _svg(WIDTH, height + 22, title, parts)


def springback_plot(pulls: Pulls, fitted: FittedLine, title: str) -> str:
    """What sprang back against the loaded angle, with the line and its band."""
    left, top, width, height = 44.0, 8.0, _SMALL - 64.0, 170.0
    x_most = max(ceil(pulls.most_deg / 30) * 30, 30)
    ys = [y for _, y in pulls.points]
    band = 2 * (fitted.deviation_deg or 0.0)
    step = _step(max([*ys, 0.5]) / 3)
    y_most = ceil((max([*ys, 0.5]) + band) / step) * step
    y_least = min(0.0, floor(min(ys) / step) * step)

    def point(loaded_deg: float, springback_deg: float) -> tuple[float, float]:
        share = (springback_deg - y_least) / (y_most - y_least)
        return left + loaded_deg / x_most * width, top + (1 - share) * height

    parts = _axes(point, x_most, (y_least, y_most, step))
    ends = (pulls.least_deg, pulls.most_deg)
    line = [point(e, fitted.a_deg + fitted.b * e) for e in ends]
    if band:
        upper = [point(e, fitted.a_deg + fitted.b * e + band) for e in ends]
        lower = [point(e, fitted.a_deg + fitted.b * e - band) for e in reversed(ends)]
        corners = " ".join(f"{a:.1f},{b:.1f}" for a, b in upper + lower)
        parts.append(f'<polygon class="band" points="{corners}"/>')
    parts += [_point(*point(*p)) for p in pulls.points]
    parts.append(_line("fit", *line[0], *line[1]))
    return _svg(_SMALL, int(top + height) + 22, title, parts)


def _axes(point: Placing, x_most: int, y: tuple[float, float, float]) -> list[str]:
    parts = []
    for tick in _ticks(y[0], y[1], y[2]):
        (x0, y0), (x1, _) = point(0, tick), point(x_most, tick)
        parts.append(_line("grid", x0, y0, x1, y0))
        parts.append(_text(x0 - 4, y0 + 4, f"{tick:g}°", "end"))
    for at in range(0, x_most + 1, 30 if x_most <= 120 else 60):
        (x0, y0), (_, y1) = point(at, y[0]), point(at, y[1])
        parts.append(_line("grid", x0, y0, x0, y1))
        parts.append(_text(x0, y0 + 14, f"{at}°", "middle"))
    return parts


def _point(x: float, y: float) -> str:
    return f'<circle class="pull" cx="{x:.1f}" cy="{y:.1f}" r="2"/>'


def _step(about: float) -> float:
    """A step of 1, 2 or 5 times a power of ten, not under a tenth."""
    power = 10.0 ** floor(log10(max(about, 0.1)))
    return float(next(k * power for k in (1, 2, 5, 10) if k * power >= about - 1e-9))


def _ticks(least: float, most: float, step: float) -> list[float]:
    return [round(k * step, 6) for k in range(round(least / step), round(most / step) + 1)]


def _line(kind: str, x0: float, y0: float, x1: float, y1: float) -> str:
    return f'<line class="{kind}" x1="{x0:.1f}" y1="{y0:.1f}" x2="{x1:.1f}" y2="{y1:.1f}"/>'


def _text(x: float, y: float, text: str, anchor: str = "start") -> str:
    return f'<text x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}">{escape(text)}</text>'


def _fit(name: str) -> str:
    return name if len(name) <= _LETTERS else f"{name[: _LETTERS - 1]}…"


def _svg(width: int, height: int, title: str, parts: Sequence[str]) -> str:
    inside = "\n".join(parts)
    return (
        f'<svg viewBox="0 0 {width} {height}" width="{width}" role="img" '
        f'aria-label="{escape(title, quote=True)}"><title>{escape(title)}</title>\n{inside}\n</svg>'
    )
