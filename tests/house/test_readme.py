"""What README.md, DEVELOPERS.md and the manual show is what happens; and their reader sees."""

import re
from pathlib import Path

import pytest

import benchcalc
from benchcalc.commands.manual import topics
from tests.house.blocks import blocks
from tests.house.documents import Reader
from tests.house.sources import ROOT

JOB = """# file: rack.yaml
benchcalc: 1
name: sampling rack
tube: {od: 10, wall: 1, material: 316}
bender: bench-10mm
run:
  - {leg: 140, bend: 90}
  - {leg: 120}
"""
PAGES = ("README.md", "DEVELOPERS.md", *(f"assets/manual/{name}.md" for name in sorted(topics())))
MOST_WORDS = 1500
BAD_JOB = JOB.replace("rack", "broken").replace("leg: 120", "leg: twelve")


def fenced(language: str, text: str) -> str:
    return f"```{language}\n{text.strip()}\n```\n"


def problems(folder: Path, *parts: str) -> list[str]:
    folder.mkdir(exist_ok=True)
    return Reader(folder).read("\n".join(parts))


@pytest.mark.parametrize("name", PAGES)
def test_document_holds(name: str, tmp_path: Path) -> None:
    assert Reader(tmp_path).read((ROOT / name).read_text(encoding="utf-8")) == []


def dead_links(markdown: str, folder: Path = ROOT) -> list[str]:
    """Links to files that are not there, seen from the page's folder."""
    links = re.findall(r"\]\(([^)#\s]+)", markdown)
    return [link for link in links if "://" not in link and not (folder / link).exists()]


@pytest.mark.parametrize("name", PAGES)
def test_links_lead_somewhere(name: str) -> None:
    page = ROOT / name
    assert dead_links(page.read_text(encoding="utf-8"), page.parent) == []


def test_readme_is_read_in_minutes() -> None:
    assert len((ROOT / "README.md").read_text(encoding="utf-8").split()) <= MOST_WORDS


def test_readme_names_every_page() -> None:
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    assert all(f"(assets/manual/{name}.md) |" in readme for name in topics())


def test_dead_links_are_found() -> None:
    text = "[a](README.md#x) ![b](assets/no-such.png) [c](https://example.org/x) [d](#part)"
    assert dead_links(text) == ["assets/no-such.png"]


def test_blocks_are_cut_out() -> None:
    found = blocks(f"Write `a.yaml`.\n\nThen `b.yaml`:\n\n{fenced('yaml', 'x: 1')}\n```\ny\n```\n")
    assert [(b.language, b.text, b.line, b.file_name) for b in found] == [
        ("yaml", "x: 1\n", 6, "b.yaml"),
        ("", "y\n", 10, ""),
    ]


COMMANDS = """
# in a folder of its own
python3 -m venv .venv && .venv/bin/pip install -q . \\
  && .venv/bin/benchcalc demo
benchcalc rack.yaml --window 800x480
benchcalc [JOB] [--window 800x480]
benchcalc sheet JOB [--json] [--picture FILE]
BENCHCALC_STATE=/tmp/x benchcalc runs --json   # what is stored
sudo systemctl restart benchcalc
benchcalc
"""
NAME = "import json\nprint(json.load(open('rack.json'))['name'])"


def test_a_document_that_holds_has_no_problem(tmp_path: Path) -> None:
    found = problems(
        tmp_path,
        fenced("yaml", JOB),
        fenced("sh", COMMANDS),
        "Prose between, then a command with its output, and a program with its own:\n",
        fenced("sh", "benchcalc --version"),
        fenced("text", f"benchcalc {benchcalc.__version__}"),
        fenced("sh", ".venv/bin/benchcalc sheet rack.yaml --json > rack.json"),
        fenced("python", NAME),
        fenced("text", "sampling rack"),
        fenced("sh", "benchcalc sheet assets/demo.yaml --picture demo.svg"),
        fenced("yaml", BAD_JOB),
        fenced("sh", "benchcalc sheet broken.yaml > refused.txt 2>&1  # exit 2"),
        "A drawing, no output:\n",
        fenced("text", "o----o"),
    )
    assert found == []
    assert (tmp_path / "demo.svg").is_file() and (tmp_path / "refused.txt").is_file()
    assert (tmp_path / "refused.txt").read_text().startswith("broken.yaml:8: ")


def test_profiles_of_the_reader_are_known_to_the_jobs_after_them(tmp_path: Path) -> None:
    values = "{k: 600 MPa, n: 0.2, e: 200 GPa, elongation: 30 %, source: invented}"
    own = fenced("yaml", f"# file: materials.yaml\nour-steel: {values}")
    job = fenced("yaml", JOB.replace("316", "our-steel"))
    sheet = fenced("sh", "benchcalc sheet rack.yaml")
    assert problems(tmp_path / "own", own, job, sheet) == []
    assert len(problems(tmp_path / "none", job, sheet)) == 2
    wrong = own.replace("200 GPa", "200")
    assert len(problems(tmp_path / "wrong", wrong)) == 1


BAD = {
    "a job refused": [fenced("yaml", BAD_JOB)],
    "yaml that is none": [fenced("yaml", "{a: 1")],
    "an unknown language": [fenced("bash", "ls")],
    "no language": [fenced("", "ls")],
    "a fence never closed": ["```sh\nls"],
    "shell that does not parse": [fenced("sh", "if true; then ls")],
    "an unknown verb": [fenced("sh", "benchcalc shet JOB")],
    "an unknown option": [fenced("sh", "benchcalc sheet JOB --jsn")],
    "an unknown option of the panel": [fenced("sh", "benchcalc JOB --size 800x480")],
    "a verb behind another command": [fenced("sh", "ls && .venv/bin/benchcalc demonstrate")],
    "a prompt": [fenced("sh", "$ ls")],
    "a job never written": [fenced("sh", "benchcalc sheet rack.yaml")],
    "another output": [fenced("sh", "benchcalc --version"), fenced("text", "benchcalc 0")],
    "another output of a program": [fenced("python", "print(1)"), fenced("text", "2")],
    "a program that fails": [fenced("python", "import no_such_module")],
    "a refusal that is none": [
        fenced("yaml", JOB),
        fenced("sh", "benchcalc sheet rack.yaml  # exit 2"),
    ],
    "a refusal not announced": [fenced("sh", "benchcalc --version  # exit 3")],
}


@pytest.mark.parametrize("parts", BAD.values(), ids=BAD.keys())
def test_what_does_not_hold_is_found(parts: list[str], tmp_path: Path) -> None:
    assert len(problems(tmp_path, *parts)) == 1
