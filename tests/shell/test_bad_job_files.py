"""Bad job files: each is refused on the right line, in words that say what to do."""

import re

import pytest
import yaml

from benchcalc.files.loading import load_shop
from benchcalc.jobfile import strict_yaml
from benchcalc.jobfile.job import parse_job
from benchcalc.jobfile.problems import BadFile, Problem

SHOP = load_shop(None)

GOOD = """\
benchcalc: 1
name: sampling rack, line 3
pieces: 4
units: mm
tube: {od: 10, wall: 1, material: 304, lot: H4471}
bender: bench-10mm
tolerance: 0.5
order: [1, 2]
run:
  - {leg: 120, bend: 90}
  - {leg: 85, bend: 45, turn: 90}
  - {leg: 160}
"""
OWN = "bender: {od: 10, radius: 25, max_angle: 190, lines: {start: 0, '90': 25}%s}"
PIECES, TOLERANCE, BENDER = "pieces: 4", "tolerance: 0.5", "bender: bench-10mm"
FIRST, LAST = "{leg: 120, bend: 90}", "{leg: 160}"

# What is changed in the good file, into what, the line the problem is on, words of the problem.
BAD = [
    # the file as YAML
    ("alias", PIECES, "pieces: *four", 3, "no aliases"),
    ("anchor", PIECES, "pieces: &four 4", 3, "no anchors"),
    ("tag", PIECES, "pieces: !!int 4", 3, "no tags"),
    ("own tag", PIECES, "pieces: !python/object:os.system 4", 3, "no tags"),
    ("bare tag", PIECES, "pieces: ! 4", 3, "no tags"),
    ("twice", TOLERANCE, "pieces: 5", 7, "already written on line 3"),
    ("merge", PIECES, "<<: {pieces: 4}", 3, "no merge keys"),
    ("second document", PIECES, "---\npieces: 4", 3, "one a file"),
    ("end and more", PIECES, "...\npieces: 4", 4, "not YAML"),
    ("directive", "benchcalc: 1\n", "%YAML 1.1\n---\nbenchcalc: 1\n", 1, "no directives"),
    ("tab", "  - {leg: 160}", "\t- {leg: 160}", 12, "not YAML"),
    ("open bracket", "order: [1, 2]", "order: [1, 2", 8, "not YAML"),
    ("open quote", PIECES, 'pieces: "4', 3, "not YAML"),
    ("nesting", PIECES, "pieces: " + "[" * 25 + "]" * 25, 3, "at most 20 levels"),
    ("key a list", PIECES, "? [a, b]\n: 4", 3, "write a plain key"),
    ("escape", "name: sampling rack", 'name: "a\\e[2J"\nnote: rack', 2, "001B hex"),
    ("right to left mark", "name: sampling rack", "name: a\u2028b", 2, "2028 hex"),
    ("second byte order mark", PIECES, "pieces: \ufeff4", 3, "FEFF hex"),
    ("nul", PIECES, "pieces: \x004", 3, "0000 hex"),
    ("wrong indent", PIECES, " pieces: 4", 3, "not YAML"),
    # keys
    ("misspelt", PIECES, "peices: 4", 3, "did you mean pieces?"),
    ("unknown", PIECES, "colour: red", 3, "no such key here: remove it; known: benchcalc"),
    ("misspelt in tube", "wall: 1", "wal: 1", 5, "did you mean wall?"),
    ("misspelt in run", "turn: 90", "trun: 90", 11, "run 2 key: trun"),
    ("comma in flow", "leg: 120,", "leg: 120,5,", 10, "write the decimal point, 12.5"),
    ("no version", "benchcalc: 1\n", "", 1, "benchcalc: missing"),
    ("no name", "name: sampling rack, line 3\n", "", 1, "name: missing"),
    ("no bender", BENDER + "\n", "", 1, "bender: missing"),
    ("no material", ", material: 304", "", 5, "tube material: missing"),
    ("no leg", FIRST, "{bend: 90}", 10, "run 1 leg: missing"),
    ("no bend", FIRST, "{leg: 120}", 10, "run 1 bend: missing"),
    # words
    ("version 2", "benchcalc: 1", "benchcalc: 2", 1, "format 1 only"),
    ("version word", "benchcalc: 1", "benchcalc: one", 1, "not a plain decimal number"),
    ("name a boolean", "name: sampling rack, line 3", "name: no", 2, 'put it in quotes, "no"'),
    ("name null", "name: sampling rack, line 3", "name: ~", 2, "take it for nothing"),
    ("name nothing", "name: sampling rack, line 3", "name:", 2, "some text"),
    ("name blanks", "name: sampling rack, line 3", "name: '  '", 2, "some text"),
    ("name a list", "name: sampling rack, line 3", "name: [a]", 2, "a single value"),
    ("name long", "name: sampling", "name: " + "x" * 401, 2, "at most 400 characters"),
    ("name two lines", "name: sampling rack, line 3", 'name: "a\\nb"', 2, "write it on one line"),
    ("lot octal", "lot: H4471", "lot: 0123", 5, 'put it in quotes, "0123"'),
    ("lot exponent", "lot: H4471", "lot: 12e5", 5, "number with exponent"),
    ("lot sixties", "lot: H4471", "lot: 12:30", 5, "count it in sixties"),
    ("lot date", "lot: H4471", "lot: 2024-01-05", 5, "take it for a date"),
    ("lot hex", "lot: H4471", "lot: 0x1F", 5, "hexadecimal"),
    ("units", "units: mm", "units: cm", 4, "one of mm, in"),
    ("angles", PIECES, "angles: includd", 3, "did you mean included?"),
    ("measured", PIECES, "measured: center", 3, "did you mean centre?"),
    ("held", PIECES, "held: left", 3, "one of reference, far"),
    ("to", "bend: 90}", "bend: 90, to: crwn}", 10, "did you mean crown?"),
    ("material unknown", "material: 304", "material: 305", 5, "did you mean 304?"),
    ("bender unknown", BENDER, "bender: bench-10m", 6, "did you mean bench-10mm?"),
    ("bender a list", BENDER, "bender: [bench-10mm]", 6, "a single value"),
    # numbers
    ("pieces none", PIECES, "pieces: 0", 3, "a whole number from 1 to 9999"),
    ("pieces many", PIECES, "pieces: 10000", 3, "a whole number from 1 to 9999"),
    ("pieces part", PIECES, "pieces: 1.5", 3, "a whole number"),
    ("pieces octal", PIECES, "pieces: 010", 3, "leading zero for octal"),
    ("pieces underscore", PIECES, "pieces: 1_000", 3, "drop the underscore"),
    ("pieces hex", PIECES, "pieces: 0x1F", 3, "hexadecimal"),
    ("pieces yes", PIECES, "pieces: yes", 3, "true or false"),
    ("leg exponent", "leg: 120", "leg: 1e3", 10, "number with exponent"),
    ("leg sixties", "leg: 120", "leg: 12:30", 10, "count it in sixties"),
    ("leg infinite", "leg: 120", "leg: .inf", 10, "infinity"),
    ("leg no number", "leg: 120", "leg: .nan", 10, "not-a-number"),
    ("leg null", "leg: 120", "leg: ~", 10, "take it for nothing"),
    ("leg empty", "leg: 120", "leg: ", 10, "run 1 leg: nothing"),
    ("leg zero", "leg: 120", "leg: 0", 10, "over 0"),
    ("leg negative", "leg: 120", "leg: -5", 10, "over 0"),
    ("leg far", "leg: 120", "leg: 1000001", 10, "over the limit of 1000 m"),
    ("leg comma", "leg: 120", 'leg: "12,5"', 10, "write the decimal point"),
    ("leg fraction in mm", "leg: 120", "leg: 4 3/8", 10, "fractions belong to inches"),
    ("leg unit", "leg: 120", "leg: 12 cm", 10, "'cm' is no unit of length here"),
    ("leg one sign half", "leg: 120", "leg: 3½ in", 10, "write fractions as 3 1/2"),
    ("leg thirds", "leg: 120", "leg: 3 1/3 in", 10, "halves to 128ths"),
    ("leg a list", "leg: 120", "leg: [120]", 10, "a single value"),
    ("bend zero", "bend: 90", "bend: 0", 10, "over 0 to 180 deg"),
    ("bend negative", "bend: 90", "bend: -90", 10, "over 0 to 180 deg"),
    ("bend over", "bend: 90", "bend: 180.5", 10, "over 0 to 180 deg"),
    ("bend radians", "bend: 90", "bend: 90 grad", 10, "'grad' is no unit of angle"),
    ("bend in mm", "bend: 90", "bend: 90 mm", 10, "'mm' is no unit of angle"),
    ("corner of a U", "bend: 90", "bend: 180, to: corner", 10, "write to: crown"),
    ("crown of a small bend", "bend: 45,", "bend: 45, to: crown,", 11, "write to: corner"),
    ("turn over", "turn: 90", "turn: 361", 11, "from -360 to 360 deg"),
    ("turn comma", "turn: 90", 'turn: "22,5"', 11, "a comma is no decimal point"),
    ("included 180", "units: mm", "angles: included\nunits: mm\nfit: {angle: 0}", 6, "over 0"),
    ("tolerance", TOLERANCE, "tolerance: 0", 7, "over 0 to 10 deg"),
    ("od negative", "od: 10", "od: -10", 5, "tube od: -10: over 0"),
    ("wall thick", "wall: 1", "wall: 5", 5, "under half of od, 5 mm"),
    ("wall_under bare", "wall: 1", "wall: 1, wall_under: 10", 5, "write it like 10 %"),
    ("wall_under much", "wall: 1", "wall: 1, wall_under: 60 %", 5, "from 0 to 50 %"),
    ("hardness bare", "wall: 1", "wall: 1, hardness: 85", 5, 'write it like "85 HRB"'),
    ("hardness scale", "wall: 1", "wall: 1, hardness: 85 HRX", 5, "one of HRB"),
    ("stock", PIECES, "stock: 0 mm", 3, "over 0"),
    ("ends not a mapping", PIECES, "ends: 5", 3, "a mapping"),
    ("ends key", PIECES, "ends: {begin: 5}", 3, "known: start, finish"),
    ("straight negative", PIECES, "straight: {start: -1}", 3, "straight start: -1: 0 mm or more"),
    ("fit", PIECES, "fit: {within: 0}", 3, "fit within: 0: over 0"),
    ("pressure bare", PIECES, "pressure: {design: 120, allowable: 137.9 MPa}", 3, "120 bar or"),
    (
        "pressure unit",
        PIECES,
        "pressure: {design: 9 mm, allowable: 9 MPa}",
        3,
        "no unit of pressure",
    ),
    ("pressure half", PIECES, "pressure: {design: 9 bar}", 3, "pressure allowable: missing"),
    ("quality", PIECES, "pressure: {design: 9 bar, allowable: 9 MPa, quality: 2}", 3, "to 1:"),
    # the run
    ("order short", "order: [1, 2]", "order: [1]", 8, "each of 1 to 2 once"),
    ("order twice", "order: [1, 2]", "order: [1, 1]", 8, "each of 1 to 2 once"),
    ("order zero", "order: [1, 2]", "order: [0, 1]", 8, "a whole number from 1"),
    ("order empty", "order: [1, 2]", "order: []", 8, "write each bend once"),
    ("order a word", "order: [1, 2]", "order: forward", 8, "a list such as [1, 2]"),
    ("last bends", LAST, "{leg: 160, bend: 30}", 12, "the last item is a leg alone"),
    ("no mapping", FIRST, "120", 10, "write {leg: 120, bend: 90}"),
    ("shape", FIRST, "{offset: {height: 60, angel: 45, leg: 150}}", 10, "did you mean angle?"),
    ("points", PIECES, "points: [[0, 0, 0]]", 3, "keep one of the two"),
    ("ports", PIECES, "ports: {}", 3, "keep one of the two"),
    # a bender of the job's own
    ("own misspelt", BENDER, OWN % ", gripp: 30", 6, "did you mean grip?"),
    ("own radius", BENDER, OWN.replace("25", "5") % "", 6, "over half of od, 5 mm"),
    ("own travel", BENDER, OWN.replace("190", "300") % "", 6, "over 0 to 270 deg"),
    ("own lines", BENDER, OWN.replace("start: 0, '90': 25", "") % "", 6, "at least one line"),
    ("own line name", BENDER, OWN.replace("'90'", "'x9'") % "", 6, "bender lines x9"),
    (
        "own line twice",
        BENDER,
        OWN.replace("start: 0", "90.0: 25") % "",
        6,
        "one line for an angle",
    ),
    ("own walls", BENDER, OWN % ", walls: {304: [2, 1]}", 6, "swap the two"),
    ("own wall", BENDER, OWN % ", walls: {304: 1}", 6, "write [least, most]"),
    ("own wall material", BENDER, OWN % ", walls: {305: [1, 2]}", 6, "a material or any"),
    ("own scale", BENDER, OWN % ", scale: {step: 0}", 6, "over 0 to 15 deg"),
    ("own re-set", BENDER, OWN % ", re_set: 200", 6, "under max_angle, 190 deg"),
    ("own parts", BENDER, OWN % ", parts: {latch: x}", 6, "clamp"),
    ("own part", BENDER, OWN % f", parts: {{clamp: {'x' * 21}}}", 6, "at most 20 letters"),
    ("own part, empty", BENDER, OWN % ", parts: {clamp: ''}", 6, "some text"),
    ("own envelope", BENDER, OWN % ", envelope: {}", 6, "at least one body"),
]


def problems_of(data: str | bytes) -> tuple[Problem, ...]:
    """The problems of a file that must be refused."""
    with pytest.raises(BadFile) as caught:
        parse_job(data.encode() if isinstance(data, str) else data, "job.yaml", SHOP)
    return caught.value.problems


@pytest.mark.parametrize(
    ("old", "new", "line", "words"), [c[1:] for c in BAD], ids=[c[0] for c in BAD]
)
def test_refused_on_its_line_in_words(old: str, new: str, line: int, words: str) -> None:
    assert GOOD.count(old) == 1
    said = [str(problem) for problem in problems_of(GOOD.replace(old, new))]
    assert any(s.startswith(f"job.yaml:{line}: ") and words in s for s in said), said
    for sentence in said:
        assert re.fullmatch(r"job\.yaml:\d+: .+: .+: .+: .+", sentence), sentence
        assert sentence.isprintable()


def test_the_table_is_of_different_kinds() -> None:
    assert len({case[0] for case in BAD}) == len(BAD) >= 60


def test_the_good_file_is_good() -> None:
    assert parse_job(GOOD.encode(), "job.yaml", SHOP).run.last_leg_mm == 160


@pytest.mark.parametrize("case", BAD, ids=[c[0] for c in BAD])
def test_without_the_c_parser_the_same_is_refused(
    case: tuple[str, str, str, int, str], monkeypatch: pytest.MonkeyPatch
) -> None:
    _, old, new, line, words = case
    monkeypatch.setattr(strict_yaml, "_LOADER", yaml.SafeLoader)
    said = [str(problem) for problem in problems_of(GOOD.replace(old, new))]
    assert any(s.startswith(f"job.yaml:{line}: ") and words in s for s in said), said


def test_every_problem_at_once_by_line() -> None:
    bad = GOOD.replace("pieces: 4", "peices: 4").replace("wall: 1", "wall: 7")
    bad = bad.replace("bench-10mm", "bench-10").replace("leg: 120", "leg: 1,5")
    bad = bad.replace("turn: 90", "turn: 400").replace("{leg: 160}", "{leg: -1, bend: 3}")
    lines = [problem.line for problem in problems_of(bad)]
    assert lines == sorted(lines)
    assert set(lines) == {3, 5, 6, 10, 11, 12} and lines.count(12) == 2


def test_an_own_bender_needs_its_fields() -> None:
    missing = {p.what for p in problems_of(GOOD.replace(BENDER, "bender: {}"))}
    assert {f"bender {key}" for key in ("od", "radius", "max_angle", "lines")} <= missing


def test_included_180_is_no_bend_and_0_is_a_u() -> None:
    included = GOOD.replace("units: mm", "angles: included")
    assert "from 0 to under 180 deg" in str(
        problems_of(included.replace("bend: 90", "bend: 180"))[0]
    )
    job = parse_job(included.replace("bend: 90", "bend: 0").encode(), "x", SHOP)
    assert [s.angle_deg for s in job.run.segments] == [180, 135]


@pytest.mark.parametrize(
    ("data", "line", "words"),
    [
        (b"", 1, "empty"),
        (b"# nothing\n", 1, "empty"),
        (b"- 1\n- 2\n", 1, "write key: value"),
        (b"benchcalc: 1\nname: \xff\n", 2, "save the file as UTF-8"),
        (b"a: b\n" * 60_000, 1, "at most 256 KiB"),
        (GOOD.encode("utf-16"), 1, "save the file as UTF-8"),
        ("a: b\n" + "\u0085: c", 2, "0085 hex"),
    ],
)
def test_files_that_are_no_job_at_all(data: bytes | str, line: int, words: str) -> None:
    (problem,) = problems_of(data)
    assert problem.line == line and words in str(problem)


def test_too_many_bends_and_too_few() -> None:
    head = GOOD[: GOOD.index("  - {leg: 120")].replace("order: [1, 2]\n", "")
    bend = "  - {leg: 120, bend: 9}\n"
    assert "201 bends: 1 to 200" in str(problems_of(head + bend * 202)[0])
    assert "0 bends: 1 to 200" in str(problems_of(head + "  - {leg: 120}\n")[0])
    full = parse_job((head + bend * 200 + "  - {leg: 9}\n").encode(), "x", SHOP)
    assert len(full.run.segments) == 200
