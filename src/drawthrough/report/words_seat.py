"""The words for how motor and wheel sit as left, and for the run capacitor that is on it."""

from collections.abc import Iterable, Iterator

from drawthrough.plan.truck import TruckFault, fits
from drawthrough.report.names import code_name
from drawthrough.report.voice import ENGLISH, N_, Voice
from drawthrough.visit.seat_compare import Said, SeatFinding, SeatPart
from drawthrough.visit.state import Capacitor, CapacitorSeen

# What to do about each difference, by its part and kind. Slots: {found} and {left}.
WORDS: dict[tuple[str, str], str] = {
    ("lead exit", "changed"): N_("Turn the motor: its leads came out at {found} as found, and come out at {left}."),
    ("clearance motor side", "changed"): N_(
        "Shift the wheel on the shaft: on the motor's side it had {found} to the housing as found, and has {left}."
    ),
    ("clearance far side", "changed"): N_(
        "Shift the wheel on the shaft: on the far side it had {found} to the housing as found, and has {left}."
    ),
    ("run-out motor side", "grown"): N_(
        "Look why the wheel runs out of true: on the motor's side its rim wobbled {found} as found, and wobbles {left}."
    ),
    ("run-out far side", "grown"): N_(
        "Look why the wheel runs out of true: on the far side its rim wobbled {found} as found, and wobbles {left}."
    ),
    ("weights", "changed"): N_("Look for the balance weights: {found} as found, {left} as left."),
    ("set screw", "off the flat"): N_("Turn the hub until the set screw bites on the flat of the shaft: it is off it."),
    ("set screw", "not seen"): N_("Look at the set screw: whether it is on the flat was not seen."),
    ("rotation", "changed"): N_(
        "Look at the rotation, seen from the motor's end: {found} as found, {left} as left. Backwards moves little air."
    ),
}  # fmt: skip
PARTS: dict[SeatPart, str] = {
    "lead exit": N_("where the motor's leads come out"),
    "clearance motor side": N_("clearance on the motor's side"),
    "clearance far side": N_("clearance on the far side"),
    "run-out motor side": N_("wobble on the motor's side"),
    "run-out far side": N_("wobble on the far side"),
    "weights": N_("balance weights"),
    "set screw": N_("set screw"),
    "rotation": N_("rotation"),
}
MISFITS: dict[tuple[str, str], str] = {
    ("capacitance", "other rating"): N_("It is rated {offered} uF, and {wanted} uF is wanted."),
    ("volts", "lower"): N_("It is made for {offered} V, and at least {wanted} V is wanted."),
    ("volts", "not known"): N_("Its voltage or that of the old one is not known: read both."),
    ("tolerance", "wider"): N_("Its tolerance is {offered} %, and {wanted} % or less is wanted."),
    ("tolerance", "not known"): N_("Its tolerance is not known; {wanted} % or less is wanted."),
}
_SCALE = {"capacitance": 1e6, "volts": 1.0, "tolerance": 100.0}


def seat_told(findings: Iterable[SeatFinding], voice: Voice = ENGLISH) -> tuple[str, ...]:
    """Return what to do about each difference, and last what was not recorded."""
    told: list[str] = []
    lacking: list[str] = []
    for one in findings:
        if one.kind == "not recorded":
            lacking.append(voice.say(PARTS[one.part]))
            continue
        lengths = one.part.startswith(("clearance", "run-out"))
        slots = {name: _said(said, lengths, voice) for name, said in (("found", one.found), ("left", one.left))}
        told.append(voice.say(WORDS[one.part, one.kind], **slots))
    if lacking:
        told.append(voice.say("Not recorded both times: {parts}.", parts=", ".join(lacking)))
    return tuple(told)


def _said(said: Said, length: bool, voice: Voice) -> str:
    if said is None:
        return "?"
    if length and isinstance(said, int | float):
        return f"{said * 1000:.1f} mm" if voice.measures == "SI" else f"{said / 0.0254:.2f} in"
    return code_name(said, voice) if isinstance(said, str) else str(said)


def capacitor_told(one: CapacitorSeen, voice: Voice = ENGLISH) -> tuple[str, ...]:
    """Return what is printed on a capacitor, and what its reading is against that."""
    printed = [f"{one.capacitance * 1e6:.3g} uF"]
    if one.tolerance is not None:
        printed.append(f"±{one.tolerance * 100:.3g} %")
    if one.volts is not None:
        printed.append(f"{one.volts:.3g} V")
    told = [voice.say("Printed: {printed}.", printed=", ".join(printed))]
    if one.capacitance <= 0.0:
        return tuple(told)
    if one.capacitance_read is None:
        return (*told, voice.say("Not read yet."))
    off = one.capacitance_read / one.capacitance - 1.0
    slots = {"read": f"{one.capacitance_read * 1e6:.3g}", "off": f"{off * 100:+.1f}".replace("-", "−")}
    if one.tolerance is None:
        told.append(
            voice.say("Read: {read} uF, {off} % from its print; no tolerance is printed to hold it to.", **slots)
        )
    elif abs(off) <= one.tolerance * (1 + 1e-9):
        told.append(voice.say("Read: {read} uF, {off} % from its print: within its tolerance.", **slots))
    else:
        told.append(voice.say("Read: {read} uF, {off} % from its print: outside its tolerance. Replace it.", **slots))
    return tuple(told)


def fit_told(wanted: Capacitor, offered: CapacitorSeen, voice: Voice = ENGLISH) -> tuple[str, ...]:
    """Return why a capacitor does not take the place of another, or that it does."""
    given = Capacitor(capacitance=offered.capacitance, tolerance=offered.tolerance, volts=offered.volts)
    try:
        misfits = fits(wanted, given)
    except TruckFault:
        return (voice.say("The two cannot be compared: a rating is zero or below."),)
    if not misfits:
        return (voice.say("It fits: the same rating, enough volts, no wider tolerance."),)
    told = [voice.say("Do not put it in: it does not fit.")]
    for one in misfits:
        scale = _SCALE[one.what]
        slots = {
            name: "?" if figure is None else f"{figure * scale:.3g}"
            for name, figure in (("wanted", one.wanted), ("offered", one.offered))
        }
        told.append(voice.say(MISFITS[one.what, one.why], **slots))
    return tuple(told)


def history_told(day: str, one: CapacitorSeen, voice: Voice = ENGLISH) -> str:
    """Return what the run capacitor was on an earlier visit.

    Parameters
    ----------
    day : str
        When that visit was.
    one : CapacitorSeen
        The capacitor that was left then, or found where none was left.
    voice : Voice
        How it is told.
    """
    slots = {"day": day, "printed": f"{one.capacitance * 1e6:.3g}", "mark": one.code or "?"}
    if one.capacitance_read is None or one.capacitance <= 0.0:
        return voice.say("{day}: {printed} uF, code {mark}; not read.", **slots)
    slots["read"] = f"{one.capacitance_read * 1e6:.3g}"
    slots["share"] = f"{one.capacitance_read / one.capacitance * 100:.0f}"
    return voice.say("{day}: {printed} uF, code {mark}; it read {read} uF, {share} % of its print.", **slots)


def messages() -> Iterator[str]:
    """Yield every sentence of the tables."""
    yield from WORDS.values()
    yield from PARTS.values()
    yield from MISFITS.values()
