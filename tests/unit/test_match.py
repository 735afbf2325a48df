"""Recipes for a target on invented dyes: what was mixed is found again, what cannot be reached is said, rounding is recomputed, a trial is corrected."""

from __future__ import annotations

import numpy as np
import pytest

from invented_dyes import BASE, invented, ladder
from skeinwright.core.colour.correct import correct
from skeinwright.core.colour.difference import ciede2000
from skeinwright.core.colour.dye_set import DyeSet, dye_set
from skeinwright.core.colour.fade import make_fade
from skeinwright.core.colour.ladder import DyeModel, fit_dye
from skeinwright.core.colour.match import Wanted, combos_of, cost_minor, find_matches, robustness
from skeinwright.core.colour.mixing import mix
from skeinwright.core.colour.reach import chips, triangle_shares
from skeinwright.core.colour.solve import Solver, solve_small
from skeinwright.core.colour.spaces import spectrum_to_lab
from skeinwright.core.colour.tables import Array
from skeinwright.core.colour.use_up import use_up
from skeinwright.core.colour.weighable import Doser, rounded
from skeinwright.core.shelf.swatch import Lab

NAMES = ("Bracken", "Ember", "Furze", "Kelp", "Madrone", "Oriel", "Pewter", "Quince", "Rosehip", "Sloe", "Thrift", "Umber")


def _models(count: int = 12, seed: int = 5) -> dict[str, DyeModel]:
    rng = np.random.default_rng(seed)
    return {name: fit_dye(ladder(name, invented(rng), (0.1, 0.5, 2)).swatches, BASE) for name in NAMES[:count]}


def _set(count: int = 12, seed: int = 5) -> DyeSet:
    return dye_set(_models(count, seed), BASE)


def _lab(values: Array) -> Lab:
    L, a, b = (float(value) for value in values)
    return Lab(L, a, b)


def test_a_known_recipe_is_recovered() -> None:
    """Target: the model's own colour of 0.2 % Bracken, 0.4 % Ember, 0.1 % Furze; among recipes of exactly these dyes, to a thousandth."""
    dyes = _set(3)
    doses = {"Bracken": 0.002, "Ember": 0.004, "Furze": 0.001}
    best = find_matches(dyes, Wanted(lab=_lab(dyes.labs(dyes.depths_of(doses))))).matches[0]
    assert best.de00 < 0.01
    assert set(best.doses) == set(doses)
    assert all(best.doses[name] == pytest.approx(depth, rel=1e-3) for name, depth in doses.items())


def test_known_recipes_are_recovered_from_twelve_dyes() -> None:
    dyes, rng = _set(), np.random.default_rng(1)
    for _ in range(6):
        depths = np.zeros(12)
        depths[rng.choice(12, 3, replace=False)] = np.exp(rng.uniform(np.log(5e-4), np.log(0.016), 3))
        found = find_matches(dyes, Wanted(lab=_lab(dyes.labs(depths)), spectrum=dyes.spectra(depths), max_dyes=3))
        assert found.reachable
        assert found.matches[0].de00 < 0.01
        least = min((match for match in found.matches if match.de00 < 0.3), key=lambda match: match.light)
        assert set(least.doses) == set(dyes.doses_of(depths))


def test_an_unreachable_target_is_said_and_nothing_is_negative() -> None:
    dyes = _set(3, seed=8)
    found = find_matches(dyes, Wanted(lab=Lab(50, 0, -120)))
    assert not found.reachable
    assert found.matches[0].de00 > 20
    assert "do not reach" in found.notes[0]
    assert all(depth >= 0 for match in found.matches for depth in match.doses.values())


def test_the_base_s_own_colour_takes_no_dye() -> None:
    dyes = _set(6)
    assert dict(find_matches(dyes, Wanted(lab=_lab(spectrum_to_lab(BASE)))).matches[0].doses) == {}


def test_over_a_ground_dye_only_goes_deeper() -> None:
    dyes = _set(4)
    over = dye_set(_models(4), dyes.spectra(np.array([0, 0.004, 0, 0])))
    found = find_matches(over, Wanted(lab=Lab(90, 0, 5)))
    assert not found.reachable
    assert "deeper" in found.notes[0]
    lightest = float(spectrum_to_lab(over.ground)[0]) + 1e-9
    assert max(match.lab.L for match in found.matches) <= lightest
    assert any(not match.doses for match in found.matches)


def test_amounts_and_depths_go_into_one_another_and_mix_as_the_model_does() -> None:
    dyes, rng = _set(4), np.random.default_rng(2)
    depths = np.exp(rng.uniform(np.log(1e-5), np.log(0.08), (50, 4)))
    assert np.abs(dyes.depths(dyes.amounts(depths)) / depths - 1).max() < 1e-9
    models = _models(4)
    one = mix(BASE, np.array([models[name].ks(float(depth)) for name, depth in zip(dyes.names, depths[0], strict=True)]))
    assert np.abs(dyes.spectra(depths[0]) - one).max() < 1e-12


def test_every_combination_meets_scipy_s_least_squares() -> None:
    """The peer minimises the same weighted Lab for each combination by itself, from the same start."""
    from scipy.optimize import least_squares

    from skeinwright.core.colour.solve import nearness

    dyes = _set(6)
    target, limits = np.array([38.0, 22.0, 9.0]), np.full(6, 0.04)
    solver, combos = Solver(dyes, target, limits), combos_of(dyes, 3)
    ours = solver.solve(combos, enough=1e-9)
    weight = nearness(target)
    for row, combo in enumerate(combos):

        def off(x: Array, combo: Array = combo) -> Array:
            dense = np.zeros(6)
            dense[combo] = x
            return weight @ (spectrum_to_lab(dyes.spectra(dyes.depths(dense))) - target)

        start = np.clip(solver.start[combo], 1e-6, solver.most[combo] * 0.999)
        peer = least_squares(off, start, bounds=(0, solver.most[combo]))
        mine = float(((weight @ (ours.lab[row] - target)) ** 2).sum())
        assert mine <= 2 * peer.cost * 1.02 + 0.02


def test_small_systems() -> None:
    rng = np.random.default_rng(4)
    half = rng.standard_normal((30, 4, 4))
    matrices, right = half @ half.transpose(0, 2, 1) + 0.1 * np.eye(4), rng.standard_normal((30, 4))
    assert np.abs(solve_small(matrices, right) - np.linalg.solve(matrices, right[:, :, None])[:, :, 0]).max() < 1e-8


def test_filters() -> None:
    dyes = _set(6)
    lab = Lab(45, 10, 15)
    must = find_matches(dyes, Wanted(lab=lab, must=("Kelp",)))
    assert all("Kelp" in match.doses for match in must.matches)
    assert max(match.dyes for match in find_matches(dyes, Wanted(lab=lab, max_dyes=2)).matches) == 2
    scarce = find_matches(dyes, Wanted(lab=lab, limits={"Kelp": 0.001}, deepest=0.02))
    assert all(match.doses.get("Kelp", 0) <= 0.001 + 1e-12 and max(match.doses.values(), default=0) <= 0.02 + 1e-12 for match in scarce.matches)


def test_the_three_choices() -> None:
    dyes = _set()
    prices = {name: 1.0 + 5 * index for index, name in enumerate(NAMES)}
    found = find_matches(dyes, Wanted(lab=Lab(35, 12, 6)), prices=prices)
    near = [match for match in found.matches if match.de00 <= max(1, found.matches[0].de00 + 0.5)]
    assert len(near) > 3
    assert found.most_repeatable.robustness == min(match.robustness for match in near)
    assert found.cheapest is not None
    assert found.cheapest.cost_minor == min(match.cost_minor for match in near if match.cost_minor is not None)
    assert find_matches(dyes, Wanted(lab=Lab(35, 12, 6))).cheapest is None
    assert [round(match.de00, 2) for match in found.matches] == sorted(round(match.de00, 2) for match in found.matches)


def test_cost_of_a_hundred_grams() -> None:
    """0.5 % of 100 g is 0.5 g at 12 a gram, 0.2 % 0.2 g at 30: 6 + 6."""
    assert cost_minor({"Kelp": 0.005, "Ember": 0.002}, {"Kelp": 12.0, "Ember": 30.0}) == pytest.approx(12.0)
    assert cost_minor({"Kelp": 0.005}, {}) is None


def test_a_pale_recipe_of_strong_dyes_repeats_worse_than_no_dye() -> None:
    dyes = _set(3)
    moved = robustness(dyes, np.array([[0.0, 0, 0], [0.004, 0.004, 0.004]]), np.random.default_rng(1))
    assert moved[0] < 1e-9
    assert moved[1] > 0.2


def test_rounding_to_a_balance_and_a_syringe() -> None:
    """100 g: 0.413 % of an 80 % jar is 0.51625 g, 0.52 on the balance, 0.416 %; 0.02 % by a 1 % solution is 2 ml; 0.003 % is 0.003 g and falls out."""
    doser = Doser(fibre_g=100, strengths={"Kelp": 0.8}, solutions={"Ember": 0.01})
    amounts, depths = rounded({"Kelp": 0.00413, "Ember": 0.0002, "Rosehip": 0.00003}, doser)
    assert [(dose.dye, dose.amount, dose.unit, dose.coarse) for dose in amounts] == [("Kelp", 0.52, "g", False), ("Ember", 2.0, "ml", True)]
    assert depths == pytest.approx({"Kelp": 0.00416, "Ember": 0.0002})


def test_a_trial_that_came_out_weak_is_corrected() -> None:
    """All dyes gave 85 % of what was meant: the factors say so, the next recipe is as much stronger, and the top-up makes up for the rest."""
    dyes = _set(3)
    doses = {"Bracken": 0.002, "Ember": 0.004, "Furze": 0.003}
    depths = dyes.depths_of(doses)
    target = dyes.labs(depths)
    from skeinwright.core.colour.mixing import outer_r

    measured = spectrum_to_lab(outer_r(dyes.base_ks + 0.85 * dyes.amounts(depths) @ dyes.ks))
    found = correct(dyes, doses, target, measured, reading_sd=0.1)
    assert found.trial_de00 == pytest.approx(float(ciede2000(target, measured)))
    assert all(0.8 < factor < 0.92 for factor in found.strengths.values())
    assert all(found.recipe[name] > depth for name, depth in doses.items())
    assert found.recipe_de00 < 0.05
    assert found.top_up_de00 < 0.2
    assert all(depth > 0 for depth in found.top_up.values())


def test_a_trial_that_is_too_deep_cannot_be_topped_up() -> None:
    dyes = _set(3)
    doses = {"Bracken": 0.002, "Ember": 0.004, "Furze": 0.003}
    target = dyes.labs(dyes.depths_of(doses))
    measured = dyes.labs(1.4 * dyes.depths_of(doses))
    found = correct(dyes, doses, target, measured)
    assert sum(found.top_up.values()) < 2e-4
    assert "cannot be taken away" in found.notes[0]
    assert all(found.recipe[name] < depth for name, depth in doses.items())


def test_a_fade_is_evenly_spaced_and_keeps_its_ends() -> None:
    dyes = _set(4)
    start, end = np.array([0.004, 0, 0.001, 0]), np.array([0, 0.006, 0, 0.0005])
    depths, labs = make_fade(dyes, start, end, 7)
    assert np.abs(depths[0] - start).max() == 0
    assert np.abs(depths[-1] - end).max() == 0
    assert depths.min() >= 0
    fine = dyes.labs(start + np.linspace(0, 1, 4001)[:, None] * (end - start))
    arc = np.concatenate([[0], np.cumsum(ciede2000(fine[:-1], fine[1:]))])
    share = (depths[:, 0] - start[0]) / (end[0] - start[0])
    at = np.interp(share, np.linspace(0, 1, 4001), arc)
    assert np.ptp(np.diff(at)) < 0.01 * arc[-1] / 6
    assert labs.shape == (7, 3)


def test_a_fade_of_one_colour_is_even_in_depth() -> None:
    dyes = _set(2)
    same = np.array([0.002, 0.001])
    assert np.abs(make_fade(dyes, same, same, 4)[0] - same).max() < 1e-15


def test_chips_are_apart_and_include_the_single_dyes() -> None:
    dyes = _set(5)
    depths, labs = chips(dyes)
    cubes = np.floor(labs / 8.0)
    assert len(np.unique(cubes, axis=0)) == len(labs)
    assert np.all(np.diff(labs[:, 0]) <= 0)
    assert ((depths > 0).sum(axis=1) == 1).sum() >= 5


def test_the_grid_of_a_triangle() -> None:
    shares = triangle_shares(2)
    assert shares.tolist() == [[1, 0, 0], [0.5, 0.5, 0], [0.5, 0, 0.5], [0, 1, 0], [0, 0.5, 0.5], [0, 0, 1]]
    assert np.abs(triangle_shares(7).sum(axis=1) - 1).max() < 1e-12


def test_ends_of_jars_are_used_up() -> None:
    dyes = _set(3)
    pots = use_up(dyes, {"Bracken": 0.4, "Ember": 0.2, "Furze": 0.0}, (100.0,))
    assert set(pots[0].doses) == {"Bracken", "Ember"}
    assert pots[0].doses["Bracken"] * pots[0].fibre_g == pytest.approx(0.4)
    assert use_up(dyes, {}, (100.0,)) == ()
