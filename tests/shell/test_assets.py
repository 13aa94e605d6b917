"""The files that come with the program, and a shop's own beside them."""

from math import isclose, radians, tan
from pathlib import Path

import pytest

from benchcalc.files import loading
from benchcalc.files.loading import asset_path, config_folder, load_job, load_job_with, load_shop
from benchcalc.jobfile.problems import BadFile

SHOP = load_shop(None)

PROFILE = """\
{key}:
  od: 10 mm
  radius: {radius}
  max_angle: 180 deg
  lines: {{start: 0 mm}}
  source: measured on our bench
"""


def test_every_profile_says_where_it_comes_from() -> None:
    assert len(SHOP.materials) == 11
    assert all(one.source for one in SHOP.benders)
    assert all(one.source for one in SHOP.materials)
    for material in SHOP.materials:
        for word in ("k, n", "elongation", "e:"):
            assert word in material.source or "those of 304" in material.source


METRIC = (3, 4, 5, 6, 8, 10, 12, 14, 15, 16, 18)
INCH = ("1/8", "3/16", "1/4", "5/16", "3/8", "1/2", "5/8", "3/4")


def test_every_common_size_has_a_profile_and_its_key() -> None:
    inches = [f"bench-{size.replace('/', '-')}in" for size in INCH]
    assert [b.key for b in SHOP.benders] == [*inches, *(f"bench-{od}mm" for od in METRIC)]
    assert all(SHOP.bender(f"bench-{od}mm").od_mm == od for od in METRIC)  # type: ignore[union-attr]


def test_no_profile_claims_what_has_no_source() -> None:
    """Its radius has a source or a rule; what one range of benders would publish is not there."""
    for bender in SHOP.benders:
        assert "measure yours" in bender.source and "as they are stamped on yours" in bender.source
        assert not bender.walls and bender.re_set_deg is None and not any(bender.envelope.bodies)
        if "from memory" not in bender.source:
            assert isclose(bender.radius_mm, 2.5 * bender.od_mm), bender.key


# FAA-H-8083-30, standard bend radius to the tube's centreline in inches, from memory.
@pytest.mark.parametrize(
    ("key", "od_in", "radius_in"),
    [
        ("bench-1-8in", 1 / 8, 3 / 8),
        ("bench-3-16in", 3 / 16, 7 / 16),
        ("bench-1-4in", 1 / 4, 9 / 16),
        ("bench-5-16in", 5 / 16, 11 / 16),
        ("bench-3-8in", 3 / 8, 15 / 16),
        ("bench-1-2in", 1 / 2, 3 / 2),
    ],
)
def test_inch_dies_have_the_published_radius(key: str, od_in: float, radius_in: float) -> None:
    bender = SHOP.bender(key)
    assert bender is not None
    assert isclose(bender.od_mm, od_in * 25.4) and isclose(bender.radius_mm, radius_in * 25.4)


def test_lines_lie_at_their_corner() -> None:
    for bender in SHOP.benders:
        assert [line.name for line in bender.lines] == ["start", "45", "90"]
        for line in bender.lines[1:]:
            assert line.angle_deg is not None
            corner_mm = bender.radius_mm * tan(radians(line.angle_deg / 2))
            assert isclose(line.offset_mm, corner_mm, abs_tol=0.002)


# Callister 2005 p. 199 (first pairs) and Kalpakjian (second ones), both from memory.
@pytest.mark.parametrize(
    ("key", "k_mpa", "n"),
    [
        ("304", (1400, 1275), (0.44, 0.45)),
        ("copper", (530, 315), (0.44, 0.54)),
        ("steel", (600, 530), (0.21, 0.26)),
        ("brass", (900,), (0.49,)),
        ("1100-O", (180,), (0.20,)),
        ("5052-O", (210,), (0.13,)),
        ("6061-O", (205,), (0.20,)),
        ("6061-T6", (410,), (0.05,)),
    ],
)
def test_materials_have_the_published_values(
    key: str, k_mpa: tuple[float, ...], n: tuple[float, ...]
) -> None:
    material = SHOP.material(key)
    assert material is not None
    assert (material.k_mpa, material.n) == (k_mpa, n)


def test_the_demo_job_is_good_by_either_way() -> None:
    path = asset_path("demo.yaml")
    job = load_job(path, SHOP)
    assert 3 <= len(job.run.segments) <= 4 and "water-sampling" in job.name
    assert load_job_with(path, None) == job


def test_only_the_named_profiles_are_built() -> None:
    some = load_shop(None, named_in=b"bender: bench-6mm\n material: copper")
    assert [bender.key for bender in some.benders] == ["bench-6mm"]
    assert [material.key for material in some.materials] == ["copper"]
    assert some.bender("bench-6mm") == SHOP.bender("bench-6mm")


def test_a_misspelt_key_is_still_told_what_it_meant(tmp_path: Path) -> None:
    text = asset_path("demo.yaml").read_text().replace("bench-10mm", "bench-10mn")
    (tmp_path / "job.yaml").write_text(text)
    with pytest.raises(BadFile, match="did you mean bench-10mm"):
        load_job_with(tmp_path / "job.yaml", None)


def test_own_profiles_replace_and_add(tmp_path: Path) -> None:
    own = PROFILE.format(key="bench-10mm", radius="25.3 mm") + PROFILE.format(
        key="b2", radius="1 in"
    )
    (tmp_path / "benders.yaml").write_text(own)
    shop = load_shop(tmp_path)
    own_bender, added = shop.bender("bench-10mm"), shop.bender("b2")
    assert own_bender and own_bender.radius_mm == 25.3 and not own_bender.walls
    assert added and added.radius_mm == 25.4
    assert len(shop.benders) == len(SHOP.benders) + 1 and shop.materials == SHOP.materials


@pytest.mark.parametrize(
    ("text", "line", "words"),
    [
        (PROFILE.format(key="b", radius="25"), 3, "no unit"),
        (PROFILE.format(key="b", radius="25 mm").replace("180 deg", "180"), 4, "its unit must"),
        (PROFILE.format(key="inline", radius="25 mm"), 1, "write another key"),
        (PROFILE.format(key="b c", radius="25 mm"), 1, "write another key"),
        (PROFILE.format(key="b", radius="25 mm").replace("  source: measured on our bench", ""), 2,
         "b source: missing"),
        (PROFILE.format(key="b", radius="25 mm") + "  raduis: 3 mm\n", 7, "did you mean radius?"),
        ("b: 3\n", 1, "write its fields"),
    ],
)  # fmt: skip
def test_bad_bender_files(tmp_path: Path, text: str, line: int, words: str) -> None:
    (tmp_path / "benders.yaml").write_text(text)
    with pytest.raises(BadFile) as caught:
        # An own file is read whole even when the job names none of it.
        load_shop(tmp_path, named_in=b"")
    assert any(p.line == line and words in str(p) for p in caught.value.problems), caught.value


@pytest.mark.parametrize(
    ("field", "bad", "words"),
    [
        ("k", "[1400, 1275]", "its unit must be written"),
        ("n", "[0.44]", "as many as k"),
        ("n", "[0.44, 1]", "from 0 to under 1"),
        ("e", "193", "its unit must be written"),
        ("elongation", "35", "its unit must be written"),
        ("hardness_max", "90", "one of HRB"),
        ("wall_under", "60 %", "from 0 to 50 %"),
        ("k", "[1 MPa, 2 MPa, 3 MPa]", "a list of up to 2"),
    ],
)
def test_bad_material_files(tmp_path: Path, field: str, bad: str, words: str) -> None:
    good = {"k": "[1400 MPa, 1275 MPa]", "n": "[0.44, 0.45]", "e": "193 GPa", "elongation": "35 %"}
    lines = [f"  {key}: {value}" for key, value in {**good, field: bad}.items()]
    (tmp_path / "materials.yaml").write_text("\n".join(["own:", *lines, "  source: a test", ""]))
    with pytest.raises(BadFile, match=words):
        load_shop(tmp_path)


def test_the_configuration_folder(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("HOME", str(tmp_path))
    for name in ("BENCHCALC_CONFIG", "XDG_CONFIG_HOME"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setattr(loading, "BENCH_CONFIG", tmp_path / "etc")
    assert config_folder() == tmp_path / ".config" / "benchcalc"
    (tmp_path / "etc").mkdir()
    assert config_folder() == tmp_path / "etc", "on a bench, the bench's own"
    (tmp_path / ".config/benchcalc").mkdir(parents=True)
    assert config_folder() == tmp_path / ".config" / "benchcalc", "unless the user has one"
    (tmp_path / "etc").rmdir()
    monkeypatch.setenv("XDG_CONFIG_HOME", "/x")
    assert config_folder() == Path("/x/benchcalc")
    monkeypatch.setenv("BENCHCALC_CONFIG", "/own")
    assert config_folder() == Path("/own")


def test_files_that_cannot_be_read(tmp_path: Path) -> None:
    for path in (tmp_path, tmp_path / "none.yaml", Path("a\0b")):
        with pytest.raises(BadFile, match="cannot be read"):
            load_job(path, SHOP)
