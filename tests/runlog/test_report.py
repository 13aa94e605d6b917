"""The report: what it counts, and that a browser shows it without asking anybody for anything."""

import random
import re
import shutil
import subprocess
from html.parser import HTMLParser
from pathlib import Path

import pytest

from benchcalc.runlog.copies.export import Enclosed
from benchcalc.runlog.copies.report import report_html
from benchcalc.runlog.copies.tally import MOST_GROUPS, Errors, Tally
from tests.runlog.bench_log import WHEN, bench_log, piece
from tests.runlog.copying import copied

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("chrome")
BROWSER = pytest.mark.skipif(CHROMIUM is None, reason="no browser: apt install chromium")


def tally_of(pieces: int = 40, seed: int = 3) -> tuple[Tally, list[dict[str, object]]]:
    dice, tally = random.Random(seed), Tally()
    made = [piece(dice) for _ in range(pieces)]
    for one in made:
        tally.take(one)
    return tally, made


def test_the_counts_are_those_of_the_pieces() -> None:
    tally, made = tally_of()
    assert sum(m.made for m in tally.made.values()) == sum(p["outcome"] == "made" for p in made)
    assert sum(tally.scrap.values()) == sum(p["outcome"] == "scrapped" for p in made)
    bends = [b for p in made for b in p["bends"]]  # type: ignore[attr-defined]
    assert sum(e.measured for e in tally.errors.values()) == len(bends)
    hits = sum(len(b["pulls"]) == 1 for b in bends)
    assert sum(e.hits for e in tally.errors.values()) == hits
    spreads = [e.spread for e in tally.errors.values()]
    offs = [b["released_deg"] - b["target_deg"] for b in bends]
    assert min(s.least for s in spreads if s) == pytest.approx(min(offs))
    assert max(s.most for s in spreads if s) == pytest.approx(max(offs))
    mean = sum(s.mean * s.bends for s in spreads if s) / len(offs)
    assert mean == pytest.approx(sum(offs) / len(offs))


def test_the_line_is_the_one_the_pulls_were_made_with() -> None:
    """The records are invented with 0.6 + 0.021 L about the target, each 0.15 degrees off."""
    tally, _ = tally_of(pieces=600)
    assert len(tally.springback) == 3
    for pulls in tally.springback.values():
        line = pulls.fitted
        assert line is not None and line.deviation_deg is not None
        assert line.a_deg + line.b * 92 == pytest.approx(0.6 + 0.021 * 90, abs=0.06)
        assert line.deviation_deg == pytest.approx(0.15, abs=0.03)
        assert len(pulls.points) <= 240 < pulls.n


def test_the_least_squares_line_is_exact() -> None:
    from benchcalc.runlog.copies.tally import Pulls

    pulls = Pulls()
    for loaded in (30.0, 60.0, 92.5):
        pulls.add(loaded, loaded - (0.5 + 0.02 * loaded))
    line = pulls.fitted
    assert line is not None
    assert line.a_deg == pytest.approx(0.5)
    assert line.b == pytest.approx(0.02)
    assert line.deviation_deg == pytest.approx(0, abs=1e-6)
    one = Pulls()
    one.add(92.0, 90.0)
    assert one.fitted == (2.0, 0.0, None)


def test_memory_stays_bounded_by_groups() -> None:
    dice, tally = random.Random(1), Tally()
    for number in range(MOST_GROUPS + 500):
        tally.take(piece(dice, 1, lot=f"L{number}"))
    assert len(tally.made) == len(tally.errors) == MOST_GROUPS + 1
    assert sum(e.measured for e in tally.errors.values()) == MOST_GROUPS + 500
    assert len(report_html(tally, "t", "w")) < 200_000


class Page(HTMLParser):
    """The tags of a page, and whether each is closed."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.open: list[str] = []
        self.found: list[tuple[str, dict[str, str | None]]] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.found.append((tag, dict(attrs)))
        if tag != "meta":
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.found.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag


def test_the_page_is_well_formed_and_names_nothing_outside_itself() -> None:
    text = report_html(tally_of()[0], "Bench <b>1</b>", WHEN, ["a & b"])
    page = Page(text)
    assert page.open == []
    assert "&lt;b&gt;" in text and "a &amp; b" in text
    assert not re.search(r"https?:|src=|href=|url\(|@import|<script", text)
    assert sum(tag == "svg" for tag, _ in page.found) >= 4


def test_texts_of_a_record_stay_texts() -> None:
    evil = "<script>alert(1)</script>"
    tally = Tally()
    tally.take(piece(random.Random(1), name=evil, lot=evil, why=evil, outcome="scrapped"))
    assert "<script" not in report_html(tally, evil, evil, [evil])


def test_an_error_that_rounds_to_nothing_has_no_sign() -> None:
    tally, _ = tally_of(pieces=1)
    (key,) = tally.errors
    off = tally.errors[key] = Errors()
    for error in (-0.002, -0.006, 0.001):
        off.add(error)
    text = report_html(tally, "Bench", WHEN, [])
    assert "0.00°" in text and "-0.01°" in text
    assert "-0.00°" not in text and "+0.00°" not in text


@pytest.mark.parametrize("pieces", [0, 1])
def test_a_report_of_little_or_nothing(pieces: int) -> None:
    tally = Tally()
    for _ in range(pieces):
        tally.take({**piece(random.Random(1), 1), "outcome": "made"})
    assert Page(report_html(tally, "t", "w")).open == []


BROWSER_S_OWN = (".google.com", ".googleapis.com", ".gvt1.com")
"""Where the browser asks for updates of itself, whatever page it shows."""


def chromium(place: Path, page: Path, *options: str) -> subprocess.CompletedProcess[str]:
    assert CHROMIUM is not None
    command = [
        CHROMIUM, "--headless=new", "--no-sandbox", "--disable-gpu", "--no-first-run",
        "--disable-background-networking", "--disable-component-update",
        f"--user-data-dir={place / 'profile'}", *options, page.as_uri(),
    ]  # fmt: skip
    return subprocess.run(command, capture_output=True, text=True, timeout=120)


@pytest.fixture
def page(tmp_path: Path) -> Path:
    with bench_log(tmp_path / "state", pieces=80) as store:
        return copied(store, tmp_path, Enclosed(wall_time=WHEN)).folder / "report.html"


def shown(place: Path, page: Path) -> tuple[str, list[str], set[str]]:
    """The page as the browser has it, what its console says, and the hosts it asked."""
    log = place / "net.json"
    ran = chromium(
        place, page, "--dump-dom", "--enable-logging=stderr", "--v=0", f"--log-net-log={log}"
    )
    assert ran.returncode == 0
    asked = re.findall(r'"url":"(?:https?|wss?)://([^"/?]+)', log.read_text(errors="replace"))
    strangers = {host for host in asked if not host.endswith(BROWSER_S_OWN)}
    return ran.stdout, [t for t in ran.stderr.splitlines() if "CONSOLE" in t], strangers


@pytest.mark.browser
@BROWSER
def test_a_browser_shows_it_without_an_error_or_a_request(tmp_path: Path, page: Path) -> None:
    dom, console, asked = shown(tmp_path, page)
    assert dom.count("<svg") >= 6 and "Springback by lot" in dom
    assert dom.count('class="pull"') > 100 and dom.count('class="band"') == 3
    assert (console, asked) == ([], set())


@pytest.mark.browser
@BROWSER
def test_an_error_or_a_request_would_be_seen(tmp_path: Path) -> None:
    bad = tmp_path / "bad.html"
    bad.write_text('<img src="http://127.0.0.1:9/x.png"><script>nothing()</script>')
    _, console, asked = shown(tmp_path, bad)
    assert console and asked == {"127.0.0.1:9"}


@pytest.mark.browser
@BROWSER
def test_it_prints_on_pages(tmp_path: Path, page: Path) -> None:
    pdf = tmp_path / "report.pdf"
    printed = chromium(tmp_path, page, f"--print-to-pdf={pdf}", "--no-pdf-header-footer")
    assert printed.returncode == 0
    data = pdf.read_bytes()
    sizes = re.findall(rb"/MediaBox \[0 0 ([0-9.]+) ([0-9.]+)\]", data)
    assert len(sizes) >= 2
    # A4 is 595 by 842 points.
    assert {(round(float(w)), round(float(h))) for w, h in sizes} == {(595, 842)}
