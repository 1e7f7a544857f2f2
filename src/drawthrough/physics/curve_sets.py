"""Published curves of residential cooling units, as data. `performance` computes with them.

Capacity and energy input ratio follow c1 + c2 E + c3 E^2 + c4 O + c5 O^2 + c6 E O with the entering wet bulb E and the
outdoor dry bulb O in the set's own unit, times d1 + d2 F + d3 F^2 with the flow fraction F. The energy input ratio is
that of the outdoor unit: power of compressor and outdoor fan over gross capacity.
"""

from typing import NamedTuple

REPORT = "NREL/TP-5500-56354 (Cutler, Winkler, Kruis, Christensen, Brandemuehl 2013)"

_AC_FLOW = (0.718605468, 0.410099989, -0.128705457)
_AC_FLOW_EIR = (1.32299905, -0.477711207, 0.154712157)
_HP_FLOW = (0.718664047, 0.41797409, -0.136638137)
_HP_FLOW_EIR = (1.143487507, -0.13943972, -0.004047787)
_AC_CAPACITY = (3.670270705, -0.098652414, 0.000955906, 0.006552414, -1.56e-05, -0.000131877)
_AC_EIR = (-3.302695861, 0.137871531, -0.001056996, -0.012573945, 0.000214638, -0.000145054)


class CurveSet(NamedTuple):
    """One set of curves, with the unit of its temperatures and where it was published."""

    capacity: tuple[float, ...]
    eir: tuple[float, ...]
    capacity_flow: tuple[float, ...]
    eir_flow: tuple[float, ...]
    unit: str
    renormalised: bool  # divided by the set's own value at 67 F wet bulb and 95 F outdoors
    source: str
    word: str


DEFAULT_SET = "AC single-speed"

CURVE_SETS: dict[str, CurveSet] = {
    # The default: the published curves over their own value at the rating point, which they miss by 0.6 and 0.9 %.
    "AC single-speed": CurveSet(
        _AC_CAPACITY,
        _AC_EIR,
        _AC_FLOW,
        _AC_FLOW_EIR,
        "F",
        True,
        REPORT + ", over its own value at 67/95 F",
        "published",
    ),
    "AC single-speed as published": CurveSet(
        _AC_CAPACITY, _AC_EIR, _AC_FLOW, _AC_FLOW_EIR, "F", False, REPORT + ", table 8 and its IP sisters", "published"
    ),
    "AC single-speed as published, SI": CurveSet(
        (1.5509, -0.07505, 0.0031, 0.0024, -5e-05, -0.00043),
        (-0.30428, 0.11805, -0.00342, -0.00626, 0.0007, -0.00047),
        _AC_FLOW,
        _AC_FLOW_EIR,
        "C",
        False,
        REPORT + ", tables 9, 10, 16, 17",
        "published",
    ),
    "HP single-speed as published": CurveSet(
        (3.68637657, -0.098352478, 0.000956357, 0.005838141, -1.27e-05, -0.000131702),
        (-3.437356399, 0.136656369, -0.001049231, -0.0079378, 0.000185435, -0.0001441),
        _HP_FLOW,
        _HP_FLOW_EIR,
        "F",
        False,
        REPORT + ", heat pumps, as coded in resdx",
        "published",
    ),
    "AC and HP, newer": CurveSet(
        (3.717717741, -0.09918866, 0.000964488, 0.005887776, -1.2808e-05, -0.000132822),
        (-3.400341169, 0.135184783, -0.001037932, -0.007852322, 0.000183438, -0.000142548),
        _HP_FLOW,
        _HP_FLOW_EIR,
        "F",
        False,  # it already is 1 at the rating point
        "the heat-pump curves renormalised by OpenStudio-HPXML and RESNET 301, as coded in resdx",
        "published",
    ),
}
