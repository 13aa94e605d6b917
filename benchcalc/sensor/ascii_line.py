"""Plain text lines: a prefix, a number, a line end, as an instrument's manual gives them."""

from collections.abc import Iterator

from benchcalc.core.frozen import frozen
from benchcalc.sensor.events import BadFrame, Framed, Reading, Unused, plain_number

MOST_BYTES = 256
BLANKS = b" \t\r\n"


@frozen
class AsciiLine:
    """How a line is built: ``prefix`` number ``suffix`` then ``end``.

    ``decimal`` is the sign before the decimals. ``width``, when not 0, is the exact number of
    characters of a line without its end. ``poll`` asks for one line; empty when the instrument
    sends by itself. ``scale`` is degrees per unit sent.
    """

    prefix: bytes = b""
    suffix: bytes = b""
    decimal: bytes = b"."
    end: bytes = b"\r\n"
    width: int = 0
    poll: bytes = b""
    scale: float = 1.0


class AsciiFramer:
    """Cuts a stream into lines. A line whose beginning may be lost is never read as a number.

    Without a prefix to tell where a line begins, the first one after opening or after too long a
    line is left out, unless it answers a question.
    """

    def __init__(self, settings: AsciiLine) -> None:
        self._settings = settings
        self.question = settings.poll
        self._buffer = bytearray()
        self._headless = not settings.poll

    @property
    def begun(self) -> bool:
        """Whether a frame may be half there."""
        return bool(self._buffer)

    def feed(self, data: bytes, at_s: float) -> Iterator[Framed]:
        """The events that these bytes complete; how they were cut into pieces makes no matter."""
        buffer, end = self._buffer, self._settings.end
        for byte in data:
            buffer.append(byte)
            if byte == end[-1] and buffer.endswith(end):
                line = bytes(buffer)
                buffer.clear()
                headless, self._headless = self._headless, False
                yield from self._line(line, headless, at_s)
            elif len(buffer) >= MOST_BYTES:
                self._headless = True
                yield BadFrame(f"no line end within {MOST_BYTES} bytes", bytes(buffer), at_s)
                buffer.clear()

    def cut(self, at_s: float) -> Iterator[Framed]:
        """Give up what was begun: a question is about to be asked, or the line was lost."""
        if self._buffer:
            yield BadFrame("the line was cut off", bytes(self._buffer), at_s)
            self._buffer.clear()
        self._headless = not self._settings.poll

    def _line(self, line: bytes, headless: bool, at_s: float) -> Iterator[Framed]:
        settings = self._settings
        body = line.removesuffix(settings.end).strip(BLANKS)
        if settings.prefix:
            start = body.rfind(settings.prefix)
            if start > 0:
                yield BadFrame("bytes before the prefix", body[:start], at_s)
                body = body[start:]
                line = line[line.rfind(settings.prefix) :]
        elif headless and body:
            yield Unused("the first line: its beginning may be lost", line, at_s)
            return
        if body:
            yield self._read(body, line, at_s)

    def _read(self, body: bytes, line: bytes, at_s: float) -> Framed:
        settings = self._settings
        if not body.startswith(settings.prefix) or not body.endswith(settings.suffix):
            return BadFrame("the line is built otherwise than the profile says", line, at_s)
        if settings.width and len(body) != settings.width:
            return BadFrame(f"{len(body)} characters, not {settings.width}", line, at_s)
        middle = body[len(settings.prefix) : len(body) - len(settings.suffix)].strip(b" ")
        other = b"," if settings.decimal == b"." else b"."
        number = plain_number(middle.replace(settings.decimal, b"."))
        if other in middle or number is None:
            return BadFrame("no number after the prefix", line, at_s)
        return Reading(number * settings.scale, at_s, line)
