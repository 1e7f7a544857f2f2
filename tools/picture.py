"""The picture in the README: the first page of what `make run` prints, drawn as a leaf of a notebook."""

from html import escape
from pathlib import Path

from drawthrough.judge import judge
from drawthrough.report.text import text
from drawthrough.visit import sheet

CHECKOUT = Path(__file__).resolve().parent.parent
DEMO = CHECKOUT / "examples" / "dirty-wheel-psc.toml"
UNTIL = "Whose gain"  # the heading before which the picture ends
LINE, CHARACTER, EDGE = 18, 7.85, 28
STYLE = """
    .paper { fill: #f9f5ea } .rule { stroke: #857d69; fill: none } text { fill: #211f1a; white-space: pre;
      font: 13px "DejaVu Sans Mono", "Liberation Mono", Menlo, Consolas, monospace } .head { font-weight: 700 }
    .ink { fill: #5b1d55 }
    @media (prefers-color-scheme: dark) { .paper { fill: #181613 } .rule { stroke: #8a8272 } text { fill: #eee7d8 }
      .ink { fill: #e6b8e2 } }
"""


def lines() -> list[str]:
    """Return the printed lines that the picture shows."""
    printed = text(judge(sheet.load(DEMO))).splitlines()
    end = printed.index(UNTIL)
    return [*printed[:end], "..."]


def render() -> str:
    """Return the picture as SVG: words only, so that it can be searched, copied and read aloud."""
    shown = lines()
    width = round(max(map(len, shown)) * CHARACTER + 2 * EDGE + 20)
    height = len(shown) * LINE + 2 * EDGE
    said = shown.index("What changed")
    rows = []
    for number, line in enumerate(shown):
        if not line.strip():
            continue
        kind = ""
        if line[0] != " " and number > 2 and line != "...":
            kind = ' class="head"'
        elif said < number < shown.index("", said):
            kind = ' class="ink"'
        y = EDGE + (number + 1) * LINE - 5
        rows.append(f'<text x="{EDGE + 20}" y="{y}"{kind} xml:space="preserve">{escape(line)}</text>')
    rule = EDGE + 6
    return "\n".join(
        [
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}" width="{width}" height="{height}"',
            '  role="img" aria-label="What drawthrough judge prints for the demo visit">',
            f"<style>{STYLE}</style>",
            f'<rect class="paper" width="{width}" height="{height}"/>',
            f'<path class="rule" d="M{rule} 0V{height}M{rule + 3} 0V{height}"/>',
            *rows,
            "</svg>",
            "",
        ]
    )
