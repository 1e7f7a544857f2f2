"""Invented visits, built in code, that the tests of the judge share."""

import msgspec

from drawthrough.visit.state import (
    FanTable,
    Instrument,
    Reading,
    Run,
    Site,
    Strips,
    System,
    Visit,
    Work,
)

INWC = 249.08891
CFM = 4.7194745e-4


def reading(what, at, value, against=None, instrument=None, time=None):
    return Reading(
        what=what, at=at, against=against, value=value, typed=f"{value:.6g}", instrument=instrument, time=time
    )


def statics(instrument="manometer", **pascal):
    places = {"plenum": "return plenum", "filter": "after filter", "coil": "after coil", "supply": "supply plenum"}
    return tuple(
        reading("static", places[name], value, against="room", instrument=instrument) for name, value in pascal.items()
    )


TABLE = FanTable(
    speed="high",
    static=tuple(p * INWC for p in (0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7)),
    airflow=tuple(q * CFM for q in (1320, 1290, 1250, 1205, 1150, 1085, 1000)),
    coil="dry",
    filter="out",
    heater="in",
)
MANOMETER = Instrument(
    id="manometer", measures="static", accuracy_relative=0.01, accuracy_absolute=0.003 * INWC, resolution=0.001 * INWC
)
PROBE = Instrument(id="probe", measures="dry_bulb", accuracy_absolute=0.28, resolution=0.056)
VOLTMETER = Instrument(id="voltmeter", measures="volts", accuracy_relative=0.008, resolution=0.1)
CLAMP = Instrument(id="clamp", measures="amps", accuracy_relative=0.015, resolution=0.1)
TACHOMETER = Instrument(id="tachometer", measures="speed", accuracy_absolute=2 / 60, resolution=1 / 60)
INSTRUMENTS = (MANOMETER, PROBE, VOLTMETER, CLAMP, TACHOMETER)


def system(**changes):
    given = System(
        name="air handler", arrangement="draw-through", motor="psc", coil_inside_taps=True, motor_original=True,
        total_capacity_rated=36000 * 1055.05585262 / 3600, airflow_rated=1200 * CFM, static_rated=0.5 * INWC,
        volts_rated=230.0, strips=Strips(power=9600.0, volts=240.0, elements=2), fan_table=(TABLE,),
    )  # fmt: skip
    return msgspec.structs.replace(given, **changes)


def strips_run(when, rise, pressures, rpm=None, name=None, **changes):
    run = name or f"strips {when}"
    readings = [
        *statics(**pressures),
        reading("dry_bulb", "return", 297.0, instrument="probe"),
        reading("dry_bulb", "supply", 297.0 + rise, instrument="probe"),
        reading("volts", "strips", 238.0, instrument="voltmeter"),
        reading("amps", "strips", 39.6, instrument="clamp"),
    ]
    if rpm is not None:
        readings.append(reading("speed", "blower", rpm / 60, instrument="tachometer"))
    given = Run(id=run, when=when, mode="strips", speed="high", reading=tuple(readings), filter="same")
    return msgspec.structs.replace(given, **changes)


def zero_run(when, rise, for_run=None):
    readings = (
        reading("dry_bulb", "return", 297.0, instrument="probe"),
        reading("dry_bulb", "supply", 297.0 + rise, instrument="probe"),
        reading("blower_power", "blower", 450.0),
    )
    return Run(
        id=f"zero {when}", when=when, mode="zero", speed="high", reading=readings, zero_for=for_run or f"strips {when}"
    )


WASHED = (
    Work(part="wheel", action="cleaned", condition="seen clean"),
    Work(part="coil", action="cleaned", condition="seen clean"),
)


def deep_clean(**changes):
    """A dirty wheel and coil, cleaned: airflow grows by about a quarter."""
    found = {"plenum": -23.0, "filter": -45.0, "coil": -86.0, "supply": 46.0}
    left = {"plenum": -36.0, "filter": -65.0, "coil": -107.0, "supply": 71.0}
    given = Visit(
        site=Site(name="a house", altitude=310.0),
        system=system(),
        instrument=INSTRUMENTS,
        run=(
            strips_run("as found", 20.5, found, rpm=1097),
            zero_run("as found", 1.0),
            strips_run("as left", 16.3, left, rpm=1085),
            zero_run("as left", 0.9),
        ),
        work=WASHED,
    )
    return msgspec.structs.replace(given, **changes)
