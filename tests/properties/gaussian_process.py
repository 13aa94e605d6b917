"""A statistician's way of learning springback, to hold ours against: a Gaussian process.

Written here with scipy, for the test: a straight line of unknown offset and slope, a smooth rest,
and a lot's share of it all, its five widths fitted to the marginal likelihood with the usual
supposition about each (Rasmussen and Williams, Gaussian Processes for Machine Learning, 2006, eqs
2.25 and 5.8, from memory).
"""

from typing import Any

import numpy as np
from scipy.linalg import cho_factor, cho_solve
from scipy.optimize import minimize

from benchcalc.core.springback.first_guess import bend_to, first_pull_to
from tests.properties.springback_worlds import GUESS, TOLERANCE_DEG

SUPPOSED = np.log([1.0, 0.35, 0.2, 0.12, 0.25])
"""Offset, degrees; slope, as a share of the guess's; smooth rest, degrees; lots, a share; noise."""
GIVE = np.array([0.6, 0.6, 0.5, 0.4, 0.3])
SMOOTH_DEG = 40.0


class GaussianProcess:
    """All bends at once, lots as shares, widths by the likelihood; refitted every fourth bend."""

    def __init__(self) -> None:
        self.seen: list[tuple[float, float, str]] = []
        self.widths = SUPPOSED.copy()

    def teach(self, pulled_deg: float, read_deg: float, lot: str, day: str) -> None:
        self.seen.append((pulled_deg, pulled_deg - read_deg, lot or day))

    def pulls(self, angle_deg: float, lot: str, day: str) -> tuple[float, float]:
        if not self.seen:
            return bend_to(angle_deg, GUESS), first_pull_to(angle_deg, TOLERANCE_DEG, GUESS)
        x = np.array([one[0] for one in self.seen])
        y = np.array([one[1] for one in self.seen])
        lots = np.array([one[2] for one in self.seen])
        level = max(float(np.mean(y / _base(x))), 0.2)
        rest = y - _base(x)
        if len(x) >= 3 and len(x) % 4 == 3:
            found = minimize(
                _cost, self.widths, (x, lots, rest, level), "L-BFGS-B", options={"maxiter": 12}
            )
            self.widths = found.x
        noise = np.exp(2 * self.widths[4]) * np.eye(len(x))
        factor = cho_factor(_kernel(self.widths, x, lots, x, lots, level) + noise)
        at = np.array([angle_deg + level * _base(np.array([angle_deg]))[0]])
        across = _kernel(self.widths, at, np.array([lot or day]), x, lots, level)[0]
        here = _kernel(self.widths, at, np.array(["-"]), at, np.array(["-"]), level)[0, 0]
        back = float(_base(at)[0] + across @ cho_solve(factor, rest))
        left = max(here - float(across @ cho_solve(factor, across)), 0.0)
        spread = np.sqrt(left + np.exp(2 * self.widths[4]))
        told = angle_deg + back
        return told, min(told, told + TOLERANCE_DEG - 1.96 * float(spread))


def _base(x: Any) -> Any:
    return GUESS.a_deg + GUESS.b * x


def _kernel(widths: Any, x: Any, x_lots: Any, y: Any, y_lots: Any, level: float) -> Any:
    offset, slope, smooth, lot, _ = np.exp(2 * widths)
    line = offset + slope * GUESS.b**2 * np.outer(x, y)
    rest = smooth * np.exp(-0.5 * ((x[:, None] - y[None, :]) / SMOOTH_DEG) ** 2)
    same = x_lots[:, None] == y_lots[None, :]
    return line + rest + same * lot * level**2 * np.outer(_base(x), _base(y))


def _cost(widths: Any, x: Any, lots: Any, rest: Any, level: float) -> float:
    cov = _kernel(widths, x, lots, x, lots, level) + np.exp(2 * widths[4]) * np.eye(len(x))
    try:
        low = np.linalg.cholesky(cov)
    except np.linalg.LinAlgError:
        return 1e9
    misfit = np.linalg.solve(low, rest)
    supposed = (((widths - SUPPOSED) / GIVE) ** 2).sum()
    return float(0.5 * (misfit @ misfit + supposed) + np.log(np.diag(low)).sum())
