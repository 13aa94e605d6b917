"""Starts the program again and again from one that has imported everything: a start is a fork.

``python -m tests.shell.forked`` reads a line of JSON for each start (the environment, the words,
the file for errors), answers with the process number, and with the exit code once that process has
ended. The child runs the program's own ``main`` from its beginning, as a new process does; only
Python's start and the imports are saved. No display, store or port is open when it forks.
"""

import json
import os
import sys

import pint  # noqa: F401  what the program imports when it needs it
import yaml  # noqa: F401

import benchcalc.app
import benchcalc.jobfile.job  # noqa: F401
from benchcalc.cli import main
from benchcalc.files.loading import load_shop


def serve() -> None:
    """Until the stream of starts is closed."""
    load_shop(None)  # builds the units' registry
    for line in sys.stdin:
        wanted = json.loads(line)
        child = os.fork()
        if child == 0:
            run(wanted["environment"], wanted["words"], wanted["errors"])
        print(child, flush=True)
        _, status = os.waitpid(child, 0)
        print(os.waitstatus_to_exitcode(status), flush=True)


def run(environment: dict[str, str], words: list[str], errors: str) -> None:
    """The program, in this process; does not return."""
    code = 1
    try:
        os.dup2(os.open(errors, os.O_WRONLY | os.O_APPEND), 2)
        os.environ.clear()
        os.environ.update(environment)
        sys.argv = ["benchcalc", *words]
        code = main()
    finally:
        sys.stderr.flush()
        os._exit(code)


if __name__ == "__main__":
    serve()
