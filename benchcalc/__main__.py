"""``python -m benchcalc``."""

import sys

from benchcalc.cli import main

sys.exit(main())
