"""Figures of speed and idle cost, printed by ``python -m tests.bench``; nothing pytest collects."""

import os

os.environ.setdefault("PYGAME_HIDE_SUPPORT_PROMPT", "1")
