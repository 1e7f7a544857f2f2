"""The system: where it stands, what it is, the maker's fan table, and the instruments of the truck."""

from collections.abc import Mapping
from typing import NamedTuple
from urllib.parse import quote

import msgspec
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from drawthrough.report.names import code_name, field_label, quantity_name
from drawthrough.report.refusals import refusal
from drawthrough.report.voice import N_, Voice
from drawthrough.trade.instruments import ready
from drawthrough.visit.entry import EntryError, EntryFault, entry
from drawthrough.visit.facts import InstrumentListed, SiteDescribed, SystemDescribed
from drawthrough.visit.fan_table import fan_table_of
from drawthrough.visit.state import Capacitor, FanTable, Instrument, Site, Strips, System
from drawthrough.web.desk import Desk
from drawthrough.web.forms import fields_of, values_of
from drawthrough.web.ledger import Opened, draft
from drawthrough.web.refusal import Refusal
from drawthrough.web.views.form import FieldView
from drawthrough.web.views.shell import Choice
from drawthrough.web.views.system import InstrumentView, ReadyView, SystemView, TableView
from drawthrough.web.writing import READ

_PLACE = ("name", "altitude")
_PLACE_MORE = ("currency", "electricity_price", "summer_hours")
_EQUIPMENT = (
    "name", "arrangement", "motor", "motor_original", "coil_inside_taps", "filter_place", "filter_merv", "static_rated",
    "volts_rated", "total_capacity_rated", "airflow_rated", "refrigerant", "metering",
)  # fmt: skip
_EQUIPMENT_MORE = ("filter_places", "sensible_heat_ratio_rated", "airflow_limit_static", "nameplate", "note")
_TABLE = ("speed", "coil", "filter", "heater", "volts", "flow_basis")
_DEFAULTS = {
    "system": {"filter_place": "slot"},
    "table": {"coil": "dry", "filter": "out", "heater": "out", "flow_basis": "scfm"},
}
_FORMS = ("place", "equipment", "table", "instrument")


class _Typed(NamedTuple):
    """A form that was refused, as it was typed."""

    form: str = ""
    values: Mapping[str, str] = {}
    faults: tuple[EntryFault, ...] = ()
    once: str = ""
    instead: str = ""


async def system(request: Request) -> Response:
    """Show what is known of the system."""
    desk = Desk(request)
    opened = desk.opened()
    name = request.query_params.get("instrument", "")
    one = next((one for one in opened.folded.instrument if one.id == name), None)
    typed = _Typed("instrument", values_of(one), instead=name) if one is not None else _Typed()
    return _page(desk, opened, typed)


def _page(desk: Desk, opened: Opened, typed: _Typed, status: int = 200) -> Response:
    folded, voice = opened.folded, desk.voice

    def of(form: str, stands: Mapping[str, str]) -> tuple[Mapping[str, str], tuple[EntryFault, ...]]:
        return (typed.values, typed.faults) if typed.form == form else (stands, ())

    site = of("place", values_of(folded.site) if folded.site else {"altitude": "0 ft"})
    equipment = of("equipment", values_of(folded.system) if folded.system else _DEFAULTS["system"])
    table = of("table", _DEFAULTS["table"])
    instrument = of("instrument", {})
    view = SystemView(
        base=f"/visit/{opened.id}/system",
        once={form: (typed.once if form == typed.form else "") or desk.ledger.once() for form in _FORMS},
        place=fields_of(Site, *site, voice, only=_PLACE),
        place_more=fields_of(Site, *site, voice, only=_PLACE_MORE),
        equipment=fields_of(System, *equipment, voice, only=_EQUIPMENT),
        equipment_more=fields_of(System, *equipment, voice, only=_EQUIPMENT_MORE),
        strips=_optional(fields_of(Strips, *equipment, voice, prefix="strips.")),
        capacitor=_optional(fields_of(Capacitor, *equipment, voice, prefix="capacitor.")),
        described=folded.system is not None,
        tables=_tables(desk, folded.system),
        table_fields=fields_of(FanTable, *table, voice, only=_TABLE),
        table_text=table[0].get("text", ""),
        table_fault=tuple(refusal(fault, voice) for fault in table[1] if fault.field not in _TABLE),
        instruments=tuple(_instrument(desk, opened, one) for one in folded.instrument),
        instrument_fields=_with_quantities(fields_of(Instrument, *instrument, voice), voice),
        instead=typed.instead,
        ready=tuple(
            ReadyView(id=one["id"], name=f"{voice.say(one['id'])}, ±{one['accuracy']}")
            for one in ready()
            if one["id"] not in {known.id for known in folded.instrument}
        ),
        open=typed.form or ("equipment" if folded.system is None else "none"),
    )
    title = voice.say(N_("The system"))
    up = (f"/visit/{opened.id}", voice.say(N_("Road")))
    return desk.page("system.html", view, title, opened=opened, up=up, next_=desk.next_line(opened), status=status)


def _optional(fields: tuple[FieldView, ...]) -> tuple[FieldView, ...]:
    """Return the fields of a part that a system may lack: none of them must be filled in."""
    return tuple(msgspec.structs.replace(one, required=False) for one in fields)


def _with_quantities(fields: tuple[FieldView, ...], voice: Voice) -> tuple[FieldView, ...]:
    """Let what an instrument measures be chosen by its name in the language."""
    found = []
    for one in fields:
        if one.name == "measures":
            codes = READ if one.value in ("", *READ) else (one.value, *READ)
            choices = tuple(
                Choice(code=code, name=quantity_name(code, voice), chosen=code == one.value) for code in codes
            )
            found.append(msgspec.structs.replace(one, kind="select", choices=choices))
        else:
            found.append(one)
    return tuple(found)


def _tables(desk: Desk, found: System | None) -> tuple[TableView, ...]:
    voice = desk.voice
    pressure, airflow = voice.unit("inwc"), voice.unit("cfm")
    shown = []
    for index, table in enumerate(found.fan_table if found else ()):
        parts = [
            f"{field_label(one, voice, 'FanTable')}: {code_name(getattr(table, one), voice)}" for one in _TABLE[1:4]
        ]
        if table.volts is not None:
            parts.append(f"{table.volts:g} V")
        shown.append(
            TableView(
                speed=table.speed,
                basis=", ".join((*parts, table.flow_basis)),
                heads=(pressure.label, airflow.label),
                rows=tuple(
                    (f"{pressure.of(static):.4g}", f"{airflow.of(flow):.4g}")
                    for static, flow in zip(table.static, table.airflow, strict=True)
                ),
                index=index,
                once=desk.ledger.once(),
            )
        )
    return tuple(shown)


def _instrument(desk: Desk, opened: Opened, one: Instrument) -> InstrumentView:
    accuracy = values_of(one).get("accuracy", "")
    line = quantity_name(one.measures, desk.voice)
    return InstrumentView(
        id=one.id,
        line=f"{line}, ±{accuracy}" if accuracy else line,
        zeroed=", ".join(one.zeroed),
        once=desk.ledger.once(),
        href=f"/visit/{opened.id}/system?instrument={quote(one.id, safe='')}#instruments",
    )


async def place(request: Request) -> Response:
    """Write down where the system stands."""
    desk = Desk(request)
    opened = desk.opened()
    sent = (await desk.sent()).fields
    try:
        site = entry(Site, sent, opened.folded)
    except EntryError as error:
        return _page(desk, opened, _Typed("place", sent, error.faults, sent.get("once", "")), 422)
    if site != opened.folded.site:
        desk.ledger.write(opened.id, [draft(SiteDescribed, site=site)], sent.get("once", ""))
    return desk.go(f"/visit/{opened.id}/system")


async def equipment(request: Request) -> Response:
    """Write down what the system is."""
    desk = Desk(request)
    opened = desk.opened()
    sent = (await desk.sent()).fields
    try:
        made = entry(System, sent, opened.folded)
    except EntryError as error:
        return _page(desk, opened, _Typed("equipment", sent, error.faults, sent.get("once", "")), 422)
    if made != opened.folded.system:
        desk.ledger.write(opened.id, [draft(SystemDescribed, system=made)], sent.get("once", ""))
    return desk.go(f"/visit/{opened.id}/system#fan-table")


async def fan_table(request: Request) -> Response:
    """Write down a maker's fan table that was typed, pasted or chosen as a file."""
    desk = Desk(request)
    opened = desk.opened()
    sent = await desk.sent()
    known = _described(opened)
    file = sent.files.get("file")
    fields = {name: value for name, value in sent.fields.items() if name in _TABLE or name.endswith("_unit")}
    text = sent.fields.get("text", "")
    if file is not None and file.content:
        text = file.content.decode("utf-8-sig", errors="replace")
    once = sent.fields.get("once", "")
    try:
        made = fan_table_of(text, fields.pop("speed", ""), fields, opened.folded)
    except EntryError as error:
        typed = _Typed("table", {**sent.fields, "text": text}, error.faults, once)
        return _page(desk, opened, typed, 422)
    speeds = {table.speed for table in made}
    kept = tuple(table for table in known.fan_table if table.speed not in speeds)
    changed = msgspec.structs.replace(known, fan_table=(*kept, *made))
    desk.ledger.write(opened.id, [draft(SystemDescribed, system=changed)], once)
    return desk.go(f"/visit/{opened.id}/system#fan-table")


async def remove_table(request: Request) -> Response:
    """Take one fan table away."""
    desk = Desk(request)
    opened = desk.opened()
    sent = (await desk.sent()).fields
    known = _described(opened)
    kept = tuple(table for table in known.fan_table if table.speed != sent.get("speed"))
    if kept != known.fan_table:
        changed = msgspec.structs.replace(known, fan_table=kept)
        desk.ledger.write(opened.id, [draft(SystemDescribed, system=changed)], sent.get("once", ""))
    return desk.go(f"/visit/{opened.id}/system#fan-table")


def _described(opened: Opened) -> System:
    if opened.folded.system is None:
        raise Refusal(409, "not described yet", N_("Describe the equipment first; then its fan table."))
    return opened.folded.system


async def instrument(request: Request) -> Response:
    """List an instrument, change one, list one of the ready kinds, or write down that one was zeroed just now."""
    desk = Desk(request)
    opened = desk.opened()
    sent = (await desk.sent()).fields
    once, instead = sent.get("once", ""), sent.get("instead", "")
    if kind := sent.get("ready"):
        fields = next((dict(one) for one in ready() if one["id"] == kind), {})
    elif zero := sent.get("zero"):
        known = next((one for one in opened.folded.instrument if one.id == zero), None)
        if known is None:
            raise Refusal.missing()
        zeroed = msgspec.structs.replace(known, zeroed=(*known.zeroed, desk.now().strftime("%H:%M")))
        desk.ledger.write(opened.id, [draft(InstrumentListed, instrument=zeroed)], once)
        return desk.go(f"/visit/{opened.id}/system#instruments")
    else:
        fields = {name: value for name, value in sent.items() if name != "instead"}
    if opened.has(once):
        return desk.go(f"/visit/{opened.id}/system#instruments")
    try:
        made = entry(Instrument, fields, opened.folded, instead=instead or None)
    except EntryError as error:
        return _page(desk, opened, _Typed("instrument", sent, error.faults, once, instead), 422)
    desk.ledger.write(opened.id, [draft(InstrumentListed, instrument=made)], once)
    return desk.go(f"/visit/{opened.id}/system#instruments")


_BASE = "/visit/{visit}/system"
ROUTES = [
    Route(_BASE, system),
    Route(f"{_BASE}/place", place, methods=["POST"]),
    Route(f"{_BASE}/equipment", equipment, methods=["POST"]),
    Route(f"{_BASE}/fan-table", fan_table, methods=["POST"]),
    Route(f"{_BASE}/fan-table/remove", remove_table, methods=["POST"]),
    Route(f"{_BASE}/instrument", instrument, methods=["POST"]),
]
