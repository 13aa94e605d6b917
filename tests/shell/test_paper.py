"""What is printed: figures that lie apart, strips, pages and cut lists; odd names; nothing lost."""

import re
import xml.etree.ElementTree as ET
from itertools import combinations
from pathlib import Path

import pytest

from benchcalc import draw_svg, load_job, work_out
from benchcalc.cli import main
from benchcalc.core.sheet import Sheet
from benchcalc.files.loading import asset_path
from benchcalc.report.paper.levels import flag_levels
from benchcalc.report.paper.strip import strip_html, strip_svg

SVG = "{http://www.w3.org/2000/svg}"
JOB = """benchcalc: 1
name: {name}
tube: {{od: 10, wall: 1, material: 316, lot: {lot}}}
bender: bench-10mm
{more}
run:
  - {{leg: 140, bend: 90}}
  - {{leg: 120}}
"""


def manual_job(name: str, folder: Path) -> Sheet:
    """A job of the manual's page on shapes."""
    page = asset_path("manual/shapes.md").read_text(encoding="utf-8")
    block = re.search(rf"```yaml\n# file: {name}\n(.*?)```", page, re.S)
    assert block is not None
    (folder / name).write_text(block[1], encoding="utf-8")
    return work_out(load_job(folder / name))


def wiggles(folder: Path, bends: int, leg_mm: float) -> Sheet:
    """Many bends close together."""
    run = "".join(f"  - {{leg: {leg_mm}, bend: 30, turn: {90 * (n % 3)}}}\n" for n in range(bends))
    job = JOB.format(name="wiggles", lot="A", more="").partition("run:")[0]
    (folder / "wiggles.yaml").write_text(f"{job}run:\n{run}  - {{leg: 90}}\n", encoding="utf-8")
    return work_out(load_job(folder / "wiggles.yaml"))


Placed = tuple[float, float, float, float, str]


def texts(svg: ET.Element, letters: float = 0.5) -> list[Placed]:
    """Where each text of a picture stands: left, top, right, bottom; letters narrow of any font."""
    found = []
    for text in svg.iter(f"{SVG}text"):
        size = float(text.get("font-size", "0"))
        x, y, says = float(text.get("x", "0")), float(text.get("y", "0")), text.text or ""
        wide = len(says) * size * letters
        left = x - {"start": 0.0, "middle": wide / 2, "end": wide}[text.get("text-anchor", "start")]
        found.append((left, y - size * 0.72, left + wide, y, says))
    return found


def overprinted(placed: list[Placed]) -> list[tuple[str, str]]:
    return [
        (a[4], b[4])
        for a, b in combinations(placed, 2)
        if a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]
    ]


@pytest.mark.parametrize("which", ["over-the-pump.yaml", "beside-the-pump.yaml", "many", "demo"])
def test_no_figure_of_a_picture_or_strip_lies_on_another(which: str, tmp_path: Path) -> None:
    if which == "many":
        sheet = wiggles(tmp_path, 30, 32)
    elif which == "demo":
        sheet = work_out(load_job(asset_path("demo.yaml")))
    else:
        sheet = manual_job(which, tmp_path)
    picture = texts(ET.fromstring(draw_svg(sheet)))
    assert len(picture) > len(sheet.layout.bends)
    assert overprinted(picture) == []
    pages = ET.fromstring(strip_svg([sheet])).findall(f"{SVG}svg")
    assert pages and all(overprinted(texts(page)) == [] for page in pages)


def test_overprinting_is_found() -> None:
    text = '<text x="{}" y="20" font-size="20" text-anchor="start">123.4 mm</text>'
    both = f'<svg xmlns="http://www.w3.org/2000/svg">{text.format(0)}{text.format(30)}</svg>'
    assert len(overprinted(texts(ET.fromstring(both)))) == 1


def test_a_flag_stands_over_all_that_begin_under_it() -> None:
    assert flag_levels([]) == []
    assert flag_levels([(0, 10), (20, 10), (30, 10)]) == [0, 0, 0]
    assert flag_levels([(5, 10), (0, 10), (12, 10)]) == [1, 2, 0]


def test_every_mark_of_a_strip_stands_at_its_place(tmp_path: Path) -> None:
    sheet = wiggles(tmp_path, 30, 32)
    svg = ET.fromstring(strip_svg([sheet]))
    lines = [line for line in svg.iter(f"{SVG}line") if line.get("class") == "mark"]
    marks = [bend.mark.at_mm for bend in sheet.layout.bends if bend.mark]
    at_mm = [float(line.get("x1", "0")) - 12 for line in lines]
    assert at_mm == pytest.approx([at % 250 for at in marks], abs=1e-3)
    assert svg.get("width") == "297mm" and svg.get("height", "").endswith("mm")


def run(folder: Path, capsys: pytest.CaptureFixture[str], *words: str) -> tuple[int, str, str]:
    code = main(["sheet", *(str(folder / w) if w.endswith(".yaml") else w for w in words)])
    said = capsys.readouterr()
    return code, said.out, said.err


def write(folder: Path, file: str, name: str, more: str = "", lot: str = "W1") -> None:
    text = JOB.format(name=name, more=more, lot=lot)
    (folder / file).write_text(text, encoding="utf-8")


def test_a_cut_list_of_several_jobs(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    write(tmp_path, "a.yaml", "rack", "stock: 600\npieces: 3")
    write(tmp_path, "b.yaml", "rack", "stock: 600\npieces: 2")
    write(tmp_path, "c.yaml", "shelf")
    write(tmp_path, "d.yaml", "other lot", "stock: 200", "W2")
    code, out, err = run(
        tmp_path, capsys, "a.yaml", "b.yaml", "c.yaml", "d.yaml", "--kerf", "1.5 mm"
    )
    assert (code, err) == (1, ""), "the stick of d is too short, which is a finding that says stop"
    listed = out[out.index("JOBS") :]
    assert "sticks 1-2: 2 x" not in listed or "(job 1, rack)" in listed
    assert re.search(r"CUT LIST  10 mm x 1 mm 316, lot W1, sticks of 600.0 mm, kerf 1.5 mm", listed)
    assert "3 sticks; no plan uses fewer." in listed
    assert listed.count("(job 1, rack)") >= 1 and listed.count("(job 2, rack)") >= 1
    assert re.search(r"LENGTHS TO CUT .*\n  1 x \d+\.\d mm \(job 3, shelf\)", listed)
    assert "(job 4, other lot) is longer than a stick: not cut" in listed
    assert out.count("CAUTIONS") == 4, "the sheets themselves stand before it"


@pytest.mark.parametrize("kerf", ["x", "-1", "30 mm", "", "1e400", "nan"])
def test_a_kerf_that_no_saw_takes_is_refused(
    kerf: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    write(tmp_path, "a.yaml", "rack", "stock: 600")
    code, out, err = run(tmp_path, capsys, "a.yaml", f"--kerf={kerf}")
    assert code == 2 and out == "" and err.startswith("benchcalc: --kerf")


@pytest.mark.parametrize("name", ['"<b>&\\"quoted\\""', "管路 № 7", '"‏עברית"', f'"{"long " * 60}"'])
def test_odd_names_are_written_as_they_are(
    name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    write(tmp_path, "a.yaml", name)
    strip, page, out = (tmp_path / end for end in ("s.html", "p.html", "s.svg"))
    for option, file in (("--strip", strip), ("--page", page), ("--strip", out)):
        assert run(tmp_path, capsys, "a.yaml", option, str(file))[0] == 0
    told = load_job(tmp_path / "a.yaml").name
    svg = ET.parse(out).getroot()
    assert any(told in (text.text or "") for text in svg.iter(f"{SVG}text"))
    for file in (strip, page):
        text = file.read_text(encoding="utf-8")
        assert told.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;") in text
        assert "<b>" not in text and "http" not in text.replace("http://www.w3.org/2000/svg", "")


def test_a_page_tells_all_that_the_sheet_tells(tmp_path: Path) -> None:
    from benchcalc.report.figures import length_text
    from benchcalc.report.finding_text import cautions, finding_says
    from benchcalc.report.paper.page import page_html

    sheet = manual_job("over-the-pump.yaml", tmp_path)
    page = page_html([sheet, sheet])
    assert page.count("<section") == 2
    for bend in sheet.layout.bends:
        assert bend.mark and f">{length_text(bend.mark.at_mm, 'mm')}<" in page
    for says in (*cautions(), *(finding_says(f, "mm") for f in sheet.findings)):
        assert says.replace("&", "&amp;") in page


def test_a_pdf_needs_a_browser(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    write(tmp_path, "a.yaml", "rack")
    monkeypatch.setenv("PATH", str(tmp_path))
    code, out, err = run(tmp_path, capsys, "a.yaml", "--page", str(tmp_path / "p.pdf"))
    assert code == 3 and out == "" and "needs Chromium" in err
    assert not (tmp_path / "p.pdf").exists()


def test_a_strip_that_cannot_be_written_is_said(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    write(tmp_path, "a.yaml", "rack")
    code, out, err = run(tmp_path, capsys, "a.yaml", "--strip", str(tmp_path / "no" / "s.html"))
    assert code == 3 and out == "" and "cannot be written" in err
    assert strip_html([work_out(load_job(tmp_path / "a.yaml"))]).count("<svg") == 1
