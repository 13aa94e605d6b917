"""A million bytes a protocol: no exception, bounded memory, however they are cut up."""

from random import Random

import pytest

from benchcalc.sensor.events import Framed, Reading
from benchcalc.sensor.profile import framer_of
from tests.sensor.samples import SAMPLES, Sample, pieces

BYTES = 1_000_000
LONGEST = 256
ONE_EACH = [SAMPLES[0], SAMPLES[3], SAMPLES[4], SAMPLES[6]]


def hostile(sample: Sample, random: Random, size: int) -> bytes:
    """Noise, frames, frames cut short and frames damaged, in any order."""
    parts, length = [], 0
    while length < size:
        frame = random.choice(sample.frames)
        kind = random.randrange(5)
        if kind == 0:
            part = random.randbytes(random.randint(1, 40))
        elif kind == 1:
            part = frame[: random.randint(1, len(frame))]
        elif kind == 2:
            damaged = bytearray(frame)
            damaged[random.randrange(len(frame))] ^= 1 << random.randrange(8)
            part = bytes(damaged)
        elif kind == 3:
            part = random.choice(sample.noise) * random.randint(1, 20)
        else:
            part = frame
        parts.append(part)
        length += len(part)
    return b"".join(parts)


@pytest.mark.parametrize("sample", ONE_EACH, ids=lambda sample: sample.name)
def test_hostile_bytes(sample: Sample) -> None:
    random = Random(sample.name)
    one, other = framer_of(sample.settings), framer_of(sample.settings)
    fed = 0
    while fed < BYTES:
        data = hostile(sample, random, 50_000)
        fed += len(data)
        events: list[Framed] = list(one.feed(data, 0.0))
        again = [e for part in pieces(data, "anyhow", random) for e in other.feed(part, 0.0)]
        assert events == again
        assert len(one._buffer) <= LONGEST and len(getattr(one, "_noise", b"")) <= LONGEST
        assert sum(len(event.raw) for event in events) <= len(data) + 2 * LONGEST
        assert any(isinstance(event, Reading) for event in events)
