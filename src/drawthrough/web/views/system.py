"""What the page of the system is given."""

from typing import Annotated

from drawthrough.web.views import View
from drawthrough.web.views.form import FieldView
from drawthrough.web.views.shell import Choice


class TableView(View, frozen=True, kw_only=True):
    """One fan table, as it was read."""

    speed: Annotated[str, "the speed that it belongs to"]
    basis: Annotated[str, "coil, filter, heater, volts: what it holds for"]
    heads: Annotated[tuple[str, str], "names of its two columns, with their units"]
    rows: Annotated[tuple[tuple[str, str], ...], "static and airflow, line by line"]
    once: Annotated[str, "id of the fact that removing it would write"]


class InstrumentView(View, frozen=True, kw_only=True):
    """One instrument that is listed."""

    id: Annotated[str, "what it is called"]
    line: Annotated[str, "what it measures, and how well"]
    zeroed: Annotated[str, "when it was zeroed, or empty"]
    once: Annotated[str, "id of the fact that zeroing it would write"]
    href: Annotated[str, "where it is changed"]


class ReadyView(View, frozen=True, kw_only=True):
    """A kind of instrument that one press lists."""

    id: Annotated[str, "code of the kind"]
    name: Annotated[str, "what it is, with its accuracy"]


class SystemView(View, frozen=True, kw_only=True):
    """The page of the system."""

    base: Annotated[str, "address of the page"]
    once: Annotated[dict[str, str], "id of the fact that each form would write, by the form's name"]
    place: Annotated[tuple[FieldView, ...], "place: what is asked first"]
    place_more: Annotated[tuple[FieldView, ...], "place: what is asked behind the fold"]
    equipment: Annotated[tuple[FieldView, ...], "equipment: what is asked first"]
    equipment_more: Annotated[tuple[FieldView, ...], "equipment: what is asked behind the fold"]
    strips: Annotated[tuple[FieldView, ...], "the strip-heat kit"]
    capacitor: Annotated[tuple[FieldView, ...], "the run capacitor"]
    unfolded: Annotated[tuple[str, ...], "folds within the forms that stand open, since a fault lies in them"]
    described: Annotated[bool, "is the equipment described?"]
    tables: Annotated[tuple[TableView, ...], "fan tables"]
    read: Annotated[tuple[TableView, ...], "tables as they would be read from what was typed, not written yet"]
    table_fields: Annotated[tuple[FieldView, ...], "what another fan table holds for"]
    table_text: Annotated[str, "the table as it was typed or pasted"]
    static_units: Annotated[tuple[Choice, ...], "units of its statics to choose from"]
    airflow_units: Annotated[tuple[Choice, ...], "units of its airflows to choose from"]
    table_fault: Annotated[tuple[str, ...], "what is wrong with it"]
    instruments: Annotated[tuple[InstrumentView, ...], "instruments that are listed"]
    instrument_fields: Annotated[tuple[FieldView, ...], "the form for another one"]
    instead: Annotated[str, "id of the instrument that is changed, or empty"]
    away_once: Annotated[str, "id of the fact that taking that one off the list writes; empty where readings name it"]
    listing: Annotated[bool, "do the ready kinds stand open? So that one press follows another"]
    ready: Annotated[tuple[ReadyView, ...], "kinds that one press lists"]
    open: Annotated[str, "the form that stands open: place, equipment, table, instrument or none"]
