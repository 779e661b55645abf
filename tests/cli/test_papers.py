#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
# SPDX-FileCopyrightText: groundwright contributors
"""`groundwright papers` as a user meets it: the files it leaves, read back by readers of their own.

Usage: test_papers.py PROGRAM SOURCE_DIR
"""
import json
import math
import pathlib
import re
import subprocess
import sys
import tempfile
import xml.etree.ElementTree as xml

program, source = sys.argv[1], pathlib.Path(sys.argv[2])
faults = []
count = 0


def check(name, condition, detail=""):
    global count
    count += 1
    if not condition:
        faults.append(f"{name}: {detail}")


def run(*args):
    result = subprocess.run([program, *map(str, args)], capture_output=True, text=True, timeout=300)
    return result.returncode, result.stdout, result.stderr


def dxf_entities(path):
    """Pairs of group code and value, cut into entities."""
    lines = path.read_text().split("\n")
    pairs = [(int(lines[i]), lines[i + 1]) for i in range(0, len(lines) - 1, 2)]
    start = pairs.index((2, "ENTITIES"))
    found = []
    for code, value in pairs[start + 1:]:
        if code == 0:
            found.append({0: value})
        elif found:
            found[-1].setdefault(code, value)
    return found


job = json.loads((source / "examples" / "village.json").read_text())
job["loops"] = job["loops"][:1]
job["limits"]["years"] = 3
with tempfile.TemporaryDirectory() as name:
    folder = pathlib.Path(name)
    path = folder / "village.json"
    path.write_text(json.dumps(job))

    code, out, err = run("papers", path, "--output", folder / "papers")
    check("papers are written", code in (0, 1), f"{code} {err[:300]}")
    names = {p.name for p in (folder / "papers").iterdir()}
    wanted = {"permit.pdf", "client.pdf", "engineer.pdf", "1-plan.svg", "2-section.svg", "plan-metres.dxf"}
    check("every file is there", wanted <= names, str(sorted(names)))
    check("the files are listed", all(n in out for n in wanted), out)
    check("no half files stay", not any(n.endswith(".part") for n in names), str(names))
    for pdf in ("permit.pdf", "client.pdf", "engineer.pdf"):
        data = (folder / "papers" / pdf).read_bytes()
        check(f"{pdf} is whole", data.startswith(b"%PDF-") and data.rstrip().endswith(b"%%EOF"))
        check(f"{pdf} has no date", b"CreationDate" not in data)

    tree = xml.parse(folder / "papers" / "1-plan.svg")
    texts = ["".join(e.itertext()) for e in tree.iter("{http://www.w3.org/2000/svg}text")]
    check("the plan says its scale", any(re.fullmatch(r"Scale 1:\d+ at Tabloid", t) for t in texts), str(texts[:9]))
    check("the plan is no sealed design", any("not a sealed design" in t for t in texts))

    entities = dxf_entities(folder / "papers" / "plan-metres.dxf")
    bores = [(float(e[10]), float(e[20])) for e in entities if e[0] == "CIRCLE" and e[8] == "LOOP-BORE"]
    check("the DXF has every bore", len(bores) == job["loops"][0]["bores"]["count"], str(bores))
    gaps = [math.dist(a, b) for i, a in enumerate(bores) for b in bores[i + 1:]]
    check("bores keep their distance in the DXF", gaps and min(gaps) > 4.9, str(gaps))
    check("the DXF is in view only", not any("Sheet" == e.get(1) for e in entities))
    try:
        import ezdxf
    except ImportError:
        pass
    else:
        model = ezdxf.readfile(folder / "papers" / "plan-metres.dxf")
        check("a CAD library finds no fault", not model.audit().has_errors)
        circles = model.modelspace().query('CIRCLE[layer=="LOOP-BORE"]')
        check("a CAD library finds the bores", len(circles) == len(bores), str(len(circles)))

    code, out, err = run("papers", path, "--output", folder / "feet", "--units", "imperial", "--paper", "letter",
                         "--level", "sketch", "--scale", "1:480")
    check("sketch in feet", code in (0, 1), f"{code} {err[:300]}")
    check("sketch has two sheets", not (folder / "feet" / "3-schedules.svg").exists())
    feet = dxf_entities(folder / "feet" / "plan-feet.dxf")
    bores_ft = [(float(e[10]), float(e[20])) for e in feet if e[0] == "CIRCLE" and e[8] == "LOOP-BORE"]
    check("feet are feet", all(abs(f * 0.3048 - m) < 1e-4 for p, q in zip(bores_ft, bores) for f, m in zip(p, q)), str(bores_ft))

    for args, wanted in ((["--paper", "leter"], "letter"), (["--level", "final"], "level"), (["--scale", "x"], "--scale"),
                         (["--scale", "0"], "--scale"), (["--loop", "first"], "--loop")):
        code, out, err = run("papers", path, "--output", folder / "never", *args)
        check(f"{args} is refused", code == 2 and wanted in err and not (folder / "never").exists(), f"{code} {err[:200]}")
    code, out, err = run("papers", path)
    check("a folder is asked for", code == 2 and "--output" in err, f"{code} {err[:200]}")
    code, out, err = run("papers", path, "--output", folder / "tight", "--scale", "10")
    check("a scale that does not fit is named", code == 3 and "does not fit" in err, f"{code} {err[:300]}")
    code, out, err = run("papers", path, "--output", path / "under")
    check("a folder that cannot be made is named", code == 4 and "cannot be made" in err, f"{code} {err[:200]}")

print(*faults, sep="\n")
print(f"{count - len(faults)} passed, {len(faults)} failed")
sys.exit(1 if faults else 0)
