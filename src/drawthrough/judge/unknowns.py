"""The unknowns of the joint fit of one visit: which there are, what is believed of each, and how they add up."""

from drawthrough.judge.priors import Belief, Priors
from drawthrough.visit.state import Run, Visit, When

WORKED_ON = 0.04  # a belief in a change narrower than this says that nobody worked on the part
_CERTAIN = 1e-6  # a belief is never narrower: an instrument without any error is still solved for
_WORKED = ("cleaned", "rinsed", "replaced", "sealed", "altered")


class Unknowns:
    """A growing list of named unknowns with their beliefs; asking for a name again gives the same unknown."""

    def __init__(self) -> None:
        self.names: list[str] = []
        self.mean: list[float] = []
        self.sd: list[float] = []
        self._index: dict[str, int] = {}

    def get(self, name: str, belief: Belief) -> int:
        """Return the index of an unknown, made with this belief if it is new."""
        found = self._index.get(name)
        if found is None:
            found = self._index[name] = len(self.names)
            self.names.append(name)
            self.mean.append(belief.mean)
            self.sd.append(max(belief.sd, _CERTAIN))
        return found

    def find(self, name: str) -> int | None:
        """Return the index of an unknown, or None if the visit has no such unknown."""
        return self._index.get(name)


def touched(visit: Visit, *parts: str) -> bool:
    """Return whether any of the parts was worked on between as found and as left."""
    return any(work.part in parts and work.action in _WORKED for work in visit.work)


def seen_clean(visit: Visit, part: str) -> bool:
    """Return whether a part was cleaned or replaced and then seen clean."""
    return any(
        work.part == part and work.action in ("cleaned", "rinsed", "replaced") and work.condition == "seen clean"
        for work in visit.work
    )


class Parts:
    """Which unknowns make up each part of the air path and the blower, as found and as left.

    A part as found is the part as left plus a change, so that what was not touched stays nearly the same.
    """

    def __init__(self, visit: Visit, priors: Priors, unknowns: Unknowns) -> None:
        self._visit = visit
        self._priors = priors
        self._unknowns = unknowns
        self._base: When = "as left" if any(run.when == "as left" for run in visit.run) else "as found"

    def _changed(self, part: str, belief: Belief, when: When, change: Belief) -> tuple[int, ...]:
        base = self._unknowns.get(f"resistance {part}", belief)
        if when == self._base:
            return (base,)
        return (base, self._unknowns.get(f"change {part}", change))

    def resistance(self, section: str, run: Run) -> tuple[int, ...]:
        """Return the unknowns whose sum is ln K of a section in a run."""
        priors = self._priors
        if section == "filter":
            return self._filter(run)
        if section == "coil":
            change = priors.coil_change if touched(self._visit, "coil") else priors.untouched_change
            return self._changed("coil", priors.coil, run.when, change)
        if section == "heater":
            return (self._unknowns.get("resistance heater", priors.heater),)
        return_side = section == "return duct"
        worked = touched(self._visit, "return ducts" if return_side else "supply ducts", "registers")
        belief = priors.return_duct if return_side else priors.supply_duct
        return self._changed(section, belief, run.when, priors.duct_change if worked else priors.untouched_duct)

    def _filter(self, run: Run) -> tuple[int, ...]:
        base = self._unknowns.get("resistance filter", self._priors.filter)
        cleaned = any(work.part == "filter" and work.action in ("cleaned", "rinsed") for work in self._visit.work)
        if run.filter == "new" or (cleaned and run.when == "as left"):
            return (base, self._unknowns.get("change filter", _negated(self._priors.filter_change)))
        return (base,)

    def leak(self, when: When) -> int:
        """Return the unknown share of blower air that enters between filter and blower."""
        sealed = any(
            work.part in ("seams", "cabinet") and work.action in ("sealed", "altered") for work in self._visit.work
        )
        get, priors = self._unknowns.get, self._priors
        if sealed:
            return get("leak as left", priors.leak) if when == "as left" else get("leak", priors.leak_sealed)
        return get("leak", priors.leak)

    def strength(self, when: When) -> tuple[int, ...]:
        """Return the unknowns whose sum is ln of blower against clean."""
        priors = self._priors
        base = priors.strength_clean if seen_clean(self._visit, "wheel") else priors.strength_unknown
        if self._base == "as found" or when == "as left":
            left = self._unknowns.get(f"strength {self._base}", base)
            return (left,)
        if touched(self._visit, "wheel", "motor", "capacitor", "speed lead"):
            return (self._unknowns.get("strength as found", priors.strength_unknown),)
        left = self._unknowns.get("strength as left", base)
        return (left, self._unknowns.get("change strength", priors.strength_untouched_change))

    def rated(self, section: str, coil: str) -> tuple[int, ...]:
        """Return the unknowns whose sum is ln K of a section inside the cabinet in which the blower was rated."""
        priors, unknowns = self._priors, self._unknowns
        if section == "coil":
            belief = priors.rated_coil_clean if seen_clean(self._visit, "coil") else priors.rated_coil_unseen
            own = (unknowns.get("resistance coil", priors.coil), unknowns.get("rated coil", belief))
            return (*own, unknowns.get("wet coil", priors.wet)) if coil == "wet" else own
        if section == "filter":
            base = unknowns.get("resistance filter", priors.filter)
            return (base, unknowns.get("rated filter", priors.rated_filter))
        return (unknowns.get("resistance heater", priors.heater), unknowns.get("rated heater", priors.rated_heater))


def _negated(belief: Belief) -> Belief:
    return Belief(-belief.mean, belief.sd)
