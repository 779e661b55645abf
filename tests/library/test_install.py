#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
# SPDX-FileCopyrightText: groundwright contributors
"""Installs into an empty folder and uses what is there: program, manual, library from C and from Python.

Usage: test_install.py BUILD_DIR SOURCE_DIR C_COMPILER
"""
import json
import os
import pathlib
import re
import subprocess
import sys
import tempfile

build, source, compiler = sys.argv[1], pathlib.Path(sys.argv[2]), sys.argv[3]
faults = []
count = 0


def check(name, condition, detail=""):
    global count
    count += 1
    if not condition:
        faults.append(f"{name}: {str(detail)[:600]}")


def run(*args, **more):
    result = subprocess.run([*map(str, args)], capture_output=True, text=True, timeout=300, **more)
    return result.returncode, result.stdout, result.stderr


with tempfile.TemporaryDirectory() as folder:
    folder = pathlib.Path(folder)
    root = folder / "usr"
    code, out, err = run("cmake", "--install", build, "--prefix", root)
    check("install", code == 0, out + err)
    for place in ("bin/groundwright", "share/man/man1/groundwright.1.gz", "include/groundwright.h",
                  "share/bash-completion/completions/groundwright", "share/applications/groundwright.desktop",
                  "lib/systemd/user/groundwright.service", "share/icons/hicolor/scalable/apps/groundwright.svg",
                  "share/doc/groundwright/examples/village.json", "share/doc/libgroundwright-dev/examples/library/design.c"):
        check(place, (root / place).is_file())
    code, out, err = run(root / "bin" / "groundwright", "--version")
    version = out.split()[-1] if out else ""
    check("program", code == 0 and re.fullmatch(r"\d+\.\d+\.\d+", version), out + err)

    # ---- the shared library shows the header's functions, all of them and nothing else
    library = next(root.rglob("libgroundwright.so"))
    declared = set(re.findall(r"\b(groundwright_[a-z_]+)\(", (root / "include" / "groundwright.h").read_text()))
    code, out, err = run("nm", "-D", "--defined-only", library)
    shown = {line.split()[2].split("@")[0] for line in out.splitlines() if " T " in line}
    check("symbols", shown == declared - {"groundwright_result"}, shown ^ declared)

    # ---- C, linked both ways
    job = json.loads((source / "examples" / "village.json").read_text())
    job["limits"]["years"] = 2
    house = folder / "house.json"
    house.write_text(json.dumps(job))
    found = next(root.rglob("groundwright.pc")).parent
    environment = {**os.environ, "PKG_CONFIG_PATH": str(found), "LD_LIBRARY_PATH": str(library.parent)}
    pc = (found / "groundwright.pc").read_text()
    prefix = re.search(r"^prefix=(.*)$", pc, re.M).group(1)
    (found / "groundwright.pc").write_text(pc.replace(prefix, str(root)))  # built for another folder
    example = root / "share/doc/libgroundwright-dev/examples/library/design.c"
    answers = []
    for way in ("shared", "static"):
        code, flags, err = run("pkg-config", "--cflags", "--libs", "groundwright", env=environment)
        check(f"pkg-config {way}", code == 0, err)
        flags = flags.split()
        if way == "static":
            # Our archive beside the shared libraries it needs. `pkg-config --static` would ask for what those need in
            # turn, down to a Fortran runtime that nothing else here wants.
            field = {name: re.search(rf"^{name}.private: *(.*)$", pc, re.M).group(1).split() for name in ("Libs", "Requires")}
            code, needed, err = run("pkg-config", "--libs", *field["Requires"], env=environment)
            check("pkg-config of what the archive needs", code == 0, err)
            flags = ["-l:libgroundwright.a" if f == "-lgroundwright" else f for f in flags]
            flags += needed.split() + field["Libs"]
        program = folder / f"design-{way}"
        code, out, err = run(compiler, "-std=c17", "-Wall", "-Wextra", "-Werror", example, *flags, "-o", program)
        check(f"compile {way}", code == 0, err)
        code, out, err = run(program, house, env=environment)
        check(f"run {way}", code == 0 and "Answer" in out, f"{code} {err}")
        answers.append(out)
    code, out, err = run(root / "bin" / "groundwright", "design", house)
    check("library and program say the same", answers == [out, out], answers)

    # ---- Python
    script = root / "share/doc/libgroundwright-dev/examples/library/design.py"
    code, out, err = run(sys.executable, script, house, library)
    check("python", code == 0 and "three bores in the garden: stands" in out, f"{code} {out} {err}")
    house.write_text('{"groundwright": 1}')
    code, out, err = run(sys.executable, script, house, library)
    check("python, bad job", code == 2 and "loops" in err, f"{code} {err}")

    # ---- completion, asked of the program
    completion = root / "share/bash-completion/completions/groundwright"
    ask = f'''. "{completion}"; PATH="{root}/bin:$PATH"
        try() {{ COMP_WORDS=("$@"); COMP_CWORD=$(($# - 1)); _groundwright; printf '%s ' "${{COMPREPLY[@]}}"; echo; }}
        try groundwright de; try groundwright design --u; try groundwright design --units i; try groundwright list st'''
    code, out, err = run("bash", "-c", ask)
    check("completion", [line.split() for line in out.splitlines()] ==
          [["design"], ["--units"], ["imperial"], ["stations"]], out + err)

print(*faults, sep="\n")
print(f"{count - len(faults)} passed, {len(faults)} failed")
sys.exit(1 if faults else 0)
