"""Makes `docs/validation.md`: every published row beside what the engine gives for it."""

from collections import Counter
from itertools import groupby

from tests.published import rows
from tools.markdown import table

WORDS = {
    "published": "read from the document itself or from a faithful copy of it",
    "from memory": "a figure of a named source that could not be read again; never the only evidence",
    "common practice": "known in the trade, with no source that could be found",
    "derived": "arithmetic on other rows; guards against change, proves nothing",
}


def render() -> str:
    """Return the page."""
    outcomes = [rows.work_out(row) for row in rows.load()]
    titles = rows.titles()
    words = Counter(outcome.row.word for outcome in outcomes)
    verdicts = Counter(outcome.verdict for outcome in outcomes)
    parts = [
        "# Validation",
        "",
        "Every row is worked out anew by the engine when this page is made (`make docs`) and in every test run.",
        "The rows are data: `tests/published/*.toml`; each gives the reason for its tolerance there.",
        "",
        f"{len(outcomes)} rows: "
        + ", ".join(f"{count} {verdict}" for verdict, count in sorted(verdicts.items()))
        + ".",
        "",
        *table(
            ["word", "rows", "what it says of the published figure"],
            [[word, str(words[word]), meaning] for word, meaning in WORDS.items()],
        ),
    ]
    stated = [outcome for outcome in outcomes if outcome.row.disagrees is not None]
    if stated:
        parts += ["", "## Where the engine disagrees with a source", ""]
        parts += [f"- `{outcome.row.id}`: {outcome.row.disagrees}" for outcome in stated]
    for topic, group in groupby(outcomes, key=lambda outcome: outcome.row.topic):
        parts += [
            "",
            f"## {titles[topic]}",
            "",
            *table(
                ["row", "source", "place", "word", "published", "ours", "difference", "tolerance", "verdict"],
                [_line(outcome) for outcome in group],
            ),
        ]
    return "\n".join(parts) + "\n"


def _line(outcome: rows.Outcome) -> list[str]:
    row = outcome.row
    return [f"`{row.id}`", row.source, row.place, row.word, *rows.shown(outcome), outcome.verdict]
