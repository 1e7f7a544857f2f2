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
from drawthrough.report.voice import LANGUAGES, N_, Voice
from drawthrough.trade.instruments import ready
from drawthrough.visit.entry import EntryError, EntryFault, entry
from drawthrough.visit.facts import InstrumentListed, SiteDescribed, SystemDescribed, Withdrawn
from drawthrough.visit.fan_table import fan_table_of
from drawthrough.visit.form import keys
from drawthrough.visit.state import Capacitor, FanTable, Instrument, Site, Strips, System
from drawthrough.web.desk import Desk
from drawthrough.web.forms import exact, faulty, fields_of, shown_of, values_of
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
_EQUIPMENT_MORE = (
    "filter_places", "sensible_heat_ratio_rated", "airflow_limit_static", "trap_drop", "trap_seal", "nameplate", "note",
)  # fmt: skip
_HINTS = {
    "coil_inside_taps": N_(
        "Yes where one cabinet holds blower and coil: a dirty coil then lowers the external static. No where the coil "
        "stands outside it, as on a furnace: there a dirty coil raises it."
    ),
}
_TABLE_HINTS = {"speed": N_("only where the table does not name its speeds itself; spelled as the leads are called")}
_TABLE = ("speed", "coil", "filter", "heater", "volts", "flow_basis")
_DEFAULTS = {
    "system": {"filter_place": "slot"},
    "table": {"coil": "dry", "filter": "out", "heater": "out", "flow_basis": "scfm"},
}
_STATIC_UNITS = ("inwc", "Pa")
_AIRFLOW_UNITS = ("cfm", "L/s", "m3/s")
_BY_PRACTICE = N_("accuracy by common practice")
_ACCURACY = ("measures", "accuracy_relative", "accuracy_absolute", "coverage")
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


def _page(desk: Desk, opened: Opened, typed: _Typed, status: int = 200, read: tuple[FanTable, ...] = ()) -> Response:
    folded, voice = opened.folded, desk.voice

    def of(form: str, stands: Mapping[str, str]) -> tuple[Mapping[str, str], tuple[EntryFault, ...]]:
        return (typed.values, typed.faults) if typed.form == form else (stands, ())

    site = of("place", shown_of(folded.site, voice) if folded.site else {})
    equipment = of("equipment", shown_of(folded.system, voice) if folded.system else _DEFAULTS["system"])
    table = of("table", _DEFAULTS["table"])
    instrument = of("instrument", {})
    place_more = fields_of(Site, *site, voice, only=_PLACE_MORE)
    equipment_more = fields_of(System, *equipment, voice, only=_EQUIPMENT_MORE)
    strips = _optional(fields_of(Strips, *equipment, voice, prefix="strips."))
    capacitor = _optional(fields_of(Capacitor, *equipment, voice, prefix="capacitor."))
    folds = {"place": place_more, "equipment": equipment_more, "strips": strips, "capacitor": capacitor}
    asked = tuple(name for name in keys(Instrument) if not (typed.instead and name == "id"))
    view = SystemView(
        base=f"/visit/{opened.id}/system",
        once={form: (typed.once if form == typed.form else "") or desk.ledger.once() for form in _FORMS},
        place=fields_of(Site, *site, voice, only=_PLACE),
        place_more=place_more,
        equipment=fields_of(System, *equipment, voice, only=_EQUIPMENT, hints=_HINTS),
        equipment_more=equipment_more,
        strips=strips,
        capacitor=capacitor,
        unfolded=tuple(name for name, fields in folds.items() if faulty(fields)),
        described=folded.system is not None,
        tables=_tables(desk, folded.system.fan_table if folded.system else ()),
        read=_tables(desk, read),
        table_fields=_optional(fields_of(FanTable, *table, voice, only=_TABLE, hints=_TABLE_HINTS)),
        table_text=table[0].get("text", ""),
        static_units=_units(_STATIC_UNITS, table[0].get("static_unit", "")),
        airflow_units=_units(_AIRFLOW_UNITS, table[0].get("airflow_unit", "")),
        table_fault=tuple(refusal(fault, voice) for fault in table[1] if fault.field not in _TABLE),
        instruments=tuple(_instrument(desk, opened, one) for one in folded.instrument),
        instrument_fields=_with_quantities(
            fields_of(Instrument, *instrument, voice, only=asked, hints={"measures": ""}), voice
        ),
        instead=typed.instead,
        away_once=desk.ledger.once() if typed.instead and not _used(opened, typed.instead) else "",
        listing=bool(desk.request.query_params.get("listing")) or not folded.instrument,
        ready=tuple(
            ReadyView(id=one["id"], name=f"{voice.say(one['id'])}, ±{one['accuracy']}")
            for one in ready()
            if not _listed(opened, one["id"])
        ),
        open=typed.form or ("equipment" if folded.system is None else "none"),
    )
    title = voice.say(N_("The system"))
    up = (f"/visit/{opened.id}", voice.say(N_("Road")))
    return desk.page("system.html", view, title, opened=opened, up=up, next_=desk.next_line(opened), status=status)


def _units(codes: tuple[str, ...], chosen: str) -> tuple[Choice, ...]:
    return tuple(Choice(code=code, name=code, chosen=code == chosen) for code in codes)


def _called(kind: str) -> set[str]:
    """Return what a ready kind is called: it may have been listed in another language than the page has now."""
    return {kind, *(Voice(language=language).say(kind) for language in LANGUAGES)}


def _listed(opened: Opened, kind: str) -> bool:
    names = _called(kind)
    return any(one.id in names for one in opened.folded.instrument)


def _used(opened: Opened, name: str) -> bool:
    return any(reading.instrument == name for run in opened.folded.run for reading in run.reading)


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


def _tables(desk: Desk, tables: tuple[FanTable, ...]) -> tuple[TableView, ...]:
    voice = desk.voice
    pressure, airflow = voice.unit("inwc"), voice.unit("cfm")
    shown = []
    for table in tables:
        parts = [
            f"{field_label(one, voice, 'FanTable')}: {code_name(getattr(table, one), voice)}" for one in _TABLE[1:4]
        ]
        if table.volts is not None:
            parts.append(f"{table.volts:g} V")
        shown.append(
            TableView(
                speed=table.speed,
                basis="; ".join((*parts, table.flow_basis)),
                heads=(pressure.label, airflow.label),
                rows=tuple(
                    (f"{pressure.of(static):.4g}", f"{airflow.of(flow):.4g}")
                    for static, flow in zip(table.static, table.airflow, strict=True)
                ),
                once=desk.ledger.once(),
            )
        )
    return tuple(shown)


def _instrument(desk: Desk, opened: Opened, one: Instrument) -> InstrumentView:
    accuracy = values_of(one).get("accuracy", "")
    line = quantity_name(one.measures, desk.voice)
    if accuracy:
        line = f"{line}, ±{accuracy}"
        if _by_practice(one):
            line = desk.voice.say(N_("{accuracy}, by common practice")).format(accuracy=line)
    return InstrumentView(
        id=one.id,
        line=line,
        zeroed=", ".join(one.zeroed),
        once=desk.ledger.once(),
        href=f"/visit/{opened.id}/system?instrument={quote(one.id, safe='')}#instrument",
    )


def _by_practice(one: Instrument) -> bool:
    """Was an instrument listed with a press, its accuracy untouched since? The press notes where the figure is from."""
    if one.note not in _called(_BY_PRACTICE):
        return False
    kinds = [entry(Instrument, kind) for kind in ready() if one.id in _called(kind["id"])]
    return any(all(getattr(one, name) == getattr(kind, name) for name in _ACCURACY) for kind in kinds)


async def place(request: Request) -> Response:
    """Write down where the system stands."""
    desk = Desk(request)
    opened = desk.opened()
    sent = (await desk.sent()).fields
    try:
        site = entry(Site, exact(sent, opened.folded.site, desk.voice), opened.folded)
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
        made = entry(System, exact(sent, opened.folded.system, desk.voice), opened.folded)
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
        text = _decoded(file.content)
    once = sent.fields.get("once", "")
    try:
        made = fan_table_of(text, fields.pop("speed", ""), fields, opened.folded)
    except EntryError as error:
        typed = _Typed("table", {**sent.fields, "text": text}, error.faults, once)
        return _page(desk, opened, typed, 422)
    if sent.fields.get("look"):
        return _page(desk, opened, _Typed("table", {**sent.fields, "text": text}, once=once), read=made)
    speeds = {table.speed for table in made}
    kept = tuple(table for table in known.fan_table if table.speed not in speeds)
    changed = msgspec.structs.replace(known, fan_table=(*kept, *made))
    desk.ledger.write(opened.id, [draft(SystemDescribed, system=changed)], once)
    return desk.go(f"/visit/{opened.id}/system#fan-table")


def _decoded(content: bytes) -> str:
    """Return the text of a file that a spreadsheet may have written: with a mark, UTF-8, or one byte a letter."""
    if content.startswith((b"\xff\xfe", b"\xfe\xff")):
        return content.decode("utf-16", errors="replace")
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError:
        return content.decode("cp1252", errors="replace")


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
    """List an instrument, change one, list a ready kind, take one off the list, or write down that one was zeroed."""
    desk = Desk(request)
    opened = desk.opened()
    sent = (await desk.sent()).fields
    once, instead = sent.get("once", ""), sent.get("instead", "")
    here = f"/visit/{opened.id}/system#instruments"
    on = f"/visit/{opened.id}/system?listing=yes#ready" if sent.get("ready") else here
    if kind := sent.get("ready"):
        fields = next((dict(one) for one in ready() if one["id"] == kind), {})
        if not fields:
            raise Refusal.missing()
        fields |= {"id": desk.voice.say(kind), "note": desk.voice.say(_BY_PRACTICE)}
        if _listed(opened, kind):  # pressed twice
            return desk.go(on)
    elif away := sent.get("away"):
        _take_away(desk, opened, away, once)
        return desk.go(here)
    elif zero := sent.get("zero"):
        known = next((one for one in opened.folded.instrument if one.id == zero), None)
        if known is None:
            raise Refusal.missing()
        zeroed = msgspec.structs.replace(known, zeroed=(*known.zeroed, desk.now().strftime("%H:%M")))
        desk.ledger.write(opened.id, [draft(InstrumentListed, instrument=zeroed)], once)
        return desk.go(here)
    else:
        fields = {name: value for name, value in sent.items() if name != "instead"}
        if instead:
            fields["id"] = instead  # readings name it so
    if opened.has(once):
        return desk.go(here)
    try:
        made = entry(Instrument, fields, opened.folded, instead=instead or None)
    except EntryError as error:
        return _page(desk, opened, _Typed("instrument", sent, error.faults, once, instead), 422)
    if not kind and made.note in _called(_BY_PRACTICE) and not _by_practice(made):
        made = msgspec.structs.replace(made, note="")  # the hand gave another accuracy: it is no longer the practice's
    if made not in opened.folded.instrument:
        desk.ledger.write(opened.id, [draft(InstrumentListed, instrument=made)], once)
    return desk.go(on)


def _take_away(desk: Desk, opened: Opened, name: str, once: str) -> None:
    """Take an instrument off the list, and with it every change that was made to it."""
    if _used(opened, name):
        raise Refusal(409, "still used", N_("Readings name this instrument; it stays on the list."))
    gone = opened.folded.withdrawn
    listed = [fact for fact in opened.facts if isinstance(fact, InstrumentListed) and fact.instrument.id == name]
    drafts = [draft(Withdrawn, of=fact.id, why="") for fact in listed if fact.id not in gone]
    if not listed:
        raise Refusal.missing()
    if drafts:
        desk.ledger.write(opened.id, drafts, once)


_BASE = "/visit/{visit}/system"
ROUTES = [
    Route(_BASE, system),
    Route(f"{_BASE}/place", place, methods=["POST"]),
    Route(f"{_BASE}/equipment", equipment, methods=["POST"]),
    Route(f"{_BASE}/fan-table", fan_table, methods=["POST"]),
    Route(f"{_BASE}/fan-table/remove", remove_table, methods=["POST"]),
    Route(f"{_BASE}/instrument", instrument, methods=["POST"]),
]
