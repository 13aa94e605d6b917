"""Where files lie, and what they hold: a job, the shop's profiles, sensors, tables of bends."""

import os
from os import PathLike
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from benchcalc.core.job import Bender, Job, Material, Tube, Units
from benchcalc.core.one_line import one_line
from benchcalc.files.reading import read_bytes
from benchcalc.jobfile.job import parse_job
from benchcalc.jobfile.problems import BadFile, BadJob
from benchcalc.jobfile.profiles import (
    Loaded,
    ReadOne,
    parse_profiles,
    parse_profiles_named,
    read_bender,
    read_material,
)
from benchcalc.jobfile.shop import Shop
from benchcalc.jobfile.strict_yaml import MOST_BYTES

if TYPE_CHECKING:
    from benchcalc.jobfile.bends import MadeBend
    from benchcalc.sensor.profile import SensorProfile

T = TypeVar("T")


def asset_path(name: str) -> Path:
    """A file that comes with the program; in a checkout the assets lie beside the package."""
    package = Path(__file__).resolve().parents[1]
    installed = package / "assets"
    return (installed if installed.is_dir() else package.parent / "assets") / name


BENCH_CONFIG = Path("/etc/benchcalc")
"""An installed bench's own folder (``systemd/install``)."""


def config_folder() -> Path:
    """The folder for the shop's own benders.yaml and materials.yaml; it need not exist.

    Named outright, or the user's own; where the user has none, that of the bench this machine is.
    """
    if named := os.environ.get("BENCHCALC_CONFIG"):
        return Path(named)
    base = os.environ.get("XDG_CONFIG_HOME")
    try:
        own = (Path(base) if base else Path.home() / ".config") / "benchcalc"
    except RuntimeError:  # a user without a home
        return BENCH_CONFIG
    return BENCH_CONFIG if BENCH_CONFIG.is_dir() and not there(own) else own


BENCH_NAME, MOST_NAME = "bench-name", 60
"""The file of a bench's own name beside its profiles, and how many letters of it count."""


def bench_name() -> str:
    """What this bench is called by those who work at it; empty where nobody has named it."""
    try:
        data = read_bytes(config_folder() / BENCH_NAME, 4 * MOST_NAME)
    except BadFile:
        return ""
    first, _, _ = data.decode("utf-8", "replace").strip().partition("\n")
    return one_line(first.strip(), MOST_NAME)


def there(path: Path) -> bool:
    """Whether anything has this name: a dead link too, and what this user may not look at."""
    try:
        path.lstat()
    except (FileNotFoundError, NotADirectoryError):
        return False
    except OSError:
        return True
    return True


def load_shop(folder: Path | None, named_in: bytes | None = None) -> Shop:
    """The built-in profiles and materials, each replaced by the folder's own of the same key.

    A folder without these files, or None, leaves the built-in ones. ``named_in`` saves time: of
    the built-in files only those profiles are read whose key those bytes hold; the folder's own
    files are always read whole. Raises BadFile with every problem of the first file that has any.
    """
    materials = _load(folder, "materials.yaml", read_material, (), named_in)
    benders = _load(folder, "benders.yaml", read_bender, materials.keys, named_in)
    return Shop(tuple(benders.built.values()), tuple(materials.built.values()))


def _load(
    folder: Path | None,
    name: str,
    read_one: ReadOne[T],
    materials: tuple[str, ...] = (),
    named_in: bytes | None = None,
) -> Loaded[T]:
    """What a file that comes along holds, and the folder's own of that name over it."""
    path = asset_path(name)
    data = read_bytes(path, MOST_BYTES)
    if named_in is None:
        keys, built = parse_profiles(data, str(path), read_one, materials)
    else:
        keys, built = parse_profiles_named(data, named_in, read_one, materials)
    if folder is not None and there(own := folder / name):
        mine = parse_profiles(read_bytes(own, MOST_BYTES), str(own), read_one, materials)
        keys, built = keys + mine.keys, built | mine.built
    return Loaded(keys, built)


def load_job(path: "str | PathLike[str]", shop: Shop | None = None) -> Job:
    """The job in a file, with the built-in profiles and materials or those of a ``shop``.

    Raises BadJob, whose ``problems`` are all that is wrong in it, sorted by line.
    """
    if shop is None:
        return load_job_with(Path(path), None)
    return parse_job(read_bytes(Path(path), MOST_BYTES, BadJob), str(path), shop)


def load_job_with(path: Path, folder: Path | None, data: bytes | None = None) -> Job:
    """The job in a file, with the shop of a configuration folder (None: the built-in one).

    ``data`` is what stands in it, where that was read already.

    Builds only those built-in profiles whose key the file holds; a file with a problem is read
    again with all of them, so that it is told what it may have meant. Raises BadJob, and BadFile
    for a profile of the folder.
    """
    data = read_bytes(path, MOST_BYTES, BadJob) if data is None else data
    try:
        return parse_job(data, str(path), load_shop(folder, named_in=data))
    except BadJob:
        return parse_job(data, str(path), load_shop(folder))


def load_sensors(folder: Path | None) -> "tuple[SensorProfile, ...]":
    """The built-in sensor profiles, each replaced by the folder's own of the same key.

    Raises BadFile with every problem of the first file that has any.
    """
    from benchcalc.jobfile.sensors import FILE, read_sensor

    return tuple(_load(folder, FILE, read_sensor).built.values())


def load_points_job(
    path: Path, tube: tuple[Tube, Material], bender: Bender, units: Units, data: bytes | None = None
) -> Job:
    """The job of a list of points in a file. Raises BadFile as ``parse_points_job`` does.

    ``data`` is what stands in it, where that was read already.
    """
    from benchcalc.jobfile.points import parse_points_job

    data = read_bytes(path, MOST_BYTES) if data is None else data
    return parse_points_job(data, str(path), path.stem, tube, bender, units)


def load_bends(path: Path) -> "tuple[MadeBend, ...]":
    """The rows of a table of bends. Raises BadFile with every row that cannot be taken."""
    from benchcalc.jobfile.bends import MOST_BYTES, parse_bends_file

    return parse_bends_file(read_bytes(path, MOST_BYTES), str(path))
