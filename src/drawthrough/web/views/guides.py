"""What the page of a guide is given."""

from typing import Annotated, Literal

from drawthrough.web.views import View
from drawthrough.web.views.work import CautionView, LinkView


class GuideStepView(View, frozen=True, kw_only=True):
    """One step of a guide."""

    state: Annotated[Literal["past", "now", "ahead"], "past: it did not help; now: in hand; ahead: not tried"]
    peg: Annotated[str, "the peg that stands for it"]
    word: Annotated[str, "its state in a word"]
    text: Annotated[str, "what is done"]
    minutes: Annotated[str, "how long it takes"]
    risk: Annotated[str, "what can go wrong"]
    go_on: Annotated[str, "when to go on; of the last step what the customer is told"]
    waits: Annotated[str, "that it needs nobody, and until when; or empty"]
    stop: Annotated[bool, "is it the step that stops?"]
    tools: Annotated[str, "tools and materials, or empty"]
    cautions: Annotated[tuple[CautionView, ...], "what to mind"]


class GuideView(View, frozen=True, kw_only=True):
    """What to do if something sticks, and the clock of the promise."""

    base: Annotated[str, "address of the guide, to which its presses go"]
    title: Annotated[str, "what sticks"]
    sign: Annotated[str, "what is seen when the guide applies"]
    over: Annotated[str, "that the promised time is over, or empty"]
    clock: Annotated[str, "started at, stop by; or empty"]
    spent: Annotated[str, "how much of the promised time is used; or empty"]
    whole: Annotated[str, "how long all its steps take"]
    solved: Annotated[str, "that it is over, and when; or empty"]
    said: Annotated[str, "what was told to the customer, and when; or empty"]
    tell: Annotated[str, "what to tell the customer before the start, or empty"]
    tell_href: Annotated[str, "where it is written down that it was told"]
    once: Annotated[str, "id of the fact that a press would write"]
    at: Annotated[str, "code of the step in hand, or empty"]
    last: Annotated[bool, "is the step in hand the last?"]
    running: Annotated[bool, "is the clock running?"]
    steps: Annotated[tuple[GuideStepView, ...], "the steps"]
    tasks: Annotated[tuple[LinkView, ...], "the tasks at which it is at hand"]
    photos_href: Annotated[str, "where a photo is taken"]
