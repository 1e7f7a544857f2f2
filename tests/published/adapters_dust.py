"""Composites for the rows on dust: what came past the filter, and what a span without it brought."""

from drawthrough.physics.dust import Entry, PathShares, dust_shares, path_shares
from drawthrough.physics.dust_sum import shares_over_time


def share_past_the_filter(
    efficiency: float, leak_fraction: float, bypass_fraction: float, concentration_ratio: float
) -> float:
    """Return the share of leak and bypass together."""
    found = dust_shares(efficiency, leak_fraction, bypass_fraction, concentration_ratio)
    return found.share_leak + found.share_bypass


def open_slot_share(
    efficiency: float,
    leak_fraction: float,
    bypass_fraction: float,
    concentration_ratio: float,
    duration: float,
    duration_total: float,
) -> float:
    """Return the share of a whole time's dust that came through the filter's open slot while the filter was out."""

    def paths(filter_keeps: float, around: float) -> PathShares:
        one = {"3-10": 1.0}
        return path_shares(
            [
                Entry("slot", 1 - leak_fraction - around, one, one, ("filter",)),  # type: ignore[arg-type]
                Entry("gap", around, one, one),  # type: ignore[arg-type]
                Entry("leak", leak_fraction, {"3-10": concentration_ratio}, one),  # type: ignore[arg-type]
            ],
            {"filter": {"3-10": filter_keeps}},
            "3-10",
        )

    spans = shares_over_time(
        [paths(efficiency, bypass_fraction), paths(0.0, 0.0)], [duration_total - duration, duration]
    )
    return spans[1]["slot"]
