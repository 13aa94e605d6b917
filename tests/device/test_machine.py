"""What the rehearsal makes of what its emulator tells."""

import numpy as np

from tests.device.machine import picture


def test_a_dump_is_read_whole_or_not_at_all() -> None:
    dots = np.arange(3 * 2 * 3, dtype=np.uint8).reshape(2, 3, 3)
    whole = b"P6\n3 2\n255\n" + dots.tobytes()
    found = picture(whole)
    assert found is not None and (found == dots).all()
    for end in range(len(whole)):
        assert picture(whole[:end]) is None, end
    assert picture(whole + b"\0") is None
