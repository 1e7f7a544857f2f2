"""Which numbers of a joint model are held against the sampler, as weighted sums of unknowns."""

import hashlib


def targets(model):
    """Return label -> weights by unknown, of the numbers that a judgement reports."""
    find = model.unknowns.find
    found = {}
    flows = [name for name in model.unknowns.names if name.startswith("airflow ")]
    for name in flows:
        found[name] = {name: 1.0}
    pairs = [
        (a, a.replace("-found", "-left")) for a in flows if a.replace("-found", "-left") in flows and "-found" in a
    ]
    for first, second in pairs:
        found[f"{second} over {first}"] = {second: 1.0, first: -1.0}
    if find("strength as found") is not None:
        found["strength as found"] = {"strength as found": 1.0}
        found["strength as found over as left"] = {"strength as found": 1.0, "strength as left": -1.0}
    if find("change strength") is not None:
        found["strength as found over as left"] = {"change strength": 1.0}
    if find("strength as left") is not None:
        found["strength as left"] = {"strength as left": 1.0}
    for part in ("coil", "filter"):
        if find(f"change {part}") is not None:
            found[f"change {part}"] = {f"change {part}": 1.0}
    return found


def fingerprint(model):
    """Return a digest of the posterior: readings, their noise, and beliefs, rounded so that platforms agree."""
    unknowns = model.unknowns
    lines = [f"{n} {m:.9g} {s:.9g}" for n, m, s in zip(unknowns.names, unknowns.mean, unknowns.sd, strict=True)]
    lines += [f"{o.label} {o.value:.7g} {o.sd:.7g} {o.heavy}" for o in model.observations]
    return hashlib.sha256("\n".join(lines).encode()).hexdigest()[:16]
