"""What the drain trap must hold: the pressure at the pan as it was read, and the heights that it asks for."""

import msgspec

from drawthrough.judge.accuracy import accuracy_of
from drawthrough.measure.instrument import standard_uncertainty
from drawthrough.physics.drain import suction_held, trap
from drawthrough.visit.state import Visit, When

COVERAGE = 1.959963984540054  # of a 95 % interval of a normal error
_AT_THE_PAN = ("after coil", "before coil")  # the pan lies under the coil: the stronger of the two decides


class TrapNeed(msgspec.Struct, frozen=True, kw_only=True):
    """The heights that a trap needs at one time, with 95 % intervals. [Pa], [m]"""

    when: When
    run: str
    static: float  # at the pan against the room, suction negative
    trap_drop: float
    trap_drop_low: float
    trap_drop_high: float
    trap_seal: float
    trap_seal_low: float
    trap_seal_high: float
    held: float | None = None  # what the trap that was measured holds, as a static [Pa]


def trap_needs(visit: Visit) -> tuple[TrapNeed, ...]:
    """Return what the trap needs as found and as left, by the strongest pressure that was read at the coil.

    Parameters
    ----------
    visit : Visit
        The visit. A pressure against anything but the room is passed over: where the trap ends is not known better.

    Returns
    -------
    tuple of TrapNeed
        At most one for each time; none where nothing was read at the coil.

    Notes
    -----
    The interval is that of the reading alone. A good cleaning may raise the suction, so the need as found is no need as
    left: it is read again.
    """
    found: dict[When, TrapNeed] = {}
    for run in visit.run:
        for reading in run.reading:
            if reading.what != "static" or reading.at not in _AT_THE_PAN or reading.against != "room":
                continue
            known = found.get(run.when)
            if known is None or abs(reading.value) > abs(known.static):
                uncertainty = standard_uncertainty(accuracy_of(visit, reading).sheet, reading.value)
                found[run.when] = _need(visit, run.when, run.id, reading.value, uncertainty)
    return tuple(found[when] for when in ("as found", "as left") if when in found)


def _need(visit: Visit, when: When, run: str, static: float, uncertainty: float) -> TrapNeed:
    # An interval that crosses zero would ask for no drop at one end and for no seal at the other: it stops at zero.
    sign = -1.0 if static <= 0.0 else 1.0
    low, high = (sign * max(0.0, abs(static) + turn * COVERAGE * uncertainty) for turn in (-1.0, 1.0))
    best, least, most = trap(static), trap(low), trap(high)
    system = visit.system
    held = None
    if system.trap_drop is not None and system.trap_seal is not None:
        held = suction_held(system.trap_drop, system.trap_seal)
    return TrapNeed(
        when=when, run=run, static=static,
        trap_drop=best.trap_drop, trap_drop_low=min(least.trap_drop, best.trap_drop), trap_drop_high=most.trap_drop,
        trap_seal=best.trap_seal, trap_seal_low=min(least.trap_seal, best.trap_seal), trap_seal_high=most.trap_seal,
        held=held,
    )  # fmt: skip
