"""Reading a logger's file: separators, decimals, names, stamps, nonsense."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drawthrough.errors import DrawthroughError
from drawthrough.units import CFM, INHG, INWC, RANKINE
from drawthrough.visit import logger
from drawthrough.visit.logger_columns import Meaning, mapping, read_header
from drawthrough.visit.logger_table import number_of
from drawthrough.visit.logger_time import read_stamp
from tests.measure.made_day import as_csv, made_day

pytestmark = pytest.mark.analytic


def fahrenheit(value: float) -> float:
    return (value + 459.67) * RANKINE


def kinds(log: logger.Log) -> set[str]:
    return {finding.kind for finding in log.findings}


def small(stamps: list[str], header: str = "Time", values: list[str] | None = None) -> str:
    """A log of one temperature with these stamps."""
    cells = values or [f"{70 + i / 10:.1f}" for i in range(len(stamps))]
    rows = [f"{stamp},{cell}" for stamp, cell in zip(stamps, cells, strict=True)]
    return "\n".join([f"{header},Supply DB (F)", *rows])


@pytest.mark.parametrize("separator", [",", ";", "\t"])
@pytest.mark.parametrize("comma", [False, True])
def test_separators_and_decimals(separator: str, comma: bool) -> None:
    """The same day in each way of writing it gives the same series."""
    rows = made_day()[:120]
    if comma and separator == ",":
        return  # a decimal comma between commas stands in quotes: its own test
    log = logger.read(as_csv(rows, separator, comma))
    supply = log.column("dry_bulb", "supply")
    assert supply is not None
    assert supply.values == pytest.approx([fahrenheit(row.supply_temp) for row in rows])
    assert log.seconds[-1] - log.seconds[0] == 119 * 60.0
    assert (log.moments[0], log.moments[-1]) == ("2026-07-08 08:00", "2026-07-08 09:59")
    assert supply.resolution == pytest.approx(0.1 * RANKINE, rel=1e-6)
    airflow = log.column("airflow", "supply")
    assert airflow is not None
    assert airflow.values[50] == pytest.approx(round(rows[50].airflow) * CFM)


def test_decimal_comma_between_commas_in_quotes() -> None:
    """A quoted cell keeps its comma."""
    text = 'Time,Supply temp (C)\n10:00,"12,5"\n10:01,"12,6"\n10:02,"12,4"\n'
    column = logger.read(text).columns[0]
    assert column.values == pytest.approx((285.65, 285.75, 285.55))


@pytest.mark.parametrize(
    ("cell", "comma", "expected"),
    [
        ("72.35", False, (72.35, "", 2)),
        ("1,234.5", False, (1234.5, "", 1)),
        ("72,35 F", True, (72.35, "F", 2)),
        ("1.234,5", True, (1234.5, "", 1)),
        ("-3", False, (-3.0, "", 0)),
        ("−3.5", False, (-3.5, "", 1)),
        (".5", False, (0.5, "", 1)),
        ("1e3", False, (1000.0, "", 0)),
        ("OL", False, None),
        ("---", False, None),
        ("", False, None),
        ("1.2.3", False, None),
    ],
)
def test_numbers(cell: str, comma: bool, expected: tuple[float, str, int] | None) -> None:
    """Number, unit behind it, and decimals."""
    assert number_of(cell, comma) == expected


@pytest.mark.parametrize(
    ("header", "expected"),
    [
        ("Supply DB (F)", Meaning("dry_bulb", "supply", None, "F")),
        ("Return Air Temp [°C]", Meaning("dry_bulb", "return", None, "°C")),
        ("sa_temp", Meaning("dry_bulb", "supply")),
        ("zn_temp_dp", Meaning("dew_point", "return")),
        ("oa_temp", Meaning("dry_bulb", "outdoor")),
        ("OAT_F", Meaning("dry_bulb", "outdoor", None, "F")),
        ("SupplyTemp, degF", Meaning("dry_bulb", "supply", None, "degF")),
        ("Return WB (°F)", Meaning("wet_bulb", "return", None, "°F")),
        ("Return RH (%)", Meaning("relative_humidity", "return", None, "%")),
        ("od_power", Meaning("power", "outdoor unit")),
        ("Condenser Power kW", Meaning("power", "outdoor unit", None, "kW")),
        ("Blower Watts", Meaning("blower_power", "blower")),
        ("Fan RPM", Meaning("speed", "blower")),
        ("Line Voltage (V)", Meaning("volts", "line", None, "V")),
        ("Compressor Current (A)", Meaning("amps", "outdoor unit", None, "A")),
        ("Heater strip amps", Meaning("amps", "strips")),
        ("Return static (inwc)", Meaning("static", "return plenum", "room", "inwc")),
        ("Supply SP [Pa]", Meaning("static", "supply plenum", "room", "Pa")),
        ("TESP (inwc)", Meaning("static", "supply plenum", "return plenum", "inwc")),
        ("Filter dP (Pa)", Meaning("pressure_drop", "before filter", "after filter", "Pa")),
        ("Airflow (scfm)", Meaning("standard_airflow", "supply", None, "scfm")),
        ("sa_flow", Meaning("airflow", "supply")),
        ("local_pres", Meaning("pressure", "station")),
        ("Barometer (inHg)", Meaning("pressure", "station", None, "inHg")),
        ("Suction pressure (psig)", Meaning("gauge_pressure", "suction line", None, "psig")),
        ("Suction line temp (F)", Meaning("temperature", "suction line", None, "F")),
    ],
)
def test_names(header: str, expected: Meaning) -> None:
    """Quantity, place and unit, in brackets, behind a comma or as a suffix."""
    assert read_header(header)[0] == expected


@pytest.mark.parametrize("header", ["stg", "ref_flow", "dP", "T1", "Power (W)", "temp", "Current", "Coil", "", "42"])
def test_names_that_say_too_little(header: str) -> None:
    """A name that may mean two things is not guessed at; the reason is given."""
    meaning, why = read_header(header)
    assert meaning is None
    assert len(why.split()) > 3


def test_units_below_the_header_and_a_preamble() -> None:
    """Text before the header is left out; a line of units below it counts."""
    text = (
        "Logger serial: 12\nInterval: 60 s\n\nDate,Time,Return temp,Supply temp\n,,C,C\n"
        "2026-07-08,10:00:00,25.0,12.0\n2026-07-08,10:01:00,25.1,12.1\n"
    )
    log = logger.read(text)
    assert [column.values[0] for column in log.columns] == pytest.approx([298.15, 285.15])
    assert log.moments == ("2026-07-08 10:00", "2026-07-08 10:01")
    assert "preamble" in kinds(log)


def test_units_in_the_cells() -> None:
    """A unit behind each number counts where the header names none."""
    log = logger.read("Time,Supply temp\n10:00,55.0 F\n10:01,55.2 F\n")
    assert log.columns[0].values == pytest.approx((fahrenheit(55.0), fahrenheit(55.2)))


@pytest.mark.parametrize(
    ("values", "kelvin"),
    [(["72.0", "71.9"], fahrenheit(72.0)), (["22.1", "22.0"], 295.25)],
)
def test_degrees_are_guessed_for_the_whole_file(values: list[str], kelvin: float) -> None:
    """A dew point of 36 beside a return of 72 is in F: one column alone would not tell."""
    text = "Time,Return temp,Return dew point\n" + "".join(f"10:0{i},{v},10.0\n" for i, v in enumerate(values))
    log = logger.read(text)
    assert log.columns[0].values[0] == pytest.approx(kelvin)
    unit = log.columns[0].unit
    assert log.columns[1].values[0] == pytest.approx(fahrenheit(10.0) if unit == "F" else 283.15)
    assert "unit guessed" in kinds(log)


def test_degrees_that_cannot_be_told() -> None:
    """Between 45 and 50 both would do: refused, with the remedy."""
    with pytest.raises(logger.LoggerError, match="--map"):
        logger.read("Time,Supply temp\n10:00,47.0\n10:01,47.5\n10:02,48\n")


def test_mapping_overrules_the_name() -> None:
    """A mapping by name or number, a pressure with two ends, a column left out."""
    text = "When,T1,P2,Supply DB (F),x\n" + "".join(f"10:0{i},12.{i},0.2{i},55.0,1\n" for i in range(5))
    maps = ["T1=dry_bulb@return:C", "3=static@supply plenum/room:inwc", "Supply DB (F)=skip", "when = time"]
    log = logger.read(text, maps)
    assert [column.label for column in log.columns] == ["dry_bulb return", "static supply plenum against room"]
    assert log.columns[0].values[2] == pytest.approx(285.35)
    assert log.columns[1].values[1] == pytest.approx(0.21 * INWC)


@pytest.mark.parametrize(
    ("text", "part"),
    [
        ("T1", "column=quantity@place:unit"),
        ("T1=heat@supply:F", "no quantity"),
        ("T1=dry_bulb@attic:F", "place"),
        ("T1=dry_bulb:F", "place"),
        ("T1=dry_bulb@supply:Pa", "unit of"),
        ("P=static@supply plenum:inwc", "two ends"),
        ("P=static@supply plenum/attic:inwc", "two ends"),
        ("T1=dry_bulb@supply/room:F", "place"),
        ("=dry_bulb@supply:F", "column=quantity@place:unit"),
    ],
)
def test_mappings_that_cannot_be(text: str, part: str) -> None:
    """Each one clear error with what would do."""
    with pytest.raises(logger.LoggerError) as refusal:
        mapping(text)
    assert part in str(refusal.value)


def test_mapped_columns_must_exist_once() -> None:
    """A mapping names one column."""
    text = small(["10:00", "10:01"])
    for maps in (["nothing=dry_bulb@supply:F"], ["9=dry_bulb@supply:F"], ["2=skip", "Supply DB (F)=skip"]):
        with pytest.raises(logger.LoggerError):
            logger.read(text, maps)


@pytest.mark.parametrize(
    ("cell", "date", "second"),
    [
        ("2026-07-08 14:05:09", (2026, 7, 8), 50709.0),
        ("2026-07-08T14:05:09.5", (2026, 7, 8), 50709.5),
        ("2026-07-08T14:05Z", (2026, 7, 8), 50700.0),
        ("2026/7/8 2:05 PM", (2026, 7, 8), 50700.0),
        ("7/8/2026 12:05:00 AM", (2026, 7, 8), 300.0),
        ("07/08/26 12:05 pm", (2026, 7, 8), 43500.0),
        ("07/08  00:01:00", (2000, 7, 8), 60.0),
        ("07/08  24:00:00", (2000, 7, 8), 86400.0),
        ("8-Jul-2026 14:05", (2026, 7, 8), 50700.0),
        ("14:05", None, 50700.0),
        ("2:05:30 p.m.", None, 50730.0),
    ],
)
def test_stamps(cell: str, date: tuple[int, int, int] | None, second: float) -> None:
    """The forms that loggers write."""
    stamp = read_stamp(cell, day_first=False)
    assert stamp is not None
    assert stamp.second == second
    assert (stamp.date.year, stamp.date.month, stamp.date.day) == date if stamp.date is not None else date is None


@pytest.mark.parametrize(
    "cell", ["", "72.5", "13:61", "25:00", "24:01", "2026-13-01 10:00", "13:00 PM", "hello", "1/2/3/4"]
)
def test_no_stamps(cell: str) -> None:
    """What is no time."""
    assert read_stamp(cell, day_first=False) is None


def test_day_before_month() -> None:
    """A day beyond 12 tells the order for the whole column; dots mean it too."""
    log = logger.read(small(["08/07/2026 23:59", "13/07/2026 00:00", "13/07/2026 00:01"]))
    assert log.moments[0] == "2026-07-08 23:59"
    assert "day first" in kinds(log)
    assert logger.read(small(["08.07.2026 10:00", "08.07.2026 10:01"])).moments[0] == "2026-07-08 10:00"
    assert logger.read(small(["07/08/2026 10:00", "07/08/2026 10:01"])).moments[0] == "2026-07-08 10:00"


@pytest.mark.parametrize(
    ("stamps", "seconds", "kind"),
    [
        (["23:58", "23:59", "00:00", "00:01"], [0, 60, 120, 180], "midnight"),
        (["12/31 23:59", "01/01 00:00", "01/01 00:01"], [0, 60, 120], "new year"),
        (["10:00", "10:01", "10:01", "10:02", "10:03", "10:04"], [0, 60, 120, 180, 240], "same time twice"),
        (["10:00", "10:01", "09:30", "10:02", "10:03"], [0, 60, 120, 180], "out of order"),
        (["10:00", "10:01", "10:30", "10:31", "10:32"], [0, 60, 1800, 1860, 1920], "gap"),
        (["10:00", "", "10:02", "10:03"], [0, 120, 180], "no time"),
        (["10:00", "10:00", "10:01", "10:01", "10:02", "10:02"], [0, 30, 60, 90, 120, 150], "coarse stamps"),
        (
            ["10:00", "10:01", "10:01", "10:01", "10:02", "10:02", "10:02"],
            [40, 60, 80, 100, 120, 140, 160],
            "coarse stamps",
        ),
        (
            [f"2026-11-01 01:{m:02d}" for m in range(56, 60)] + [f"2026-11-01 01:{m:02d}" for m in range(4)],
            [60 * i for i in range(8)],
            "clock set back",
        ),
    ],
)
def test_times_are_put_right(stamps: list[str], seconds: list[int], kind: str) -> None:
    """Midnight, the turn of the year, repeats, disorder, gaps, coarse stamps and a clock set back are findings."""
    log = logger.read(small(stamps))
    zero = log.seconds[0] - seconds[0]
    assert [round(one - zero, 3) for one in log.seconds] == seconds
    assert kind in kinds(log)
    assert all(finding.line is None or finding.line >= 1 for finding in log.findings)


def test_seconds_since_1970_and_elapsed() -> None:
    """Epoch seconds and milliseconds have a date, elapsed minutes have none, the days of a spreadsheet have."""
    epoch = 1783512000
    for factor in (1, 1000):
        log = logger.read(small([str((epoch + 60 * i) * factor) for i in range(3)]))
        assert log.seconds == (epoch, epoch + 60, epoch + 120)
        assert log.moments[0] == "2026-07-08 12:00"
    elapsed = logger.read(small(["0", "0.5", "1.0"], "Elapsed (min)"))
    assert elapsed.seconds == (0.0, 30.0, 60.0)
    assert elapsed.moments == ("", "", "")
    days = logger.read(small(["46211.500000", "46211.500694", "46211.501389"]))
    assert days.moments[0] == "2026-07-08 12:00"


def test_a_zone_is_local_time() -> None:
    """Through the end of summer time stamps with a zone go on; the moments are those of the later zone."""
    stamps = ["2026-11-01T01:59:00-04:00", "2026-11-01T01:00:00-05:00", "2026-11-01T01:01:00-05:00"]
    log = logger.read(small(stamps))
    assert [b - a for a, b in zip(log.seconds, log.seconds[1:], strict=False)] == [60.0, 60.0]


def test_nonsense_is_a_finding() -> None:
    """Words for a failed reading, numbers that no air has, cells that are missing."""
    cells = ["55.1", "Err", "OL", "---", "", "-9999", "55.2", "NaN", "850", "55.3"]
    log = logger.read(small([f"10:0{i}" for i in range(10)], values=cells))
    values = log.columns[0].values
    assert [i for i, value in enumerate(values) if value is not None] == [0, 6, 9]
    texts = [finding.text for finding in log.findings]
    assert any("'Err'" in text for text in texts)
    masked = next(finding for finding in log.findings if finding.kind == "not plausible")
    assert (masked.line, masked.times) == (7, 2)


def test_masking_while_off() -> None:
    """Probes of the air say nothing while the system is off; power, voltage and the outdoors do."""
    rows = made_day()[:60]
    log = logger.read(as_csv(rows))
    masked = logger.mask_off(log, [row.stage > 0 for row in rows])
    for quantity, at, kept in (
        ("dry_bulb", "supply", 20),
        ("airflow", "supply", 20),
        ("dry_bulb", "outdoor", 60),
        ("power", "outdoor unit", 60),
    ):
        column = masked.column(quantity, at)
        assert column is not None
        assert sum(value is not None for value in column.values) == kept
    assert "off" in kinds(masked)


def test_two_columns_of_one_meaning() -> None:
    """The first counts, the other is a finding; a mapped one comes before a guessed one."""
    text = "Time,Supply DB (F),Supply air temp (F)\n10:00,55,56\n10:01,55,56\n"
    assert logger.read(text).columns[0].values[0] == pytest.approx(fahrenheit(55))
    log = logger.read(text, ["Supply air temp (F)=dry_bulb@supply:F"])
    assert log.columns[0].values[0] == pytest.approx(fahrenheit(56))
    assert "column left out" in kinds(log)


def test_barometer() -> None:
    """A barometer without a unit is told by its size."""
    for value, pascal in (("29.62", 29.62 * INHG), ("1003.1", 100310.0), ("100.3", 100300.0)):
        log = logger.read(f"Time,Barometer\n10:00,{value}\n10:01,{value}\n")
        assert log.columns[0].values[0] == pytest.approx(pascal)


@pytest.mark.parametrize(
    ("source", "part"),
    [
        ("", "no line of values"),
        ("# only a remark\n", "no line of values"),
        ("hello\nworld\n", "no table"),
        ("a,b,c\n", "no line of value"),
        (b"\x00\x01\x02\x03", "no text"),
        (b"\xff\xfe\x00\xd8\x00\xd8a", "no text"),
        ("Time,stg\n10:00,1\n10:01,2\n", "no column can be used"),
        ("Supply DB (F),Return DB (F)\n55.0,75.0\n55.1,75.0\n", "times"),
        ("Time,Supply DB (F)\n10:00,Err\n10:01,Err\n", "no column can be used"),
        ("Time,Supply DB (F)\n10:00,5500\n10:01,5600\n", "no column can be used"),
    ],
)
def test_files_that_cannot_be_used(source: str | bytes, part: str) -> None:
    """One clear error, never a traceback."""
    with pytest.raises(logger.LoggerError) as refusal:
        logger.read(source)
    assert part in str(refusal.value)
    assert "\n" not in str(refusal.value)


def test_other_letters() -> None:
    """UTF-16, a byte order mark, and Windows letters are read."""
    text = "Time,Supply (°F)\n10:00,55.0\n10:01,55.1\n"
    for source in (text.encode("utf-16"), text.encode("utf-8-sig"), text.encode("cp1252")):
        assert logger.read(source).columns[0].values[0] == pytest.approx(fahrenheit(55.0))


def test_a_stray_quote_costs_one_line() -> None:
    """A quote that is never closed does not swallow the rest of the file."""
    text = 'Time,Supply DB (F)\n10:00,55.0\n10:01,"55.1\n10:02,55.2\n10:03,55.3\n'
    assert len(logger.read(text).seconds) >= 3


def test_a_file_that_is_not_there() -> None:
    """As any other error."""
    with pytest.raises(logger.LoggerError, match="opened"):
        logger.load("/no/such/file.csv")
    with pytest.raises(logger.LoggerError, match="opened"):
        logger.load("\0")


@pytest.mark.property
@given(st.binary(max_size=400))
def test_any_bytes(source: bytes) -> None:
    """Bytes are a log or a refusal."""
    try:
        log = logger.read(source)
    except DrawthroughError:
        return
    assert len(log.seconds) == len(log.columns[0].values)


NONSENSE = [
    "", "Err", "OL", "-", "72.5", "72,5", "10:00", "23:59", "7/8/2026 10:00", "nan", "inf", "1e999", "9" * 400, "0/0",
    "2026-07-08 10:00:00", "-9999", "''", '"', "1783512000", "99999999999999", "9999-12-31 23:59",
]  # fmt: skip
NAMES = [
    "Time", "Date", "Supply DB (F)", "Return DB", "od_power", "Blower (W)", "sa_flow", "Baro", "elapsed", "dP (Pa)",
]  # fmt: skip
CELLS = st.one_of(
    st.sampled_from(NONSENSE),
    st.floats(-1e4, 1e4).map(lambda value: f"{value:.2f}"),
    st.text(max_size=6),
    st.times().map(str),
    st.datetimes().map(str),
)
HEADERS = st.one_of(st.sampled_from(NAMES), st.text(max_size=8))


@pytest.mark.property
@settings(max_examples=150)
@given(st.data())
def test_any_table(data: st.DataObject) -> None:
    """A table of any cells is a log whose times rise and whose values are plausible, or a refusal."""
    width = data.draw(st.integers(1, 5))
    separator = data.draw(st.sampled_from([",", ";", "\t"]))
    header = data.draw(st.lists(HEADERS, min_size=width, max_size=width))
    rows = data.draw(st.lists(st.lists(CELLS, min_size=0, max_size=width + 1), max_size=8))
    text = "\n".join(separator.join(row) for row in (header, *rows))
    try:
        log = logger.read(text)
    except DrawthroughError:
        return
    assert all(b > a for a, b in zip(log.seconds, log.seconds[1:], strict=False))
    for column in log.columns:
        assert all(value is None or math.isfinite(value) for value in column.values)
        assert len(column.values) == len(log.seconds) == len(log.moments) == len(log.stamps)
