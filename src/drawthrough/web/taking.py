"""What is taken along: the truck list by kind with its presses, and the chemicals by their labels."""

from collections.abc import Collection

import msgspec

from drawthrough.plan.day import Day
from drawthrough.plan.truck import TruckFault, TruckLine, truck_list
from drawthrough.report.names import code_name
from drawthrough.report.phrase import capital
from drawthrough.report.voice import N_
from drawthrough.report.words_plan import kind_name, lasting, truck_name, truck_words, wanted_items
from drawthrough.trade.truck_items import KINDS
from drawthrough.visit.state import Chemical, System
from drawthrough.web.desk import Desk
from drawthrough.web.ledger import Opened
from drawthrough.web.road import address
from drawthrough.web.views.plan import ChemicalLine, ItemGroup, ItemLine

_NOT_DESCRIBED = System(name="", arrangement="draw-through", motor="psc", coil_inside_taps=True, filter_places=0)
_RUNS_OUT = ("consumable", "part")


def truck_lines(opened: Opened, day: Day) -> tuple[tuple[TruckLine, ...], str]:
    """Return the truck list, and the message that says what it lacks."""
    system = opened.folded.system
    wanted = wanted_items(day.kept)
    lacking = ""
    if system is None:
        lacking = N_("Parts that the nameplates ask for are missing here until the equipment is described.")
    elif system.motor == "psc" and system.capacitor is None:
        lacking = N_("What is printed on the run capacitor is not written down yet: no new one can be matched to it.")
    try:
        return truck_list(system or _NOT_DESCRIBED, day.job, wanted), lacking
    except TruckFault:
        job = msgspec.structs.replace(day.job, chemical=())
        bare = msgspec.structs.replace(system or _NOT_DESCRIBED, capacitor=None)
        return truck_list(bare, job, wanted), N_(
            "A chemical or the capacitor cannot be reckoned with as it is written."
        )


def counted(desk: Desk, opened: Opened, lines: Collection[TruckLine]) -> str:
    """Return how many items of the list are on the truck, and how many are missing."""
    on, missing = _states(opened, lines)
    text = N_("{on} of {n} on the truck; missing or used up: {missing}") if missing else N_("{on} of {n} on the truck")
    return desk.voice.say(text, on=on, n=len(lines), missing=missing)


def group_counted(desk: Desk, opened: Opened, lines: Collection[TruckLine], kind: str) -> str:
    """Return the same of one kind, in few words."""
    own = [one for one in lines if one.kind == kind]
    on, missing = _states(opened, own)
    text = N_("{on} of {n}, missing: {missing}") if missing else N_("{on} of {n}")
    return desk.voice.say(text, on=on, n=len(own), missing=missing)


def _states(opened: Opened, lines: Collection[TruckLine]) -> tuple[int, int]:
    states = [opened.folded.item[one.item].state for one in lines if one.item in opened.folded.item]
    on = states.count("on the truck")
    return on, len(states) - on


def group_id(kind: str) -> str:
    """Return the id of a group of the list on the page."""
    return f"kind-{kind}"


def groups(desk: Desk, opened: Opened, lines: Collection[TruckLine]) -> tuple[ItemGroup, ...]:
    """Return the truck list by kind."""
    found = []
    for kind in KINDS:
        own = tuple(item_line(desk, opened, one) for one in lines if one.kind == kind)
        if own:
            told = group_counted(desk, opened, lines, kind)
            found.append(ItemGroup(id=group_id(kind), name=kind_name(kind, desk.voice), counted=told, lines=own))
    return tuple(found)


def item_line(desk: Desk, opened: Opened, one: TruckLine) -> ItemLine:
    """Return one line of the truck list: a press on its name ticks it, another one says that it is missing."""
    say = desk.voice.say
    fact = opened.folded.item.get(one.item)
    state = fact.state if fact is not None else ""
    other, word = "", ""
    if state == "":
        other, word = "not on the truck", say(N_("Missing"))
    elif state == "on the truck" and one.kind in _RUNS_OUT:
        other, word = "ran out", say(N_("Ran out"))
    return ItemLine(
        item=one.item,
        id="item-" + one.item.replace(" ", "-"),
        name=truck_name(one, desk.voice),
        told=truck_words(one, desk.voice),
        state=state,
        word=say(state) if state else "",
        press="not on the truck" if state == "on the truck" else "on the truck",
        other=other,
        other_word=word,
        action=f"{address(opened.id, 'plan')}/item",
        once=desk.ledger.once(),
    )


def chemical_line(desk: Desk, one: Chemical) -> ChemicalLine:
    voice = desk.voice
    given = {"use": code_name(one.use, voice), "name": one.name}
    if one.dwell_least is not None and one.dwell_most is not None:
        text = N_("{use}: {name}, stays {least} to {most}")
        given |= {"least": lasting(one.dwell_least, voice), "most": lasting(one.dwell_most, voice)}
    elif one.dwell_least is not None:
        text = N_("{use}: {name}, stays at least {least}")
        given |= {"least": lasting(one.dwell_least, voice)}
    elif one.dwell_most is not None:
        text = N_("{use}: {name}, stays at most {most}")
        given |= {"most": lasting(one.dwell_most, voice)}
    else:
        text = N_("{use}: {name}")
    return ChemicalLine(text=capital(voice.say(text, **given)), use=one.use, once=desk.ledger.once())
