"""What the page of the plan is given."""

from typing import Annotated

from drawthrough.web.views import View
from drawthrough.web.views.form import FieldView
from drawthrough.web.views.shell import Choice


class DayView(View, frozen=True, kw_only=True):
    """The day as a drawing, and the same as a table."""

    svg: Annotated[str, "the drawing"]
    sentence: Annotated[str, "what it shows"]
    heads: Annotated[tuple[str, ...], "heads of the table"]
    rows: Annotated[tuple[tuple[str, ...], ...], "the rows of the table"]


class ExtraLine(View, frozen=True, kw_only=True):
    """A task that can be done while it is open, and what it costs now and on a visit of its own."""

    code: Annotated[str, "code of the task"]
    name: Annotated[str, "what it is called"]
    text: Annotated[str, "what is done"]
    costs: Annotated[str, "the two times, or where the task stands in the plan anyway"]
    chosen: Annotated[bool, "is it in the plan?"]
    press: Annotated[str, "what a press does: add, drop, or empty where nothing can be pressed"]
    press_word: Annotated[str, "the press in words"]
    once: Annotated[str, "id of the fact that the press would write"]
    since: Annotated[str, "when and why it was left waiting, or empty"] = ""


class ItemLine(View, frozen=True, kw_only=True):
    """One line of the truck list."""

    item: Annotated[str, "code of the item"]
    id: Annotated[str, "id of its row on the page"]
    name: Annotated[str, "what it is called, with its number"]
    told: Annotated[tuple[str, ...], "what is to be known of it: amounts, what must fit"]
    state: Annotated[str, "code of the last word on it, or empty"]
    word: Annotated[str, "that word"]
    press: Annotated[str, "code that a press on its name writes"]
    other: Annotated[str, "code that the second press writes, or empty"]
    other_word: Annotated[str, "the second press in words"]
    action: Annotated[str, "address to which both are sent"]
    once: Annotated[str, "id of the fact that a press would write"]


class ItemGroup(View, frozen=True, kw_only=True):
    """Lines of the truck list of one kind."""

    id: Annotated[str, "id of the group on the page"]
    name: Annotated[str, "what the kind is called"]
    counted: Annotated[str, "how many of it are on the truck"]
    lines: Annotated[tuple[ItemLine, ...], "its lines"]


class ItemView(View, frozen=True, kw_only=True):
    """One line after a press, and how many are on the truck."""

    line: Annotated[ItemLine, "the line as it stands now"]
    counted: Annotated[str, "how many are on the truck"]
    group: Annotated[str, "id of the line's group on the page"]
    group_counted: Annotated[str, "how many of the group are on the truck"]


class ChemicalLine(View, frozen=True, kw_only=True):
    """A chemical of the job, by its label."""

    text: Annotated[str, "its use and name, and how long it stays"]
    use: Annotated[str, "code of its use"]
    once: Annotated[str, "id of the fact that taking it off would write"]


class RiskView(View, frozen=True, kw_only=True):
    """A risk that is told before the start."""

    guide: Annotated[str, "code of the guide"]
    title: Annotated[str, "what may happen"]
    words: Annotated[tuple[str, ...], "what the customer is told"]
    told: Annotated[str, "when it was told, and with which stop and price; empty: not yet"]
    fields: Annotated[tuple[FieldView, ...], "the form: stop, price, note"]
    once: Annotated[str, "id of the fact that the form would write"]


class PlanView(View, frozen=True, kw_only=True):
    """What the day is for, when it is over, what is done while it is open, and what is on the truck."""

    base: Annotated[str, "address of the page, before which every form's own word stands"]
    finish: Annotated[str, "when it is over, as an interval"]
    promise: Annotated[str, "what can be promised, or empty once all is done"]
    overlap: Annotated[str, "what the overlap brings, or empty once the day goes on"]
    notes: Annotated[tuple[str, ...], "what is late by a label, left out, or not to be planned"]
    refusal: Annotated[str, "why a press was refused, or empty"]
    scopes: Annotated[tuple[Choice, ...], "what the visit can be for"]
    last: Annotated[bool, "is only one of them chosen? It cannot be dropped"]
    scope_once: Annotated[str, "id of the fact that a press on one of them would write"]
    crew: Annotated[tuple[Choice, ...], "one person or two"]
    crew_once: Annotated[str, "id of the fact that a press on one of them would write"]
    waiting: Annotated[tuple[ExtraLine, ...], "what waits for an opening since an earlier visit, or since this one"]
    extras: Annotated[tuple[ExtraLine, ...], "what else can be done while it is open"]
    day: Annotated[DayView | None, "the day, drawn"]
    counted: Annotated[str, "how many items are on the truck"]
    groups: Annotated[tuple[ItemGroup, ...], "the truck list by kind"]
    truck_note: Annotated[str, "what is missing for the list, or empty"]
    chemicals: Annotated[tuple[ChemicalLine, ...], "the chemicals of the job"]
    chemical_fields: Annotated[tuple[FieldView, ...], "the form for a chemical by its label"]
    chemical_once: Annotated[str, "id of the fact that the form would write"]
    risks: Annotated[tuple[RiskView, ...], "risks to tell before the start"]
    fault: Annotated[str, "which form was refused, or empty"] = ""
