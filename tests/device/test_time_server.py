"""The rehearsal's time server against the protocol's own figures."""

import struct

from tests.device.time_server import answer

# RFC 868: 2,208,988,800 is 00:00 of 1 January 1970, 2,629,584,000 that of 1 May 1983.
DATES = ((0.0, 2_208_988_800), (420_595_200.0, 2_629_584_000))


def test_what_it_says() -> None:
    question = bytes([0x23]) + bytes(39) + b"asked at"
    for unix_s, ntp_s in DATES:
        said = answer(question, unix_s + 0.5)
        assert len(said) == 48
        assert said[0] == 0x24, "version 4 as asked, a server, no leap second"
        assert said[1] == 1
        assert said[24:32] == b"asked at"
        for at in (16, 32, 40):
            assert struct.unpack("!II", said[at : at + 8]) == (ntp_s, 1 << 31)
