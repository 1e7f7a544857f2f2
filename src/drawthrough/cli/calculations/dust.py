"""Calculations of the dust trail."""

from drawthrough.cli.calculations.table import Calculation, Key, Results, Values
from drawthrough.physics import dust


def _dust_shares(values: Values) -> Results:
    found = dust.dust_shares(
        values["efficiency"], values["leak_fraction"], values["bypass_fraction"], values["concentration_ratio"]
    )
    return {
        "share_leak": found.share_leak,
        "share_bypass": found.share_bypass,
        "share_filter": found.share_filter,
        "downstream_ratio": found.downstream_ratio,
    }


CALCULATIONS = (
    Calculation(
        name="dust-shares",
        says="which share of the dust after the filter came by leaks, around the filter, and through it",
        keys=(
            Key("efficiency"),
            Key("leak_fraction"),
            Key("bypass_fraction"),
            Key("concentration_ratio"),
        ),
        work=_dust_shares,
        results=("share_leak", "share_bypass", "share_filter", "downstream_ratio"),
        equation="C_d/C_r = (1 - f_leak - f_bypass) (1 - eta) + f_bypass + f_leak R; a share is its term over the sum",
        sources=("Mass balance of one particle size",),
        example="efficiency=0.775 leak_fraction=0.064 bypass_fraction=0.03 concentration_ratio=1",
        notes=("For one size of particle; shares of what reaches the coil or wheel, not of what sticks.",),
    ),
)
