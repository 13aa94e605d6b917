"""benchcalc: from a straight stick of tube to a run that fits, at the bench.

As a library: ``load_job`` reads a job file, ``work_out`` makes a sheet of the job, ``sheet_dict``
and ``draw_svg`` say the sheet as plain values and as a picture. A name is loaded when it is asked
for.
"""

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from benchcalc.core.job import Job
    from benchcalc.core.sheet import Sheet, work_out
    from benchcalc.files.loading import load_job
    from benchcalc.jobfile.problems import BadJob, Problem
    from benchcalc.report.sheet_json import sheet_dict
    from benchcalc.report.sheet_svg import draw_svg

__version__ = "0.1.0"

__all__ = [
    "BadJob", "Job", "Problem", "Sheet", "__version__", "draw_svg", "load_job", "sheet_dict",
    "work_out",
]  # fmt: skip

_STANDS_IN = {
    "BadJob": "benchcalc.jobfile.problems",
    "Job": "benchcalc.core.job",
    "Problem": "benchcalc.jobfile.problems",
    "Sheet": "benchcalc.core.sheet",
    "draw_svg": "benchcalc.report.sheet_svg",
    "load_job": "benchcalc.files.loading",
    "sheet_dict": "benchcalc.report.sheet_json",
    "work_out": "benchcalc.core.sheet",
}


if not TYPE_CHECKING:  # a checker of types knows the names, and that there are no others

    def __getattr__(name: str) -> Any:
        if name not in _STANDS_IN:
            raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
        return getattr(import_module(_STANDS_IN[name]), name)


def __dir__() -> list[str]:
    return sorted({*globals(), *__all__})
