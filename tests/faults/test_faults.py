#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
# SPDX-FileCopyrightText: groundwright contributors
"""Killed, cut from power, or out of disk at every call that changes a file: nothing acknowledged is lost.

Usage: test_faults.py FOLDER_WITH_SHIM_AND_WORKER PROGRAM SOURCE_DIR [--long]
Without --long every third point is tried, with it every one. Prints how many points were tried.
"""
import collections
import os
import pathlib
import resource
import signal
import subprocess
import sys
import tempfile

here, program, source = pathlib.Path(sys.argv[1]), sys.argv[2], pathlib.Path(sys.argv[3])
long = "--long" in sys.argv
shim = next(here.glob("libshim*.so"))
worker = here / "store_worker"
CHANGES = 9
tried = collections.Counter()
faults = []


def run(args, fault=None, count=None, **more):
    environment = dict(os.environ)
    if fault or count:
        environment.update(LD_PRELOAD=str(shim), GW_FAULT=fault or "", GW_FAULT_COUNT=str(count or ""))
    result = subprocess.run([*map(str, args)], capture_output=True, text=True, timeout=120, env=environment, **more)
    return result.returncode, result.stdout, result.stderr


def must(condition, detail):
    if not condition:
        faults.append(detail)


def calls_of(args, folder):
    count = folder / "count"
    code, out, err = run(args, fault="0 none", count=count)
    must(code in (0, 1), f"{args}: {code} {out} {err}")
    return int(count.read_text())


def acknowledged(out):
    return {int(line.split()[1]) for line in out.splitlines() if line.startswith("ok ")}


def held(store):
    code, out, err = run([worker, "list", store])
    must(code == 0, f"the store cannot be read after the fault: {out} {err}")
    return {int(line) for line in out.splitlines() if line.strip().isdigit()} if code == 0 else set()


def clean(folder):
    for file in folder.iterdir():
        file.unlink()


def store_survives(folder):
    work = ["work", folder / "s.db", 1, CHANGES, 1790000000]
    points = calls_of([worker, *work], folder)
    clean(folder)
    modes = [("before", 1), ("half", 1), ("after", 1), ("full", 1), ("broken", 1), ("power", 3 if long else 1)]
    for mode, seeds in modes:
        for seed in range(seeds):
            for point in range(1, points + 1, 1 if long else 3):
                clean(folder)
                code, out, err = run([worker, *work], fault=f"{point} {mode} {seed + 7 * point}")
                tried[f"store, {mode}"] += 1
                told = acknowledged(out)
                where = f"store, {mode} at call {point} of {points}, seed {seed}"
                if not (folder / "s.db").exists():
                    must(not told, f"{where}: no file, but {sorted(told)} told")
                    continue
                kept = held(folder / "s.db")
                must(told <= kept, f"{where}: told {sorted(told)}, held {sorted(kept)}")
                must(len(kept - told) <= 1, f"{where}: held beyond what was told: {sorted(kept - told)}")
                if mode in ("full", "broken"):
                    must(code in (0, 3), f"{where}: exit {code} {err}")
                # It goes on from there.
                code, out, err = run([worker, "work", folder / "s.db", 101, 3, 1790000000])
                must(acknowledged(out) == {101, 102, 103}, f"{where}: does not go on: {out}")


def clock_moves_back(folder):
    """The clock only labels: order and loss do not hang on it."""
    clean(folder)
    for first, clock in ((1, 1790000000), (10, 1000), (20, 4102444800), (30, 0)):
        code, out, err = run([worker, "work", folder / "s.db", first, 9, clock])
        must(len(acknowledged(out)) == 9, f"clock {clock}: {out}")
        tried["clock"] += 1
    must(len(held(folder / "s.db")) == 36, "clock: not all held")


def two_writers(folder):
    """Two processes on one store, both told the truth."""
    clean(folder)
    run([worker, "work", folder / "s.db", 1, 1, 1])
    both = [subprocess.Popen([worker, "work", folder / "s.db", str(first), "60", "1"], stdout=subprocess.PIPE, text=True)
            for first in (1000, 2000)]
    told = set().union(*(acknowledged(p.communicate()[0]) for p in both))
    tried["two writers, changes"] += 120
    must(len(told) == 120, f"two writers: {len(told)} of 120 made")
    must(told <= held(folder / "s.db"), "two writers: some lost")


def output_is_whole_or_not_there(folder):
    job = folder / "job.json"
    target = folder / "out.txt"
    job.write_text((source / "examples" / "village.json").read_text().replace('"years": 30', '"years": 1'))
    args = [program, "design", job, "--output", target]
    code, out, err = run(args)
    whole = target.read_text()
    points = calls_of(args, folder)
    for mode in ("before", "half", "after", "full", "broken"):
        for point in range(1, points + 1):
            for old in (None, "what was there before"):
                target.unlink(missing_ok=True)
                if old is not None:
                    target.write_text(old)
                code, out, err = run(args, fault=f"{point} {mode}")
                tried[f"output, {mode}"] += 1
                found = target.read_text() if target.exists() else None
                where = f"output, {mode} at call {point} of {points}, {'over an old file' if old else 'new'}"
                must(found in (old, whole), f"{where}: {found and found[:60]!r}")
                if mode in ("full", "broken"):
                    must((code, found) in ((4, old), (0, whole)), f"{where}: exit {code}")
                    must(code == 0 or err.strip() != "", f"{where}: no word")
                    must(not list(folder.glob("*.part")), f"{where}: a part is left")


def disk_is_full(folder):
    job = folder / "job.json"
    target = folder / "out.txt"
    target.unlink(missing_ok=True)

    def limit(size):
        def apply():
            signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
            resource.setrlimit(resource.RLIMIT_FSIZE, (size, size))
        return apply
    for size in (0, 1, 100, 1024, 4096, 5000):
        code, out, err = run([program, "design", job, "--output", target], preexec_fn=limit(size))
        tried["file size limit"] += 1
        must(code == 4 and "cannot be written" in err and not target.exists() and not list(folder.glob("*.part")),
             f"limit of {size}: {code} {err}")
    with open("/dev/full", "w") as full:
        result = subprocess.run([program, "design", str(job)], stdout=full, stderr=subprocess.PIPE, text=True)
        tried["standard output full"] += 1
        must(result.returncode == 4 and "cannot be written" in result.stderr,
             f"standard output full: {result.returncode} {result.stderr}")
    for place in ("/proc/no", "/nowhere/at/all.txt", str(folder)):
        code, out, err = run([program, "design", job, "--output", place])
        tried["place that cannot be written"] += 1
        must(code == 4 and err.strip(), f"{place}: {code} {err}")


place = "/dev/shm" if os.access("/dev/shm", os.W_OK) else None
with tempfile.TemporaryDirectory(dir=place) as name:
    folder = pathlib.Path(name)
    for check in (store_survives, clock_moves_back, two_writers, output_is_whole_or_not_there, disk_is_full):
        check(folder)
print(*faults[:40], sep="\n")
for what, number in tried.items():
    print(f"{number:6} {what}")
print(f"{sum(tried.values())} points, {len(faults)} faults")
sys.exit(1 if faults or sum(tried.values()) < 50 else 0)
