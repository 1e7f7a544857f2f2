"""What makes bytes a photo that any browser can show: told by how they begin, never by a name."""

_BEGINNINGS: tuple[tuple[bytes, int, bytes, str], ...] = (  # start, place and text of a second mark, media type
    (b"\xff\xd8\xff", 0, b"", "image/jpeg"),
    (b"\x89PNG\r\n\x1a\n", 12, b"IHDR", "image/png"),
    (b"RIFF", 8, b"WEBP", "image/webp"),
)


def media_of(content: bytes) -> str | None:
    """Return the media type of a photo, or None for anything that is not one."""
    for start, place, second, media in _BEGINNINGS:
        if content.startswith(start) and content[place : place + len(second)] == second:
            return media
    return None
