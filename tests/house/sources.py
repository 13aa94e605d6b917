"""The repository's own files, and its modules as syntax trees."""

import ast
import subprocess
from functools import cache
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
PACKAGE = ROOT / "benchcalc"
PRUNED = ("__pycache__", "*.egg-info")


@cache
def own_files() -> tuple[str, ...]:
    """Every file that is tracked, or would be once added, as a path from the root."""
    command = ["git", "ls-files", "-coz", "--exclude-standard"]
    try:
        asked = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=True)
    except (OSError, subprocess.CalledProcessError):
        return _walked()  # no git here, or a copy of the tree without its history
    return tuple(sorted(name for name in asked.stdout.split("\0") if (ROOT / name).is_file()))


def _walked() -> tuple[str, ...]:
    found = []
    for path in ROOT.rglob("*"):
        inside = path.relative_to(ROOT)
        hidden = inside.parts[0].startswith(".")
        if path.is_file() and not hidden and not _pruned(inside):
            found.append(str(inside))
    return tuple(sorted(found))


def _pruned(path: Path) -> bool:
    return any(Path(part).match(pattern) for part in path.parts for pattern in PRUNED)


def python_files(*folders: str) -> list[str]:
    """The repository's Python files under these folders."""
    inside = tuple(f"{folder}/" for folder in folders)
    return [name for name in own_files() if name.endswith(".py") and name.startswith(inside)]


@cache
def tree(name: str) -> ast.Module:
    """A file's syntax tree."""
    return ast.parse((ROOT / name).read_text(encoding="utf-8"), name)
