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

# One foreign library, one file.
guests = {"jansson.h": 1, "udunits2.h": 1, "lapacke.h": 2}
for header, limit in guests.items():
    users = [p for p in (root / "src").rglob("*.[ch]") if f"<{header}>" in p.read_text()]
    if len({p.parent for p in users}) > limit:
        faults.append(f"{header} is included in {len(users)} files: {', '.join(map(str, users))}")

print(*faults, sep="\n")
print(f"{seen} includes in {len(allowed)} rooms, {len(faults)} faults")
sys.exit(1 if faults or seen < 50 else 0)
