"""Published charge tables, as printed: charts of superheat, the table of temperature splits, and their tolerances.

Temperatures and differences are in degrees Fahrenheit here, as the charts print them; `charge` converts. None is a
cell that the chart leaves blank: there it gives no target (it would be below 5 F) or was not tabulated.
"""

from typing import NamedTuple

_Row = tuple[int | None, ...]

SUPERHEAT_WET_BULB = tuple(range(50, 78, 2))
CARRIER = "Carrier 38VTA040 dimensions and installation guide, table 4 (R-22)"
LENNOX = "Lennox 14ACX installation instructions, p. 26 (R-410A)"

# Target superheat [F] by outdoor dry bulb [F], for the wet bulbs above. Rows that both charts print are equal in both.
SUPERHEAT: dict[int, _Row] = {
    40: (15, 18, 20, 23, 26, 29, 32, 34, 38, 41, 43, 46, 48, 51),  # Lennox
    60: (7, 10, 12, 15, 18, 21, 24, 27, 30, 33, 35, 38, 40, 43),  # Carrier
    65: (None, 6, 10, 13, 16, 19, 21, 24, 27, 30, 33, 36, 38, 41),  # Carrier
    70: (None, None, 7, 10, 13, 16, 19, 21, 24, 27, 30, 33, 36, 39),  # both
    75: (None, None, None, 6, 9, 12, 15, 18, 21, 24, 28, 31, 34, 37),  # both
    80: (None, None, None, None, 5, 8, 12, 15, 18, 21, 25, 28, 31, 35),  # Lennox
    85: (None, None, None, None, None, None, 8, 11, 15, 19, 22, 26, 30, 33),  # both
    90: (None, None, None, None, None, None, 5, 9, 13, 16, 20, 24, 27, 31),  # both
    95: (None, None, None, None, None, None, None, 6, 10, 14, 18, 22, 25, 29),  # both
    100: (None, None, None, None, None, None, None, None, 8, 12, 15, 20, 23, 27),  # Carrier
    105: (None, None, None, None, None, None, None, None, 5, 9, 13, 17, 22, 26),  # both
    110: (None, None, None, None, None, None, None, None, None, 6, 11, 15, 20, 25),  # Carrier
    115: (None, None, None, None, None, None, None, None, None, None, 8, 14, 18, 23),  # Carrier
}

SPLIT_WET_BULB = tuple(range(50, 77))
SPLIT_SOURCE = "California Title 24, 2008 Reference Residential Appendix RA3.2, table RA3.2-3, from memory"
# Target split [F] by return dry bulb [F], for the wet bulbs above. FROM MEMORY: it was not re-read. All cells collapse
# on one quadratic within 0.05 F, which is their rounding. Later editions of the code no longer use it by default.
# fmt: off
SPLIT: dict[int, tuple[float | None, ...]] = {
    70: (20.9, 20.7, 20.6, 20.4, 20.1, 19.9, 19.5, 19.1, 18.7, 18.2, 17.7, 17.2, 16.5, 15.9,
         15.2, 14.4, 13.7, 12.8, 11.9, 11.0, 10.0, 9.0, 7.9, 6.8, 5.7, 4.5, 3.2),
    71: (21.4, 21.3, 21.1, 20.9, 20.7, 20.4, 20.1, 19.7, 19.3, 18.8, 18.3, 17.7, 17.1, 16.4,
         15.7, 15.0, 14.2, 13.4, 12.5, 11.5, 10.6, 9.5, 8.5, 7.4, 6.2, 5.0, 3.8),
    72: (21.9, 21.8, 21.7, 21.5, 21.2, 20.9, 20.6, 20.2, 19.8, 19.3, 18.8, 18.2, 17.6, 17.0,
         16.3, 15.5, 14.7, 13.9, 13.0, 12.1, 11.1, 10.1, 9.0, 7.9, 6.8, 5.6, 4.3),
    73: (22.5, 22.4, 22.2, 22.0, 21.8, 21.5, 21.2, 20.8, 20.3, 19.9, 19.4, 18.8, 18.2, 17.5,
         16.8, 16.1, 15.3, 14.4, 13.6, 12.6, 11.7, 10.6, 9.6, 8.5, 7.3, 6.1, 4.8),
    74: (23.0, 22.9, 22.8, 22.6, 22.3, 22.0, 21.7, 21.3, 20.9, 20.4, 19.9, 19.3, 18.7, 18.1,
         17.4, 16.6, 15.8, 15.0, 14.1, 13.2, 12.2, 11.2, 10.1, 9.0, 7.8, 6.6, 5.4),
    75: (23.6, 23.5, 23.3, 23.1, 22.9, 22.6, 22.2, 21.9, 21.4, 21.0, 20.4, 19.9, 19.3, 18.6,
         17.9, 17.2, 16.4, 15.5, 14.7, 13.7, 12.7, 11.7, 10.7, 9.5, 8.4, 7.2, 5.9),
    76: (24.1, 24.0, 23.9, 23.7, 23.4, 23.1, 22.8, 22.4, 22.0, 21.5, 21.0, 20.4, 19.8, 19.2,
         18.5, 17.7, 16.9, 16.1, 15.2, 14.3, 13.3, 12.3, 11.2, 10.1, 8.9, 7.7, 6.5),
    77: (None, 24.6, 24.4, 24.2, 24.0, 23.7, 23.3, 22.9, 22.5, 22.0, 21.5, 21.0, 20.4, 19.7,
         19.0, 18.3, 17.5, 16.6, 15.7, 14.8, 13.8, 12.8, 11.7, 10.6, 9.5, 8.3, 7.0),
    78: (None, None, None, 24.7, 24.5, 24.2, 23.9, 23.5, 23.1, 22.6, 22.1, 21.5, 20.9, 20.2,
         19.5, 18.8, 18.0, 17.2, 16.3, 15.4, 14.4, 13.4, 12.3, 11.2, 10.0, 8.8, 7.6),
    79: (None, None, None, None, None, 24.8, 24.4, 24.0, 23.6, 23.1, 22.6, 22.1, 21.4, 20.8,
         20.1, 19.3, 18.5, 17.7, 16.8, 15.9, 14.9, 13.9, 12.8, 11.7, 10.6, 9.4, 8.1),
    80: (None, None, None, None, None, None, 25.0, 24.6, 24.2, 23.7, 23.2, 22.6, 22.0, 21.3,
         20.6, 19.9, 19.1, 18.3, 17.4, 16.4, 15.5, 14.4, 13.4, 12.3, 11.1, 9.9, 8.7),
    81: (None, None, None, None, None, None, None, 25.1, 24.7, 24.2, 23.7, 23.1, 22.5, 21.9,
         21.2, 20.4, 19.6, 18.8, 17.9, 17.0, 16.0, 15.0, 13.9, 12.8, 11.7, 10.4, 9.2),
    82: (None, None, None, None, None, None, None, None, 25.2, 24.8, 24.2, 23.7, 23.1, 22.4,
         21.7, 21.0, 20.2, 19.3, 18.5, 17.5, 16.6, 15.5, 14.5, 13.4, 12.2, 11.0, 9.7),
    83: (None, None, None, None, None, None, None, None, None, 25.3, 24.8, 24.2, 23.6, 23.0,
         22.3, 21.5, 20.7, 19.9, 19.0, 18.1, 17.1, 16.1, 15.0, 13.9, 12.7, 11.5, 10.3),
    84: (None, None, None, None, None, None, None, None, None, 25.9, 25.3, 24.8, 24.2, 23.5,
         22.8, 22.1, 21.3, 20.4, 19.5, 18.6, 17.6, 16.6, 15.6, 14.4, 13.3, 12.1, 10.8),
}
# fmt: on
# The quadratic: c0 + c1 DB + c2 WB + c3 WB^2, in F.
SPLIT_REGRESSION = (-70.0386, 0.54423, 2.19690, -0.022820)


class Criterion(NamedTuple):
    """One published limit on a charge reading: lowest and highest deviation (or value) that passes, in F."""

    method: str
    checker: str
    what: str
    low: float
    high: float
    source: str
    word: str


_RA3 = "California Title 24, 2008 Reference Residential Appendix "
CRITERIA = (
    Criterion("superheat", "installer", "actual - target", -5.0, 5.0, _RA3 + "RA3.2.2.6.1, p. RA3-14", "published"),
    Criterion("superheat", "rater", "actual - target", -6.0, 6.0, _RA3 + "RA3.2.2.6.1, p. RA3-14", "published"),
    Criterion("subcooling", "installer", "actual - target", -3.0, 3.0, _RA3 + "RA3.2.2.6.2, p. RA3-15", "published"),
    Criterion("subcooling", "rater", "actual - target", -4.0, 4.0, _RA3 + "RA3.2.2.6.2", "from memory"),
    Criterion("expansion valve", "installer", "superheat", 4.0, 25.0, _RA3 + "RA3.2.2.6.2, p. RA3-15", "published"),
    Criterion("expansion valve", "rater", "superheat", 3.0, 26.0, _RA3 + "RA3.2.2.6.2, p. RA3-15", "published"),
    Criterion("split", "installer", "actual - target", -3.0, 3.0, _RA3 + "RA3.2.2.7, p. RA3-15", "published"),
    Criterion("split", "rater", "actual - target", -4.0, 4.0, _RA3 + "RA3.2.2.7, p. RA3-16", "published"),
)
