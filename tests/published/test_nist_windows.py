"""All steady windows of the laboratory heat pump, where their table lies beside the checkout; 26 of them are rows."""

import csv
from pathlib import Path
from statistics import fmean

import pytest

from drawthrough.physics import cooling, moist_air
from drawthrough.units import FOOT, INHG, POUND, to_si
from tests.published.adapters_cooling import Window, window
from tests.published.rows import load

TABLE = Path(__file__).resolve().parents[3] / "shared" / "published" / "nist_ashp_steady_windows.csv"


def _windows() -> list[dict[str, str]]:
    if not TABLE.exists():
        pytest.skip("the whole table of windows is not kept in this repository, only 26 of its rows in cooling.toml")
    with TABLE.open(encoding="utf-8") as lines:
        return list(csv.DictReader(line for line in lines if not line.startswith("#")))


def _ours(row: dict[str, str]) -> Window:
    return window(
        to_si(float(row["return_db_F"]), "F", "temperature"),
        to_si(float(row["return_dp_F"]), "F", "temperature"),
        to_si(float(row["supply_db_F"]), "F", "temperature"),
        to_si(float(row["supply_dp_F"]), "F", "temperature"),
        to_si(float(row["airflow_scfm"]), "scfm", "airflow"),
        float(row["barometer_inHg"]) * INHG,
        float(row["indoor_power_W"]) + float(row["outdoor_power_W"]),
    )


@pytest.mark.published
def test_every_window_within_one_percent() -> None:
    """Capacity, sensible capacity and efficiency of all windows against the table's own, within 1 %.

    Found: total +0.16 to +0.24 %, sensible -0.35 to +0.17 %. The table's linear enthalpies explain both.
    """
    rows = _windows()
    assert len(rows) > 1000
    misses: dict[str, list[float]] = {"total": [], "sensible": [], "efficiency": []}
    for row in rows:
        total, sensible, ratio = _ours(row)
        misses["total"].append(total / to_si(float(row["air_total_Btuh_derived"]), "Btu/h", "power") - 1.0)
        misses["sensible"].append(sensible / to_si(float(row["air_sensible_Btuh_derived"]), "Btu/h", "power") - 1.0)
        misses["efficiency"].append(ratio / float(row["eer_derived"]) - 1.0)
    for values in misses.values():
        assert max(abs(value) for value in values) < 0.01
        assert abs(fmean(values)) < 0.003


@pytest.mark.analytic
def test_the_basis_of_the_restated_windows() -> None:
    """The rows' own arithmetic (linear enthalpy in Btu and F) with our humidity ratios: within 0.2 % of each row."""
    seen = 0
    for row in load():
        if not row.id.startswith("nist-ashp-") or not row.id.endswith("-total"):
            continue
        given = {name: float(str(value).split()[0]) for name, value in row.inputs.items()}
        heat = []
        for end in ("return", "supply"):
            t = given[f"dry_bulb_{end}"]
            w = moist_air.humidity_ratio_from_dew_point(
                to_si(given[f"dew_point_{end}"], "F", "temperature"), given["pressure"] * INHG
            )
            heat.append(0.240 * t + w * (1061.0 + 0.444 * t))
        own = 0.075 * given["standard_airflow"] * 60.0 * (heat[0] - heat[1])
        assert abs(own / float(str(row.expect).split()[0]) - 1.0) < 0.002
        seen += 1
    assert seen == 26


@pytest.mark.analytic
def test_what_the_condensate_is_worth() -> None:
    """The table takes no condensate off; taking it off lowers a capacity by no more than 1.5 %."""
    found = cooling.capacity(0.075 * POUND / FOOT**3 * 0.31, 299.0, 0.0105, 286.0, 0.0085)
    assert 0.0 < found.condensate_heat / found.total_capacity < 0.015
