#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
# SPDX-FileCopyrightText: groundwright contributors
"""What must hold for every design, on jobs varied by chance (fixed seeds), through the shared library.

Superposition, reciprocity and mirror symmetry of the ground itself are tested in tests/ground and tests/loop.

Usage: test_properties.py LIBRARY SOURCE_DIR
"""
import copy
import json
import math
import pathlib
import random
import re
import sys

library_path, source = sys.argv[1], pathlib.Path(sys.argv[2])
sys.path.insert(0, str(source / "examples" / "library"))
import design as groundwright  # noqa: E402

library = groundwright.load(library_path)
examples = {name: json.loads((source / "examples" / f"{name}.json").read_text()) for name in ("village", "cottage", "farmhouse")}
faults = []
comparisons = 0
designs = 0


def must(name, condition, detail):
    global comparisons
    comparisons += 1
    if not condition:
        faults.append(f"{name}: {detail}")


def run(job):
    """The design of a job; a job of these tests is always a good one."""
    global designs
    designs += 1
    result, answer, problems = groundwright.design(json.dumps(job).encode(), library)
    if answer is None:
        faults.append(f"not designed ({result}): {[p for p in problems if not p[4]][:3]}")
        raise SystemExit("\n".join(faults))
    return answer


def base(name, loop=0, years=2):
    job = copy.deepcopy(examples[name])
    job.pop("lot", None)  # the ground of these tests is a plain rectangle
    job["site"].setdefault("usable_length_m", 100)
    job["site"].setdefault("usable_width_m", 60)
    job["loops"] = [job["loops"][loop]]
    job["limits"]["years"] = years
    return job


def bores(job, count=4, depth_m=100.0, spacing_m=6.0, **more):
    """A stated field of bores, nothing left to size."""
    job.pop("lot", None)  # its things would not turn and move with the field
    job["site"].update(usable_length_m=200, usable_width_m=200)
    job["loops"] = [{"name": "b", "kind": "bores", "free": "nothing",
                     "bores": {"count": count, "depth_m": depth_m, "spacing_m": spacing_m, "diameter_m": 0.13,
                               "pipe": "1in-dr11", "grout_conductivity_w_mk": 1.4, "rock_depth_m": 3, **more}}]
    return job


def coldest(answer):
    return answer["loops"][0]["entering_water"]["coldest"]["degc"]


def numbers(value, path=""):
    """Every number of a design with its place; texts stand in the place so that they are compared too."""
    if isinstance(value, dict):
        for key, member in value.items():
            if key not in ("job", "notes"):
                yield from numbers(member, f"{path}.{key}")
    elif isinstance(value, list):
        for i, member in enumerate(value):
            yield from numbers(member, f"{path}[{i}]")
    elif isinstance(value, (int, float)) and not isinstance(value, bool):
        yield path, float(value)


def same(name, a, b, relative=1e-9, absolute=1e-9, skip=()):
    left, right = dict(numbers(a)), dict(numbers(b))
    left = {k: v for k, v in left.items() if not any(s in k for s in skip)}
    right = {k: v for k, v in right.items() if not any(s in k for s in skip)}
    must(name, left.keys() == right.keys(), f"other members: {sorted(left.keys() ^ right.keys())[:4]}")
    worst = max(((abs(left[k] - right[k]) / (absolute + relative * abs(right[k])), k) for k in left.keys() & right.keys()),
                default=(0.0, ""))
    must(name, worst[0] <= 1.0, f"{worst[1]}: {left.get(worst[1])!r} and {right.get(worst[1])!r}")


def never(name, words, series, slack=0.0):
    """A series that only goes down (words say of what)."""
    for before, after in zip(series, series[1:]):
        must(name, after <= before + slack, f"{words}: {series}")


# ---------------------------------------------------------------- energy

def energy_balances():
    for name, loop in (("village", 0), ("cottage", 0), ("farmhouse", 0), ("farmhouse", 1)):
        answer = run(base(name, loop))
        for year in ("first_year", "last_year"):
            y = answer["loops"][0][year]
            taken = y["ground_j"] + y["compressor_j"] + y["blower_j"] + 0.5 * y["circulator_j"] + y["auxiliary_j"]
            given = y["heating_j"] + y["hot_water_j"] - y["cooling_j"]
            # Half the circulator's power becomes heat in the fluid, the default share.
            must("energy", abs(taken - given) <= 1e-6 * abs(given), f"{name} {loop} {year}: {taken} in, {given} out")
            bought = y["compressor_j"] + y["blower_j"] + y["circulator_j"] + y["auxiliary_j"]
            told = y["heating_electricity_j"] + y["cooling_electricity_j"]
            must("electricity", abs(bought - told) <= 1e-9 * told, f"{name} {loop} {year}: {bought}, {told}")
        parts = sum(c["loss_w"] for c in answer["house"]["components"])
        must("loss", abs(parts - answer["house"]["design_loss_w"]) <= 1e-9 * parts, f"{name}: {parts}")


# ---------------------------------------------------------------- geometry

def moving_and_turning_the_field_changes_nothing():
    chance = random.Random(1)
    for _ in range(4):
        places = [{"x_m": 7.0 * i + chance.uniform(-1, 1), "y_m": chance.uniform(-8, 8), "tilt_deg": chance.choice([0, 10, 20]),
                   "azimuth_deg": chance.uniform(0, 359)} for i in range(4)]
        job = bores(base("village"), places=places)
        del job["loops"][0]["bores"]["count"], job["loops"][0]["bores"]["spacing_m"]
        straight = run(job)
        # A quarter turn is exact; any other angle and a shift move the last digits of the places.
        for turn_deg, shift_m in ((90, 0), (0, 13.7), (chance.uniform(1, 89), -5.2)):
            c, s = (0.0, 1.0) if turn_deg == 90 else (math.cos(math.radians(turn_deg)), math.sin(math.radians(turn_deg)))
            turned = copy.deepcopy(job)
            for p, q in zip(turned["loops"][0]["bores"]["places"], places):
                # azimuth clockwise from y (north), so the places turn clockwise with it
                p["x_m"] = c * q["x_m"] + s * q["y_m"] + shift_m
                p["y_m"] = -s * q["x_m"] + c * q["y_m"] - shift_m
                p["azimuth_deg"] = (q["azimuth_deg"] + turn_deg) % 360
            # What the field takes of the lot is told along the axes and turns with it.
            same("turn", run(turned)["loops"][0], straight["loops"][0], 1e-9, 1e-9,
                 skip=("land_", "lines_m", "estimate", "verdicts", "life_cycle", "simple_payback"))


def order_of_bores_changes_nothing():
    chance = random.Random(2)
    places = [{"x_m": 6.0 * i, "y_m": chance.uniform(-6, 6)} for i in range(5)]
    job = bores(base("village"), places=places)
    del job["loops"][0]["bores"]["count"], job["loops"][0]["bores"]["spacing_m"]
    straight = run(job)
    for _ in range(3):
        chance.shuffle(job["loops"][0]["bores"]["places"])
        same("order of bores", run(job)["loops"][0], straight["loops"][0], skip=("lines_m",))


def mirror_image_is_the_same():
    places = [{"x_m": 0, "y_m": 0, "tilt_deg": 15, "azimuth_deg": 250}, {"x_m": 5, "y_m": 1}, {"x_m": 9, "y_m": -2}]
    job = bores(base("village"), places=places)
    del job["loops"][0]["bores"]["count"], job["loops"][0]["bores"]["spacing_m"]
    straight = run(job)
    for p in job["loops"][0]["bores"]["places"]:
        p["x_m"] = -p["x_m"]
        p["azimuth_deg"] = (360 - p.get("azimuth_deg", 0)) % 360
    same("mirror", run(job)["loops"][0], straight["loops"][0], skip=("lines_m",))


# ---------------------------------------------------------------- order and spelling

def order_of_parts_changes_nothing():
    chance = random.Random(3)
    job = base("farmhouse", 1)
    straight = run(job)
    for _ in range(2):
        chance.shuffle(job["house"]["envelope"])
        answer = run(job)
        same("order of the envelope", answer["loops"], straight["loops"])
        same("order of the envelope", answer["alternatives"], straight["alternatives"])


def a_wall_in_two_is_the_wall():
    job = base("village")
    straight = run(job)
    wall = job["house"]["envelope"][0]
    half = {**wall, "area_m2": wall["area_m2"] / 2}
    job["house"]["envelope"][0:1] = [half, dict(half)]
    same("wall in two", run(job)["loops"], straight["loops"])


def order_of_keys_gives_the_same_bytes():
    job = base("cottage")
    text = json.dumps(job)
    turned = json.dumps({k: job[k] for k in reversed(job)})
    a = groundwright.design(text.encode(), library)[1]
    b = groundwright.design(turned.encode(), library)[1]
    for answer in (a, b):
        for d in answer["notes"]["defaults"]:
            answer["notes"].setdefault("paths", []).append(d["path"])
        answer["notes"]["paths"].sort()
        del answer["notes"]["defaults"]
    must("order of keys", a == b, "other design")


FACTORS = {"m": ("ft", 0.3048), "m2": ("ft2", 0.09290304), "m3": ("ft3", 0.028316846592), "m3_s": ("cfm", 0.3048 ** 3 / 60),
           "w": ("Btu/h", 0.29307107017222), "degc": ("degF", None)}


def other_units_give_the_same_design():
    def spell(value, key=""):
        if isinstance(value, dict):
            return {k: spell(v, k) for k, v in value.items()}
        if isinstance(value, list):
            return [spell(v, key) for v in value]
        ending = re.search(r"_(m|m2|m3|m3_s|w|degc)$", key)
        if not ending or isinstance(value, str):
            return value
        unit, factor = FACTORS[ending.group(1)]
        return f"{value * 1.8 + 32 if factor is None else value / factor!r} {unit}"
    job = base("village")
    same("units", run(spell(job)), run(job), 1e-8, 1e-8)


# ---------------------------------------------------------------- what only helps

def more_ground_is_never_colder():
    for name in ("village", "cottage"):
        for what, values in (("depth_m", (60, 80, 100, 120, 150)), ("spacing_m", (3, 4.5, 6, 9, 15)), ("count", (2, 3, 4, 6, 8)),
                             ("grout_conductivity_w_mk", (0.7, 1.0, 1.4, 1.8, 2.2))):
            series = [-coldest(run(bores(base(name, years=3), **{what: v}))) for v in values]
            never(what, f"coldest water of {name} over {what} {values}, sign turned", series)


def better_ground_is_never_colder():
    series = []
    for k in (1.2, 1.8, 2.4, 3.0, 3.6):
        job = bores(base("village", years=3))
        job["ground"]["rock"] = {"conductivity_w_mk": k, "volumetric_heat_j_m3k": 2.3e6}
        series.append(-coldest(run(job)))
    never("conductivity", "coldest water over conductivity, sign turned", series)


def a_longer_trench_is_never_colder():
    series = []
    for length_m in (60, 80, 100, 140):
        job = base("farmhouse", 0, 3)
        job["loops"][0]["free"] = "nothing"
        job["loops"][0]["trench"]["length_m"] = length_m
        job["site"].update(usable_length_m=300, usable_width_m=100)
        series.append(-coldest(run(job)))
    never("trench", "coldest water over trench length, sign turned", series)


def a_longer_horizon_is_never_warmer():
    for name in ("village", "cottage"):
        series = [coldest(run(bores(base(name, years=y)))) for y in (1, 2, 5, 10, 25)]
        never("horizon", f"coldest water of {name} over 1 to 25 years", series)
    never("horizon", "length over the horizon, sign turned",
          [-run(base("village", years=y))["loops"][0]["length_m"] for y in (1, 5, 15, 30)])


def length_of(job):
    loop = run(job)["loops"][0]
    return loop["length_m"]


def kept_flow(name, loop):
    """A smaller house gets a smaller unit with less flow, and less flow can be worse for the pipes: kept here."""
    job = base(name, loop)
    job["plant"]["flow_m3_s"] = "10 USgal/min"
    return job


def what_saves_heat_never_lengthens():
    chance = random.Random(4)
    for name, loop in (("village", 0), ("cottage", 0), ("farmhouse", 1)):
        # Insulation of every part at once, then of one part.
        for only in (None, chance.randrange(3)):
            series = []
            for factor in (1.0, 1.3, 1.8, 2.5):
                job = kept_flow(name, loop)
                for i, part in enumerate(job["house"]["envelope"]):
                    text = part["insulation_m2k_w"]
                    if only is None or i == only:
                        unit, value = re.match(r"(R-|RSI )([\d.]+)$", text).groups()
                        part["insulation_m2k_w"] = f"{unit}{float(value) * factor}"
                series.append(length_of(job))
            never("insulation", f"length of {name}, part {only}", series)
        series = []
        for ach50 in (7.0, 5.0, 3.0, 1.5):
            job = kept_flow(name, loop)
            job["house"]["leakage"]["ach50"] = ach50
            series.append(length_of(job))
        never("tightness", f"length of {name}", series)
        series = []
        for setpoint in (22.0, 21.0, 20.0, 19.0):
            job = kept_flow(name, loop)
            job["house"].update(heating_setpoint_degc=setpoint)
            for key in ("setback_degc", "setback_start_h", "setback_end_h"):
                job["house"].pop(key, None)
            series.append(length_of(job))
        never("setpoint", f"length of {name}", series)
        series = [length_of({**kept_flow(name, loop), "limits": {**kept_flow(name, loop)["limits"], "min_entering_degc": t}})
                  for t in (0.0, -1.0, -2.0, -3.0)]
        never("limit", f"length of {name} over the least entering temperature", series)


properties = [f for n, f in list(globals().items()) if callable(f) and f.__module__ == __name__ and "_" in n and not f.__code__.co_argcount
              and n not in ("other",)]
for check in properties:
    check()
print(*faults, sep="\n")
print(f"{len(properties)} properties, {designs} designs, {comparisons} comparisons, {len(faults)} faults")
sys.exit(1 if faults or comparisons < 100 else 0)
