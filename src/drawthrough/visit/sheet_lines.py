"""Which line of a sheet holds which key. The standard library's TOML reader does not say."""

import re
from contextlib import suppress

Path = tuple[str | int, ...]

_BARE = re.compile(r"[A-Za-z0-9_-]+")
_WHITE = re.compile(r"[ \t\r\n]+|#[^\n]*")
_BLANK = re.compile(r"[ \t]+")
_PLAIN = re.compile(r"[^,\]}#\n]*")


class LineIndex:
    """Lines of the keys, headers and list entries of a TOML text.

    It reads a text that the TOML reader has accepted, so it checks nothing: where it loses its way it stops, and a path
    that it does not know gets the line of the nearest enclosing one that it does.
    """

    def __init__(self, text: str = "") -> None:
        self._lines: dict[Path, int] = {}
        self._text = text
        self._at = 0
        self._counted_to = 0
        self._line = 1
        self._tables: dict[Path, int] = {}  # lists of tables, and the index of each one's latest entry
        self._read = False

    def line(self, path: Path) -> int | None:
        """Return the line of a path, or of the nearest enclosing one; None if there is none."""
        if not self._read:  # only a sheet with a fault needs its lines
            self._read = True
            with suppress(IndexError, RecursionError):
                self._document()
        while path:
            if path in self._lines:
                return self._lines[path]
            path = path[:-1]
        return None

    def _note(self, path: Path) -> None:
        """Remember the present line as that of a path."""
        self._line += self._text.count("\n", self._counted_to, self._at)
        self._counted_to = self._at
        self._lines.setdefault(path, self._line)

    def _skip(self, pattern: re.Pattern[str]) -> None:
        while match := pattern.match(self._text, self._at):
            if match.end() == self._at:
                return
            self._at = match.end()

    def _document(self) -> None:
        prefix: Path = ()
        while True:
            self._skip(_WHITE)
            if self._at >= len(self._text):
                return
            if self._text.startswith("[[", self._at):
                prefix = self._header(2)
            elif self._text[self._at] == "[":
                prefix = self._header(1)
            else:
                self._pair(prefix)

    def _header(self, brackets: int) -> Path:
        start = self._at
        self._at += brackets
        keys = self._key()
        self._skip(_BLANK)
        self._at += brackets
        path: Path = ()
        for position, key in enumerate(keys):
            path = (*path, key)
            if brackets == 2 and position == len(keys) - 1:
                self._tables[path] = self._tables.get(path, -1) + 1
            if path in self._tables:
                path = (*path, self._tables[path])
        end, self._at = self._at, start
        for length in range(1, len(path) + 1):
            self._note(path[:length])
        self._at = end
        return path

    def _key(self) -> list[str]:
        """Read a key, dotted or not."""
        keys = []
        while True:
            self._skip(_BLANK)
            if self._text[self._at] in "\"'":
                keys.append(self._string())
            else:
                match = _BARE.match(self._text, self._at)
                if match is None:
                    raise IndexError
                keys.append(match[0])
                self._at = match.end()
            self._skip(_BLANK)
            if self._at >= len(self._text) or self._text[self._at] != ".":
                return keys
            self._at += 1

    def _pair(self, prefix: Path) -> None:
        start = self._at
        path = prefix
        for key in self._key():
            path = (*path, key)
            end, self._at = self._at, start
            self._note(path)
            self._at = end
        if self._text[self._at] != "=":
            raise IndexError
        self._at += 1
        self._value(path)

    def _value(self, path: Path) -> None:
        self._skip(_BLANK)
        first = self._text[self._at]
        if first in "\"'":
            self._string()
        elif first == "[":
            self._list(path)
        elif first == "{":
            self._at += 1
            while True:
                self._skip(_WHITE)
                if self._text[self._at] == "}":
                    break
                self._pair(path)
                self._skip(_WHITE)
                if self._text[self._at] == ",":
                    self._at += 1
            self._at += 1
        else:
            match = _PLAIN.match(self._text, self._at)
            self._at = match.end() if match else len(self._text)

    def _list(self, path: Path) -> None:
        self._at += 1
        count = 0
        while True:
            self._skip(_WHITE)
            if self._text[self._at] == "]":
                self._at += 1
                return
            self._note((*path, count))
            self._value((*path, count))
            count += 1
            self._skip(_WHITE)
            if self._text[self._at] == ",":
                self._at += 1

    def _string(self) -> str:
        """Step over a string and return what stands between its quotes (escapes as they are written)."""
        quote = self._text[self._at]
        mark = quote * 3 if self._text.startswith(quote * 3, self._at) else quote
        start = self._at = self._at + len(mark)
        while not self._text.startswith(mark, self._at):
            self._at += 2 if quote == '"' and self._text[self._at] == "\\" else 1
        end = self._at
        self._at += len(mark)
        while len(mark) == 3 and self._text.startswith(quote, self._at):  # up to two quotes may precede the end mark
            self._at += 1
        return self._text[start:end]
