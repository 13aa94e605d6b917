"""What ``benchcalc sheet`` writes beside the sheet: picture, points, strip, page."""

import os
import shutil
import subprocess
import tempfile
from collections.abc import Sequence
from pathlib import Path

from benchcalc.commands.refusal import BadUse, Lacks
from benchcalc.core.sheet import Sheet


def picture_bytes(sheet: Sheet, name: str) -> bytes:
    """The picture, SVG unless ``name`` ends otherwise. Raises Lacks for a PNG without pygame."""
    from benchcalc.report.sheet_svg import PICTURE_SIZE, draw_svg

    if Path(name).suffix != ".png":
        return draw_svg(sheet).encode("utf-8")
    try:
        from benchcalc.shell.display.paint import to_png
    except ImportError as error:
        raise Lacks(f"a PNG needs pygame ({error}): .svg works without it") from None
    from benchcalc.report.sheet_picture import sheet_picture
    from benchcalc.report.theme import PAPER

    return to_png(sheet_picture(sheet, PICTURE_SIZE), PAPER, 2)


def points_text(sheet: Sheet) -> str:
    """The corner points as a table. Raises BadUse for a run that has a crown instead of one."""
    from benchcalc.core.layout.path import corner_points
    from benchcalc.report.points_csv import points_csv

    crown = next((bend.number for bend in sheet.layout.bends if bend.crown), None)
    if crown is not None:
        raise BadUse(
            f"--points: bend {crown} is measured to its crown: it has no corner point: leave "
            "--points out"
        )
    return points_csv(corner_points(sheet.layout, sheet.path))


def strip_text(sheets: Sequence[Sheet], name: str) -> str:
    """The strips of the jobs: a page to print, or one picture."""
    from benchcalc.report.paper.strip import strip_html, strip_svg

    return strip_html(sheets) if Path(name).suffix == ".html" else strip_svg(sheets)


BROWSERS = ("chromium", "chromium-browser", "google-chrome")
PRINTING_S = 120.0


def page_bytes(sheets: Sequence[Sheet], name: str, bench: str) -> bytes:
    """A page a job, as HTML, or as PDF by a browser that is installed. Raises Lacks without one.

    A library that prints HTML is twice the size of all of this, and breaks pages elsewhere.
    """
    from benchcalc.report.paper.page import page_html

    html = page_html(sheets, bench).encode("utf-8")
    if Path(name).suffix != ".pdf":
        return html
    browser = next(filter(None, map(shutil.which, BROWSERS)), None)
    if browser is None:
        raise Lacks("a PDF needs Chromium, which is not installed: print a .html from a browser")
    with tempfile.TemporaryDirectory(prefix="benchcalc-page-") as folder:
        page, printed = Path(folder) / "page.html", Path(folder) / "page.pdf"
        page.write_bytes(html)
        command = [
            browser, "--headless", "--disable-gpu", f"--user-data-dir={folder}/profile",
            "--no-pdf-header-footer", f"--print-to-pdf={printed}", page.as_uri(),
        ]  # fmt: skip
        if os.geteuid() == 0:  # Chromium refuses its sandbox to root
            command.insert(1, "--no-sandbox")
        try:
            subprocess.run(command, capture_output=True, timeout=PRINTING_S, check=True)
            return printed.read_bytes()
        except (OSError, subprocess.SubprocessError) as error:
            says = f"{Path(browser).name} made no PDF ({type(error).__name__})"
            raise Lacks(f"{says}: print a .html from a browser") from None
