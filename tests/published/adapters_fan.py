"""Composites for the rows on blowers: what a source prints that takes more than one function."""

from drawthrough.physics._root import bracketed
from drawthrough.physics.fan_shapes import reference_airflow, reference_specific_fan_power
from drawthrough.physics.transfer import transfer_airflow
from drawthrough.units import CFM, INWC

AIRFLOW_RATED = 1200 * CFM
STATIC_RATED = 0.5 * INWC


def reference_power(kind: str, static: float) -> float:
    """Return the electric power of DOE's fan of three tons, set to 1200 cfm at 0.5 in. w.c."""
    airflow = reference_airflow(kind, static, AIRFLOW_RATED, STATIC_RATED)
    return airflow * reference_specific_fan_power(kind, static, AIRFLOW_RATED)


def reference_power_ratio(kind: str, flow_fraction: float) -> float:
    """Return power over that at 0.5 in. w.c. once a filter has taken this fan's airflow down to a fraction."""

    def excess(static: float) -> float:
        return reference_airflow(kind, static, AIRFLOW_RATED, STATIC_RATED) - flow_fraction * AIRFLOW_RATED

    static = bracketed(excess, STATIC_RATED, 1.0 * INWC, 1e-12)
    return reference_power(kind, static) / reference_power(kind, STATIC_RATED)


def airflow_at_maximum_setting(
    airflow_first: float, static_first: float, static_second: float, temperature_first: float, temperature_second: float
) -> float:
    """Return the airflow at the maximum setting from that of a heating setting, over one restriction."""
    return transfer_airflow(
        airflow_first, static_first, static_second, 2.0, 1.0, temperature_first / temperature_second
    )  # density goes as 1/T; its level cancels
