#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
# SPDX-FileCopyrightText: groundwright contributors
"""The studies as a user meets them: compare, spread, measures, uncertainty.

Usage: test_studies.py PROGRAM SOURCE_DIR
"""
import json
import pathlib
import subprocess
import sys
import tempfile

program, source = sys.argv[1], pathlib.Path(sys.argv[2])
faults = []
count = 0


def run(*args):
    result = subprocess.run([program, *map(str, args)], capture_output=True, text=True, timeout=300)
    return result.returncode, result.stdout, result.stderr


def check(name, condition, detail=""):
    global count
    count += 1
    if not condition:
        faults.append(f"{name}: {detail}")


folder = pathlib.Path(tempfile.mkdtemp())
job = json.loads((source / "examples" / "village.json").read_text())
job["limits"]["years"] = 3
small = folder / "small.json"
small.write_text(json.dumps(job))

code, out, err = run("compare", small, "--json")
doc = json.loads(out)
check("compare is JSON", code == 0 and doc["groundwright_study"] == "compare", err)
check("compare has every loop", [row["name"] for row in doc["loops"]] == [row["name"] for row in job["loops"]])
check("compare says why", doc["best"] == 0 and "the property line" in doc["loops"][1]["ruled_out"], doc)
code, out, err = run("compare", small)
check("compare draws", code == 0 and "█" in out and "What rules them out" in out, out)

code, out, err = run("spread", small, "--json")
doc = json.loads(out)
check("spread is JSON", code == 0 and len(doc["rows"]) == 5, err)
check("spread has the years", [m["year"] for m in doc["rows"][0]["at"]] == [1, 5, 25, 50])
code, out, err = run("spread", small, "--units", "imperial")
check("spread in feet", code == 0 and " ft" in out and "colder" in out and " °F" in out, out)

code, out, err = run("measures", small, "--json")
doc = json.loads(out)
check("measures is JSON", code == 0 and len(doc["curve"]) == len(doc["alone"]) + 1, err)
check("measures names its prices", all("invented" in row["cost_from"] for row in doc["alone"]))
check("measures shrink the loss", doc["curve"][-1]["design"]["loss_w"] < doc["base"]["design"]["loss_w"])
code, out, err = run("measures", small)
check("measures say where to stop", code == 0 and "stop here" in out and "invented" in out, out)

args = ("uncertainty", small, "--samples", 12, "--json")
code, first, err = run(*args, "--seed", 7)
doc = json.loads(first)
check("uncertainty is JSON", code == 0 and doc["samples"] == 12 and doc["seed"] == 7, err)
check("same seed, same bytes", run(*args, "--seed", 7)[1] == first)
check("other seed, other bytes", run(*args, "--seed", 8)[1] != first)
check("draws only when asked", "draws" not in doc)
check("every draw", len(json.loads(run(*args, "--verbose")[1])["draws"]) == 12)
resized = json.loads(run(*args, "--resize")[1])
check("resized", resized["length"] == "resized" and resized["length_m"]["p10"] < resized["length_m"]["p90"])
code, out, err = run("uncertainty", small, "--samples", 12)
check("uncertainty draws", code == 0 and "Chance of costing less" in out and "assumptions" in out, out)

for bad in ("0", "-3", "many", "1e3", "100001"):
    code, out, err = run("uncertainty", small, "--samples", bad)
    check(f"samples {bad}", code == 2 and "--samples" in err, err)
code, out, err = run("uncertainty", small, "--samples", 5)
check("too few samples", code == 3 and "samples" in err, err)
code, out, err = run("compare", small, "--samples", 5)
check("no draws in compare", code == 2, err)

del job["lot"]
job["site"].update(usable_length_m=4, usable_width_m=4)
tight = folder / "tight.json"
tight.write_text(json.dumps(job))
code, out, err = run("compare", tight)
check("no loop stands", code == 1 and "What rules them out" in out and "none of the 2 loops" in err, err)
job["house"] = {"floor_area_m2": 200, "design_loss_w": 9000}
given = folder / "given.json"
given.write_text(json.dumps(job))
code, out, err = run("measures", given)
check("no envelope, no measures", code == 3 and "house.envelope" in err, err)
code, out, err = run("spread", folder / "nothing.json")
check("no such job", code == 4, err)

print(*faults, sep="\n")
print(f"{count - len(faults)} passed, {len(faults)} failed")
sys.exit(1 if faults else 0)
