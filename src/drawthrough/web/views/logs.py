"""What the page of a logger's file is given."""

from typing import Annotated

from drawthrough.web.views import View


class MeanView(View, frozen=True, kw_only=True):
    """The mean of one column over a window."""

    name: Annotated[str, "what was read and where"]
    value: Annotated[str, "mean with its unit, as it would be written down"]
    uncertainty: Annotated[str, "its standard uncertainty with its unit"]


class WindowView(View, frozen=True, kw_only=True):
    """One steady window."""

    number: Annotated[int, "its number, from 1, as in the drawing"]
    span: Annotated[str, "from when to when"]
    minutes: Annotated[str, "how long it lasts"]
    settled: Annotated[str, "how long after the last start it begins"]
    means: Annotated[tuple[MeanView, ...], "the mean of each column"]
    once: Annotated[str, "id of the first reading that picking it would write"]
    first: Annotated[int, "first row of the window, by which it is known again"]


class LogLine(View, frozen=True, kw_only=True):
    """A file that was dropped earlier."""

    name: Annotated[str, "name of the file"]
    href: Annotated[str, "where its windows are"]


class LogView(View, frozen=True, kw_only=True):
    """A logger's file on a run."""

    run: Annotated[str, "id of the run"]
    run_href: Annotated[str, "where the run is"]
    action: Annotated[str, "where the form sends the file"]
    pick: Annotated[str, "where picking a window is sent"]
    digest: Annotated[str, "digest of the file that is shown, or empty"]
    once: Annotated[str, "id of the fact that the form would write"]
    kept: Annotated[tuple[LogLine, ...], "files dropped on this run before"]
    name: Annotated[str, "name of the file that is shown, or empty"] = ""
    summary: Annotated[str, "what was found in it"] = ""
    drawing: Annotated[str, "SVG of the columns with the windows marked, or empty"] = ""
    drawing_said: Annotated[str, "what the drawing shows"] = ""
    windows: Annotated[tuple[WindowView, ...], "steady windows, the best first"] = ()
    findings: Annotated[tuple[str, ...], "what had to be put right, set aside or guessed"] = ()
    fault: Annotated[str, "why the file cannot be used, or empty"] = ""
