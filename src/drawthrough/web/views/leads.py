"""What the page of the lead map is given."""

from typing import Annotated

from drawthrough.report.view import ChartView
from drawthrough.web.views import View
from drawthrough.web.views.form import FieldView
from drawthrough.web.views.runs import SeenLine
from drawthrough.web.views.shell import Choice


class Told(View, frozen=True, kw_only=True):
    """One thing to do, and why."""

    text: Annotated[str, "what to do"]
    why: Annotated[str, "why the rule holds and on whose word, or empty"] = ""


class Asked(View, frozen=True, kw_only=True):
    """One lead and the terminals at which it can be."""

    key: Annotated[str, "what the row's ids begin with"]
    name: Annotated[str, "what the lead is called"]
    does: Annotated[str, "what it does"]
    of: Annotated[str, "id of the fact that the press speaks of, or empty"] = ""
    once: Annotated[str, "id of the fact that the form would write"]
    standing: Annotated[str, "where it is and whether that is right, or empty"] = ""
    other: Annotated[str, "what was typed as another terminal"] = ""
    colour: Annotated[str, "its colour, where it can be typed"] = ""
    mark: Annotated[str, "its tag, where it can be typed"] = ""
    function: Annotated[str, "what it does, as it is sent"] = ""
    role: Annotated[str, "what it is for, as it is sent"] = ""
    origin: Annotated[str, "where it comes from, as it is sent"] = ""
    open: Annotated[bool, "does the row stand open?"] = False
    fault: Annotated[str, "what was wrong with it, or empty"] = ""


class WordsView(View, frozen=True, kw_only=True):
    """The line of a few words."""

    words: Annotated[str, "what was typed or said"] = ""
    origin: Annotated[str, "where the lead comes from"] = "motor"
    read: Annotated[str, "how it was read, or empty"] = ""
    shown: Annotated[str, "the words whose reading is shown: sent again, they are written"] = ""
    fault: Annotated[str, "what it lacks, or empty"] = ""
    once: Annotated[str, "id of the fact that the form would write"] = ""
    action: Annotated[str, "where it is sent"] = ""
    ask: Annotated[str, "where it is asked how the words are read"] = ""


class Post(View, frozen=True, kw_only=True):
    """One terminal: what it is, and whether a test proved it dead."""

    name: Annotated[str, "what it is called"]
    kind: Annotated[str, "what lands there"]
    standing: Annotated[str, "proved dead, found live, not tested, or only guessed; or empty"]
    once: Annotated[str, "id of the fact that the form would write"]
    park: Annotated[bool, "does it park leads, so that a test is asked?"] = False
    due: Annotated[bool, "is a lead parked there that waits for the test?"] = False
    kinds: Annotated[tuple[Choice, ...], "what it can be"] = ()


class TimeForm(View, frozen=True, kw_only=True):
    """The form of one time: of the seat, or of the capacitor."""

    when: Annotated[str, "code: as found, or as left"]
    name: Annotated[str, "the same, as it is told"]
    told: Annotated[tuple[str, ...], "what is known of it"]
    fields: Annotated[tuple[FieldView, ...], "what its form asks"]
    once: Annotated[str, "id of the fact that it would write"]
    open: Annotated[bool, "does it stand open?"] = False


class LeadsView(View, frozen=True, kw_only=True):
    """The lead map of a visit."""

    base: Annotated[str, "address of the page"]
    notice: Annotated[str, "what was not written and why, or empty"]
    verdict: Annotated[str, "how it stands, in one sentence"]
    agrees: Annotated[bool, "does it agree, with no rule broken?"]
    findings: Annotated[tuple[Told, ...], "what is wrong, each with what to do"]
    found_findings: Annotated[tuple[Told, ...], "what was wrong already as found, or is not on the map so far"]
    energised: Annotated[tuple[str, ...], "which speed lead is energised"]
    chart: Annotated[ChartView | None, "the drawing"]
    blind: Annotated[bool, "is it kept back where leads were found that are still to be looked at?"]
    can_look: Annotated[bool, "can the second look be begun?"]
    any_found: Annotated[bool, "was any lead seen as found?"]
    looked: Annotated[int, "how many leads were looked at as left"]
    to_look: Annotated[int, "how many are still to be looked at"]
    asked: Annotated[tuple[Asked, ...], "leads to be looked at as left"]
    answered: Annotated[tuple[Asked, ...], "leads that were looked at as left"]
    places: Annotated[tuple[str, ...], "terminals that are known"]
    more_places: Annotated[tuple[str, ...], "terminals that are known, and what they are often called"]
    words: Annotated[WordsView, "the line of a few words"]
    usual: Annotated[tuple[Asked, ...], "the usual leads of this motor that are not written down yet"]
    usual_open: Annotated[bool, "do they stand open?"]
    found: Annotated[tuple[SeenLine, ...], "leads as found, the last one first"]
    added: Annotated[tuple[SeenLine, ...], "leads as left that no lead as found is"]
    lead_fields: Annotated[tuple[FieldView, ...], "the form with all that can be said of a lead"]
    lead_once: Annotated[str, "id of the fact that it would write"]
    posts: Annotated[tuple[Post, ...], "the terminals"]
    terminal_fields: Annotated[tuple[FieldView, ...], "the form of another terminal"]
    terminal_once: Annotated[str, "id of the fact that it would write"]
    seats: Annotated[tuple[TimeForm, ...], "how motor and wheel sit"]
    seat_findings: Annotated[tuple[Told, ...], "what changed of it"]
    capacitors: Annotated[tuple[TimeForm, ...], "the run capacitor"]
    capacitor_history: Annotated[tuple[str, ...], "what it was on earlier visits to the system"]
    changes: Annotated[tuple[SeenLine, ...], "changes that are meant"]
    change_once: Annotated[str, "id of the fact that the form would write"]
    new_capacitor: Annotated[bool, "is a new capacitor meant already?"]
    speeds_live: Annotated[tuple[Choice, ...], "speed leads that were live as found"]
    speeds_parked: Annotated[tuple[Choice, ...], "speed leads that were not"]
    change_fault: Annotated[str, "what was wrong with it, or empty"]
    original: Annotated[tuple[Choice, ...], "is the motor the maker's own?"]
    altered: Annotated[tuple[Choice, ...], "was a label or a marking altered?"]
    motor_once: Annotated[str, "id of the fact that the form would write, or empty while no system is described"]
    motor_told: Annotated[str, "what follows from the two answers, or empty"]
    motor_fault: Annotated[str, "what was wrong with it, or empty"] = ""
    photos_href: Annotated[str, "where the photos of the wiring are"]
    system_href: Annotated[str, "where the system is described"]
    fault: Annotated[str, "which form was refused, or empty"] = ""
