"""Readings accused together: the fit asked again with the likeliest slip mended, until nothing is suspect any more."""

import math
from collections.abc import Iterable, Mapping
from typing import NamedTuple

import msgspec

from drawthrough.errors import DrawthroughError
from drawthrough.judge.beside import beside_of
from drawthrough.judge.evidence import evidence, gained
from drawthrough.judge.joint import Joint
from drawthrough.judge.law import Law
from drawthrough.judge.mended import Key, let_go, mend_of, mended_by, with_reading, without
from drawthrough.judge.misreading import Misreading, Named, Suspicion, probable, suspicions
from drawthrough.judge.model import build
from drawthrough.judge.priors import Priors
from drawthrough.measure.fit import SMALLEST_DETECTABLE, Fitted
from drawthrough.measure.sites import Observation
from drawthrough.trade.slips import Slips, slips
from drawthrough.visit.state import Visit

IGNORED = 0.3  # weight below which the fit has let a reading go
UNCHECKED = 0.05  # redundancy below which nothing checks a reading
_NO_FIT = 20.0  # by how much a fit that there is explains more than none at all, as a logarithm (judgement)
_ROUNDS = 2  # slips that are looked for one after the other
_EXPECTED = 0.05  # probability of lying further out, from which a reading is what the others expect (judgement)
_SAME = 0.25  # of the likeliest: from this share on another reading explains it as well (judgement)


class Accused(NamedTuple):
    """A reading that is accused, and of what."""

    probability: float
    kind: Named | None  # the likeliest slip; None: only too far out
    among: tuple[Key, ...]  # the readings of which one is wrong, where nothing tells which


class Checked(NamedTuple):
    """What became of a visit's readings when each was held against all the others."""

    misreadings: tuple[Misreading, ...]
    accused: dict[Key, Accused]
    fitted: dict[Key, Fitted]  # what the others say of each, the accused ones not among the others
    detectable: dict[Key, float]  # the smallest gross error that would be noticed; none: nothing checks the reading
    joint: Joint | None  # the fit without the accused readings; the one given where none is


def checked(visit: Visit, joint: Joint | None, priors: Priors, table: Slips | None = None) -> Checked:
    """Return which readings of a visit are slips, and what the others say of each.

    Parameters
    ----------
    visit : Visit
        What was read.
    joint : Joint, optional
        The fit of these readings; None where it did not settle.
    priors : Priors
        What was believed beforehand.
    table : Slips, optional
        Kinds of slips and from which odds on they are told; those that the tool brings unless given.

    Notes
    -----
    One fit judges all readings at once, which goes wrong where a slip bent the whole fit. So where anything is suspect,
    the likeliest hypotheses are each put to a fit of their own, with the number as it was meant (or, wrong otherwise,
    with next to no weight), and weighed by how well that fit explains everything. The best is taken, and what is left
    is asked the same again, so that a reading that looked odd because of another is cleared.
    """
    table = table or slips()
    accused: dict[Key, Accused] = {}
    first: tuple[Misreading, ...] | None = None
    mended, fit = visit, joint
    for _ in range(_ROUNDS):
        found = [
            one
            for one in suspicions(mended, fit, table, without(visit, accused))
            if not any(key in accused for key in one.wrong)
        ]
        if _suspect(found, fit, table):
            found = _asked(mended, fit, priors, table, found)
        likely = probable(found)
        first = likely if first is None else first
        chosen = _chosen(likely, table)
        if not chosen:
            break
        apart = _mended(mended, found, chosen, table)
        other = fitted_to(apart, priors)
        # What the fit without a reading expects as it was typed is no slip.
        known = _by_reading(visit, other, priors, chosen)
        kept = {key: one for key, one in chosen.items() if key not in known or _tail(known[key]) < _EXPECTED}
        if sum(one.probability for one in kept.values()) < table.told.accused:
            if not accused:
                first = probable(one for one in found if not any(key in chosen for key in one.wrong))
            break
        if len(kept) < len(chosen):
            apart = _mended(mended, found, kept, table)
            other = fitted_to(apart, priors)
        if accused:
            first = (*first, *(one for one in likely if (one.run, one.index) in kept))
        accused.update(kept)
        mended, fit = apart, other
    fitted = _by_reading(visit, fit, priors, accused)
    spoken = {fitted[key].label for key in accused if key in fitted}  # a rise with one of these in it tells nothing
    for key in _far_out(fitted, table):
        if key not in accused and fitted[key].label not in spoken:
            accused[key] = Accused(0.0, None, (key,))
    return Checked(first or (), accused, fitted, _detectable(visit, fitted, table), fit)


def _detectable(visit: Visit, fitted: Mapping[Key, Fitted], table: Slips) -> dict[Key, float]:
    """Return the smallest gross error that would be noticed in each reading: by the fit, or by what else is there."""
    found = {key: fit.smallest_detectable for key, fit in fitted.items() if math.isfinite(fit.smallest_detectable)}
    for run in visit.run:
        for index, reading in enumerate(run.reading):
            key = (run.id, index)
            if key in found:
                continue
            firm = [b for b in beside_of(visit, run, index, table) if not b.check.guess]
            if firm:
                found[key] = SMALLEST_DETECTABLE * min(b.spread(reading.value) for b in firm)
    return found


def fitted_to(visit: Visit, priors: Priors, like: Joint | None = None) -> Joint | None:
    """Return the fit of a visit, or None where there is none; `like` tells where to begin."""
    try:
        model = build(visit, priors)
        if not any(source.readings for source in model.sources):
            return None
        if like is not None:
            known = dict(zip(like.model.unknowns.names, like.mean, strict=True))
            start = [known.get(name, s) for name, s in zip(model.unknowns.names, model.start, strict=True)]
            model = model._replace(start=start)
        return Joint(model, patient=False)
    except (DrawthroughError, ArithmeticError, ValueError):  # a number as meant can be one that no model takes
        return None


def _suspect(found: Iterable[Suspicion], joint: Joint | None, table: Slips) -> bool:
    """Is there anything to ask the fit about?"""
    limit = math.log(table.told.suspect)
    return (
        joint is None
        or not joint.solution.settled
        or any(note == "strips on without a rise" for _, note in joint.model.notes)
        or any(one.odds > limit or one.guess > limit for one in found)
        or bool(_far_out({(f.label, k): f for k, f in enumerate(joint.solution.fitted)}, table))
    )


def _asked(visit: Visit, joint: Joint | None, priors: Priors, table: Slips, found: list[Suspicion]) -> list[Suspicion]:
    """Return the hypotheses with the odds that a fit of each gives it, for the likeliest of them."""
    tries = table.told.tries
    in_fit = [one for one in found if one.fits]
    ranked: list[Suspicion] = []
    for one in _in_turn(
        sorted(in_fit, key=lambda one: -one.odds), sorted(in_fit, key=lambda one: -max(one.guess, one.odds - 50.0))
    ):
        if len({mend_of(other) for other in (*ranked, one)}) <= tries:
            ranked.append(one)
    # A zero left off after the point is also a point moved: one fit speaks for both.
    known: dict[tuple[object, ...], Joint | None] = {}
    for one in ranked:
        if mend_of(one) not in known:
            known[mend_of(one)] = fitted_to(mended_by(visit, one, table), priors)
    fits = [(one, known[mend_of(one)]) for one in in_fit if mend_of(one) in known]
    if joint is None:
        # No fit at all to compare with: it is taken to explain less than the best of these by a fixed amount.
        explained = [(one, evidence(fit)) for one, fit in fits if fit is not None]
        best = max((value for _, value in explained), default=0.0)
        outside = [one for one in found if not one.fits]
        return [*outside, *(_with_odds(one, value - best + _NO_FIT) for one, value in explained)]
    base = joint
    best_fit = max((fit for _, fit in fits if fit is not None), key=lambda fit: gained(base, fit), default=None)
    # Readings that contradict each other leave more than one peak. The fit with a reading let go can have found a
    # higher one, at which that reading fits as well: begun from there, the fit of all readings must not be worse.
    again = fitted_to(visit, priors, best_fit) if best_fit is not None else None
    if again is not None and gained(joint, again) > 0.0:
        joint = again
    asked = {id(one): _with_odds(one, gained(joint, fit)) for one, fit in fits if fit is not None}
    dropped = {id(one) for one, fit in fits if fit is None}
    return [asked.get(id(one), one) for one in found if id(one) not in dropped]


def _with_odds(one: Suspicion, gain: float) -> Suspicion:
    return msgspec.structs.replace(one, odds=one.meant.odds + gain + one.beside)


def _in_turn(first: list[Suspicion], second: list[Suspicion]) -> list[Suspicion]:
    return [one for pair in zip(first, second, strict=True) for one in pair]


def _chosen(likely: tuple[Misreading, ...], table: Slips) -> dict[Key, Accused]:
    """Return which readings are accused: the likeliest, or the few of which one is, where nothing tells them apart."""
    told = table.told
    total = sum(one.odds for one in likely)
    if not likely or total < told.accused:
        return {}
    alike = [one for one in likely if one.odds >= _SAME * likely[0].odds][: told.most]
    if sum(one.odds for one in alike) < told.accused:
        return {}
    among = tuple((one.run, one.index) for one in alike)
    return {(one.run, one.index): Accused(one.odds, one.kinds[0], among) for one in alike}


def _mended(visit: Visit, found: list[Suspicion], chosen: Iterable[Key], table: Slips) -> Visit:
    """Return the visit with next to no weight on the accused readings; what was meant is a guess, and no reading."""
    for run_id, index in chosen:
        reading = next(run for run in visit.run if run.id == run_id).reading[index]
        if reading.what in table.broad:
            visit = with_reading(visit, run_id, index, let_go(reading, table))
            continue
        # Volts and amps enter as heat, which has no weight of its own.
        best = max((one for one in found if (run_id, index) in one.wrong), key=lambda one: one.odds)
        if best.meant.kind != "otherwise":
            visit = mended_by(visit, best, table)
    return visit


def _by_reading(visit: Visit, joint: Joint | None, priors: Priors, accused: Iterable[Key]) -> dict[Key, Fitted]:
    """Return what the others say of each reading, of the accused ones as they were typed."""
    if joint is None:
        return {}
    found = {
        (source.run, index): fitted
        for source, fitted in zip(joint.model.sources, joint.solution.fitted, strict=True)
        for index in source.readings
    }
    aside = [key for key in accused if key in found]
    typed = {one.label: one for one in build(visit, priors).observations} if aside else {}
    for key in aside:
        own = typed.get(found[key].label)
        if own is not None:
            found[key] = _as_typed(found[key], own)
    return found


def _as_typed(fitted: Fitted, own: Observation) -> Fitted:
    """Return what the others say of a reading that the fit took with next to no weight."""
    wide = math.hypot(own.sd, fitted.sd_without)
    redundancy = (own.sd / wide) ** 2
    return fitted._replace(
        value=own.value,
        sd=own.sd,
        redundancy=redundancy,
        standardised=(own.value - fitted.expected_without) / wide,
        smallest_detectable=SMALLEST_DETECTABLE * wide,
        weight=0.0,
    )


def _far_out(fitted: dict[Key, Fitted], table: Slips) -> list[Key]:
    """Return the readings that lie further out than chance would have any of them in so many visits."""
    level = table.told.alarms / max(len({fit.label for fit in fitted.values()}), 1)
    return [
        key
        for key, fit in fitted.items()
        if fit.redundancy > 1e-6 and (fit.redundancy >= UNCHECKED or fit.weight < IGNORED) and _tail(fit) < level
    ]


def _tail(fit: Fitted) -> float:
    return Law(fit.expected_without, fit.sd, fit.sd_without).tail(fit.value)
