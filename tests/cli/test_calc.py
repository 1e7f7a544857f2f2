"""`drawthrough calc`: what it answers, against published rows, and what it refuses."""

import json
from typing import Any, NamedTuple

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawthrough import units, vocabulary
from drawthrough.cli import main
from drawthrough.cli.calculations import CALCULATIONS
from drawthrough.cli.calculations.table import Calculation
from tests.published import rows


class Check(NamedTuple):
    """A published figure, the command that should give it, and the tolerance that its rounding supports."""

    calc: str
    typed: str
    result: str
    expect: str
    tolerance: str
    source: str
    at: int | None = None  # which of several values


INCH = "ASHRAE 111: V = 4005 sqrt(p_v), with an inch of water of 68 F: 0.09 % below the conventional one"
ISO = "ISO 3966, log-Tchebycheff rule, five points"
CHECKS = (
    Check(
        "moist-air", "dry_bulb=80F wet_bulb=67F pressure=14.696psia", "humidity_ratio", "0.01122 kg/kg", "6e-6 kg/kg",
        "ASHRAE Handbook - Fundamentals, psychrometric chart: 80 F and 67 F, the rating point of coils",
    ),
    Check(
        "moist-air", "dry_bulb=77F relative_humidity=1 pressure=14.696psia", "humidity_ratio", "0.020173 kg/kg",
        "0.00001 kg/kg", "ASHRAE Handbook - Fundamentals 2017 (IP), ch. 1, table 2",
    ),
    Check(
        "moist-air", "dry_bulb=100F wet_bulb=65F pressure=14.696psia", "dew_point", "40 F", "0.5 F",
        "ASHRAE Handbook - Fundamentals 2017 (IP), ch. 1, example 1, read off the chart in whole degrees",
    ),
    Check(
        "moist-air", "dry_bulb=100F wet_bulb=65F pressure=14.696psia", "specific_volume", "14.22 ft3/lb", "0.01 ft3/lb",
        "ASHRAE Handbook - Fundamentals 2017 (IP), ch. 1, example 1",
    ),
    Check(
        "moist-air", "dry_bulb=100F wet_bulb=65F pressure=14.696psia", "relative_humidity", "13 %", "0.5 %",
        "ASHRAE Handbook - Fundamentals 2017 (IP), ch. 1, example 1",
    ),
    Check(
        "saturation", "refrigerant=R-22 phase=dew gauge_pressure=76psig", "temperature", "45 F", "0.1 F",
        "Carrier 38VTA040 installation guide, table 5, row of 0 F superheat",
    ),
    Check(
        "saturation", "refrigerant=r22 phase=dew pressure=81.796psia", "temperature", "39 F", "0.1 F",
        "Carrier 38VTA040 installation guide, table 5: 67.1 psig, at 14.696 psia",
    ),
    Check(
        "superheat", "refrigerant=R-22 temperature=55F gauge_pressure=76psig altitude=0ft", "superheat", "10 F",
        "0.1 F", "Carrier 38VTA040 installation guide, table 5: 45 F at 76 psig",
    ),
    Check(
        "subcooling", "refrigerant=R-410A temperature=95F gauge_pressure=318psig altitude=0ft", "subcooling", "5 F",
        "0.8 F", "Carrier 50XZ048300 installation guide, p. 22: saturation 100 F at 318 psig; charts scatter by 0.8 F",
    ),
    Check(
        "strip-airflow", "volts=240V amps=73.4766A rise=36F", "standard_airflow", "1548 cfm", "4.6 cfm",
        "trade page, electric heat rise: 60171 Btu/h over 36 F, with 1.08 for standard air (0.2 % off)",
    ),
    Check("air-velocity", "velocity_pressure=1inwc", "velocity", "4005 fpm", "4 fpm", INCH),
    Check("air-velocity", "velocity_pressure=0.01inwc,0.04inwc", "velocity", "600.75 fpm", "0.6 fpm", INCH),
    *(
        Check("traverse-rectangle", "width=20in length=24in", "positions_width", f"{20 * share} in", "0.01 in", ISO, at)
        for at, share in enumerate((0.074, 0.288, 0.5, 0.712, 0.926))
    ),
    *(
        Check(
            "traverse-round", "diameter=14in points=6", "positions", f"{14 * share} in", "0.01 in",
            "ASHRAE 111 and ISO 3966, log-linear rule, six points (from memory)", at,
        )
        for at, share in enumerate((0.032, 0.135, 0.321, 0.679, 0.865, 0.968))
    ),
    Check(
        "orifice", "area=1in2 pressure_drop=0.3inwc coefficient=0.65", "airflow", f"{2610 / 144 * 0.3**0.5} cfm",
        "0.03 cfm", "ASHRAE, stair pressurisation: Q = 2610 A sqrt(dp), in which 0.65 is contained",
    ),
    Check(
        "strip-power", "power_rated=10kW volts_rated=240V volts=208V", "power", "7.51 kW", "0.005 kW",
        "makers' heater tables: 10 kW at 240 V is 7.5 kW at 208 V",
    ),
)  # fmt: skip

# Rows of these functions can be asked of the command line as well: the calculation and, where it has one, the result.
ASKED: dict[str, tuple[str, str | None]] = {
    "physics.charge.target_split": ("temperature-split", "split"),
    "physics.charge.target_superheat": ("target-superheat", "superheat"),
    "physics.drain.trap": ("trap-depth", None),
    "physics.dust.dust_shares": ("dust-shares", None),
    "physics.electrical.capacitance": ("capacitor", "capacitance"),
    "physics.electrical.synchronous_speed": ("motor-speed", "speed"),
    "physics.humidity.humidity_ratio_from_relative_humidity": ("moist-air", "humidity_ratio"),
    "physics.psychrometer.humidity_ratio_from_wet_bulb": ("moist-air", "humidity_ratio"),
    "physics.moist_air.humidity_ratio_from_relative_humidity": ("moist-air", "humidity_ratio"),
    "physics.moist_air.humidity_ratio_from_wet_bulb": ("moist-air", "humidity_ratio"),
    "physics.moist_air.state_from_humidity_ratio": ("moist-air", None),
    "physics.moist_air.state_from_relative_humidity": ("moist-air", None),
    "physics.moist_air.state_from_wet_bulb": ("moist-air", None),
    "physics.moist_air.state_from_dew_point": ("moist-air", None),
    "physics.opening.crack_airflow": ("crack", "airflow"),
    "physics.opening.orifice_airflow": ("orifice", "airflow"),
    "physics.performance.curve_capacity_ratio": ("cooling-curves", "capacity_ratio"),
    "physics.performance.curve_eir_ratio": ("cooling-curves", "eir_ratio"),
    "physics.refrigerant.saturation_pressure_of": ("saturation", "pressure"),
    "physics.refrigerant.subcooling": ("subcooling", "subcooling"),
    "physics.refrigerant.superheat": ("superheat", "superheat"),
    "physics.strips.elements_by_resistance": ("element-count", "elements"),
    "physics.strips.power_at_voltage": ("strip-power", "power"),
}


def asked(row: rows.Row) -> tuple[Calculation, str] | None:
    """Return the calculation and the result that a row can be held against, if its inputs are keys of one."""
    if row.function not in ASKED or row.disagrees is not None:
        return None
    name, result = ASKED[row.function]
    calculation = CALCULATIONS[name]
    inputs = dict(row.inputs)
    if inputs.pop("curves", "AC single-speed") != "AC single-speed":
        return None
    if any(calculation.key(key) is None for key in inputs):
        return None
    needed = {key.name for key in calculation.keys if not key.optional} - {
        key for group in (*calculation.one_of, *calculation.at_most_one) for key in group
    }
    found = result or row.field or ""
    if not needed <= set(inputs) or (not row.expect_refused and found not in calculation.results):
        return None
    return calculation, found


ROWS = [row for row in rows.load() if asked(row)]


def answer(capsys: pytest.CaptureFixture[str], *words: str) -> dict[str, Any]:
    """Return what `drawthrough calc ... --json` prints."""
    code = main(["calc", *words, "--json"])
    printed = capsys.readouterr()
    assert code == 0, printed.err
    assert printed.err == ""
    found: dict[str, Any] = json.loads(printed.out)
    return found


def refusal(capsys: pytest.CaptureFixture[str], *words: str) -> str:
    """Return the one line with which `drawthrough calc ...` refuses."""
    assert main(["calc", *words]) == 1
    printed = capsys.readouterr()
    assert printed.out == ""
    assert printed.err.count("\n") == 1
    return printed.err


@pytest.mark.parametrize("check", CHECKS, ids=lambda check: f"{check.calc}-{check.result}-{check.at}")
def test_published_figure(check: Check, capsys: pytest.CaptureFixture[str]) -> None:
    """The calculation gives the published figure within its rounding."""
    quantity = CALCULATIONS[check.calc].quantity_of_result(check.result)
    value = answer(capsys, check.calc, *check.typed.split())["results"][check.result]["value"]
    if check.at is not None:
        value = value[check.at]
    expected = units.parse(check.expect, quantity.dimension)
    tolerance = units.parse(check.tolerance, rows.difference_of(quantity.dimension))
    assert value == pytest.approx(expected, abs=tolerance), check.source


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.id)
def test_row_through_the_command_line(row: rows.Row, capsys: pytest.CaptureFixture[str]) -> None:
    """What holds for the function holds for what is typed, units and all."""
    found = asked(row)
    assert found is not None
    calculation, result = found
    words = [f"{key}={value}" for key, value in row.inputs.items() if key != "curves"]
    if row.expect_refused:
        refusal(capsys, calculation.name, *words)
        return
    if calculation.name == "cooling-curves":
        words += [] if "flow_fraction" in row.inputs else ["flow_fraction=1"]
    entry = answer(capsys, calculation.name, *words)["results"][result]
    assert entry["unit"] == calculation.quantity_of_result(result).unit
    outcome = rows.work_out(row)
    assert outcome._replace(ours=entry["value"]).within, rows.shown(outcome)


@pytest.mark.parametrize("name", CALCULATIONS)
def test_every_calculation_is_held_against_a_figure(name: str) -> None:
    """A calculation without one would be a number without a witness."""
    known = {check.calc for check in CHECKS} | {found[0].name for row in ROWS if (found := asked(row))}
    assert name in known


@pytest.mark.parametrize("calculation", CALCULATIONS.values(), ids=lambda calculation: calculation.name)
def test_json_has_its_stable_form(calculation: Calculation, capsys: pytest.CaptureFixture[str]) -> None:
    """Names of the vocabulary, SI values with their units, sources and limits."""
    typed = calculation.example.split()
    found = answer(capsys, calculation.name, *typed)
    assert found["calc"] == calculation.name
    assert list(found["inputs"]) == [pair.partition("=")[0] for pair in typed]
    assert set(found["results"]) == set(calculation.results)
    for name, entry in found["results"].items():
        quantity = calculation.quantity_of_result(name)
        assert entry["unit"] == quantity.unit
        for value in entry["value"] if isinstance(entry["value"], list) else [entry["value"]]:
            vocabulary.check(quantity.name, value)
    assert found["sources"]
    assert all(found["sources"])
    for limit in found["limits"].values():
        assert limit["low"] < limit["high"]
        assert limit["source"]


@pytest.mark.parametrize("calculation", CALCULATIONS.values(), ids=lambda calculation: calculation.name)
def test_human_form_says_where_it_comes_from(calculation: Calculation, capsys: pytest.CaptureFixture[str]) -> None:
    """Results, equation, limits and sources, in lines that a terminal can show."""
    assert main(["calc", calculation.name, *calculation.example.split()]) == 0
    out = capsys.readouterr().out
    for name in calculation.results:
        assert f"result  {name}" in out
    sources = [f"source    {text}" for text in calculation.sources]
    for line in (f"equation  {calculation.equation}", "limits    ", *sources):
        assert f"\n{line}" in out


def test_field_and_si_stand_side_by_side(capsys: pytest.CaptureFixture[str]) -> None:
    """A technician reads one, a colleague elsewhere the other."""
    main(["calc", "moist-air", "dry_bulb=80F", "wet_bulb=67F", "pressure=14.696psia"])
    out = capsys.readouterr().out
    assert "78.5" in out
    assert "gr/lb" in out
    assert "0.01122" in out


def test_alone_it_lists_all(capsys: pytest.CaptureFixture[str]) -> None:
    """With what each needs, and an example that works."""
    assert main(["calc"]) == 0
    out = capsys.readouterr().out
    for name, calculation in CALCULATIONS.items():
        assert f"\n{name}: {calculation.says}" in out
        assert calculation.usage in out
    assert main(["calc", "--json"]) == 0
    assert set(json.loads(capsys.readouterr().out)["calculations"]) == set(CALCULATIONS)


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ("nonsense", ["There is no calculation 'nonsense'", "moist-air", "dust-shares"]),
        ("moist-air dry_bulb=80F wetbulb=67F altitude=0ft", ["no key 'wetbulb'", "wet_bulb", "relative_humidity"]),
        ("moist-air dry_bulb=80F altitude=0ft", ["needs one of relative_humidity, wet_bulb"]),
        ("moist-air wet_bulb=67F altitude=0ft", ["needs dry_bulb"]),
        ("moist-air dry_bulb=80F wet_bulb=67F", ["needs one of pressure or altitude"]),
        ("moist-air dry_bulb=80F wet_bulb=67F pressure=1atm altitude=0ft", ["pressure or altitude", "not both"]),
        ("moist-air dry_bulb=80F wet_bulb=67F dew_point=60F altitude=0ft", ["not both wet_bulb and dew_point"]),
        ("moist-air dry_bulb=80F dry_bulb=81F wet_bulb=67F altitude=0ft", ["dry_bulb is given twice"]),
        ("moist-air dry_bulb=80 wet_bulb=67F altitude=0ft", ["dry_bulb: '80' has no unit", "K, C, F"]),
        ("moist-air dry_bulb=80X wet_bulb=67F altitude=0ft", ["'X' is not a unit of temperature"]),
        ("moist-air dry_bulb=80V wet_bulb=67F altitude=0ft", ["'V' is a unit of voltage"]),
        ("moist-air dry_bulb=80F wet_bulb=90F altitude=0ft", ["wet_bulb = 90 F (305.372 K)", "80 F"]),
        ("moist-air dry_bulb=800F wet_bulb=67F altitude=0ft", ["dry_bulb = 800 F", "lies outside"]),
        ("moist-air dry_bulb=80F wet_bulb=67F pressure=14.7psig", ["gauge reading", "absolute"]),
        ("moist-air 80F", ["'80F' is not key=value", "dry_bulb"]),
        ("moist-air dry_bulb=80F relative_humidity=1.2 altitude=0ft", ["relative_humidity = 1.2 lies outside 0 to 1"]),
        ("strip-airflow volts=240V amps=40A rise=20F altitude=0ft pressure=1atm", ["altitude or pressure", "not both"]),
        ("strip-airflow volts=240V amps=40A", ["needs rise"]),
        ("strip-airflow volts=240V amps=40A rise=1F rise_off=2F", ["rise"]),
        ("crack width=1mm length=1m depth=25mm pressure_drop=5Pa altitude=0ft", ["altitude needs dry_bulb"]),
        ("target-superheat wet_bulb=50F outdoor=110F", ["blank"]),
        ("target-superheat wet_bulb=67F outdoor=130F", ["outdoor = 130 F", "40 F"]),
        (
            "cooling-curves wet_bulb=67F outdoor=95F flow_fraction=0.5",
            ["flow_fraction = 0.5 lies outside 0.75"],
        ),
        ("element-count power_rated=10kW volts_rated=240V elements=2 amps=20A", ["needs volts"]),
        ("element-count power_rated=10kW volts_rated=240V elements=1.5 resistance=11ohm", ["not a whole number"]),
        ("traverse-round diameter=14in rule=cubic", ["rule=cubic is not one of log-linear"]),
        ("saturation refrigerant=R-11 phase=dew temperature=40F", ["R-11 is not one of", "R-410A"]),
        ("saturation refrigerant=R-410A phase=wet temperature=40F", ["phase=wet is not one of bubble, dew"]),
        ("saturation refrigerant=R-410A phase=dew", ["needs one of temperature, pressure or gauge_pressure"]),
        ("saturation refrigerant=R-410A phase=dew pressure=118psig", ["is a gauge reading"]),
        ("saturation refrigerant=R-410A phase=dew gauge_pressure=118psia", ["is absolute"]),
        ("saturation refrigerant=R-410A phase=dew pressure=1Pa", ["lies outside"]),
        (
            "saturation refrigerant=R-410A phase=dew temperature=40F altitude=0ft",
            ["altitude belongs to gauge_pressure"],
        ),
        ("air-velocity velocity_pressure=,", ["has no value"]),
    ],
)
def test_what_is_refused(typed: str, told: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    """One line that names the fault and the choices."""
    line = refusal(capsys, *typed.split())
    for part in told:
        assert part in line


def test_refusal_as_json(capsys: pytest.CaptureFixture[str]) -> None:
    """The same text in an object."""
    assert main(["calc", "capacitor", "amps=2A", "--json"]) == 1
    assert "capacitor needs volts, frequency" in json.loads(capsys.readouterr().out)["error"]


@pytest.mark.parametrize("name", CALCULATIONS)
def test_no_input_makes_a_traceback(name: str) -> None:
    """Whatever is typed for one key: an answer or a refusal, never a fault of the program."""
    calculation = CALCULATIONS[name]
    pairs = dict(pair.split("=") for pair in calculation.example.split())
    numbers = st.floats(allow_nan=True, allow_infinity=True).map(repr)
    unit = st.sampled_from(["", "F", "C", "Pa", "inwc", "psia", "ft", "in", "V", "A", "%", "cfm", "kW", "x"])

    @given(st.sampled_from([key.name for key in calculation.keys]), st.builds(str.__add__, numbers, unit) | st.text())
    def check(key: str, typed: str) -> None:
        assert main(["calc", name, *(f"{k}={v}" for k, v in {**pairs, key: typed}.items())]) in (0, 1)

    check()
