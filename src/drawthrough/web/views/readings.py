"""What the page of a run and its readings is given."""

from typing import Annotated

from drawthrough.web.views import View
from drawthrough.web.views.shell import Choice


class VersionView(View, frozen=True, kw_only=True):
    """What a reading said before it was corrected."""

    typed: Annotated[str, "as it was typed"]
    time: Annotated[str, "time of day at which it was written"]
    why: Annotated[str, "why it was corrected, or empty"]


class ReadingView(View, frozen=True, kw_only=True):
    """One reading of a run."""

    id: Annotated[str, "id of the fact that it was taken; of the withdrawal where it was taken back"]
    name: Annotated[str, "what a technician would call it"]
    figure: Annotated[str, "the number, with the sign that its place gives"]
    unit: Annotated[str, "the unit as typed"]
    time: Annotated[str, "when it was read"]
    standing: Annotated[str, "code of its standing, or empty while nothing is judged"]
    standing_word: Annotated[str, "its standing in words, or empty"]
    instrument: Annotated[str, "what it was read with, or empty"]
    struck: Annotated[bool, "is its figure struck through: set aside, or taken back?"] = False
    sign: Annotated[str, "that the place turned the sign that was typed, or empty"] = ""
    why: Annotated[tuple[str, ...], "why it does not simply stand"] = ()
    means: Annotated[tuple[str, ...], "what it means so far"] = ()
    not_yet: Annotated[tuple[str, ...], "what it cannot mean yet"] = ()
    note: Annotated[str, "what was noted with it"] = ""
    history: Annotated[tuple[VersionView, ...], "what it said before, oldest first"] = ()
    correct_href: Annotated[str, "where it can be corrected"] = ""
    once: Annotated[str, "id of the withdrawal that the form would write"] = ""


class RowsView(View, frozen=True, kw_only=True):
    """The readings of a run, and what is judged so far."""

    visit: Annotated[str, "id of the visit"]
    run_href: Annotated[str, "address of the run"]
    rows_href: Annotated[str, "where these rows are fetched anew"]
    rows: Annotated[tuple[ReadingView, ...], "readings that count, in the order in which they were taken"]
    withdrawn: Annotated[tuple[ReadingView, ...], "readings that were taken back"]
    judged: Annotated[tuple[str, ...], "what the whole of the readings says so far"]


class UnitKey(View, frozen=True, kw_only=True):
    """One unit beside the writing line."""

    code: Annotated[str, "what is sent"]
    label: Annotated[str, "what is read"]
    chosen: Annotated[bool, "is it the one chosen?"]


class WritingView(View, frozen=True, kw_only=True):
    """The writing line: one reading about to be written down."""

    visit: Annotated[str, "id of the visit"]
    run: Annotated[str, "id of the run"]
    run_href: Annotated[str, "address of the run"]
    action: Annotated[str, "where it is sent"]
    once: Annotated[str, "id of the fact that it would write"]
    label: Annotated[str, "what is read next"]
    hint: Annotated[str, "what to mind: the sign, the note of the reading as found"]
    what: Annotated[str, "vocabulary name of what is read"]
    at: Annotated[str, "where it is read"]
    against: Annotated[str, "other end of a pressure, or empty"]
    hole: Annotated[str, "which of two holes, or empty"]
    instrument: Annotated[str, "id of the instrument, or empty"]
    value: Annotated[str, "what stands on the line"] = ""
    units: Annotated[tuple[UnitKey, ...], "units to choose from"] = ()
    told: Annotated[str, "how it would be read"] = ""
    faults: Annotated[tuple[str, ...], "what is wrong with what was typed"] = ()
    open: Annotated[bool, "is the fold open, since something in it was refused?"] = False
    free: Annotated[bool, "is what, where and against chosen by hand?"] = False
    whats: Annotated[tuple[Choice, ...], "what can be read"] = ()
    places: Annotated[tuple[Choice, ...], "places to choose from"] = ()
    against_places: Annotated[tuple[Choice, ...], "other ends to choose from"] = ()
    instruments: Annotated[tuple[Choice, ...], "instruments to choose from"] = ()
    time: Annotated[str, "when it is read, or empty for now"] = ""
    note: Annotated[str, "what is noted with it"] = ""
    uncertainty: Annotated[str, "its standard uncertainty, if it is a mean of many"] = ""
    of: Annotated[str, "id of the fact that is corrected, or empty"] = ""
    why: Annotated[str, "why it is corrected"] = ""
    skip_href: Annotated[str, "passes over the reading for now, or empty"] = ""
    other_href: Annotated[str, "lets another reading be chosen, or empty"] = ""
    back_href: Annotated[str, "leads back to the list of what is wanted, or empty"] = ""
    left: Annotated[str, "how many readings are still wanted"] = ""
    passed: Annotated[str, "readings that were passed over, as the address has them"] = ""
    done: Annotated[bool, "is nothing wanted any more?"] = False


class RunLink(View, frozen=True, kw_only=True):
    """Something else that can be done with a run."""

    text: Annotated[str, "what it is"]
    href: Annotated[str, "where it is done"]


class RunView(View, frozen=True, kw_only=True):
    """A run with its readings."""

    name: Annotated[str, "what the run is called"]
    line: Annotated[str, "how the system runs: mode, speed, coil, filter"]
    again: Annotated[str, "what the proof needs of it, or empty"]
    rows: Annotated[RowsView, "the readings"]
    writing: Annotated[WritingView, "the writing line"]
    links: Annotated[tuple[RunLink, ...], "what else can be done with the run"]


class WrittenView(View, frozen=True, kw_only=True):
    """What the page is given right after a reading was written down."""

    writing: Annotated[WritingView, "the next writing line"]
    rows: Annotated[RowsView, "the rows, of which the one is added"]
    row: Annotated[ReadingView, "the row to add"]


class ToldView(View, frozen=True, kw_only=True):
    """What is said under the writing line before anything is written."""

    text: Annotated[str, "how it would be read"]
    faults: Annotated[tuple[str, ...], "what is wrong with what stands there"]
