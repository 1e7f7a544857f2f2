"""What the page of the work is given."""

from typing import Annotated

from drawthrough.web.views import View
from drawthrough.web.views.form import FieldView
from drawthrough.web.views.runs import SeenLine
from drawthrough.web.views.shell import Choice


class CautionView(View, frozen=True, kw_only=True):
    """One thing to mind before hands go in."""

    text: Annotated[str, "the sentence"]
    source: Annotated[str, "what it rests on: a section, or common practice"]


class LinkView(View, frozen=True, kw_only=True):
    """A way to another place of the visit."""

    name: Annotated[str, "what is there"]
    href: Annotated[str, "where it is"]
    there: Annotated[bool, "does it stand in the record already?"] = False


class TickView(View, frozen=True, kw_only=True):
    """One check of a task."""

    id: Annotated[str, "id of its box"]
    code: Annotated[str, "what is sent"]
    name: Annotated[str, "what is read"]
    ticked: Annotated[bool, "is it ticked?"]


class ConditionView(View, frozen=True, kw_only=True):
    """One condition of a hold point."""

    text: Annotated[str, "what must be so"]
    peg: Annotated[str, "the peg that stands for it: it stands, set aside, or not yet read"]
    word: Annotated[str, "met, open, or passed with a reason"]
    href: Annotated[str, "where it is met, or empty"]


class HoldView(View, frozen=True, kw_only=True):
    """A hold point that holds a task."""

    code: Annotated[str, "the hold point's code"]
    slug: Annotated[str, "the code as the end of an id"]
    text: Annotated[str, "the reason why it holds"]
    to_go: Annotated[str, "how many conditions are open"]
    conditions: Annotated[tuple[ConditionView, ...], "its conditions, the open ones first"]
    source: Annotated[str, "what it rests on"]
    passable: Annotated[bool, "can it be passed with a written reason?"]
    open: Annotated[str, "codes of the open conditions, a semicolon between"]
    once: Annotated[str, "id of the fact that passing it would write"]
    why: Annotated[str, "the reason as typed"] = ""
    fault: Annotated[str, "why it was not taken"] = ""


class ObstacleView(View, frozen=True, kw_only=True):
    """Something other than a hold point that stands in the way of a task."""

    text: Annotated[str, "what it is"]
    href: Annotated[str, "where it is got out of the way"]


class StepView(View, frozen=True, kw_only=True):
    """The task that is large on the page."""

    code: Annotated[str, "the task's code"]
    title: Annotated[str, "what it is called"]
    text: Annotated[str, "what is to be done"]
    time: Annotated[str, "how long it takes, or since when it is in hand"]
    known: Annotated[tuple[str, ...], "what the readings say to it so far"]
    wait: Annotated[str, "what it still waits for, or what usually comes before it; or empty"]
    holds: Annotated[tuple[HoldView, ...], "hold points that hold it"]
    obstacles: Annotated[tuple[ObstacleView, ...], "what else stands in its way"]
    cautions: Annotated[tuple[CautionView, ...], "what to mind"]
    cautions_open: Annotated[bool, "do they stand open? Until they were seen once"]
    tools: Annotated[str, "tools and materials, or empty"]
    checks: Annotated[tuple[TickView, ...], "what must be so before it is done"]
    photos: Annotated[tuple[LinkView, ...], "photos to take"]
    records: Annotated[tuple[LinkView, ...], "what to write down, and where"]
    guides: Annotated[tuple[LinkView, ...], "what to do if it sticks"]
    begun: Annotated[bool, "is it in hand?"]
    clear: Annotated[bool, "may it be begun now?"]
    again: Annotated[str, "when it was done before, or empty"]
    leave: Annotated[bool, "can it be left out today?"]
    wait_for: Annotated[bool, "can it be left waiting for an opening?"]
    seen: Annotated[str, "id of the fact by which it was last done"]
    once: Annotated[str, "id of the fact that its forms would write; each form has one"]
    begin_once: Annotated[str, "the same for beginning it"]
    leave_once: Annotated[str, "the same for leaving it out"]
    wait_once: Annotated[str, "the same for leaving it waiting"]
    fault: Annotated[str, "why a press was not taken"] = ""


class TaskLine(View, frozen=True, kw_only=True):
    """One task in a list."""

    code: Annotated[str, "the task's code"]
    title: Annotated[str, "what it is called"]
    href: Annotated[str, "where it is large"]
    line: Annotated[str, "when it is due or was done, or what it waits for"]
    note: Annotated[str, "what stands in its way, or why it was left"] = ""
    once: Annotated[str, "id of the fact that its press would write"] = ""
    of: Annotated[str, "id of the fact that taking it back withdraws, or empty"] = ""
    can_begin: Annotated[bool, "can it be begun by one press?"] = False


class GroupView(View, frozen=True, kw_only=True):
    """The tasks of one state."""

    name: Annotated[str, "what the state is called"]
    count: Annotated[str, "how many tasks it has"]
    lines: Annotated[tuple[TaskLine, ...], "the tasks"]
    shown: Annotated[bool, "does the fold stand open?"]


class DoneLine(SeenLine, frozen=True, kw_only=True):
    """Something that was done, and the presses that say how it was left."""

    left: Annotated[tuple[Choice, ...], "conditions to choose from; none where one is written, or none is asked for"]
    left_once: Annotated[str, "id of the fact that choosing one would write"]


class PartLine(View, frozen=True, kw_only=True):
    """One part, and the presses that say what was done to it."""

    code: Annotated[str, "the part's code, such as `wheel`"]
    name: Annotated[str, "what it is called"]
    once: Annotated[str, "id of the fact that a press would write"]
    actions: Annotated[tuple[Choice, ...], "what can have been done to it"]


class WorkView(View, frozen=True, kw_only=True):
    """One step large, the next two small, and the rest of the day."""

    base: Annotated[str, "address of the visit, before which every form's own word stands"]
    alarm: Annotated[tuple[HoldView, ...], "hold points that are open although the power is on"]
    said: Annotated[str, "what stands in the way of what was pressed, or empty"]
    refused: Annotated[str, "what of the job cannot be planned, or empty"]
    asked: Annotated[tuple[DoneLine, ...], "what was done to a part, with the presses that say how it was left"]
    step: Annotated[StepView | None, "the task that is large"]
    following: Annotated[tuple[TaskLine, ...], "the next two"]
    before: Annotated[TaskLine | None, "what was done last, to be taken back"]
    finish: Annotated[str, "when the day is over"]
    rest: Annotated[tuple[GroupView, ...], "the rest of the day, by state"]
    out_of_reach: Annotated[tuple[Choice, ...], "tasks that can be left waiting for an opening"]
    reach_once: Annotated[str, "id of the fact that doing so would write"]
    snags: Annotated[tuple[SeenLine, ...], "what went otherwise than planned"]
    snag_once: Annotated[str, "id of the fact that the form would write"]
    passed: Annotated[tuple[SeenLine, ...], "hold points that were passed, and why"]
    done: Annotated[tuple[DoneLine, ...], "what was done"]
    parts: Annotated[tuple[PartLine, ...], "parts, one press for each thing done"]
    fields: Annotated[tuple[FieldView, ...], "the form for more of it"]
    once: Annotated[str, "id of the fact that the form would write"]
    prices: Annotated[tuple[SeenLine, ...], "the shop's own prices"]
    price_fields: Annotated[tuple[FieldView, ...], "the form for another price"]
    price_once: Annotated[str, "id of the fact that the form would write"]
    leads_href: Annotated[str, "where the leads are"]
    plan_href: Annotated[str, "where the plan is"]
    photos_href: Annotated[str, "where the photos are"]
    fault: Annotated[str, "which form was refused, or empty"] = ""
