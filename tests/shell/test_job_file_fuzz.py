"""Whatever the bytes, a job file is a job or a BadFile, and soon."""

import time

import pytest
import yaml
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from benchcalc.files.loading import asset_path, load_shop
from benchcalc.jobfile import strict_yaml
from benchcalc.jobfile.job import parse_job
from benchcalc.jobfile.problems import BadFile

SHOP = load_shop(None)
DEMO = asset_path("demo.yaml").read_bytes()
SPELT = (
    "benchcalc name units mm in tube od wall material 304 lot bender bench-10mm run leg bend turn "
    "to crown order lines start walls any scale step pressure design allowable bar fit within "
    "slip_on ends straight stock 1 -1 0 90 180 1e9 .nan .inf 0x1 12:30 no ~ 1' 1/2 3½ % deg 1,5 "
    "\" ' : - ? & * ! | > { } [ ] , # --- ... << = \n \t \ufeff \u2028 \x85 \x00 \\ud800"
)
WORDS = SPELT.split(" ")


def outcome(data: bytes) -> BadFile | None:
    """What a file came to; any exception but BadFile fails the test."""
    try:
        parse_job(data, "fuzz.yaml", SHOP)
    except BadFile as bad:
        assert bad.problems
        lines = data.count(b"\n") + data.count(b"\r") + 2
        for problem in bad.problems:
            assert 1 <= problem.line <= lines and str(problem).isprintable()
            assert all((problem.what, problem.value, problem.limit, problem.todo))
        return bad
    return None


@pytest.fixture(params=["C parser", "Python parser"], autouse=True)
def parser(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """Both parsers of PyYAML: a system without the C library has the other."""
    if request.param == "Python parser":
        monkeypatch.setattr(strict_yaml, "_LOADER", yaml.SafeLoader)


FUZZ = settings(
    max_examples=100, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)


@FUZZ
@given(st.binary(max_size=300))
def test_any_bytes(data: bytes) -> None:
    outcome(data)


@FUZZ
@given(st.text(max_size=200))
def test_any_text(text: str) -> None:
    outcome(text.encode("utf-8", "surrogatepass"))


@FUZZ
@given(st.lists(st.sampled_from(WORDS), max_size=60), st.sampled_from(["", " "]))
def test_the_words_of_a_job_in_any_order(words: list[str], gap: str) -> None:
    outcome(gap.join(words).encode())


@FUZZ
@given(st.lists(st.tuples(st.integers(0, len(DEMO)), st.sampled_from(WORDS), st.integers(0, 9))))
def test_a_good_file_with_cuts_and_insertions(edits: list[tuple[int, str, int]]) -> None:
    data = DEMO
    for at, word, cut in edits[:4]:
        data = data[:at] + word.encode() + data[at + cut :]
    outcome(data)


PLAIN = st.one_of(st.none(), st.booleans(), st.integers(), st.floats(), st.sampled_from(WORDS))
ANYTHING = st.recursive(
    PLAIN,
    lambda inner: (
        st.lists(inner, max_size=4) | st.dictionaries(st.sampled_from(WORDS), inner, max_size=6)
    ),
    max_leaves=20,
)


@FUZZ
@given(st.dictionaries(st.sampled_from(WORDS), ANYTHING, max_size=12))
def test_any_structure_under_known_keys(tree: dict[str, object]) -> None:
    data = yaml.safe_dump({"benchcalc": 1, **tree}, allow_unicode=True).encode()
    outcome(data)


BOMBS = {
    "aliases": "a: &a [x, x]\n" + "".join(f"a{i}: &a{i} [*a, *a]\n" for i in range(2000)),
    "deep flow": "a: " + "[" * 200_000,
    "deep block": "- " * 100_000,
    "deep mapping": "{a: " * 60_000,
    "unknown keys": "".join(f"pieces{i}: 1\n" for i in range(15_000)),
    "one long key": "a" * 200_000 + ": 1\n",
    "one long number": f"benchcalc: {'1' * 200_000}\n",
    "bad items": "benchcalc: 1\nrun:\n" + "- x\n" * 50_000,
    "bad order": f"benchcalc: 1\norder: [{'x,' * 90_000}]\n",
    "question marks": "? " * 100_000,
    "quotes": '"' * 200_000,
    "long comment": "#" * 250_000,
    "open text": 'name: "' + "a\n" * 100_000,
}


@pytest.mark.parametrize("kind", BOMBS)
def test_bombs_are_refused_soon(kind: str) -> None:
    data = BOMBS[kind].encode()
    assert len(data) <= strict_yaml.MOST_BYTES
    began = time.monotonic()
    assert outcome(data) is not None
    # A quarter of a MiB takes the parser in Python some seconds; a bomb would take for ever.
    assert time.monotonic() - began < 20
