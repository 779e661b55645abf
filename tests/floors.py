#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
# SPDX-FileCopyrightText: groundwright contributors
"""No room reaches up: every include of src/ is held against the table in CMakeLists.txt."""
import pathlib
import re
import sys

root = pathlib.Path(sys.argv[1] if len(sys.argv) > 1 else ".")
allowed = {}
text = (root / "CMakeLists.txt").read_text()
for name, rest in re.findall(r"gw_room\((\w+)([^)]*)\)", text):
    deps = re.search(r"DEPS((?:\s+[a-z]+)*)", rest)
    allowed[name] = {name, *(deps.group(1).split() if deps else [])}

faults = []
seen = 0
for room in sorted(allowed):
    for path in sorted((root / "src" / room).glob("*.[ch]")):
        for number, line in enumerate(path.read_text().splitlines(), 1):
            found = re.match(r'\s*#\s*include\s+"(\w+)/', line)
            if found:
                seen += 1
                if found.group(1) not in allowed[room]:
                    faults.append(f"{path}:{number}: {room} may not include {found.group(1)}")

# A room may only lean on rooms listed before it: no circle is possible then.
order = list(allowed)
for room, deps in allowed.items():
    for dep in deps - {room}:
        if order.index(dep) > order.index(room):
            faults.append(f"CMakeLists.txt: {room} stands below {dep} and may not use it")

# A foreign library has few doors: rooms that may know it.
guests = {"jansson.h": {"job", "design", "study", "serve"}, "udunits2.h": {"base"}, "lapacke.h": {"ground"}, "geos_c.h": {"lot"},
          "sqlite3.h": {"store"}, "microhttpd.h": {"serve"}, "cairo.h": {"draw"}}
for header, rooms in guests.items():
    for path in (root / "src").rglob("*.[ch]"):
        if f"<{header}>" in path.read_text() and path.parent.name not in rooms:
            faults.append(f"{path}: {header} is not for the room {path.parent.name}")

print(*faults, sep="\n")
print(f"{seen} includes in {len(allowed)} rooms, {len(faults)} faults")
sys.exit(1 if faults or seen < 50 else 0)
