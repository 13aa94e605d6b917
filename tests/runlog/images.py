"""A stick as a small image, mounted for real where this machine can."""

import os
import shutil
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

MAKE = {"vfat": ["mkfs.vfat"], "ext4": ["mkfs.ext4", "-q", "-m", "0"]}


def image(path: Path, kind: str, size_kb: int) -> Path:
    """A file system of this kind in a file; skips where no program makes one."""
    command = MAKE[kind]
    if shutil.which(command[0], path=f"{os.environ['PATH']}:/usr/sbin:/sbin") is None:
        pytest.skip(f"there is no {command[0]} here")
    with path.open("wb") as file:
        file.truncate(size_kb << 10)
    searched = {**os.environ, "PATH": f"{os.environ['PATH']}:/usr/sbin:/sbin"}
    subprocess.run([*command, str(path)], check=True, capture_output=True, env=searched)
    return path


@contextmanager
def mounted(picture: Path, place: Path, options: str = "rw") -> Iterator[Path]:
    """The image as a folder; skips, with mount's own words, where it cannot be mounted."""
    place.mkdir(exist_ok=True)
    if os.geteuid() != 0:
        pytest.skip("only root may mount an image")
    words = ["mount", "-o", f"loop,{options}", str(picture), str(place)]
    tried = subprocess.run(words, capture_output=True, text=True, check=False)
    if tried.returncode:
        pytest.skip(f"no image can be mounted here: {tried.stderr.splitlines()[0]}")
    try:
        yield place
    finally:
        subprocess.run(["umount", str(place)], check=True)
