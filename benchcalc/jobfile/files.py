"""Where files lie, and the shop that they make up."""

import os
from pathlib import Path

from benchcalc.core.job import Bender, Material
from benchcalc.jobfile.profiles import load_profiles, read_bender, read_material
from benchcalc.jobfile.shop import Shop


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
    the built-in files only those profiles are built whose key those bytes hold; the folder's own
    files are always read whole. Raises BadFile with every problem of the first file that has any.
    """
    keys: tuple[str, ...] = ()
    materials: dict[str, Material] = {}
    for path, some in _sources(folder, "materials.yaml", named_in):
        loaded = load_profiles(path, read_material, (), some)
        keys += loaded.keys
        materials |= loaded.built
    benders: dict[str, Bender] = {}
    for path, some in _sources(folder, "benders.yaml", named_in):
        benders |= load_profiles(path, read_bender, keys, some).built
    return Shop(tuple(benders.values()), tuple(materials.values()))


def _sources(
    folder: Path | None, name: str, named_in: bytes | None
) -> list[tuple[Path, bytes | None]]:
    built_in: list[tuple[Path, bytes | None]] = [(asset_path(name), named_in)]
    own = folder / name if folder else None
    return [*built_in, (own, None)] if own and there(own) else built_in
