"""What a pot is heated on: the burner or water bath that its vessel says, else the strongest on the shelf; and what that does to its run."""

from __future__ import annotations

from dataclasses import replace

from skeinwright.core.bath.pot_run import PotRun
from skeinwright.core.bath.power import Source, behind_water_bath, heating_sentences, jar_sentences, within_power
from skeinwright.core.lot.on_shelf import OnShelf
from skeinwright.core.shelf.items import HEAT_KINDS, NOT_KNOWN, Heat, Vessel


def on_its_burner(run: PotRun, shelf: OnShelf) -> PotRun:
    """The run on what its vessel stands on: held to that burner's power, or behind its water bath. Where that is not said, it is held to the strongest source
    of the shelf, and a small vessel is told how a water bath lags. How long the source takes to heat it is told too."""
    own = stands_on(run.vessel, shelf)
    energy, assumed = _energy(own, shelf)
    run = replace(run, energy=energy, assumed=(*run.assumed, *assumed))
    if own is not None and own.does == "water bath":
        return behind_water_bath(run, own.name)
    source = _source(own) if own is not None else strongest(shelf)
    held = run if source is None else within_power(run, source)
    told = [*held.told, *(() if source is None or held is not run else heating_sentences(run, source))]
    told += _no_power(own) if own is not None else _not_said(run, shelf)
    return replace(held, told=tuple(told)) if tuple(told) != held.told else held


def stands_on(vessel: Vessel | None, shelf: OnShelf) -> Heat | None:
    """The heat source that a vessel says it stands on: one of the shelf by its name, or what is written itself where that is a kind ("water bath")."""
    said = "" if vessel is None else vessel.stands_on.strip()
    kind = said.casefold()
    return shelf.find(Heat, said) or (Heat(name=f"the {kind}", does=kind) if kind in HEAT_KINDS else None)


def strongest(shelf: OnShelf) -> Source | None:
    """The heat source with the most power, burners first; None where none says its power."""
    best = max(_with_power(shelf), key=lambda one: one.power_w or 0.0, default=None)
    return None if best is None else _source(best)


def _with_power(shelf: OnShelf) -> list[Heat]:
    known = [one for one in shelf.all_of(Heat).values() if one.power_w]
    return [one for one in known if one.does == "burner"] or known


def _source(heat: Heat) -> Source | None:
    return Source(heat.name, heat.power_w, heat.energy) if heat.power_w else None


def _no_power(own: Heat) -> tuple[str, ...]:
    return () if own.power_w else (f"The power of {own.name} is not on the shelf, so its ramps are taken as they are written.",)


def _not_said(run: PotRun, shelf: OnShelf) -> tuple[str, ...]:
    """Where a vessel of the shelf does not say what it stands on, and that matters."""
    if run.vessel is None or not run.heated:
        return ()
    said = run.vessel.stands_on
    known, best = _with_power(shelf), strongest(shelf)
    choice: tuple[str, ...] = ()
    if said:
        choice = (f"{run.vessel.name} stands on {said}, which is not on the shelf.",)
    elif best is not None and len({(one.power_w, one.energy) for one in known}) > 1:
        choice = (f"{best.name} is taken as what it stands on, the strongest on the shelf: write another one on {run.vessel.name} there.",)
    return (*choice, *(jar_sentences(run) if any(one.does == "water bath" for one in shelf.all_of(Heat).values()) else ()))


def _energy(own: Heat | None, shelf: OnShelf) -> tuple[str, tuple[str, ...]]:
    """What the pot is heated with, and what is assumed of it: its `own` source's energy; else burners come before ovens, steamers and water baths."""
    known = list(shelf.all_of(Heat).values())
    kinds = {one.energy for one in ([own] if own is not None else [one for one in known if one.does == "burner"] or known)}
    if len(kinds) == 1:
        kind = kinds.pop()
        if kind != NOT_KNOWN:
            return kind, ()
    return NOT_KNOWN, ("the heat source is not known: it gives the pot 35 to 90 % of what it draws",)
