"""How wide a text stands in the two faces of the drawings: enough to keep labels apart without asking a browser."""

from functools import cache

WORDS = 13.5  # size of words [px of the drawing]
FIGURES = 12.5  # size of figures
LINE = 15.5  # from one line of a label to the next
ASCENT = 11.0  # of a line above its foot
DESCENT = 4.0

_SAFE = 1.01
_HEAVY = 1.04  # ink words stand in a heavier cut

# Widths in hundredths of the size, measured in Literata (the wider of roman and italic) and B612; a letter that is not
# listed is as wide as `_OTHER`.
_LITERATA = {
    " ": 20, "'": 25, "j": 30, "i.,:;()í": 33, "l": 34, "-": 35, "t": 38, "f": 39, "1I": 41, "/": 44, "s": 45, "r": 47,
    "cz": 49, "–": 50, "eé": 51, "257": 52, "9": 53, "36y": 54, "48v": 55, "agJá": 56, "x": 57, "0o−ó": 58, "q": 59,
    "dPS": 60, "bkuFúü": 61, "p": 62, "EL": 64, "hnBZñ": 66, "C": 70, "XY": 71, "R": 72, "A": 73, "TV": 74, "GK": 75,
    "OQ": 76, "D": 77, "U": 81, "N": 83, "wH": 84, "%": 85, "m": 97, "M": 100, "W": 109,
}  # fmt: skip
_B612 = {
    "'": 20, ",;": 25, "ijI.:í": 30, "l ": 35, "frt": 40, "sJ()-": 45, "cz": 50, "a": 53, "ekvxyFLS/−–áé": 55,
    "bdghnopquCEKPTYZóúñü": 60, "0123456789ABDGRVX": 65, "HU": 70, "wN": 75, "OQ": 80, "mM%": 90, "W": 95,
}  # fmt: skip
_OTHER = 66
_NO_BREAK = "\N{NO-BREAK SPACE}"
_TOGETHER = ("as found", "as left", "se encontró", "se dejó")  # a bare "left" would be read as a side


@cache
def _by_letter(figures: bool) -> dict[str, int]:
    return {letter: width for letters, width in (_B612 if figures else _LITERATA).items() for letter in letters}


def width_of(text: str, face: str) -> float:
    """Return the width of a line of text in the drawing; faces are those of `canvas`."""
    figures = face.startswith("figure")
    widths = _by_letter(figures)
    size = FIGURES if figures else WORDS
    bold = _HEAVY if face == "words left" else 1.0
    return _SAFE * bold * size * sum(widths.get(letter, _OTHER) for letter in text) / 100.0


def wrapped(text: str, face: str, most: float) -> list[str]:
    """Return a text in lines no wider than asked, broken at its spaces but for those of `_TOGETHER`."""
    for words in _TOGETHER:
        text = text.replace(words, words.replace(" ", _NO_BREAK))
    lines: list[str] = []
    for word in text.split(" "):
        word = word.replace(_NO_BREAK, " ")
        if lines and width_of(f"{lines[-1]} {word}", face) <= most:
            lines[-1] = f"{lines[-1]} {word}"
        else:
            lines.append(word)
    return lines
