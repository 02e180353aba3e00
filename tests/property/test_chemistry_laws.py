"""Laws that hold for any water: mass, charge, monotony, round trips, order of mixing."""

from __future__ import annotations

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from tendtui.chemistry import Solution, mix
from tendtui.chemistry.speciation import CHARGES

ACIDS = ("HNO3", "H3PO4", "H2SO4", "HCl", "H3Cit")
ALKALIS = ("KOH", "K2CO3", "KHCO3")
BRINGS = {
    "HNO3": {"NO3": 1.0}, "H3PO4": {"P": 1.0}, "H2SO4": {"SO4": 1.0}, "HCl": {"Cl": 1.0},
    "H3Cit": {"Cit": 1.0}, "KOH": {"K": 1.0}, "K2CO3": {"K": 2.0, "DIC": 1.0},
    "KHCO3": {"K": 1.0, "DIC": 1.0},
}  # fmt: skip

amounts = st.one_of(st.just(0.0), st.floats(1e-4, 12.0))
compositions = st.fixed_dictionaries(
    {
        "Ca": amounts, "Mg": amounts, "Na": amounts, "K": amounts,
        "NH4": st.floats(0.0, 4.0), "NO3": amounts, "Cl": amounts, "SO4": st.floats(0.0, 6.0),
        "P": st.floats(0.0, 3.0), "Si": st.floats(0.0, 0.5), "Cit": st.floats(0.0, 1.0),
    }
)  # fmt: skip
temperatures = st.floats(12.0, 30.0)
phs = st.floats(4.0, 9.0)


@st.composite
def solutions(draw: st.DrawFn) -> Solution:
    return Solution.at_ph(
        draw(phs),
        draw(compositions),
        temperature_c=draw(temperatures),
        dic_mmol=draw(st.floats(0.0, 6.0)),
    )


def _formula_count(species: str, name: str) -> int:
    """How many of a total one species holds, read from its formula."""
    stems = {
        "Ca": "Ca", "Mg": "Mg", "Na": "Na", "SO4": "SO4", "P": "PO4", "Si": "SiO4", "Cit": "Cit", "Cl": "Cl",
        "NO3": "NO3", "DIC": "CO",
    }  # fmt: skip
    if name == "NH4":
        return int(species.startswith(("NH4", "NH3")))
    if name == "K":
        return int(species.startswith("K"))
    return int(stems[name] in species)


@given(solutions())
def test_every_atom_is_somewhere(solution: Solution) -> None:
    species = solution.species_mmol
    for name, total in {**solution.totals_mmol, "DIC": solution.dic_mmol}.items():
        found = sum(amount * _formula_count(formula, name) for formula, amount in species.items())
        assert found == pytest.approx(total, rel=1e-5, abs=1e-9)


@given(solutions())
def test_charges_cancel(solution: Solution) -> None:
    charge = sum(CHARGES[name] * amount for name, amount in solution.species_mmol.items())
    assert charge + solution.closing_meq == pytest.approx(0.0, abs=2e-5)


@given(solutions(), st.sampled_from(ACIDS), st.floats(1e-3, 3.0), st.floats(1e-3, 3.0))
def test_more_acid_never_raises_the_ph(solution: Solution, acid: str, first: float, more: float) -> None:
    once = solution.with_added(acid, first)
    assert once.ph <= solution.ph + 1e-6
    assert once.with_added(acid, more).ph <= once.ph + 1e-6
    assert once.open_to_air(420e-6).ph <= solution.open_to_air(420e-6).ph + 1e-6


@given(solutions(), st.sampled_from(("KOH", "K2CO3")), st.floats(1e-3, 3.0))
def test_more_alkali_never_lowers_the_ph(solution: Solution, alkali: str, amount: float) -> None:
    assert solution.with_added(alkali, amount).ph >= solution.ph - 1e-6


@given(solutions(), st.sampled_from(ACIDS), st.floats(0.05, 0.95))
def test_the_dose_found_lands_when_added(solution: Solution, acid: str, share: float) -> None:
    target = solution.ph + share * (3.5 - solution.ph)
    dose = solution.dose_to_ph(target, acid)
    assert dose > 0.0
    assert solution.with_added(acid, dose).ph == pytest.approx(target, abs=1e-5)


@given(solutions(), st.sampled_from(ALKALIS), st.floats(0.1, 0.9))
def test_the_alkali_found_lands_when_added(solution: Solution, alkali: str, share: float) -> None:
    assume(solution.ph < 6.5)
    target = solution.ph + share * (7.0 - solution.ph)
    dose = solution.dose_to_ph(target, alkali)
    assert solution.with_added(alkali, dose).ph == pytest.approx(target, abs=1e-5)


@given(solutions(), st.sampled_from(ACIDS), st.floats(0.05, 0.95), st.floats(300e-6, 3000e-6))
def test_the_dose_found_in_air_lands_when_added(
    solution: Solution, acid: str, share: float, pco2_atm: float
) -> None:
    settled = solution.open_to_air(pco2_atm)
    target = settled.ph + share * (3.5 - settled.ph)
    dose = solution.dose_to_ph(target, acid, pco2_atm=pco2_atm)
    assert solution.with_added(acid, dose).open_to_air(pco2_atm).ph == pytest.approx(target, abs=1e-5)


@given(solutions(), st.sampled_from(ACIDS + ALKALIS), st.floats(0.0, 3.0), st.floats(0.0, 3.0))
def test_a_dose_in_two_portions_ends_where_one_does(
    solution: Solution, reagent: str, first: float, second: float
) -> None:
    parts = solution.with_added(reagent, first).with_added(reagent, second)
    whole = solution.with_added(reagent, first + second)
    assert parts.ph == pytest.approx(whole.ph, abs=1e-5)
    for name, number in BRINGS[reagent].items():
        if name != "DIC":
            gained = whole.totals_mmol[name] - solution.totals_mmol[name]
            assert gained == pytest.approx(number * (first + second), abs=1e-9)


@given(solutions(), solutions(), st.floats(0.1, 100.0), st.floats(0.1, 100.0))
def test_mixing_keeps_mass_and_forgets_order(
    first: Solution, second: Solution, first_l: float, second_l: float
) -> None:
    one, other = mix(first, first_l, second, second_l), mix(second, second_l, first, first_l)
    assert one.ph == pytest.approx(other.ph, abs=1e-5)
    volume = first_l + second_l
    for name, total in one.totals_mmol.items():
        wanted = (first_l * first.totals_mmol[name] + second_l * second.totals_mmol[name]) / volume
        assert total == pytest.approx(wanted, rel=1e-9, abs=1e-12)
    wanted = (first_l * first.alkalinity_meq + second_l * second.alkalinity_meq) / volume
    assert one.alkalinity_meq == pytest.approx(wanted, abs=1e-7)


@given(solutions(), solutions(), solutions())
def test_three_waters_mix_in_any_order(first: Solution, second: Solution, third: Solution) -> None:
    one = mix(mix(first, 1.0, second, 2.0), 3.0, third, 3.0)
    other = mix(first, 1.0, mix(second, 2.0, third, 3.0), 5.0)
    assert one.ph == pytest.approx(other.ph, abs=1e-5)


@given(solutions())
def test_alkalinity_carbonate_and_air_describe_the_same_water(solution: Solution) -> None:
    totals, temperature_c = solution.totals_mmol, solution.temperature_c
    by_air = Solution.at_ph(solution.ph, totals, temperature_c=temperature_c, pco2_atm=solution.pco2_atm)
    assert by_air.dic_mmol == pytest.approx(solution.dic_mmol, rel=1e-5, abs=1e-9)
    by_alkalinity = Solution.at_ph(
        solution.ph, totals, temperature_c=temperature_c, alkalinity_meq=solution.alkalinity_meq
    )
    assert by_alkalinity.alkalinity_meq == pytest.approx(solution.alkalinity_meq, abs=3e-3)
    if solution.ph > 5.5:
        assert by_alkalinity.dic_mmol == pytest.approx(solution.dic_mmol, rel=1e-3, abs=2e-2)


@given(solutions())
def test_air_moves_neither_salts_nor_alkalinity(solution: Solution) -> None:
    settled = solution.open_to_air(420e-6)
    assert settled.totals_mmol == solution.totals_mmol
    assert settled.alkalinity_meq == pytest.approx(solution.alkalinity_meq, abs=1e-6)
    assert settled.pco2_atm == pytest.approx(420e-6, rel=1e-6)
    assert settled.open_to_air(420e-6).ph == pytest.approx(settled.ph, abs=1e-6)


@given(solutions(), st.floats(12.0, 30.0))
def test_warming_and_cooling_back_changes_nothing(solution: Solution, temperature_c: float) -> None:
    back = solution.at_temperature(temperature_c).at_temperature(solution.temperature_c)
    assert back.ph == pytest.approx(solution.ph, abs=1e-5)


@given(compositions, st.floats(1.05, 2.0))
def test_a_stronger_solution_conducts_more_but_less_than_in_proportion(
    totals: dict[str, float], factor: float
) -> None:
    assume(sum(totals[name] for name in ("Na", "K", "Cl", "NO3")) > 1.0)
    weak = Solution.at_ph(6.5, totals, temperature_c=25.0, dic_mmol=0.0)
    strong = Solution.at_ph(
        6.5, {name: factor * total for name, total in totals.items()}, temperature_c=25.0, dic_mmol=0.0
    )
    assert weak.conductivity_us_cm < strong.conductivity_us_cm < factor * weak.conductivity_us_cm


@given(solutions())
def test_the_program_answers_alike_twice(solution: Solution) -> None:
    again = Solution.at_ph(
        solution.ph, solution.totals_mmol, temperature_c=solution.temperature_c, dic_mmol=solution.dic_mmol
    )
    assert again.alkalinity_meq == pytest.approx(solution.alkalinity_meq, abs=1e-6)


@given(solutions())
def test_the_parts_of_a_solution_make_it_again(solution: Solution) -> None:
    again = Solution.from_totals(
        solution.totals_mmol,
        temperature_c=solution.temperature_c,
        dic_mmol=solution.dic_mmol,
        closing_meq=solution.closing_meq,
    )
    assert again.ph == pytest.approx(solution.ph, abs=1e-5)


@settings(max_examples=300)
@given(
    st.dictionaries(
        st.sampled_from(("Ca", "Mg", "Na", "K", "NH4", "NO3", "Cl", "SO4", "P", "Si", "Cit")),
        st.floats(0.0, 60.0),
    ),
    st.floats(3.0, 10.0),
    st.floats(0.0, 50.0),
    st.floats(0.0, 30.0),
)
def test_any_water_is_answered_or_refused_with_a_sentence(
    totals: dict[str, float], ph: float, temperature_c: float, dic_mmol: float
) -> None:
    try:
        solution = Solution.at_ph(ph, totals, temperature_c=temperature_c, dic_mmol=dic_mmol)
        settled = solution.open_to_air(420e-6)
    except ValueError as error:
        assert str(error).endswith(".")  # noqa: PT017  # either outcome is right
        return
    assert solution.conductivity_us_cm >= 0.0
    assert 0.0 < settled.ph < 14.0


@pytest.mark.parametrize("name", ["NH4", "Ca", "P", "Cit"])
@pytest.mark.parametrize("amount", [5e-324, 2.2e-313, 1e-30, 1e-18])
def test_traces_too_small_to_be_an_ion_settle_too(name: str, amount: float) -> None:
    trace = Solution.at_ph(4.0, {name: amount}, temperature_c=12.0, dic_mmol=amount)
    bare = Solution.at_ph(4.0, {}, temperature_c=12.0, dic_mmol=0.0)
    assert trace.with_added("KOH", 1.0).ph == pytest.approx(bare.with_added("KOH", 1.0).ph, abs=1e-9)
    thinned = mix(trace, 1e-300, bare, 1.0)
    assert thinned.with_added("KOH", 1.0).ph == pytest.approx(bare.with_added("KOH", 1.0).ph, abs=1e-6)
