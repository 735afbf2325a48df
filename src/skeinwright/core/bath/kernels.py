"""The inner loops of a pot, compiled: the same equations as `kinetics.advance` and `charge_balance_many`, draw by draw instead of array by array.

`tests/unit/test_compiled_pot.py` holds the two together. No fast-math: the answers are to be the same.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numba import njit

LN10 = np.log(10.0)


@njit(cache=True, nogil=True, error_model="numpy")
def _taken(on: bool, rest: float, q: float, gain: float, kept_on: float, kept_off: float, skin: float) -> Any:
    """q at the end of a step, over a face whose rest is `rest`."""
    if not on:
        return rest + (q - rest) * kept_off
    new = np.sqrt(rest * rest * gain + q * q * kept_on)
    if skin > 0.0:
        over = rest - q if rest > q else 1.0
        without = new - q
        return q + without / (1 + without * skin / over)
    return new


@njit(cache=True, nogil=True, error_model="numpy")
def _slope(on: bool, rest: float, rest_slope: float, q: float, gain: float, kept_on: float, kept_off: float, skin: float) -> Any:
    """How q at the end moves with the face."""
    if not on:
        return (1 - kept_off) * rest_slope
    new = np.sqrt(rest * rest * gain + q * q * kept_on)
    slope = rest * rest_slope * gain / new if new > 0 else np.sqrt(gain) * rest_slope
    if skin > 0.0:
        over = rest - q if rest > q else 1.0
        without = new - q
        held = 1 / (1 + without * skin / over)
        slope = slope * held * held + (without * held / over) ** 2 * skin * rest_slope
    return slope


@njit(cache=True, nogil=True, error_model="numpy")
def go_on(
    q_all: Any, c_all: Any, face_all: Any, mass: Any, volume: Any, kp: Any, saturation: Any, on_per_s: Any, supply: Any, share: Any, skin_s: Any,
    off_over_on: float, step_s: float, steps: int, rounds: int,
) -> None:  # fmt: skip
    """`steps` times `kinetics.advance`, in place; all rates shaped (draws, dyes, fibres), `skin_s` 0 where there is none."""
    draws, dyes, fibres = q_all.shape
    kept_on, kept_off, gain = np.empty((dyes, fibres)), np.empty((dyes, fibres)), np.empty((dyes, fibres))
    sites, plain, b = np.empty((dyes, fibres)), np.empty((dyes, fibres)), np.empty((dyes, fibres))
    feed, skin, new = np.empty((dyes, fibres)), np.empty((dyes, fibres)), np.empty((dyes, fibres))
    slope, missing = np.empty(fibres), np.empty(fibres)
    crowd, bath, all_dye = np.empty(fibres), np.empty(dyes), np.empty(dyes)
    for n in range(draws):
        litres = volume[n]
        q, face = q_all[n], face_all[n]
        for d in range(dyes):
            bath[d] = c_all[n, d]
            for f in range(fibres):
                kept_on[d, f] = np.exp(-on_per_s[n, d, f] * step_s)
                kept_off[d, f] = kept_on[d, f] ** off_over_on
                gain[d, f] = 1 - kept_on[d, f]
                sites[d, f] = (1 - share[n, d, f]) * kp[n, d, f]
                plain[d, f] = share[n, d, f] * kp[n, d, f]
                b[d, f] = sites[d, f] / saturation[n, d, f]
                feed[d, f] = supply[n, d, f] * step_s
                skin[d, f] = skin_s[n, d, f] / step_s
        for _ in range(steps):
            for d in range(dyes):
                held = 0.0
                for f in range(fibres):
                    held += q[d, f] * mass[f]
                all_dye[d] = litres * bath[d] + held
            for turn in range(rounds + 1):
                for f in range(fibres):
                    total = 0.0
                    for d in range(dyes):
                        total += b[d, f] * face[d, f]
                    crowd[f] = 1 + total
                for d in range(dyes):
                    on_yarn = fed = late = 0.0
                    for f in range(fibres):
                        free = sites[d, f] / crowd[f]
                        rest = (free + plain[d, f]) * face[d, f]
                        on = rest >= q[d, f]
                        new[d, f] = _taken(on, rest, q[d, f], gain[d, f], kept_on[d, f], kept_off[d, f], skin[d, f])
                        if turn == rounds:
                            continue
                        rest_slope = free * (1 - b[d, f] * face[d, f] / crowd[f]) + plain[d, f]
                        slope[f] = _slope(on, rest, rest_slope, q[d, f], gain[d, f], kept_on[d, f], kept_off[d, f], skin[d, f])
                        missing[f] = new[d, f] - q[d, f] - feed[d, f] * (bath[d] - face[d, f])
                        both = slope[f] + feed[d, f]
                        on_yarn += new[d, f] * mass[f]
                        late += slope[f] * missing[f] / both * mass[f]
                        fed += slope[f] * feed[d, f] / both * mass[f]
                    if turn == rounds:
                        continue
                    move = (-(litres * bath[d] + on_yarn - all_dye[d]) + late) / (litres + fed)
                    for f in range(fibres):
                        face[d, f] = max(face[d, f] + (feed[d, f] * move - missing[f]) / (slope[f] + feed[d, f]), 0.0)
                    bath[d] = max(bath[d] + move, 0.0)
            for d in range(dyes):
                on_yarn = before = 0.0
                for f in range(fibres):
                    on_yarn += new[d, f] * mass[f]
                    before += q[d, f] * mass[f]
                left = all_dye[d] - on_yarn
                if left < 0:
                    grown = on_yarn - before
                    part = (all_dye[d] - before) / grown if grown > 0 else 1.0
                    on_yarn = 0.0
                    for f in range(fibres):
                        new[d, f] = q[d, f] + (new[d, f] - q[d, f]) * part
                        on_yarn += new[d, f] * mass[f]
                    left = max(all_dye[d] - on_yarn, 0.0)
                for f in range(fibres):
                    q[d, f] = new[d, f]
                bath[d] = left / litres
        for d in range(dyes):
            c_all[n, d] = bath[d]


@njit(cache=True, nogil=True, error_model="numpy")
def _ln_ratio(hydrogen: float, anions: float, sites: float, inside_k: float, water: float, x: float) -> Any:
    """`charge_balance_many.filled_sites`: ln r."""
    away, inner, k = anions * water, hydrogen * water, inside_k / hydrogen
    for _ in range(40):
        r = np.exp(x)
        filled = 1 / (1 + r * k)
        bound, out, within = sites * filled, r * away, inner / r
        step = (bound + within - out) / (out + bound * (1 - filled) + within)
        x += min(max(step, -1.0), 1.0)
        if abs(step) < 1e-7:
            break
    return x


@njit(cache=True, nogil=True, error_model="numpy")
def filled_sites(hydrogen: Any, anions: Any, sites: Any, inside_k: Any, water: Any, ln_ratio: Any, filled: Any, found: Any) -> None:
    """The share of sites that hold a proton and ln r of each draw, into `filled` and `found`."""
    for n in range(hydrogen.size):
        found[n] = _ln_ratio(hydrogen[n], anions[n], sites[n], inside_k[n], water[n], ln_ratio[n])
        filled[n] = 1 / (1 + np.exp(found[n]) * inside_k[n] / hydrogen[n])


@njit(cache=True, nogil=True, error_model="numpy")
def _gammas(strength: float, davies: float, most: float, salting: float, into: Any) -> None:
    held = min(strength, most)
    root = np.sqrt(held)
    one = 10.0 ** (-davies * (root / (1 + root) - 0.3 * held))
    into[0], into[1], into[2], into[3] = 10.0 ** (salting * held), one, one**4, one**9


@njit(cache=True, nogil=True, error_model="numpy")
def _shares(f: int, n: int, active: float, gammas: Any, k: Any, charges: Any, steps: Any, held: float, into: Any) -> None:
    """A family's mean charge, mean square, mean negative charge, and the shares of its first and second form."""
    first = 1 / gammas[abs(charges[f, 0])]
    whole, weight, second = first * (1 + held), 1.0, 0.0
    z = charges[f, 0]
    mean, square = first * z, first * z * z
    negative = -first * z if z < 0 else 0.0
    for place in range(steps[f]):
        weight = weight * k[f, place, n] / active
        z = charges[f, place + 1]
        w = weight / gammas[abs(z)]
        if place == 0:
            second = w
        whole += w
        mean += w * z
        square += w * z * z
        if z < 0:
            negative -= w * z
    into[0], into[1], into[2], into[3], into[4] = mean / whole, square / whole, negative / whole, first / whole, second / whole


@njit(cache=True, nogil=True, error_model="numpy")
def balance(
    totals: Any, there: Any, k: Any, charges: Any, steps: Any, holds: Any, strong: Any, held: Any, kw: float, davies: float, most: float, salting: float,
    pair_k: float, sponge: Any, sites_left: float, ph: Any, strength: Any, ln_ratio: Any, limits: Any, settled: float, settled_charge: float, rounds: int,
    charge_out: Any, anions_out: Any, bound_out: Any, first_out: Any,
) -> bool:  # fmt: skip
    """Newton's rounds of `solve_ph_many` for all draws in step; False where they do not settle. `ph`, `strength`, `ln_ratio` are changed in place.

    Families are numbered as in `species.FAMILIES` (2 ammonium, 3 sulphate); `sponge` is (fibres, 5, draws): kg to a litre, sites, 10^-pK, water, dye's acid.
    """
    draws, families, fibres = ph.size, totals.shape[0], sponge.shape[0]
    gammas, share, slopes = np.empty(4), np.empty((families, 5)), np.empty(draws)
    for _ in range(rounds):
        moved, off = 0.0, 0.0
        found_all = np.empty(draws)
        for n in range(draws):
            _gammas(strength[n], davies, most, salting, gammas)
            active = 10.0 ** -ph[n]
            hydrogen, hydroxide = active / gammas[1], kw / active / gammas[1]
            cation, anion = strong[0, n], strong[1, n]
            charge = hydrogen - hydroxide + cation - anion
            slope = -LN10 * (hydrogen + hydroxide)
            anions, plain = anion, hydrogen + hydroxide + abs(cation) + anion
            for f in range(families):
                if there[f]:
                    _shares(f, n, active, gammas, k, charges, steps, held[n] if holds[f] else 0.0, share[f])
            pair = 0.0
            if there[2] and there[3]:
                a, s = totals[2, n], totals[3, n]
                b = a + s + 1 / max(pair_k * gammas[2] * share[2, 3] * share[3, 4], 1e-300)
                pair = 2 * a * s / (b + np.sqrt(max(b * b - 4 * a * s, 0.0)))
                charge, anions, plain = charge - pair, anions + pair, plain + pair
            for f in range(families):
                if not there[f]:
                    continue
                total = totals[f, n] - (pair if f in (2, 3) else 0.0)
                mean, square = share[f, 0], share[f, 1]
                charge += total * mean
                slope -= LN10 * total * (square - mean * mean)
                anions += total * share[f, 2]
                plain += total * square
                first_out[f, n] = share[f, 3]
            found = 0.5 * plain
            found_all[n] = found
            moved = max(moved, abs(found - strength[n]) / (found + 1e-6))
            anion_slope, bound_all = -slope, 0.0
            counted = max(anions, 1e-9)
            for f in range(fibres):
                free = max(sponge[f, 1, n] - sponge[f, 4, n], sites_left * sponge[f, 1, n])
                x = _ln_ratio(hydrogen, counted, free, sponge[f, 2, n], sponge[f, 3, n], ln_ratio[f, n])
                ln_ratio[f, n] = x
                r = np.exp(x)
                filled = 1 / (1 + r * sponge[f, 2, n] / hydrogen)
                buffer, out, within = free * filled * (1 - filled), r * counted * sponge[f, 3, n], hydrogen * sponge[f, 3, n] / r
                whole = out + buffer + within
                ratio_slope = -LN10 * (buffer + within) / whole - out / whole * anion_slope / counted
                bound_all += sponge[f, 0, n] * (free * filled + sponge[f, 4, n])
                slope += sponge[f, 0, n] * buffer * (-LN10 - ratio_slope)
            charge_out[n], anions_out[n], bound_out[n], slopes[n] = charge + bound_all, anions, bound_all, slope
        if moved >= settled:
            for n in range(draws):
                strength[n] = found_all[n]
        for n in range(draws):
            off = max(off, abs(charge_out[n]) / (strength[n] + 1e-9))
        if moved < settled and off < settled_charge:
            return True
        for n in range(draws):
            move = min(max(-charge_out[n] / slopes[n], -limits[2]), limits[2])
            ph[n] = min(max(ph[n] + move, limits[0]), limits[1])
    return False
