"""The report for whoever answers for the bench: one HTML file, its plots inside, no network.

It says what was made, how far bends came out from their targets, how many were right at the first
pull, what springs back by lot, and what was scrapped and why; tables of it all stand beside the
plots, and every row is in the CSV files.
"""

from base64 import b64encode
from collections.abc import Iterable, Sequence
from hashlib import sha256
from html import escape

from benchcalc.core.one_line import one_line
from benchcalc.runlog.copies.plots import Bar, bars, spreads, springback_plot
from benchcalc.runlog.copies.tally import ColumnKey, Errors, FittedLine, Pulls, Tally

MOST_ROWS = 60
MOST_PLOTS = 12

STYLE = """
:root { color-scheme: light }
body { font: 15px/1.45 system-ui, sans-serif; color: #1b2430; background: #fff;
  max-width: 780px; margin: 24px auto; padding: 0 16px }
h1 { font-size: 24px; margin: 0 0 4px } h2 { font-size: 18px; margin: 28px 0 6px }
p { margin: 4px 0 10px } .quiet { color: #55606e }
.note { border-left: 4px solid #b3261e; padding: 4px 10px; margin: 8px 0 }
table { border-collapse: collapse; width: 100%; margin: 8px 0; font-size: 14px }
th, td { text-align: left; padding: 3px 8px; border-bottom: 1px solid #d5dae0 }
th { border-bottom: 2px solid #1b2430 }
.n { text-align: right; white-space: nowrap; font-variant-numeric: tabular-nums }
svg { max-width: 100%; height: auto; display: block } svg text { font-size: 12px; fill: #1b2430 }
.lots { display: grid; grid-template-columns: repeat(auto-fill, minmax(300px, 1fr)); gap: 12px }
.lots h3 { font-size: 14px; margin: 6px 0 2px }
.grid { stroke: #d5dae0 } .zero { stroke: #1b2430 } .bar { fill: #2f6f9f }
.thin { stroke: #2f6f9f; stroke-width: 2 } .thick { stroke: #2f6f9f; stroke-width: 9 }
.dot { fill: #fff; stroke: #1b2430; stroke-width: 2 } .band { fill: #cfe3f1 }
.pull { fill: #1b2430; fill-opacity: .55 } .fit { stroke: #2f6f9f; stroke-width: 2 }
@page { size: A4; margin: 15mm }
@media print {
  body { margin: 0; padding: 0; max-width: none; font-size: 11pt;
    -webkit-print-color-adjust: exact; print-color-adjust: exact }
  h2, h3 { break-after: avoid } svg, tr, .lots > div { break-inside: avoid }
  thead { display: table-header-group } .lots { grid-template-columns: 1fr 1fr }
}
"""
_STYLE_HASH = b64encode(sha256(STYLE.encode()).digest()).decode()
_POLICY = f"default-src 'none'; style-src 'sha256-{_STYLE_HASH}'"
"""A browser shows this page with its own style, and loads or runs nothing else."""


def report_html(tally: Tally, title: str, when: str, notes: Sequence[str] = ()) -> str:
    """The whole page. ``notes`` are sentences about the records themselves, shown on top."""
    sections = [
        _made(tally),
        _errors(tally),
        _first_pulls(tally),
        _springback(tally),
        _scrap(tally),
    ]
    title, when = one_line(title), one_line(when)
    told = [one_line(note) for note in notes[:MOST_ROWS]]
    warned = "".join(f'<p class="note">{escape(note)}</p>' for note in told)
    return (
        '<!DOCTYPE html>\n<html lang="en"><head><meta charset="utf-8">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{_POLICY}">\n'
        '<meta name="viewport" content="width=device-width">\n'
        f"<title>{escape(title)}</title>\n<style>{STYLE}</style></head>\n<body>\n"
        f'<h1>{escape(title)}</h1>\n<p class="quiet">Tube bending at the bench. '
        f"Written {escape(when)}.</p>\n{warned}\n{chr(10).join(sections)}\n</body></html>\n"
    )


def _section(name: str, says: str, *parts: str) -> str:
    inside = "\n".join(parts)
    return f"<section><h2>{escape(name)}</h2>\n<p>{escape(says)}</p>\n{inside}\n</section>"


def _table(columns: Sequence[str], rows: Iterable[Sequence[str]], texts: int) -> str:
    """A table whose first ``texts`` columns are texts and whose others are numbers."""
    shown = list(rows)

    def cells(tag: str, row: Sequence[str]) -> str:
        begins = [tag if at < texts else f'{tag} class="n"' for at in range(len(row))]
        pairs = zip(begins, row, strict=True)
        return "".join(f"<{begin}>{escape(one_line(cell))}</{tag}>" for begin, cell in pairs)

    body = "\n".join(f"<tr>{cells('td', row)}</tr>" for row in shown[:MOST_ROWS])
    more = len(shown) - MOST_ROWS
    rest = f'<p class="quiet">And {more} more, in the CSV files.</p>' if more > 0 else ""
    head = f"<thead><tr>{cells('th', columns)}</tr></thead>"
    return f"<table>{head}\n<tbody>{body}</tbody></table>{rest}"


def _made(tally: Tally) -> str:
    made = sorted(tally.made.items(), key=lambda item: (-item[1].made, item[0]))
    total, scrapped = sum(m.made for _, m in made), sum(m.scrapped for _, m in made)
    rows = [
        (name or "unnamed run", drawing, lot, f"{m.made}", f"{m.scrapped}", f"{m.bends}")
        for (name, drawing, lot), m in made
    ]
    says = f"{_count(total, 'piece')} made, {scrapped} scrapped; {_count(tally.remarks, 'remark')}."
    columns = ("Job", "Drawing", "Lot", "MadeCount", "Scrapped", "Bends")
    return _section("What was made", says, _table(columns, rows, 3) if rows else "")


def _count(number: int, what: str) -> str:
    return f"{number} {what}{'' if number == 1 else 's'}"


def _by_size(tally: Tally) -> list[tuple[ColumnKey, Errors]]:
    return sorted(tally.errors.items(), key=lambda item: (-item[1].measured, item[0]))


def _name(bender: str, lot: str) -> str:
    return one_line(f"{bender}, {'lot ' + lot if lot else 'no lot'}")


def _errors(tally: Tally) -> str:
    groups = [(key, s) for key, e in _by_size(tally) if (s := e.spread) is not None]
    if not groups:
        return _section("Angle error", "No bend was measured.")
    says = (
        "Measured angle less its target, by bender and lot: from the least to the greatest, thick "
        "for the mean ± two standard deviations, a dot for the mean. Above zero is over-bent."
    )
    plot = spreads([(_name(*key), s) for key, s in groups[:MOST_ROWS]], "Angle error")
    rows = [
        (
            bender,
            lot,
            f"{s.bends}",
            _off(s.mean),
            f"{s.deviation:.2f}°",
            _off(s.least),
            _off(s.most),
        )
        for (bender, lot), s in groups
    ]
    columns = ("Bender", "Lot", "Bends", "Mean", "Std. dev.", "Least", "Greatest")
    return _section("Angle error", says, plot, _table(columns, rows, 2))


def _off(off_deg: float) -> str:
    hundredths = round(off_deg, 2)
    return f"{hundredths:+.2f}°" if hundredths else "0.00°"


def _first_pulls(tally: Tally) -> str:
    groups = [(key, e) for key, e in _by_size(tally) if e.pulled]
    if not groups:
        return _section("First pull", "No bend was pulled and measured.")
    hits, pulled = sum(e.hits for _, e in groups), sum(e.pulled for _, e in groups)
    says = (
        f"{_share(hits, pulled)} of {_count(pulled, 'bend')} were within tolerance after one pull; "
        "the others were pulled again, kept as they were, or scrapped."
    )
    rows = [
        Bar(_name(*key), e.hits / e.pulled, f"{_share(e.hits, e.pulled)} of {e.pulled}")
        for key, e in groups[:MOST_ROWS]
    ]
    table = [(*key, f"{e.pulled}", f"{e.hits}", _share(e.hits, e.pulled)) for key, e in groups]
    columns = ("Bender", "Lot", "Bends", "Right at first", "Share")
    return _section("First pull", says, bars(rows, 1.0, "First pull"), _table(columns, table, 2))


def _share(part: int, whole: int) -> str:
    return f"{100 * part / whole:.0f} %"


def _springback(tally: Tally) -> str:
    found = sorted(tally.springback.items(), key=lambda item: (-item[1].n, item[0]))
    groups = [(key, p, f) for key, p in found if (f := p.fitted) is not None]
    if not groups:
        return _section("Springback by lot", "No pull was measured.")
    says = (
        "What sprang back against the angle under load, each pull a point; the line is the least-"
        "squares line through the pulls recorded here, its band two standard deviations of single "
        "pulls either way. The overbend on the panel may rest on more than these."
    )
    plots = "\n".join(_lot(*group) for group in groups[:MOST_PLOTS])
    rows = [
        (*key, f"{p.n}", _line_text(f), _at_90(f), "" if f.deviation_deg is None else _band(f))
        for key, p, f in groups
    ]
    columns = ("Bender", "Material", "Tube", "Lot", "Pulls", "Line", "At 90°", "Band")
    return _section(
        "Springback by lot", says, f'<div class="lots">{plots}</div>', _table(columns, rows, 4)
    )


def _lot(key: ColumnKey, pulls: Pulls, fitted: FittedLine) -> str:
    bender, material, size, lot = key
    name = one_line(f"{_name(bender, lot)}: {material} {size}")
    return f"<div><h3>{escape(name)}</h3>{springback_plot(pulls, fitted, name)}</div>"


def _line_text(fitted: FittedLine) -> str:
    return f"{fitted.a_deg:+.2f}° {fitted.b:+.4f} L"


def _at_90(fitted: FittedLine) -> str:
    return f"{fitted.a_deg + fitted.b * 90:.1f}°" if fitted.b else ""


def _band(fitted: FittedLine) -> str:
    return f"± {2 * (fitted.deviation_deg or 0.0):.2f}°"


def _scrap(tally: Tally) -> str:
    reasons = sorted(tally.scrap.items(), key=lambda item: (-item[1], item[0]))
    if not reasons:
        return _section("Scrap by reason", "Nothing was scrapped.")
    most = float(reasons[0][1])
    plot = bars(
        [Bar(one_line(w), c, f"{c}") for w, c in reasons[:MOST_ROWS]], most, "Scrap by reason"
    )
    rows = [(why, f"{count}") for why, count in reasons]
    says = f"{_count(sum(tally.scrap.values()), 'piece')} scrapped."
    return _section("Scrap by reason", says, plot, _table(("Reason", "Pieces"), rows, 1))
