"""The truck list: chemicals by what "1:10" means, parts by the nameplate, nothing twice."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from drawthrough import units
from drawthrough.plan.truck import CapacitorWanted, Misfit, TruckFault, capacitor_wanted, fits, mixture, truck_list
from drawthrough.trade.truck_items import ItemFault, items
from drawthrough.visit.state import Capacitor, Chemical, Job, System

GALLON = units.to_si(1, "gal", "volume")
OLD = Capacitor(capacitance=7.5e-6, tolerance=0.06, volts=370)
SYSTEM = System(name="upflow", arrangement="draw-through", motor="psc", coil_inside_taps=True, capacitor=OLD,
                filter_merv=8)  # fmt: skip
COIL = Chemical(name="foaming", use="coil", water_parts=4, sprayer_volume=GALLON, fills=2)
BARE = Chemical(name="bare", use="coil")


def line_of(lines, item):
    return next((line for line in lines if line.item == item), None)


@pytest.mark.analytic
def test_one_to_ten_is_one_part_of_eleven():
    """1:10 means one part of cleaner to ten of water, so eleven litres hold one (by the definition)."""
    one = mixture(replace(COIL, water_parts=10, sprayer_volume=11e-3, fills=1))
    assert one.concentrate == pytest.approx(1e-3, rel=1e-12)
    assert one.water == pytest.approx(10e-3, rel=1e-12)


@pytest.mark.restated
@pytest.mark.parametrize(("parts", "ounces"), [(128, 1), (64, 2), (32, 4), (16, 8), (4, 32)])
def test_ounces_to_a_gallon_of_water(parts, ounces):
    """Fluid ounces of cleaner to a whole gallon of water, as dilution charts have them (from memory).

    Such a mix is more than a gallon. A sprayer that holds a gallon takes less of both: at 1:4 a fifth less (25.6).
    """
    whole = units.to_si(128 + ounces, "fl oz", "volume")
    one = mixture(replace(COIL, water_parts=parts, sprayer_volume=whole, fills=1))
    assert units.from_si(one.concentrate, "fl oz", "volume") == pytest.approx(ounces, rel=1e-9)
    assert one.water == pytest.approx(GALLON, rel=1e-9)
    less = mixture(replace(COIL, water_parts=parts, sprayer_volume=GALLON, fills=1)).concentrate
    assert less / one.concentrate == pytest.approx(parts / (1 + parts))


@pytest.mark.property
@settings(deadline=None, max_examples=60)
@given(st.floats(0, 200), st.floats(1e-4, 0.1), st.integers(1, 9))
def test_cleaner_and_water_fill_the_sprayer(parts, volume, fills):
    one = mixture(replace(COIL, water_parts=parts, sprayer_volume=volume, fills=fills))
    assert one.concentrate + one.water == pytest.approx(fills * volume)
    assert one.water == pytest.approx(parts * one.concentrate)
    assert 0 < one.concentrate <= fills * volume * (1 + 1e-12)


@pytest.mark.property
@pytest.mark.parametrize(
    ("key", "value", "says"),
    [
        ("water_parts", -1.0, "-1 parts"),
        ("water_parts", math.nan, "nan parts"),
        ("sprayer_volume", 0.0, "holds 0 m3"),
        ("sprayer_volume", -0.01, "above zero"),
        ("sprayer_volume", math.inf, "inf"),
        ("fills", 0, "0 fills"),
    ],
)
def test_an_amount_that_cannot_be_mixed_is_refused(key, value, says):
    with pytest.raises(TruckFault, match='"foaming"') as caught:
        truck_list(SYSTEM, Job(chemical=(replace(COIL, **{key: value}),)), [])
    assert says in str(caught.value)


@pytest.mark.analytic
def test_cleaners_of_one_use_are_one_line_and_water_is_summed():
    strong = replace(COIL, name="second", water_parts=0, fills=1)
    wheel = replace(COIL, name="wheel foam", use="wheel", water_parts=1, fills=1)
    lines = truck_list(SYSTEM, Job(chemical=(COIL, strong, wheel)), ["coil cleaner", "wheel cleaner"])
    coil = line_of(lines, "coil cleaner")
    assert [one.chemical for one in coil.mixtures] == ["foaming", "second"]
    assert coil.volume == pytest.approx((2 / 5 + 1) * GALLON)
    assert line_of(lines, "wheel cleaner").volume == pytest.approx(GALLON / 2)
    assert line_of(lines, "water").volume == pytest.approx((8 / 5 + 1 / 2) * GALLON)


@pytest.mark.property
def test_a_chemical_counts_where_a_task_wants_it():
    cabinet = replace(COIL, name="wipe", use="cabinet")
    lines = truck_list(SYSTEM, Job(chemical=(COIL, cabinet)), ["rags"])
    assert line_of(lines, "coil cleaner") is None
    assert line_of(lines, "cabinet cleaner").why == "label"
    assert line_of(lines, "eyewash").why == "along"
    assert line_of(lines, "rags").why == "task"


@pytest.mark.property
def test_an_amount_is_not_made_up_where_the_sprayer_is_not_known():
    lines = truck_list(SYSTEM, Job(chemical=(COIL, BARE)), ["coil cleaner"])
    assert line_of(lines, "coil cleaner").volume is None
    assert line_of(truck_list(SYSTEM, Job(chemical=(BARE,)), ["coil cleaner"]), "water") is None
    assert line_of(truck_list(SYSTEM, Job(), ["coil cleaner"]), "coil cleaner").mixtures == ()


@pytest.mark.restated
def test_parts_are_matched_to_the_nameplate():
    """Same capacitance, at least the voltage, no wider tolerance; the filter as the system has it (common practice)."""
    lines = truck_list(replace(SYSTEM, filter_places=2), Job(), ["nut drivers"])
    capacitor, filter_ = line_of(lines, "run capacitor"), line_of(lines, "filter")
    assert capacitor.capacitor == CapacitorWanted(7.5e-6, 370, 0.06) == capacitor_wanted(OLD)
    assert (capacitor.why, filter_.why) == ("nameplate", "nameplate")
    assert (filter_.merv, filter_.number) == (8, 2)
    without = truck_list(replace(SYSTEM, capacitor=None, filter_places=0), Job(), [])
    assert line_of(without, "run capacitor") is None
    assert line_of(without, "filter") is None
    assert (
        line_of(truck_list(replace(SYSTEM, capacitor=None), Job(), ["run capacitor"]), "run capacitor").capacitor
        is None
    )


@pytest.mark.property
@settings(deadline=None, max_examples=60)
@given(st.lists(st.sampled_from(sorted(items()))))
def test_what_is_wanted_is_there_once_and_in_the_order_of_the_table(wanted):
    lines = truck_list(SYSTEM, Job(chemical=(COIL,)), wanted)
    codes = [line.item for line in lines]
    assert set(wanted) <= set(codes)
    assert codes == [code for code in items() if code in set(codes)]
    assert {line.item for line in lines if line.why == "task"} == set(wanted)
    assert line_of(lines, "live source").why in ("visit", "task")


@pytest.mark.property
def test_an_item_that_is_not_on_the_truck_is_named():
    with pytest.raises(ItemFault, match='"crane"'):
        truck_list(SYSTEM, Job(), ["rags", "crane"])


@pytest.mark.restated
@pytest.mark.parametrize(
    ("offered", "why"),
    [
        (Capacitor(capacitance=7.5e-6, tolerance=0.06, volts=370), []),
        (Capacitor(capacitance=7.5e-6, tolerance=0.05, volts=440), []),
        (Capacitor(capacitance=7.5e-6, tolerance=0.05, volts=250), [("volts", "lower")]),
        (Capacitor(capacitance=7.5e-6, tolerance=0.10, volts=440), [("tolerance", "wider")]),
        (Capacitor(capacitance=7.3e-6, tolerance=0.05, volts=440), [("capacitance", "other rating")]),
        (Capacitor(capacitance=10e-6, volts=250), [("capacitance", "other rating"), ("volts", "lower"),
                                                   ("tolerance", "not known")]),
        (Capacitor(capacitance=7.5e-6, tolerance=0.05), [("volts", "not known")]),
    ],
)  # fmt: skip
def test_which_capacitor_fits(offered, why):
    """7.3 would lie inside 7.5 +-6 %, and is another rating all the same (common practice)."""
    assert [(one.what, one.why) for one in fits(OLD, offered)] == why


@pytest.mark.property
@settings(deadline=None, max_examples=60)
@given(st.floats(1e-6, 1e-4), st.floats(100, 600), st.floats(0.01, 0.2), st.floats(0.5, 2), st.floats(0.5, 2))
def test_a_capacitor_fits_itself_and_only_the_better(capacitance, volts, tolerance, up, wide):
    old = Capacitor(capacitance=capacitance, volts=volts, tolerance=tolerance)
    assert fits(old, old) == ()
    new = replace(old, volts=volts * up, tolerance=tolerance * wide)
    reasons = {one.what for one in fits(old, new)}
    assert ("volts" in reasons) == (new.volts < volts)
    if abs(wide - 1) > 1e-6:
        assert ("tolerance" in reasons) == (wide > 1)


@pytest.mark.property
def test_what_the_old_one_does_not_say():
    bare = Capacitor(capacitance=7.5e-6)
    assert fits(bare, OLD) == (Misfit("volts", "not known", None, 370),)
    for wrong in (0.0, -1.0, math.nan):
        with pytest.raises(TruckFault, match="volts is"):
            fits(OLD, replace(OLD, volts=wrong))
