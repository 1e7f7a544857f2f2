"""The table of calculations that a hand can ask for, by topic."""

from drawthrough.cli.calculations import air, cooling, dust, flow, parts
from drawthrough.cli.calculations.table import Calculation

CALCULATIONS: dict[str, Calculation] = {
    calculation.name: calculation for topic in (air, flow, cooling, parts, dust) for calculation in topic.CALCULATIONS
}
