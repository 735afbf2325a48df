"""How long a pot takes to heat, what it draws, what boils away, and when it wants topping up."""

from __future__ import annotations

from dataclasses import dataclass
from math import pi

from skeinwright.core.bath.constants import ZERO_C_K
from skeinwright.core.bath.evaporation import BOIL_OFF_FROM_C, FAN, HIGH, LID, LOW, ROOM_C, ROOM_HUMIDITY, flux_kg_m2_h, heat_flux_w_m2
from skeinwright.core.bath.vessels import displaced_ml, floor_mm2
from skeinwright.core.bath.water_properties import air_pressure_pa, boiling_point_c, heat_capacity_kj_kg_k, latent_heat_kj_kg
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.estimate import Estimate, Origin
from skeinwright.core.shelf.items import Vessel

WOOL_KJ_KG_K = 1.36
PAN_KJ_KG_K = {"stainless steel": 0.50, "enamel": 0.50, "aluminium": 0.897, "glass": 0.84, "plastic": 1.9, "not known": 0.50}
"""Specific heats, handbook values from memory."""

EFFICIENCY = {"gas": (0.40, 0.30, 0.50), "electric plate": (0.74, 0.65, 0.80), "induction": (0.85, 0.75, 0.90), "not known": (0.60, 0.35, 0.90)}
"""Share of a burner's power that gets into the pot: usual, least, most. Gas 0.40 and electric 0.74 seen (epri-cooking),
rest assumed."""

EMISSIVITY = 0.95
STEFAN_W_M2_K4 = 5.670374e-8
WALL_W_M2_K = 10.0
"""Heat that a wall gives to the room, W/(m2 K) [assumed]."""

STEAM_INTO_YARN_S = 300.0
"""Until steam has warmed wrapped yarn through, after it is up (2-15 min) [assumed]."""

SHORTEST_S = 120.0
"""A top-up or a look that comes sooner than this is no plan."""
DRY_AT_MM = 5.0
"""A pan is called dry while so much liquor is still over its floor: the reminder comes early."""
EARLY_SHARE = 0.6
"""The reminder comes after this share of the time in which the pan would run dry; evaporation is only known to +-35 %."""
TOP_UP_SHARE = 0.10
"""A pot wants topping up when it has lost so much of its liquor [common practice]."""

STEP_S = 5.0


@dataclass(frozen=True, kw_only=True, slots=True)
class Surroundings:
    """The room: air temperature and humidity (0-1), height above the sea, and whether a fan or a hood draws air over the pot."""

    room_c: float = ROOM_C
    humidity: float = ROOM_HUMIDITY
    altitude_m: float = 0.0
    fan: bool = False


@dataclass(frozen=True, kw_only=True, slots=True)
class HotPot:
    """A pot as its heat sees it: liquor (litres), dry fibre (g), the pan's weight (g) and stuff, its open face and walls (m2), and whether a lid is on.

    `steam` is what leaves over what the law says.
    """

    water_l: float
    fibre_g: float
    pan_g: float
    material: str
    face_m2: float
    wall_m2: float
    lid: bool = False
    steam: float = 1.0

    def heat_capacity_kj_k(self, temp_c: float = 50.0) -> float:
        """C = m_water cp + m_pan c_pan + m_wool 1.36."""
        pan = self.pan_g / 1000 * PAN_KJ_KG_K.get(self.material, 0.50)
        return self.water_l * heat_capacity_kj_kg_k(temp_c) + pan + self.fibre_g / 1000 * WOOL_KJ_KG_K


@dataclass(frozen=True, slots=True)
class Heating:
    """Bringing a pot to a temperature: seconds (best and with its interval), kWh drawn from the socket or tap, and litres that steamed away."""

    time_s: Estimate
    energy_kwh: Estimate
    lost_l: float
    reached: bool
    top_c: float


def hot_pot(vessel: Vessel, water_l: float, fibre_g: float, *, lid: bool | None = None, steam: float = 1.0) -> HotPot:
    """A vessel with liquor in it. An empty vessel whose weight is not known is taken as 1 mm of steel all over [assumed]."""
    floor = floor_mm2(vessel) / 1e6
    around_m = pi * vessel.length_mm / 1000 if vessel.shape == "round" else 2 * (vessel.length_mm + (vessel.width_mm or 0)) / 1000
    wall = around_m * vessel.height_mm / 1000
    pan_g = vessel.mass_g if vessel.mass_g is not None else 7900 * (floor + wall)
    covered = bool(vessel.lid) if lid is None else lid
    return HotPot(water_l=water_l, fibre_g=fibre_g, pan_g=pan_g, material=vessel.material, face_m2=floor, wall_m2=wall, lid=covered, steam=steam)


def heat_needed_kj(pot: HotPot, from_c: float, to_c: float) -> float:
    """Q = C (to - from), nothing lost. 4 l, 1 kg of aluminium and 0.1 kg of wool, 15 to 85 C: 1244 kJ."""
    return pot.heat_capacity_kj_k((from_c + to_c) / 2) * (to_c - from_c)


def evaporation_kg_s(pot: HotPot, temp_c: float, around: Surroundings) -> float:
    """What steams away below the boil, kg/s: flux x face x (0.08 under a lid) x (2 in a draught) x what a test found."""
    flux = flux_kg_m2_h(min(temp_c, BOIL_OFF_FROM_C), room_c=around.room_c, humidity=around.humidity, pressure_pa=air_pressure_pa(around.altitude_m))
    return flux / 3600 * pot.face_m2 * (LID if pot.lid else 1.0) * (FAN if around.fan else 1.0) * pot.steam


def loss_w(pot: HotPot, temp_c: float, around: Surroundings) -> float:
    """Heat that leaves the pot, W: steam, glow of the face (0.95 sigma (T^4 - T_room^4)) and walls (10 W/(m2 K))."""
    steam = evaporation_kg_s(pot, temp_c, around) * 3600 / pot.face_m2
    open_share = LID if pot.lid else 1.0
    glow = EMISSIVITY * STEFAN_W_M2_K4 * ((temp_c + ZERO_C_K) ** 4 - (around.room_c + ZERO_C_K) ** 4) * open_share
    walls = WALL_W_M2_K * (temp_c - around.room_c) * (pot.wall_m2 + (pot.face_m2 if pot.lid else 0.0))
    return heat_flux_w_m2(steam, temp_c) * pot.face_m2 + glow * pot.face_m2 + walls


def time_to_heat(pot: HotPot, from_c: float, to_c: float, power_w: float, energy: str = "not known", around: Surroundings | None = None) -> Heating:
    """How long `power_w` (as the burner's plate says) takes to bring a pot from one temperature to another.

        dT/dt = (power x efficiency - losses)/C    in steps of 5 s, the steam taken off the water

    The interval is that of the efficiency. `reached` is False where the pot gives off as much as it gets before it is there, or where water boils lower.
    1500 W at 74 % under 4 l in a 25 x 30 cm pan, 15 to 85 C: 23 min.
    """
    if power_w <= 0:
        raise BadInput("A burner needs some power.", where="power")
    around = around or Surroundings()
    usual, least, most = EFFICIENCY.get(energy, EFFICIENCY["not known"])
    best, slow, fast = (_heat(pot, from_c, to_c, power_w * share, around) for share in (usual, least, most))
    low, high = min(fast[0], best[0]), max(slow[0], best[0])
    used = [seconds * power_w / 3.6e6 for seconds in (best[0], low, high)]
    time = Estimate(best[0], low, high, "s", Origin.ASSUMED, "burner's efficiency")
    return Heating(time, Estimate(used[0], used[1], used[2], "kWh", Origin.ASSUMED), best[1], best[2], best[3])


def _heat(pot: HotPot, from_c: float, to_c: float, into_w: float, around: Surroundings) -> tuple[float, float, bool, float]:
    """(seconds, litres lost, whether it got there, temperature at the end) under so much heat into the pot."""
    temp, water, seconds = from_c, pot.water_l, 0.0
    goal = min(to_c, boiling_point_c(around.altitude_m))
    while temp < goal:
        capacity = pot.heat_capacity_kj_k(temp) - (pot.water_l - water) * heat_capacity_kj_kg_k(temp)
        rise = (into_w - loss_w(pot, temp, around)) / (1000 * capacity)
        if rise < 1e-4 or seconds > 12 * 3600:
            return seconds, pot.water_l - water, False, temp
        step = min(STEP_S, (goal - temp) / rise)
        water -= evaporation_kg_s(pot, temp, around) * step
        temp, seconds = temp + rise * step, seconds + step
        if goal - temp < 1e-9:
            break
    return seconds, pot.water_l - water, to_c <= goal + 1e-9, temp


def boil_off_kg_s(pot: HotPot, into_w: float, around: Surroundings) -> float:
    """Above 97 C: net power over the heat of evaporation, kg/s; never less than still air takes."""
    dry = loss_w(pot, BOIL_OFF_FROM_C, around) - evaporation_kg_s(pot, BOIL_OFF_FROM_C, around) * latent_heat_kj_kg(BOIL_OFF_FROM_C) * 1000
    boiled = max(0.0, into_w - dry) / (latent_heat_kj_kg(99.97) * 1000)
    return max(boiled, evaporation_kg_s(pot, BOIL_OFF_FROM_C, around))


@dataclass(frozen=True, slots=True)
class Falling:
    """How fast the line falls at one temperature: litres and millimetres an hour, the top-up that keeps it, and when to look because it may run dry."""

    l_h: Estimate
    mm_h: Estimate
    top_up_ml: float
    every_s: float
    dry_after_s: float
    look_after_s: float

    @property
    def sentence(self) -> str:
        """What to do, in one sentence."""
        if min(self.every_s, self.look_after_s) < SHORTEST_S:
            little = "So little liquor stands in the pot that it may run dry within minutes"
            return f"{little}: put more in before it is heated, and stay beside it ({DRY_AT_MM:.0f} mm over the floor counts as dry)."
        top_up = f"Top up about {round(self.top_up_ml, -1):.0f} ml of hot water every {round(self.every_s / 60):.0f} min"
        return f"{top_up}; look after {round(self.look_after_s / 60):.0f} min at the latest."


def falling_line(vessel: Vessel, pot: HotPot, temp_c: float, around: Surroundings | None = None, *, ends: tuple[float, float] = (LOW, HIGH)) -> Falling:
    """The falling line of an open pot at a steady temperature.

    The top-up comes when a tenth of the liquor has gone (or the yarn would lie bare, whichever is first); "dry" is 5 mm over the floor, and the
    look comes after 60 % of the time until then, at the fast end of the interval. `ends` are those of the interval over its usual value.
    """
    around = around or Surroundings()
    litres_h = evaporation_kg_s(pot, temp_c, around) * 3600
    floor = floor_mm2(vessel)
    mm_h = 1e6 * litres_h / floor
    left_l = max(0.0, pot.water_l + displaced_ml(pot.fibre_g) / 1000 - DRY_AT_MM * floor / 1e6)
    dry_s = 3600 * left_l / litres_h if litres_h > 0 else float("inf")
    top_up_ml = 1000 * TOP_UP_SHARE * pot.water_l
    every_s = 3.6 * top_up_ml / litres_h if litres_h > 0 else float("inf")
    low, high = ends
    l_h = Estimate(litres_h, low * litres_h, high * litres_h, "l/h", Origin.ASSUMED, "still air; a fan doubles it")
    return Falling(l_h, Estimate(mm_h, low * mm_h, high * mm_h, "mm/h", Origin.ASSUMED), top_up_ml, every_s, dry_s, EARLY_SHARE * dry_s / high)


def steaming_clock_s(water_l: float, power_w: float, energy: str = "not known", *, start_c: float = 20.0, altitude_m: float = 0.0) -> Estimate:
    """Seconds until a steaming time may be counted: the steamer's water is at the boil and the wrapped yarn warmed through (5 min [assumed]).

    t = water_l cp (T_boil - start)/(power x efficiency) + 300
    """
    usual, least, most = EFFICIENCY.get(energy, EFFICIENCY["not known"])
    heat_j = 1000 * water_l * heat_capacity_kj_kg_k(60) * (boiling_point_c(altitude_m) - start_c)
    best, low, high = (heat_j / (power_w * share) for share in (usual, most, least))
    return Estimate(best + STEAM_INTO_YARN_S, low + STEAM_INTO_YARN_S / 2.5, high + 3 * STEAM_INTO_YARN_S, "s", Origin.ASSUMED, "steam must be up first")
