"""What stands around every page: its name, the road, who is told in what way, and the one line that says what next."""

from typing import Annotated, Literal

from drawthrough.web.views import View

StageState = Literal["past", "now", "ahead"]


class Stage(View, frozen=True, kw_only=True):
    """One room of the road down a visit."""

    code: Annotated[str, "the room's code, such as `as found`"]
    name: Annotated[str, "what the room is called, in the language of the page"]
    href: Annotated[str, "where it is"]
    state: Annotated[StageState, "past: something stands there; now: where the work is; ahead: still empty"]
    line: Annotated[str, "one line that says what stands there"]
    time: Annotated[str, "when the last of it was written, or empty"] = ""


class Next(View, frozen=True, kw_only=True):
    """The one line that says what is worth doing now."""

    text: Annotated[str, "a sentence that begins with a verb"]
    href: Annotated[str, "where it is done"]
    minutes: Annotated[str, "how long it takes, with its unit, or empty"] = ""


class Choice(View, frozen=True, kw_only=True):
    """One thing that can be chosen."""

    code: Annotated[str, "what is sent"]
    name: Annotated[str, "what is read"]
    chosen: Annotated[bool, "is it what is chosen now?"] = False


class TimerView(View, frozen=True, kw_only=True):
    """Something that soaks, works or drips, and tells when it is over."""

    id: Annotated[str, "id of the fact that began it: it is spoken of once"]
    name: Annotated[str, "what waits"]
    href: Annotated[str, "where the task is that waits for it"]
    until: Annotated[int, "when it is over, in milliseconds since 1970"]
    until_told: Annotated[str, "the same as a time of day, in words"]
    most: Annotated[int, "when a label's time is over, in milliseconds since 1970; 0 if none says so"]
    over: Annotated[str, "what is said when it is over"]
    near: Annotated[str, "what is said before a label's time is over, or empty"]
    past: Annotated[str, "what is said once a label's time is over, or empty"]


class Shell(View, frozen=True, kw_only=True):
    """What stands around a page."""

    title: Annotated[str, "what the page is called"]
    language: Annotated[str, "code of the language of the page"]
    languages: Annotated[tuple[Choice, ...], "languages to choose from"]
    measures: Annotated[tuple[Choice, ...], "measures to choose from"]
    light: Annotated[str, "light, dark, or empty for the system's own"]
    lights: Annotated[tuple[Choice, ...], "lights to choose from"]
    here: Annotated[str, "address of the page, to come back to"]
    visit: Annotated[str, "id of the visit that the page belongs to, or empty"] = ""
    up: Annotated[str, "address of what lies above the page, or empty"] = ""
    up_name: Annotated[str, "what lies above the page"] = ""
    road: Annotated[tuple[Stage, ...], "the rooms of the visit, or none"] = ()
    room: Annotated[str, "code of the room that the page is, or empty"] = ""
    next: Annotated[Next | None, "what is worth doing now, if anything is"] = None
    timers: Annotated[tuple[TimerView, ...], "what soaks, works or drips now"] = ()
