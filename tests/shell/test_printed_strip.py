"""The strip as a browser prints it: its marks measured in the PDF, and its check line."""

import re
import shutil
import subprocess
import xml.etree.ElementTree as ET
from collections.abc import Iterator
from pathlib import Path

import pytest

from benchcalc import load_job, work_out
from benchcalc.core.sheet import Sheet
from benchcalc.report.paper.strip import LEFT, PEN, ROW, strip_html

pytestmark = pytest.mark.skipif(
    shutil.which("chromium") is None or shutil.which("pdftocairo") is None,
    reason="needs Chromium and pdftocairo (Debian: chromium poppler-utils)",
)

SIX_METRES = """benchcalc: 1
name: rinse line <&> "ü" 管
units: UNITS
tube: {od: 10 mm, wall: 1 mm, material: 316}
bender: bench-10mm
run:
  - {leg: 140 mm, bend: 90}
  - {leg: 1210.7 mm, bend: 45, turn: 90}
  - {leg: 75 mm, bend: 45, turn: 180}
  - {leg: 2333.3 mm, bend: 60}
  - {leg: 1640 mm, bend: 90, turn: -90}
  - {leg: 700 mm}
"""
PT_MM = 25.4 / 72
WITHIN_MM = 0.1
SVG = "{http://www.w3.org/2000/svg}"
NUMBER = r"-?\d+(?:\.\d+)?"


def printed(sheet: Sheet, folder: Path) -> Iterator[ET.Element]:
    """Each page of the printed strip, as vectors read back from the PDF."""
    page, pdf = folder / "strip.html", folder / "strip.pdf"
    page.write_text(strip_html([sheet]), encoding="utf-8")
    subprocess.run(
        ["chromium", "--headless", "--no-sandbox", "--disable-gpu", "--no-pdf-header-footer",
         f"--user-data-dir={folder}/profile", f"--print-to-pdf={pdf}", page.as_uri()],
        check=True, capture_output=True, timeout=120,
    )  # fmt: skip
    told = subprocess.run(["pdfinfo", str(pdf)], check=True, capture_output=True, text=True).stdout
    count = int(re.findall(r"Pages: +(\d+)", told)[0])
    for number in range(1, count + 1):
        out = folder / f"{number}.svg"
        which = ["-f", str(number), "-l", str(number)]
        subprocess.run(["pdftocairo", "-svg", *which, str(pdf), str(out)], check=True, timeout=60)
        yield ET.parse(out).getroot()


def strokes(page: ET.Element, colour: tuple[int, int, int]) -> Iterator[list[tuple[float, float]]]:
    """The points of every stroked path of a colour, in millimetres of paper."""
    for path in page.iter(f"{SVG}path"):
        drawn = f"stroke:{path.get('stroke', '')};{path.get('style', '')}"  # newer and older ones
        found = re.search(r"stroke:rgb\(([\d.]+)%, ?([\d.]+)%, ?([\d.]+)%\)", drawn)
        if not found or any(
            abs(float(part) * 2.55 - want) > 1
            for part, want in zip(found.groups(), colour, strict=True)
        ):
            continue
        numbers = [float(n) for n in re.findall(NUMBER, path.get("d", ""))]
        matrix = path.get("transform", "matrix(1, 0, 0, 1, 0, 0)")
        a, b, c, d, e, f = map(float, re.findall(NUMBER, matrix))
        pairs = zip(numbers[::2], numbers[1::2], strict=True)
        yield [((a * x + c * y + e) * PT_MM, (b * x + d * y + f) * PT_MM) for x, y in pairs]


def rgb(colour: str) -> tuple[int, int, int]:
    red, green, blue = (int(colour[i : i + 2], 16) for i in (1, 3, 5))
    return red, green, blue


@pytest.mark.parametrize("units", ["mm", "in"])
def test_printed_marks_stand_within_a_tenth_of_a_millimetre(units: str, tmp_path: Path) -> None:
    job = tmp_path / "job.yaml"
    job.write_text(SIX_METRES.replace("UNITS", units), encoding="utf-8")
    sheet = work_out(load_job(job))
    assert sheet.layout.cut_length_mm > 6000
    rows: list[tuple[float, float]] = []
    for number, page in enumerate(printed(sheet, tmp_path)):
        width = float(page.get("width", "0").removesuffix("pt")) * PT_MM
        assert width == pytest.approx(297, abs=0.5)
        lines = [line for line in strokes(page, rgb(PEN)) if len(line) == 2]
        rows += [(number + min(y for _, y in line) / 1000, line[0][0]) for line in lines]
        check = [p for p in strokes(page, (0x16, 0x14, 0x11)) if len(p) == 6]
        assert len(check) == 1, "a line to check the printer by, on every page"
        across = [x for x, _ in check[0]]
        assert max(across) - min(across) == pytest.approx(100, abs=WITHIN_MM)
    rows.sort()
    marks = [bend.mark.at_mm for bend in sheet.layout.bends if bend.mark]
    assert len(rows) == len(marks) == 5
    long = ROW[sheet.job.units]
    for (_, x), at_mm in zip(rows, marks, strict=True):
        assert x - LEFT == pytest.approx(at_mm % long, abs=WITHIN_MM)
