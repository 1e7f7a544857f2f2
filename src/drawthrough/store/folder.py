"""Photos as files of a folder, each under its digest, there whole or not at all."""

import os
import tempfile
from pathlib import Path


class PhotoFolder:
    """A folder of photos. A file has its name only once its whole content is on disk.

    Parameters
    ----------
    path : Path
        The folder; it is made when the first photo comes.
    """

    def __init__(self, path: Path) -> None:
        self.path = path

    def put(self, digest: str, content: bytes) -> None:
        """Write a photo, over what its file may have held before."""
        if not self.path.is_dir():
            self.path.mkdir(parents=True, exist_ok=True)
            _sync_folder(self.path.parent)
        # A name of its own: two writers of one photo must not cut off each other's file.
        handle, name = tempfile.mkstemp(dir=self.path, prefix=f"{digest}.", suffix=".part")
        try:
            with os.fdopen(handle, "wb") as file:
                file.write(content)
                file.flush()
                os.fsync(file.fileno())
            os.replace(name, self.path / digest)
        except BaseException:
            Path(name).unlink(missing_ok=True)
            raise
        _sync_folder(self.path)

    def get(self, digest: str) -> bytes | None:
        """Return the content of a photo, or None if there is no such file."""
        try:
            return (self.path / digest).read_bytes()
        except FileNotFoundError:
            return None

    def size(self, digest: str) -> int | None:
        """Return the size of a photo's file, or None if there is none. [byte]"""
        try:
            return (self.path / digest).stat().st_size
        except FileNotFoundError:
            return None


def _sync_folder(path: Path) -> None:
    """Bring a new name to disk. Where a folder cannot be opened (Windows), the file system sees to it."""
    if os.name != "posix":
        return
    handle = os.open(path, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
