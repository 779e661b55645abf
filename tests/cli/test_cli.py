#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
# SPDX-FileCopyrightText: groundwright contributors
"""The command line as a user meets it: answers, exit codes, errors that say where and what.

Usage: test_cli.py PROGRAM SOURCE_DIR
"""
import copy
import json
import os
import pathlib
import subprocess
import sys
import tempfile

program, source = sys.argv[1], pathlib.Path(sys.argv[2])
base = json.loads((source / "examples" / "village.json").read_text())
base["loops"] = base["loops"][:1]
base["limits"]["years"] = 3
faults = []
count = 0


def run(*args, env=None):
    result = subprocess.run([program, *map(str, args)], capture_output=True, text=True, timeout=120,
                            env={**os.environ, **(env or {})})
    return result.returncode, result.stdout, result.stderr


def check(name, condition, detail=""):
    global count
    count += 1
    if not condition:
        faults.append(f"{name}: {detail}")


def changed(path, value):
    """The base job with the value at a path replaced (None deletes)."""
    job = copy.deepcopy(base)
    at = job
    for key in path[:-1]:
        at = at[key]
    if value is None:
        del at[path[-1]]
    else:
        at[path[-1]] = value
    return json.dumps(job, indent=1)


def epw(mutate=None):
    """A made year in the open EPW format: constant cold, for the reader's sake only."""
    head = ["LOCATION,Made,QC,CAN,made,000000,45.4,-71.9,-5.0,241.0"] + ["DESIGN CONDITIONS,0"] * 7
    rows = []
    days = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31]
    for month, length in enumerate(days, 1):
        for day in range(1, length + 1):
            for hour in range(1, 25):
                t = -12 + 3 * abs(6.5 - abs(month - 6.5))
                rows.append(f"2001,{month},{day},{hour},60,?9?9,{t:.1f},{t - 2:.1f},80,101325,0,0,300,0,0,0,0,0,"
                            "0,0,180,3.0,5,5,20,77777,9,999999999,99,0.1,0,88,0.2,0,0")
    if mutate:
        mutate(rows)
    return "\n".join(head + rows) + "\n"


def drop_hour(rows):
    del rows[5000]


def break_number(rows):
    cells = rows[100].split(",")
    cells[6] = "warm"
    rows[100] = ",".join(cells)


def lose_temperature(rows):
    cells = rows[200].split(",")
    cells[6] = "99.9"
    rows[200] = ",".join(cells)


with tempfile.TemporaryDirectory() as folder:
    folder = pathlib.Path(folder)

    # ---- answers
    code, out, err = run("--help")
    check("help", code == 0 and "groundwright design" in out, out)
    code, out, err = run("--version")
    check("version", code == 0 and out.startswith("groundwright "), out)
    job = folder / "new.json"
    code, out, err = run("new", job)
    check("new writes a file", code == 0 and job.exists(), err)
    code, out, err = run("verify", job)
    check("the starter is valid", code == 0 and "valid job" in out, out + err)
    code, out, err = run("design", job)
    check("the starter designs", code in (0, 1) and "Answer" in out, out[:300] + err)
    good = folder / "good.json"
    good.write_text(json.dumps(base))
    code, metric, err = run("design", good)
    check("a good job stands", code == 0, err)
    for part in ("Answer", "Coldest water into the heat pump", "Energy cost of a year", "Defaults used", "Cautions",
                 "Installed cost by line"):
        check(f"answer has {part}", part in metric)
    code, imperial, err = run("design", good, "--units", "imperial")
    check("imperial", code == 0 and "°F" in imperial and "°C outside" not in imperial, imperial[:400])
    code, text, err = run("design", good, "--json")
    design = json.loads(text)
    check("json names its format", design["groundwright_design"] == 1)
    check("json has the water by month", len(design["loops"][0]["entering_water"]["months_mean_least_greatest_degc"]) == 36)
    check("json: no loss without a reason", design["house"]["design_loss_w"] > 5000)
    again = {run("design", good, "--json", env={"OMP_NUM_THREADS": n})[1] for n in ("1", "2", "4")}
    check("same bytes whatever the threads", again == {text})
    target = folder / "out.json"
    code, out, err = run("design", good, "--json", "--output", target)
    check("output goes to the file", code == 0 and out == "" and json.loads(target.read_text()) == design, err)
    code, out, err = run("man")
    check("manual page", code == 0 and out.startswith(".TH GROUNDWRIGHT"))
    code, out, err = run("list", "stations")
    check("list of stations", code == 0 and "fredericton" in out)
    weather = folder / "made.epw"
    weather.write_text(epw())
    with_weather = folder / "weather.json"
    with_weather.write_text(changed(["site", "weather_file"], "made.epw"))
    code, out, err = run("design", with_weather)
    check("hourly file beside the job", code == 0 and "made from the monthly normals" not in out, err)

    # ---- the lot decides
    small = folder / "small.json"
    tight = json.loads(changed(["lot"], None))
    tight["site"].update(usable_length_m=5, usable_width_m=5)
    small.write_text(json.dumps(tight))
    code, out, err = run("design", small)
    check("a lot too small: no loop stands", code == 1 and "FAILS" in out and "loops" in err, f"{code} {err}")

    # ---- wrong usage
    for args in (["dessign", good], ["design"], ["design", good, "--untis", "metric"], ["design", good, "--units", "cubits"],
                 ["design", good, good], ["list", "trees"], []):
        code, out, err = run(*args)
        check(f"usage {args[:1]}", code == 2 and err != "" and out == "", f"{code} {out[:80]} {err[:80]}")
    code, out, err = run("dessign", good)
    check("nearest command", 'did you mean "design"' in err, err)

    # ---- files that cannot be read or written
    for name, args in {"missing": ["design", folder / "nowhere.json"], "folder": ["verify", folder],
                       "target": ["design", good, "--output", folder / "no" / "such" / "folder.txt"]}.items():
        code, out, err = run(*args)
        check(f"file {name}", code == 4 and err != "", f"{code} {err}")
    check("no half file is left", not list(folder.glob("*.part")))

    # ---- bad jobs: text, what the message must name
    marked = changed(["house", "volume_m3"], 54321)
    line = f":{marked[:marked.index('54321')].count(chr(10)) + 1}:"
    bad = {
        "empty": ("", ["1:1"]),
        "blank": ("   \n", []),
        "truncated": (json.dumps(base)[:200], [":1:"]),
        "not JSON": ("hello", [":1:", "expected"]),
        "a list": ("[]", ["object"]),
        "NaN": (marked.replace("54321", "NaN"), [line]),
        "1e999": (marked.replace("54321", "1e999"), [line]),
        "NUL": (json.dumps(base).replace("Moulin", "Mou\\u0000lin", 1), []),
        "duplicate key": (json.dumps(base).replace('"name":', '"name": "x", "name":', 1), ["name"]),
        "unknown key": (changed(["site", "statoin"], "x"), ["site.statoin", "station"]),
        "unknown station": (changed(["site", "station"], "sherbroke"), ["site.station", "sherbrooke"]),
        "unknown soil": (changed(["ground", "soil", "class"], "gravel-dri"), ["ground.soil.class", "gravel-dry"]),
        "unknown pipe": (changed(["loops", 0, "bores", "pipe"], "1-1/4in-dr12"), ["loops[0].bores.pipe"]),
        "wrong type": (changed(["house", "floor_area_m2"], [1]), ["house.floor_area_m2"]),
        "text for a number": (changed(["house", "floor_area_m2"], "many"), ["house.floor_area_m2"]),
        "wrong dimension": (changed(["house", "floor_area_m2"], "214 m"), ["house.floor_area_m2", "m2"]),
        "negative area": (changed(["house", "envelope", 2, "area_m2"], -8.4), ["house.envelope[2].area_m2"]),
        "zero insulation": (changed(["house", "envelope", 0, "insulation_m2k_w"], 0), ["house.envelope[0].insulation_m2k_w"]),
        "no loops": (changed(["loops"], []), ["loops"]),
        "loops missing": (changed(["loops"], None), ["loops"]),
        "depth over the limit": (changed(["loops", 0, "bores", "max_depth_m"], "40000 ft"), ["max_depth_m"]),
        "min over max": (changed(["limits", "min_entering_degc"], 31), ["limits"]),
        "huge diameter": (changed(["loops", 0, "bores", "diameter_m"], "3 m"), ["diameter_m"]),
        "unknown fluid": (changed(["fluid", "kind"], "brandy"), ["fluid.kind"]),
        "freeze out of reach": (changed(["fluid", "freeze_point_degc"], -90), ["fluid.freeze_point_degc"]),
        "unknown fuel": (changed(["money", "compare_with"], "coal"), ["money.compare_with"]),
        "weather missing": (changed(["site", "weather_file"], "gone.epw"), ["gone.epw"]),
    }
    for name, (text, wanted) in bad.items():
        path = folder / "bad.json"
        path.write_text(text)
        target = folder / "never.txt"
        code, out, err = run("design", path, "--output", target)
        check(f"bad job: {name}", code in (3, 4) and out == "" and not target.exists(), f"{code} {out[:80]} {err[:200]}")
        for piece in wanted:
            check(f"bad job: {name} names {piece}", piece in err, err[:300])

    for name, mutate, wanted in (("missing hour", drop_hour, "expected"), ("not a number", break_number, "warm"),
                                 ("missing temperature", lose_temperature, "99.9")):
        weather.write_text(epw(mutate))
        code, out, err = run("design", with_weather)
        check(f"hourly file: {name}", code == 3 and wanted in err and out == "", f"{code} {err[:200]}")
    weather.write_text("")
    code, out, err = run("design", with_weather)
    check("hourly file: empty", code == 3 and out == "", f"{code} {err[:200]}")

print(*faults, sep="\n")
print(f"{count - len(faults)} passed, {len(faults)} failed")
sys.exit(1 if faults else 0)
